"""The card of sums for the next box: shape factors, cable, battery and panel from outside.

Shape factor: J. P. Holman, Heat Transfer, 10th ed., Example 3-2 (cubical furnace). Cable: Ohm's
law with IEC 60228:2004, class 5, 7.98 Ω/km for 2.5 mm². Battery of 1 800 Wh: a supplier's public
sizing tutorial. Panel: method of peak sun hours, from memory, case own.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))
from lab_group import opened, outside_its_magnitude, plain, solved

from coldbench.course.cards.design_sums import Spec, design_steps
from coldbench.errors import UserError

SPEC = Spec(ambient=25.0, inside=5.0, sides=(0.5, 0.5, 0.5), conductivity=0.03, volts=12.0,
            days=3.0, depth=0.5, efficiency=1.0, sun_hours=4.5, ratio=0.75, cable_length=5.0,
            cable_area=2.5)


def sums(leak: float = 0.5, power: float = 12.5, running: float = 60.0, **changed: object):
    spec = replace(SPEC, **changed)
    return design_steps({}, spec, *plain(leak, power, running))


def test_foam_put_back():
    """The cube of 0.5 m inside with 0.10 m of wall has a shape factor of 18.36 m."""
    found = sums(leak=2 * 0.03 * 1.5 / 0.10)  # whose half the plain sum gives to 0.10 m
    assert found["foam_plain"].value == pytest.approx(100.0)
    assert found["leak_back"].value / 0.03 == pytest.approx(18.36, abs=0.005)


def test_foam_that_does_let_in_half():
    leak = 2 * 0.03 * 18.36
    found = sums(leak=leak)
    assert found["foam_thickness"].value == pytest.approx(100.0, abs=0.1)
    assert found["foam_plain"].value < found["foam_thickness"].value


def test_battery_and_panel():
    """50 W for 6 h a day, 3 days, half of the charge: 1 800 Wh; 400 Wh a day: 118.5 W."""
    assert sums(power=50 * 6 / 24)["battery"].value == pytest.approx(1800.0)
    assert sums(power=400 / 24)["panel"].value == pytest.approx(118.5, abs=0.1)


def test_cable():
    """60 W at 12 V through 5 m of 2.5 mm², there and back: 5 A, 3.325 %."""
    found = sums()
    assert found["cable_current"].value == pytest.approx(5.0)
    assert found["cable_share"].value == pytest.approx(3.325, abs=0.01)
    assert found["cable_drop"].value == pytest.approx(0.399, abs=0.001)


def test_heat_of_a_day():
    found = sums(leak=0.52, ambient=25.0, inside=4.0)
    assert found["daily_heat"].value == pytest.approx(262, abs=0.5)


def test_running_power_all_day_is_carried_forward():
    leak, power, running = plain(0.5, 12.5, 60.0)
    slip = design_steps({"daily_energy": 60.0 * 24}, SPEC, leak, power, running)
    assert slip["daily_energy"].value == pytest.approx(300.0)
    assert slip["battery"].value == pytest.approx(60 * 24 * 3 / 0.5)


def test_a_thickness_beyond_reason_breaks_nothing():
    found = design_steps({"foam_plain": 9e4}, SPEC, *plain(0.5, 12.5, 60.0))
    assert np.isfinite(found["leak_back"].value)


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    """A made-up group with a heater run and a steady one."""
    from coldbench.course.makeup import make_up

    made = tmp_path_factory.mktemp("group")
    make_up(made, "g01", 7, ("steady", "heater"), (), {})
    return made


def test_a_made_up_group(folder):
    work = opened("design_sums", folder)
    found = solved(work)
    assert set(found) == {one.name for one in work.card.asked}
    assert outside_its_magnitude(work) == []
    row = work.book.one("box", "daily_energy")
    assert found["daily_energy"].value == pytest.approx(row.value)


def test_its_own_target_and_offset(folder):
    parameters = folder / "parameters.toml"
    before = solved(opened("design_sums", folder))["heat_flow"].value
    parameters.write_text('target = "7 °C"\nambient_offset = "3 K"\n', encoding="utf-8")
    after = solved(opened("design_sums", folder))["heat_flow"].value
    parameters.unlink()
    assert after / before == pytest.approx((28 - 7) / (25 - 4))


def test_a_spec_with_holes_is_refused(folder, tmp_path):
    import shutil

    copy = tmp_path / "copy"
    shutil.copytree(folder, copy)
    sheet = copy / "campaign.toml"
    text = sheet.read_text(encoding="utf-8").replace('sun_hours = "3.5 h"\n', "")
    sheet.write_text(text, encoding="utf-8", newline="\n")
    with pytest.raises(UserError, match="the spec of the next box is not whole"):
        solved(opened("design_sums", copy))


def test_the_spec_stands_on_the_page(folder):
    from coldbench.course.cards.design_sums import spec_told

    _, facts = spec_told(opened("design_sums", folder))
    for part in ("25 °C and 4 °C", "12 V", "80 % may be used", "3.5 h of full sun", "2.5 mm²"):
        assert part in facts.plain()

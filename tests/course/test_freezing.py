"""The freezing card: product loads of a textbook, then a group's own bottle.

Published values with their sources: ``tests/reference/freezing.csv``.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from lab_group import made_up, opened, outside_its_magnitude, plain, published, solved

from coldbench.course.cards.freezing import Substance, Watched, freezing_steps
from coldbench.errors import UserError

VALUES = published("freezing")
DAY = 86400.0


def heats(tonnes: float, start: float, end: float, substance: Substance) -> dict:
    mass, begin, last = plain(1000 * tonnes, start, end)
    return freezing_steps({}, Watched(mass, begin, last), substance)


def test_meat_chilled_frozen_and_cooled_on():
    """90 t a day from 2 to −12 °C through −1 °C; kJ a day are kW."""
    found = heats(90, 2.0, -12.0, Substance(3200.0, 225e3, 1630.0, -1.0))
    assert found["heat_total"].value / DAY == pytest.approx(VALUES["meat_load"], abs=0.5)
    parts = (found[name].value for name in ("heat_above", "heat_latent", "heat_below"))
    assert found["heat_total"].value == pytest.approx(sum(parts))


def test_ice_made_of_water():
    found = heats(20, 15.0, 0.0, Substance(4187.0, 334e3, 2050.0))
    assert found["heat_total"].value / DAY == pytest.approx(VALUES["ice_load"], abs=0.5)
    assert found["heat_below"].value == 0.0


def test_a_kilogram_of_meat():
    """10 to −2 to −18 °C; the text has 2.8e4 where its numbers give 2.67e4 J/kg."""
    found = heats(0.001, 10.0, -18.0, Substance(3220.0, 256e3, 1670.0, -2.0))
    assert 1e3 * found["heat_total"].value == pytest.approx(VALUES["meat_heat"], rel=0.01)


def test_a_bottle_and_water_that_stays_liquid():
    mass, start, end, share, container = plain(1.0, 20.0, -5.0, 0.5, 100.0)
    found = freezing_steps({}, Watched(mass, start, end, container, share))
    assert found["heat_above"].value == pytest.approx((4186 + 100) * 20 / 1e3)
    assert found["heat_latent"].value == pytest.approx(333.5 / 2)
    assert found["heat_below"].value == pytest.approx((0.5 * 2050 + 0.5 * 4186 + 100) * 5 / 1e3)


def test_ratio_and_power_are_carried_forward():
    mass, start, end, plateau, energy = plain(1.0, 20.0, -5.0, 2.0, 100.0)
    seen = Watched(mass, start, end, plateau=plateau, energy=energy)
    own = freezing_steps({}, seen)
    assert own["plateau_power"].value == pytest.approx(333.5e3 / 7200)
    slip = freezing_steps({"heat_latent": 36.0, "heat_above": 0.0}, seen)
    assert slip["plateau_power"].value == pytest.approx(5.0)
    assert slip["heat_ratio"].value == pytest.approx(0.1)


def test_a_made_up_group(tmp_path):
    """Its bottle freezes; the card's times are those of the report."""
    work = opened("freezing", made_up(tmp_path, "freezing"))
    found = solved(work)
    assert set(found) == {one.name for one in work.card.asked}
    assert outside_its_magnitude(work) == []
    for finding, asked in (("plateau_time", "plateau_time"), ("freeze_start", "freeze_start"),
                           ("freeze_energy", "energy_used")):
        row = work.book.one("box", finding)
        assert found[asked].value == pytest.approx(row.value)
        assert found[asked].low <= row.low + 1e-9
    assert found["supercooling"].value > 1.0


def test_a_probe_in_nothing_is_refused(tmp_path):
    folder = made_up(tmp_path, "freezing")
    sheet = folder / "runs" / "freeze.toml"
    text = sheet.read_text(encoding="utf-8")
    start, stop = text.index("[[load]]"), text.index("[[mark]]")
    sheet.write_text(text[:start] + text[stop:], encoding="utf-8", newline="\n")
    with pytest.raises(UserError, match="the load was not described"):
        solved(opened("freezing", folder))

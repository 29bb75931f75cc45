"""The card of the gap to the ideal: textbook machines, then a group's own box.

Published values with their sources: ``tests/reference/vapour.csv``; the refrigerator of the first
law: Y. A. Çengel and M. A. Boles, Thermodynamics: An Engineering Approach, 5th ed. (numbering from
memory), Example 6-3, p. 291.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from lab_group import made_up, opened, outside_its_magnitude, plain, published, solved

from coldbench.course.cards.carnot_gap import carnot_steps
from coldbench.errors import UserError


def test_the_refrigerator_of_the_textbook():
    """360 kJ/min taken in for 2 kW: COP 3, and 480 kJ/min given off."""
    leak, inside, ambient, power = plain(6000 / 20, 4.0, 24.0, 2000.0)
    found = carnot_steps({}, leak, inside, ambient, power)
    assert found["net_cop"].value == pytest.approx(3.0)
    assert found["heat_rejected"].value * 60 / 1000 == pytest.approx(480.0)


@pytest.mark.parametrize(("cold", "hot", "id_", "tolerance"), [
    (0.0, 30.0, "carnot_zero", 0.05), (-5.0, 35.0, "carnot_five", 0.05),
    (4.0, 32.0, "carnot_fridge", 0.001), (-18.0, 32.0, "carnot_freezer", 0.001),
])
def test_ideal_machines(cold, hot, id_, tolerance):
    """Between inside and room, and between the temperatures of the refrigerant alike."""
    leak, inside, ambient, power = plain(1.0, cold, hot, 10.0)
    found = carnot_steps({}, leak, inside, ambient, power, (inside, ambient))
    ideal = published("vapour")[id_]
    assert found["carnot_reservoirs"].value == pytest.approx(ideal, abs=tolerance)
    assert found["carnot_refrigerant"].value == pytest.approx(ideal, abs=tolerance)
    cop = found["net_cop"].value
    assert found["fraction_reservoirs"].value == pytest.approx(cop / ideal, rel=0.01)


def test_a_slip_in_celsius_is_carried_forward():
    leak, inside, ambient, power = plain(0.5, 5.0, 25.0, 10.0)
    found = carnot_steps({"carnot_reservoirs": 0.25}, leak, inside, ambient, power)
    assert found["carnot_reservoirs"].value == pytest.approx(278.15 / 20)
    assert found["fraction_reservoirs"].value == pytest.approx(4.0)


@pytest.fixture(scope="module")
def group(tmp_path_factory) -> Path:
    """A made-up group that measured its heat leak by a heater."""
    from coldbench.course.cards import card_named
    from coldbench.course.makeup import make_up

    folder = tmp_path_factory.mktemp("group")
    make_up(folder, "g01", 7, ("steady", "heater"), card_named("carnot_gap").roles, {})
    return folder


def test_a_group_with_coil_temperatures(group):
    work = opened("carnot_gap", group)
    found = solved(work)
    assert set(found) == {one.name for one in work.card.asked}
    assert outside_its_magnitude(work) == []
    assert found["cold_temperature"].value < 0 < found["hot_temperature"].value
    assert found["fraction_reservoirs"].value < found["fraction_refrigerant"].value < 1
    assert "walls" in found["heat_leak"].note


def test_what_the_report_says_of_the_same_run(group):
    """The report moves the heat leak to the walls of the run, and says so; the card does not."""
    work = opened("carnot_gap", group)
    found, cop = solved(work), work.book.one("box", "cop")
    assert found["mean_power"].value == pytest.approx(work.book.one("box", "mean_power").value)
    moved = float(found["heat_leak"].note.split("would be ")[1].split(" ")[0])
    as_measured = cop.value * found["heat_leak"].value / moved
    assert found["net_cop"].value == pytest.approx(as_measured, rel=0.02)


def test_without_a_heat_leak_the_roster_states_one(tmp_path):
    folder = made_up(tmp_path, "carnot_gap")
    with pytest.raises(UserError, match="the heat leak of the walls is not known"):
        solved(opened("carnot_gap", folder))
    (folder / "parameters.toml").write_text('heat_leak = "0.40 W/K"\n', encoding="utf-8")
    found = solved(opened("carnot_gap", folder))
    assert found["heat_leak"].value == 0.40
    assert found["heat_leak"].note == "stated by the roster"


def test_the_page_shows_coils_as_they_were_read(group, tmp_path):
    from coldbench.course.cards.carnot_gap import sides_told

    (table,) = sides_told(opened("carnot_gap", group))
    assert "readings-circuit" in table.caption
    assert [row[0] for row in table.rows] == ["pressure low", "pressure high", "cold side",
                                              "hot side"]
    from coldbench.course.makeup import make_up

    make_up(tmp_path, "g02", 7, ("steady", "heater"), (), {})
    alone = opened("carnot_gap", tmp_path)
    assert "left open" in sides_told(alone)[0].plain()
    assert "carnot_refrigerant" not in solved(alone)

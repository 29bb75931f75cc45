"""The module card: a data sheet, an operating point and a textbook's couple as a group's work.

Published values with their sources: ``tests/reference/thermoelectric.csv``.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))
from lab_group import made_up, opened, outside_its_magnitude, published, readings, solved
from lab_group import written as write

from coldbench.course.cards.thermoelectric_module import Rows, module_steps
from coldbench.errors import UserError
from coldbench.physics.thermoelectric import Module, operating_point

COOLER = 'name = "Rig"\ntechnology = "thermoelectric"\norigin = "built"\n'
SHEET = ('modules = { count = 1, i_max = "6.0 A", v_max = "15.4 V", dt_max = "68 K", '
         't_hot = "300 K" }\n')
RUN = 'cooler = "box"\nkind = ["steady"]\nstart = 2031-06-14T09:00:00\nambient = "25 °C"\n'
VALUES = published("thermoelectric")
GENERIC = Module(*(VALUES[name] for name in ("seebeck", "resistance", "conductance")))


def measured(module: Module) -> str:
    """What a bench would show of a module: open circuit, three insulated rows, one with heater."""
    rows = []
    for amps, cold, hot in ((0.0, 293.15, 318.15), (1.5, 285.15, 303.15), (3.0, 278.15, 318.15)):
        point = operating_point(module, amps, cold, hot)
        rows += [("probe", {"cold_side": f"{cold - 273.15:.2f} °C",
                            "hot_side": f"{hot - 273.15:.2f} °C"}),
                 ("volts", {"voltage": f"{float(point.voltage):.4f} V"}),
                 ("amps", {"current": f"{amps:.3f} A"})]
        if amps:
            rows.append(("meter", {"heater": f"{float(point.cooling):.3f} W"}))
    return readings(*rows)


def test_a_data_sheet_and_an_operating_point(tmp_path):
    """6.0 A, 15.4 V, 68 K at 300 K; then 3 A between 5 and 45 °C: the whole way from the sheets."""
    text = readings(("probe", {"cold_side": "5.0 °C", "hot_side": "45.0 °C"}),
                    ("amps", {"current": "3.00 A"}))
    work = opened("thermoelectric_module", write(tmp_path, COOLER + SHEET, RUN + text))
    found = solved(work)
    assert found["seebeck"].value / 1e3 == pytest.approx(VALUES["seebeck"], rel=0.001)
    for name in ("resistance", "conductance"):
        assert found[name].value == pytest.approx(VALUES[name], rel=0.001)
        assert "data sheet" in found[name].note
    assert found["cooling"].value == pytest.approx(VALUES["cooling"], abs=0.02)
    assert found["module_power"].value == pytest.approx(VALUES["power"], abs=0.02)
    assert found["module_cop"].value == pytest.approx(VALUES["cop"], abs=0.001)
    assert found["heat_rejected"].value == pytest.approx(VALUES["cooling"] + VALUES["power"],
                                                         abs=0.03)


def test_the_same_module_measured_without_its_data_sheet(tmp_path):
    """Rows made by the handbook's equations lead back to the three properties."""
    folder = write(tmp_path, COOLER, RUN + measured(GENERIC))
    found = solved(opened("thermoelectric_module", folder))
    assert found["seebeck"].value / 1e3 == pytest.approx(VALUES["seebeck"], rel=0.001)
    assert found["resistance"].value == pytest.approx(VALUES["resistance"], rel=0.002)
    assert found["conductance"].value == pytest.approx(VALUES["conductance"], rel=0.005)
    assert found["cooling"].value == pytest.approx(VALUES["cooling"], abs=0.05)
    assert found["conductance"].note == ""
    assert found["conductance"].low < VALUES["conductance"] < found["conductance"].high


def test_the_couple_of_the_textbook():
    """258.15 to 313.15 K: best COP, its current, and the current of most heat."""
    couple = Module(0.0006, VALUES["couple_resistance"],
                    VALUES["couple_product"] / VALUES["couple_resistance"])
    amps = np.array([[0.0], [VALUES["couple_current"]]])
    cold, hot = np.full((2, 1), 258.15), np.full((2, 1), 313.15)
    point = operating_point(couple, amps, cold, hot)
    heater = np.array([[np.nan], [point.cooling[1, 0]]])
    found = module_steps({}, Rows(amps, point.voltage, cold, hot, heater))
    mean = (258.15 + 313.15) / 2
    assert found["merit"].value / mean == pytest.approx(VALUES["couple_merit"], rel=0.001)
    assert found["best_cop"].value == pytest.approx(VALUES["couple_cop"], abs=0.0002)
    assert found["current_best_cop"].value == pytest.approx(VALUES["couple_current"], rel=0.002)
    assert found["current_most_heat"].value == pytest.approx(VALUES["couple_most"], rel=0.003)
    assert found["cooling"].value == pytest.approx(0.1, rel=0.001)
    assert found["module_cop"].value == pytest.approx(VALUES["couple_cop"], abs=0.0002)


def test_the_can_of_the_textbook():
    """0.350 L from 20 to 4 °C in half an hour are 13 W; at a COP of 0.10 they cost 130 W.

    Y. A. Çengel and M. A. Boles, Thermodynamics: An Engineering Approach, 5th ed. (numbering from
    memory), Example 11-6, p. 636.
    """
    from coldbench.course.card import with_draws
    from coldbench.course.cards.freezing import Substance, Watched, freezing_steps

    mass, start, end = (with_draws(one, None) for one in (0.350, 20.0, 4.0))
    can = freezing_steps({}, Watched(mass, start, end), Substance(4180.0, 0.0, 0.0, 4.0))
    assert can["heat_total"].value == pytest.approx(23.4, abs=0.05)
    cooling = 1e3 * can["heat_total"].value / 1800
    assert cooling == pytest.approx(13, abs=0.05)
    amps, cold, hot = (np.full((1, 1), one) for one in (3.0, 277.15, 303.15))
    found = module_steps({"cooling": cooling, "module_power": cooling / 0.10},
                         Rows(amps, amps, cold, hot, amps), GENERIC)
    assert found["module_cop"].value == pytest.approx(0.10)
    assert found["heat_rejected"].value == pytest.approx(13 + 130, abs=0.5)


def test_the_groups_own_current_chooses_the_working_point(tmp_path):
    folder = write(tmp_path, COOLER, RUN + measured(GENERIC))
    (folder / "parameters.toml").write_text('current = "1.4 A"\n', encoding="utf-8")
    found = solved(opened("thermoelectric_module", folder))
    point = operating_point(GENERIC, 1.5, 285.15, 303.15)
    assert found["cooling"].value == pytest.approx(float(point.cooling), abs=0.05)


def test_no_working_point_without_heat():
    """The row next to the group's current takes up no heat: the heated one stands for it."""
    amps = np.array([[0.0], [2.0], [3.0]])
    cold, hot = np.full((3, 1), 280.0), np.full((3, 1), 310.0)
    volts = GENERIC.seebeck * (hot - cold) + amps * GENERIC.resistance
    heater = np.array([[np.nan], [0.0], [5.0]])
    found = module_steps({}, Rows(amps, volts, cold, hot, heater), current=2.0)
    point = operating_point(GENERIC, 3.0, 280.0, 310.0)
    assert found["module_power"].value == pytest.approx(float(point.power), rel=1e-6)


def test_readings_that_tell_nothing_are_refused(tmp_path):
    text = readings(("probe", {"cold_side": "5.0 °C", "hot_side": "45.0 °C"}),
                    ("amps", {"current": "3.00 A"}))
    with pytest.raises(UserError, match="do not tell the module's properties"):
        solved(opened("thermoelectric_module", write(tmp_path, COOLER, RUN + text)))


def test_a_slip_is_carried_forward(tmp_path):
    work = opened("thermoelectric_module", write(tmp_path, COOLER, RUN + measured(GENERIC)))
    own, carried = solved(work), solved(work, conductance=0.0)
    through = own["conductance"].value * 40
    assert carried["cooling"].value == pytest.approx(own["cooling"].value + through, rel=1e-6)
    assert carried["module_power"].value == pytest.approx(own["module_power"].value)
    assert solved(work, cooling=10.0, module_power=20.0)["module_cop"].value == 0.5


def test_a_made_up_group_is_plausible(tmp_path):
    work = opened("thermoelectric_module", made_up(tmp_path, "thermoelectric_module"))
    found = solved(work)
    assert set(found) == {one.name for one in work.card.asked}
    assert outside_its_magnitude(work) == []
    assert found["current_best_cop"].value < found["current_most_heat"].value

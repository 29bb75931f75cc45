"""Pull-down by construction: times, energies, heat, and what is said where there is none."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.analysis.pull_down import pull_down
from coldbench.physics.water import CP_WATER, SPECIFIC_HEAT

START, RATE, WATTS = 24.0, 4.0, 50.0  # °C, K/h, W: 4 °C after 5 h
CANS = [{"count": 6, "water": "330 mL", "container": {"material": "aluminium", "mass": "13 g"}}]


def run(made, until=8.0, gap=None, power_gap=None, error=0.5, power_error=1.0, counter=False,
        step=60.0):
    hours = made.every(step, until)
    kept = made.without(hours, gap) if gap else hours
    metered = made.without(hours, power_gap) if power_gap else hours
    traces = [
        made.trace("air", kept, START - RATE * kept, error=error),
        made.trace("load", kept, START - RATE * kept / 2, error=error),
        made.trace("power", metered, np.full(len(metered), WATTS), error=power_error,
                   metered_at="dc"),
        made.trace("ambient", hours, np.full(len(hours), 25.0), error=0.5),
    ]
    if counter:
        traces.append(made.trace("energy", metered, WATTS * metered, error=0.0, metered_at="dc",
                                 counter_step=0.1))
    return made.record(*traces)


def rows_of(made, record, targets=("12 °C", "4 °C", "-18 °C"), **sheet):
    findings, _ = pull_down(made.context(record, targets=targets, **sheet))
    return {(f.finding, f.at): f for f in findings}


def test_times_and_energies(made):
    rows = rows_of(made, run(made))
    for at, hours in (("air<=12 °C", 3.0), ("air<=4 °C", 5.0), ("load<=12 °C", 6.0)):
        time, energy = rows["pull_down_time", at], rows["pull_down_energy", f"{at} dc"]
        assert (time.basis, time.value) == ("measured", pytest.approx(hours))
        assert time.low < hours < time.high
        assert energy.value == pytest.approx(WATTS * hours)
        assert energy.low < energy.value < energy.high
        # Steady power: energy's interval is at least that of the time.
        assert energy.high - energy.low > WATTS * (time.high - time.low) * 0.99
        assert time.conditions["ambient"] == pytest.approx(25.0)
        assert time.conditions["start"] == pytest.approx(START)


def test_energy_follows_time_draw_by_draw(made):
    rows = rows_of(made, run(made, power_error=0.0))
    time, energy = rows["pull_down_time", "air<=4 °C"], rows["pull_down_energy", "air<=4 °C dc"]
    assert np.corrcoef(time.draws, energy.draws)[0, 1] > 0.99


def test_not_reached(made):
    rows = rows_of(made, run(made))
    time = rows["pull_down_time", "air<=-18 °C"]
    assert (time.basis, time.value, time.low, time.high) == ("not reached", None, 8.0, None)
    assert time.note.startswith("not reached in 8.0 h; coldest ")
    energy = rows["pull_down_energy", "air<=-18 °C dc"]
    assert (energy.basis, energy.value) == ("not reached", None)
    assert ("load_heat", "load<=-18 °C") not in rows


def test_started_below(made):
    rows = rows_of(made, run(made), targets=("30 °C",))
    assert rows["pull_down_time", "air<=30 °C"].basis == "not applicable"
    assert ("pull_down_energy", "air<=30 °C dc") not in rows


def test_a_crossing_in_a_gap(made):
    rows = rows_of(made, run(made, gap=(4.5, 5.5)))
    time, energy = rows["pull_down_time", "air<=4 °C"], rows["pull_down_energy", "air<=4 °C dc"]
    assert (time.basis, time.value) == ("bounded", None)
    assert time.low <= 4.5
    assert time.high >= 5.5
    assert time.note == "between 4.40 h and 5.60 h (gap in the log)"
    assert (energy.basis, energy.value) == ("bounded", None)
    assert energy.low <= WATTS * 4.5
    assert energy.high >= WATTS * 5.5


def test_a_gap_in_the_power_before_the_crossing_bounds_the_energy(made):
    rows = rows_of(made, run(made, power_gap=(2.0, 3.0)))
    assert rows["pull_down_time", "air<=4 °C"].basis == "measured"
    energy = rows["pull_down_energy", "air<=4 °C dc"]
    assert (energy.basis, energy.note) == ("bounded", "gap in the power log")
    assert energy.low <= WATTS * 4
    assert energy.high >= WATTS * 5
    assert energy.coverage == pytest.approx(80.0)


def test_a_counter_through_the_gap_gives_the_energy(made):
    rows = rows_of(made, run(made, power_gap=(2.0, 3.0), counter=True))
    energy = rows["pull_down_energy", "air<=4 °C dc"]
    assert (energy.basis, energy.note) == ("measured", "energy from the counter")
    assert energy.value == pytest.approx(WATTS * 5, abs=0.01)
    assert energy.low < energy.value < energy.high
    assert energy.coverage == 100.0


def test_heat_of_load_and_containers(made):
    rows = rows_of(made, run(made), load=CANS)
    heat = rows["load_heat", "load<=12 °C"]
    expected = 6 * (0.33 * CP_WATER + 0.013 * SPECIFIC_HEAT["aluminium"]) * 12 / 3600
    assert heat.value == pytest.approx(expected)
    assert heat.low < expected < heat.high
    ratio = rows["load_heat_ratio", "load<=12 °C dc"]
    assert ratio.value == pytest.approx(expected / (WATTS * 6))
    assert ratio.note == "load heat for each unit of electrical energy, not a COP"


def test_the_footings_start(made):
    rows = rows_of(made, run(made), footing={"ambient": "25 °C", "inside": "4 °C",
                                             "start": "20 °C"})
    time = rows["pull_down_time", "air<=4 °C from footing start"]
    assert time.value == pytest.approx(4.0)  # 20 to 4 °C
    # The probe's offset moves both ends alike and cancels: only the log's step stays.
    assert time.high - time.low < 2.5 * 60 / 3600


@pytest.mark.parametrize(("step", "start"), [(60.0, 24.0), (600.0, 24.0)])
def test_the_start_is_the_first_reading(made, step, start):
    rows = rows_of(made, run(made, step=step))
    assert rows["pull_down_time", "air<=4 °C"].conditions["start"] == pytest.approx(start)


def test_without_stated_errors_there_are_no_intervals(made):
    rows = rows_of(made, run(made, error=None, power_error=None))
    for row in (rows["pull_down_time", "air<=4 °C"], rows["pull_down_energy", "air<=4 °C dc"]):
        assert (row.low, row.high, row.draws, row.note) == (None, None, None, "error not stated")
        assert row.value is not None

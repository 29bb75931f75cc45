"""Freezing curves by construction: their start, plateau and end come out as put in."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.analysis.freeze import freeze
from coldbench.analysis.freezing import find_freezing

REACHES, ENDS = 3.0, 9.0  # h: the centre comes to the plateau, and leaves it


def centre(made, hours, level=0.0, slope=0.0, dip=None, jump=3.5):
    """20 °C to the plateau in a line; below 0 °C until the jump; down again after the end."""
    fall = 20 - 20 * hours / REACHES
    plateau = level + slope * (hours - REACHES)
    if dip is not None:
        down = np.maximum(fall, -dip)
        y = np.where(hours < jump, down, plateau)
    else:
        y = np.where(hours < REACHES, np.maximum(fall, level), plateau)
    last = level + slope * (ENDS - REACHES)
    return np.where(hours > ENDS, last - 4 * (hours - ENDS), y)


def run(made, until=11.0, step=60.0, gap=None, error=0.5, **shape):
    hours = made.every(step, until)
    if gap:
        hours = made.without(hours, gap)
    return made.trace("load", hours, centre(made, hours, **shape), error=error, resolution=0.01)


def hours_of(made, instant):
    return (instant - made.zero) / 3600


def found(made, trace):
    return find_freezing(trace, made.zero, trace.t[-1])


def test_without_supercooling(made):
    freezing = found(made, run(made))
    # First sample within 0.5 K of the plateau: 4.5 min before the line ends.
    assert hours_of(made, freezing.start) == pytest.approx(REACHES - 0.075, abs=1 / 60)
    # 0.5 K below the plateau at 4 K/h.
    assert hours_of(made, freezing.end) == pytest.approx(ENDS + 0.125, abs=1e-3)
    assert freezing.level == pytest.approx(0.0, abs=0.01)
    assert freezing.slope == pytest.approx(0.0, abs=0.02)
    assert freezing.dip is None


@pytest.mark.parametrize("dip", [1.0, 3.0, 6.0])
def test_with_supercooling_it_starts_with_the_jump(made, dip):
    freezing = found(made, run(made, dip=dip, jump=4.0))
    assert hours_of(made, freezing.start) == pytest.approx(4.0, abs=1 / 60)
    assert freezing.dip == pytest.approx(-dip, abs=0.01)
    assert hours_of(made, freezing.end) == pytest.approx(ENDS + 0.125, abs=1e-3)


@pytest.mark.parametrize("level", [-0.4, 0.3])
def test_a_probe_that_is_off_moves_the_level_not_the_times(made, level):
    freezing = found(made, run(made, level=level))
    assert freezing.level == pytest.approx(level, abs=0.05)
    assert hours_of(made, freezing.end) == pytest.approx(ENDS + 0.125, abs=5e-3)


def test_a_sloping_plateau_is_told(made):
    context = made.context(
        made.record(run(made, slope=-0.13, error=1.0)), kind=["freeze"],
        load=[{"count": 2, "water": "0.5 kg"}],
    )
    findings, notices, freezing = freeze(context)
    assert freezing.slope == pytest.approx(-0.13, abs=0.02)
    assert [n.code for n in notices] == ["FREEZE-SLOPE"]
    plateau = next(f for f in findings if f.finding == "plateau_time")
    assert plateau.note.startswith("sloping plateau, −0.1")


def test_a_plateau_beyond_the_probes_limit_is_told(made):
    record = made.record(run(made, level=-0.8, error=0.3))
    _, notices, freezing = freeze(made.context(record, kind=["freeze"]))
    assert freezing.level == pytest.approx(-0.8, abs=0.05)
    assert [n.code for n in notices] == ["FREEZE-LEVEL"]


def test_water_that_never_froze(made):
    hours = made.every(60, 6)
    record = made.record(made.trace("load", hours, np.maximum(20 - 4 * hours, 2.0), error=0.5))
    findings, _, freezing = freeze(made.context(record, kind=["freeze"]))
    assert freezing is None
    assert [(f.finding, f.basis) for f in findings] == [("freeze_time", "not reached")]
    assert findings[0].low == pytest.approx(6.0)
    assert findings[0].note == "did not freeze in 6.0 h; coldest 2.0 °C"


def test_a_plateau_without_an_end(made):
    record = made.record(run(made, until=7.0))
    findings, _, _ = freeze(made.context(record, kind=["freeze"]))
    rows = {f.finding: f for f in findings}
    assert rows["freeze_start"].value == pytest.approx(REACHES - 0.075, abs=1 / 60)
    assert (rows["freeze_time"].basis, rows["freeze_time"].low) == ("not reached", 7.0)
    assert rows["freeze_time"].note == "not frozen through in 7.0 h"


def test_an_end_in_a_gap_is_bounded(made):
    record = made.record(run(made, gap=(8.5, 9.5)))
    findings, _, _ = freeze(made.context(record, kind=["freeze"]))
    row = next(f for f in findings if f.finding == "freeze_time")
    assert (row.basis, row.value) == ("bounded", None)
    assert row.low <= ENDS + 0.125 <= row.high


def test_times_energy_and_capacity_of_a_run(made):
    hours = made.every(60, 11)
    record = made.record(
        run(made), made.trace("power", hours, np.full(len(hours), 40.0), metered_at="dc", error=1.0)
    )
    context = made.context(
        record, kind=["freeze"], load=[{"count": 2, "water": "0.5 kg"}],
        freeze={"drained": "0.0 kg", "total": "1.0 kg"},
    )
    findings, notices, _ = freeze(context)
    rows = {f.finding: f for f in findings}
    assert notices == []
    assert rows["freeze_time"].value == pytest.approx(ENDS + 0.125, abs=5e-3)
    assert rows["plateau_time"].value == pytest.approx(
        rows["freeze_time"].value - rows["freeze_start"].value)
    assert rows["freeze_energy"].value == pytest.approx(40 * rows["freeze_time"].value)
    assert rows["freezing_capacity"].value == pytest.approx(24 * 1.0 / rows["freeze_time"].value)
    assert rows["freezing_capacity"].at == "20 to −0.5 °C"
    assert rows["freeze_energy_per_kg"].value == pytest.approx(rows["freeze_energy"].value / 1.0)
    assert rows.pop("ice_fraction").value == 1.0
    for row in rows.values():
        assert row.low < row.value <= row.high


def test_a_load_of_which_some_stayed_water_bounds_what_is_said_of_all_of_it(made):
    hours = made.every(60, 11)
    record = made.record(
        run(made), made.trace("power", hours, np.full(len(hours), 40.0), metered_at="dc", error=1.0)
    )
    context = made.context(
        record, kind=["freeze"],
        load=[{"count": 2, "water": "0.25 kg"}, {"count": 1, "water": "0.5 kg"}],
        freeze={"drained": "0.25 kg", "total": "1.0 kg"},
    )
    findings, notices, _ = freeze(context)
    rows = {f.finding: f for f in findings}
    assert rows["ice_fraction"].value == pytest.approx(0.75)
    assert [n.code for n in notices] == ["FREEZE-UNLIKE"]
    assert "2 × 0.25 kg, 1 × 0.5 kg" in notices[0].message
    hours_taken, energy = rows["freeze_time"].value, rows["freeze_energy"].value
    capacity, each = rows["freezing_capacity"], rows["freeze_energy_per_kg"]
    # Three quarters froze in the whole run: no more than that in the probe's time.
    assert (capacity.basis, capacity.value, capacity.low) == ("bounded", None, None)
    assert 24 * 0.75 / hours_taken < capacity.high < 1.05 * 24 * 0.75 / hours_taken
    assert (each.basis, each.value, each.high) == ("bounded", None, None)
    assert 0.95 * energy / 0.75 < each.low < energy / 0.75


def test_a_probe_at_the_wall_is_not_called_unfrozen_water(made):
    hours = made.every(60, 8)
    record = made.record(made.trace("load", hours, 20 - 4 * hours, error=0.5))
    findings, notices, freezing = freeze(made.context(record, kind=["freeze"]))
    assert freezing is None
    assert [(f.finding, f.basis) for f in findings] == [("freeze_time", "not measured")]
    assert [n.code for n in notices] == ["FREEZE-NONE"]
    assert "−12.0 °C at its coldest" in notices[0].message


def test_an_end_read_beside_the_last_water_is_told(made):
    hours = made.every(60, 13)
    held = np.where(hours > 11, -1.0 - 6 * (hours - 11), -0.5 * (hours - ENDS))
    y = np.where(hours > ENDS, held, centre(made, hours))
    record = made.record(made.trace("load", hours, y, error=0.5, resolution=0.01))
    _, notices, _ = freeze(made.context(record, kind=["freeze"]))
    assert [n.code for n in notices] == ["FREEZE-SURFACE"]


def test_a_fall_in_a_gap_says_nothing_of_the_probes_place(made):
    """The plateau lasts into the gap: a line across it falls more slowly than the water did."""
    hours = made.without(made.every(60, 14), (9.2, 10.5))
    cooled = -15 * (1 - np.exp(-(hours - 10.4) / 1.5))
    y = np.where(hours > 10.4, cooled, np.where(hours > REACHES, 0.0, centre(made, hours)))
    record = made.record(made.trace("load", hours, y, error=0.5, resolution=0.01))
    findings, notices, _ = freeze(made.context(record, kind=["freeze"]))
    assert "bounded" in {f.basis for f in findings}
    assert notices == []


def test_a_body_frozen_through_nears_the_air_ever_more_slowly(made):
    hours = made.every(60, 14)
    cooled = -15 * (1 - np.exp(-(hours - ENDS) / 1.5))
    y = np.where(hours > ENDS, cooled, centre(made, hours))
    record = made.record(made.trace("load", hours, y, error=0.5, resolution=0.01))
    assert freeze(made.context(record, kind=["freeze"]))[1] == []


def test_a_load_put_in_later_has_its_own_zero(made):
    record = made.record(run(made), marks=[(1.0, "load in")])
    findings, _, freezing = freeze(made.context(record, kind=["freeze"]))
    assert hours_of(made, freezing.zero) == pytest.approx(1.0)
    row = next(f for f in findings if f.finding == "freeze_time")
    assert row.value == pytest.approx(ENDS + 0.125 - 1.0, abs=5e-3)


def test_no_probe_in_the_load(made):
    hours = made.every(60, 6)
    record = made.record(made.trace("air", hours, hours))
    findings, _, _ = freeze(made.context(record, kind=["freeze"]))
    assert [(f.basis, f.note) for f in findings] == [
        ("not measured", "needs a load probe at the centre")]

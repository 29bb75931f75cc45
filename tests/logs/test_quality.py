"""Codes, counters, spikes, stuck probes, and readings that should agree."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldbench.logs.agree import mass_without_jumps, tare_jumps
from coldbench.logs.codes import error_codes
from coldbench.logs.counter import repaired_counter
from coldbench.logs.spikes import spikes, stuck

HOUR = 3600.0


@pytest.mark.parametrize(("values", "unit", "bad"), [
    ([85.0, 24.0, 23.9], "°C", [0]),  # power-on value of a digital probe
    ([24.0, -127.0, 23.9], "°C", [1]),
    ([24.0, -127.0, -127.0, 127.94, 23.9], "°C", [1, 2, 3]),
    ([24.0, 23.9, 9999.0], "°C", [2]),
    ([75.2, 185.0, 75.0], "°F", [1]),  # 85 °C through a hub that writes °F
    ([75.2, -196.6, 75.0], "°F", [1]),  # −127 °C likewise
    ([24.0, 0.0, 23.9], "°C", [1]),
    ([80.0, 84.0, 85.0, 84.5], "°C", []),  # a hot side passes through 85 °C
    ([84.9, 85.0, 85.0, 85.0, 85.1], "°C", []),
    ([24.0, 12.0, *[0.0] * 40, 12.0, 24.0], "°C", []),  # a probe put into ice water and out
    ([3.0, 0.0, 2.9], "°C", []),  # no jump of 5 K: it may be true
    ([-127.0, -127.0], "°C", []),  # nothing to compare with: refused elsewhere
    ([45.0, 9999.0, 44.0], "W", [1]),
    ([45.0, 999.0, 950.0, 44.0], "W", []),  # a heater of a kilowatt
    ([np.nan, 24.0, np.nan, -127.0, np.nan, 24.1], "°C", [3]),
    ([24.0, 23.0], "°C", []),
])
def test_codes_are_dropped_only_where_they_jump(values, unit, bad):
    assert np.flatnonzero(error_codes(np.array(values), unit)).tolist() == bad


def counter(y, most=100.0, range_wh=None, step=1.0, hours=1.0):
    y = np.array(y, float)
    return repaired_counter(np.arange(len(y)) * hours * HOUR, y, most, range_wh, step)


def test_a_reset_hides_at_most_what_the_power_allows():
    found = counter([500, 550, 20, 70])
    (broken,) = found.breaks
    assert (broken.what, broken.low, broken.high) == ("reset", 0.0, 101.0)
    assert counter([5000, 5050, 20, 70]).breaks[0].low == 20.0  # it began again near 0
    assert found.y.tolist() == [0, 50, 50, 100]


def test_a_count_that_comes_back_is_no_use_of_a_lifetime():
    found = counter([90_000, 90_050, 0, 40, 90_080, 90_130])
    assert [b.what for b in found.breaks] == ["reset", "return"]
    assert found.y[-1] == 50 + 40 + 50
    assert found.y[-1] + sum(b.high - b.low for b in found.breaks) < 400


def test_a_rollover_at_a_known_range_is_exact():
    found = counter([9_900, 9_960, 20, 80], range_wh=10_000)
    assert (found.breaks, len(found.rollovers)) == ((), 1)
    assert found.y.tolist() == [0, 60, 120, 180]


def test_a_fall_from_below_half_of_the_range_is_a_reset():
    assert [b.what for b in counter([400, 450, 0], range_wh=1000).breaks] == ["reset"]


def test_a_fall_that_looks_like_a_rollover_is_asked_about():
    assert counter([9_990, 9_999, 30], most=100).rolls_at == 10_000
    assert counter([5_000, 5_030, 30], most=100).rolls_at == 0


def test_a_rise_that_no_power_explains():
    found = counter([0, 50, 5_000, 5_050])
    assert [(b.what, b.low, b.high) for b in found.breaks] == [("jump", 0.0, 101.0)]


@given(st.lists(st.floats(0, 80), min_size=2, max_size=40), st.integers(1, 38),
       st.booleans())
def test_a_reset_anywhere_never_loses_the_truth(flow, at, back):
    """True energy lies between the count and the count plus what its breaks leave open."""
    true = np.concatenate([[0.0], np.cumsum(flow)])
    at = min(at, len(true) - 1)
    shown = 70_000 + true
    shown[at:] -= shown[at]
    if back and at + 2 < len(shown):
        shown[at + 2 :] = 70_000 + true[at + 2 :]
    found = counter(shown, most=100.0, step=1.0)
    low = found.y[-1]
    high = low + sum(b.high - b.low for b in found.breaks)
    assert low - 1e-6 <= true[-1] <= high + 1e-6
    assert (np.diff(found.y) >= 0).all()


def test_spikes_are_found_one_by_one_and_steps_are_none():
    y = np.full(60, 4.0) + 0.1 * (np.arange(60) % 2)
    y[10], y[30:33] = 31.0, -20.0
    assert spikes(y).tolist() == [10, 30]
    assert spikes(np.concatenate([np.full(20, 24.0), np.full(20, 4.0)])).tolist() == []
    y[40:50] = 30.0  # ten samples are an event
    assert spikes(y).tolist() == [10, 30]


def test_a_stuck_probe_and_a_coarse_one():
    t = np.arange(600) * 60.0
    moving = np.round(4 + np.sin(t / 600), 1)
    held = moving.copy()
    held[200:500] = held[200]
    assert stuck(t, moving) is None
    begin, end = stuck(t, held)
    assert end - begin >= 299 * 60
    coarse = np.round(4 + 4 * np.sin(t / 6000))
    assert stuck(t, coarse) is None


def test_a_scale_that_is_emptied():
    grams = np.cumsum(np.full(100, 2.0))
    grams[60:] -= 110
    kilograms = grams / 1000
    first, size = tare_jumps(kilograms)
    assert first.tolist() == [60] and size.tolist() == pytest.approx([-0.108])
    assert mass_without_jumps(kilograms)[-1] - kilograms[0] == pytest.approx(0.196)


SHEET = ('start = 2031-06-14T09:00:00\n\n[[log]]\nfile = "logs/a.csv"\ntime = { column = "time" }\n'
         'metered_at = "dc"\n[log.columns]\n')


def rows(**columns) -> str:
    count = len(next(iter(columns.values())))
    times = [str(np.datetime64("2031-06-14T09:00") + i * np.timedelta64(5, "m")) for i in
             range(count)]
    lines = ["time," + ",".join(columns)]
    lines += [",".join([t, *(f"{c[i]:.3f}" for c in columns.values())])
              for i, t in enumerate(times)]
    return "\n".join(lines) + "\n"


def codes(record) -> list[str]:
    return [notice.code for notice in record.notices]


def test_counter_and_power_apart_are_told_with_both_figures(bench):
    power = np.full(100, 50.0)
    energy = np.arange(100) * 50 / 12
    sheet = SHEET + 'power_W = "power"\nE_Wh = "energy"\n'
    assert codes(bench.record({"a.csv": rows(power_W=power, E_Wh=energy * 1.02)}, sheet)) == []
    record = bench.record({"a.csv": rows(power_W=power, E_Wh=energy * 1.05)}, sheet)
    (notice,) = record.notices
    assert notice.code == "LOG-COUNTER-APART"
    assert "412.5 Wh" in notice.message and "433.1 Wh" in notice.message


def test_probes_that_look_swapped_are_asked_about(bench):
    air, room = np.linspace(25, 4, 100), np.full(100, 25.0) + 0.1 * (np.arange(100) % 2)
    sheet = SHEET + 'a_C = "air"\nr_C = "ambient"\n'
    assert codes(bench.record({"a.csv": rows(a_C=air, r_C=room)}, sheet)) == []
    record = bench.record({"a.csv": rows(a_C=room, r_C=air)}, sheet)
    assert codes(record) == ["LOG-SWAPPED"]
    assert record.notices[0].message.count("?") == 1


def test_an_energy_across_a_reset_has_bounds(bench):
    from coldbench.analysis.energy import EnergyMeter

    counter = np.arange(100) * 50 / 12 + 80_000
    counter[50:] -= counter[50]
    sheet = SHEET + 'E_Wh = "energy"\n'
    record = bench.record({"a.csv": rows(E_Wh=counter)}, sheet)
    t = record.traces["energy"].t
    meter = EnergyMeter.of(record)
    true = 99 * 50 / 12
    across = meter.between(t[0], t[-1])
    assert across.low[0] <= true and not np.isfinite(across.high[0])  # nothing bounds the power
    before = meter.between(t[0], t[40])
    assert before.low[0] == before.high[0] == pytest.approx(40 * 50 / 12, abs=1e-3)


def message(record, code: str) -> str:
    (found,) = (notice for notice in record.notices if notice.code == code)
    assert found.severity == "doubt" and found.cooler == "box"
    return found.message


def test_swapped_probes_come_with_the_lines_that_mend_it(bench):
    air, room = np.linspace(25, 4, 100), np.full(100, 25.0) + 0.1 * (np.arange(100) % 2)
    sheet = SHEET + '"a C" = { role = "air", unit = "°C" }\nr_C = "ambient"\n'
    log = rows(a_C=room, r_C=air).replace("a_C", "a C", 1)
    told = message(bench.record({"a.csv": log}, sheet), "LOG-SWAPPED")
    assert '"a C" = { role = "ambient", … }' in told and 'r_C = "air"' in told


def test_a_lid_left_open_for_an_hour_does_not_look_like_swapped_probes(bench):
    air = np.linspace(25, 4, 100)
    air[80:92] = 60.0
    sheet = SHEET + 'a_C = "air"\nr_C = "ambient"\n'
    room = np.full(100, 25.0) + 0.1 * (np.arange(100) % 2)
    assert "LOG-SWAPPED" not in codes(bench.record({"a.csv": rows(a_C=air, r_C=room)}, sheet))


def test_a_stuck_probe_is_told_where_something_else_moves(bench):
    moving = 4 + np.sin(np.arange(200) / 5)
    held = moving.copy()
    held[60:160] = held[60]
    sheet = SHEET + 'a_C = "air"\nl_C = "load"\n'
    told = message(bench.record({"a.csv": rows(a_C=moving, l_C=held)}, sheet), "LOG-STUCK")
    assert "load" in told and "8.2 h" in told and "melting ice" in told
    both = rows(a_C=held, l_C=held)  # nothing moved meanwhile: the logger, or a still room
    assert codes(bench.record({"a.csv": both}, sheet)) == []


def test_zeros_that_may_be_a_bath_or_a_code_are_kept_and_asked_about(bench):
    air = 8 + np.sin(np.arange(200) / 5)
    air[60:90] = 0.0
    sheet = SHEET + 'a_C = "air"\n'
    record = bench.record({"a.csv": rows(a_C=air)}, sheet)
    assert len(record.traces["air"].t) == 200
    told = message(record, "LOG-CODE-KEPT")
    assert "?" in told and "30 readings of 0 °C" in told and "2031-06-14 14:00" in told


def test_a_dropped_code_is_a_repair(bench):
    air = 8 + np.sin(np.arange(50) / 5)
    air[[10, 20]] = 85.0, -127.0
    record = bench.record({"a.csv": rows(a_C=air)}, SHEET + 'a_C = "air"\n')
    assert len(record.traces["air"].t) == 48
    (repair,) = record.files[0].repairs
    assert repair.startswith("2 values of “a_C” dropped")


def test_a_rollover_is_asked_about_with_the_line_that_answers(bench):
    counter = (9_999_800 + np.arange(100) * 50 / 12) % 1e7
    sheet = SHEET + 'E_Wh = { role = "energy", instrument = "meter" }\n'
    meter = '[instruments.meter]\nmeasures = "energy"\ncounter_step = "1 Wh"\n'
    told = message(bench.record({"a.csv": rows(E_Wh=counter)}, sheet, meter), "LOG-COUNTER-RANGE")
    line = 'counter_range = "10000 kWh"'
    assert line in told
    record = bench.record({"a.csv": rows(E_Wh=counter)}, sheet, f"{meter}{line}\n")
    assert codes(record) == ["LOG-COUNTER-ROLLED"]
    count = record.traces["energy"]
    assert count.broken == () and count.y[-1] - count.y[0] == pytest.approx(99 * 50 / 12, abs=0.01)


def test_energy_of_intervals_declared_as_a_counter_is_asked_about(bench):
    each = 4 + np.round(np.sin(np.arange(100)), 1)
    record = bench.record({"a.csv": rows(E_Wh=each)}, SHEET + 'E_Wh = "energy"\n')
    assert codes(record) == ["LOG-COUNTER-FALLS"]
    assert 'bucket = "1 h"' in message(record, "LOG-COUNTER-FALLS")


def test_jumps_of_a_scale_are_told_with_their_times(bench):
    mass = np.cumsum(np.full(100, 0.002))
    mass[60:] -= 0.11
    record = bench.record({"a.csv": rows(m_kg=mass)}, SHEET + 'm_kg = "mass"\n')
    assert "14:00 (-108 g)" in message(record, "LOG-TARE").replace("−", "-")


@pytest.mark.parametrize(("grams", "jumps"), [
    (np.where(np.arange(100) < 50, 5000.0, 4000.0), [50]),  # nothing else moves
    (np.floor(np.arange(720) * 2.0 / 50) * 50, []),  # a scale that ticks by 50 g
    (np.where(np.arange(200) == 80, 2400, np.where(np.arange(200) > 80, 1900, 3000.0))
     + np.arange(200) % 2, [80]),  # seen half-way
    (np.cumsum(np.random.default_rng(1).normal(2.0, 1.0, 300)), []),
])
def test_jumps_of_scales(grams, jumps):
    assert tare_jumps(grams / 1000)[0].tolist() == jumps


def test_few_ticks_of_a_coarse_scale_are_no_jumps_where_its_step_is_known():
    kilograms = np.floor(np.arange(720) * 0.3 / 50) * 0.05
    assert len(tare_jumps(kilograms)[0]) == 4  # nobody can tell
    assert len(tare_jumps(kilograms, 0.05)[0]) == 0
    assert mass_without_jumps(kilograms, 0.05)[-1] == pytest.approx(0.2)


def test_spikes_of_unlike_samples_and_at_the_ends():
    y = np.full(60, 4.0)
    y[10:12] = 31.0, -20.0  # away to both sides
    y[20] = y[22] = 31.0  # two, with one good sample between
    y[40:44] = 31.0  # four samples are an event
    y[-1] = 31.0  # no neighbour to agree with
    assert spikes(y).tolist() == [10, 20, 22]


def test_a_silence_between_equal_values_is_no_stuck_probe():
    t = np.concatenate([np.arange(60), 600 + np.arange(60)]) * 60.0
    y = np.concatenate([np.round(4 + np.sin(np.arange(40)), 1), np.full(40, 7.0),
                        np.round(4 + np.sin(np.arange(40)), 1)])
    assert stuck(t, y) is not None
    assert stuck(t, y, 150.0) is None


def test_limits_of_readings_and_of_analyses_have_names_of_their_own():
    """The provenance writes both into one table."""
    from dataclasses import fields

    from coldbench.analysis.limits import LIMITS
    from coldbench.logs.limits import QUALITY

    assert not {f.name for f in fields(LIMITS)} & {f.name for f in fields(QUALITY)}
    assert all(f.metadata["what"] and f.metadata["unit"] for f in fields(QUALITY))


def test_counter_and_power_are_compared_only_where_both_speak():
    from coldbench.logs.agree import counter_against_power
    from coldbench.logs.counter import Break
    from coldbench.logs.record import Trace

    t = np.arange(0, 4 * HOUR, 60.0)
    true = np.where(t < 2 * HOUR, 50.0, 80.0)
    count = np.append(0.0, np.cumsum(true[:-1]) / 60)
    silent = (t > 1800) & (t < 3600)  # 50 W for half an hour that the power does not show
    power = Trace("power", t[~silent], true[~silent], 150.0, 60.0, "p", metered_at="dc")
    late = (t > 3 * HOUR) & (t < 3.5 * HOUR)  # nor does the counter show 80 W for another
    broken = Break(2 * HOUR, 2 * HOUR + 60.0, 0.0, 5.0, "jump")
    counter = Trace("energy", t[~late], count[~late] + 100.0 * (t[~late] > 2 * HOUR), 150.0, 60.0,
                    "c", counter_step=0.01, broken=(broken,))
    by_power, counted = counter_against_power(power, counter)
    assert by_power == pytest.approx(counted)
    # 4 h less two silences of half an hour, the broken minute, and the last one.
    assert by_power == pytest.approx(50 * 1.5 + 80 * (1.5 - 2 / 60), abs=0.01)

"""Offsets and clock shifts of same-place checks against what was put in."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import numpy as np
import pytest

from coldbench import draws
from coldbench.analysis.check import check_of
from coldbench.analysis.clock_step import onset
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.quiet import AS_DONE, to_add
from coldbench.analysis.same_place import offsets, shared_part
from coldbench.errors import UserError
from coldbench.logs import read_runs
from coldbench.sheets import read_campaign

sys.path.insert(0, str(Path(__file__).parent))
from same_place_bench import drawn, only, written

SEEDS = 200
# 95 % of so many, less two standard deviations of a count that is right.
ENOUGH = 0.95 * SEEDS - 2 * np.sqrt(SEEDS * 0.95 * 0.05)
PAIRS = (("P1", "P2"), ("P1", "P3"), ("P2", "P4"))


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    """Of each way and seed: the check, the true offsets, the true shift, the stated limit."""
    found = {"ice air": [], "ice": [], "air": []}
    for seed in range(SEEDS):
        sim, true, clock = drawn(seed)
        campaign = written(tmp_path_factory.mktemp("check"), sim)
        record = read_runs(campaign)["check"]
        limit = sim.campaign.meters[0].offset
        for way, cases in found.items():
            check = check_of(record, only(campaign, *way.split()))
            cases.append((check, true, clock, limit))
    return found


@pytest.mark.parametrize("way", ["ice air", "ice", "air"])
def test_offsets_lie_in_their_intervals(told, way):
    for probe in ("P1", "P2", "P3", "P4"):
        held = 0
        for check, true, _, _ in told[way]:
            low, high = draws.interval(check.offsets[probe].draws)
            held += low <= true[probe] <= high
        assert held >= ENOUGH


@pytest.mark.parametrize("way", ["ice air", "ice", "air"])
def test_differences_between_probes_hold_and_are_far_narrower_than_before(told, way):
    for one, other in PAIRS:
        held, narrower = 0, []
        for check, true, _, limit in told[way]:
            left = check.offsets[one].draws - check.offsets[other].draws
            low, high = draws.interval(left)
            held += low <= true[one] - true[other] <= high
            before = np.subtract(*draws.interval(
                draws.uniform(f"{one} offset", limit) - draws.uniform(f"{other} offset", limit)))
            narrower.append((low - high) / before)
        assert held >= ENOUGH
        assert np.mean(narrower) < 1 / 3


def test_ice_narrows_each_offset_and_air_alone_less(told):
    def width(way):
        return np.mean([np.subtract(*draws.interval(c.offsets["P1"].draws)[::-1])
                        for c, *_ in told[way]])

    stated = np.mean([2 * 0.95 * limit for *_, limit in told["ice"]])
    assert width("ice") < width("air") < stated
    assert width("ice") < 0.4 * stated


@pytest.mark.parametrize("way", ["ice air", "ice"])
def test_clock_shift_lies_in_its_interval(told, way):
    held = 0
    for check, _, clock, _ in told[way]:
        low, high = draws.interval(check.shifts["L2"].draws)
        held += low <= clock <= high
    assert held >= ENOUGH


def test_without_a_common_step_clocks_are_not_compared(told):
    check = told["air"][0][0]
    assert not check.shifts
    assert [n.code for n in check.notices] == ["CHECK-CLOCK"]


def test_findings_are_a_row_a_probe_and_a_logger(told):
    check = told["ice air"][3][0]
    rows = [(f.finding, f.at, f.unit, f.basis) for f in check.findings]
    assert rows == [*[("probe_offset", f"P{i}", "K", "measured") for i in (1, 2, 3, 4)],
                    ("clock_shift", "L2", "s", "measured")]
    assert all(f.low < f.value < f.high and f.runs == ("check",) for f in check.findings)


def test_without_windows_nothing_is_told_but_what_to_add(tmp_path):
    campaign = written(tmp_path, drawn(0)[0])
    check = check_of(read_runs(campaign)["check"], only(campaign))
    assert not check.findings
    [notice] = check.notices
    assert notice.severity == "disqualifies"
    assert "window.ice = { from =" in notice.message


def test_a_window_that_ends_before_it_begins_is_refused(tmp_path):
    written(tmp_path, drawn(0)[0])
    sheet = tmp_path / "runs" / "check.toml"
    text = sheet.read_text(encoding="utf-8").replace('to = "20 min"', 'to = "1 min"')
    sheet.write_text(text, encoding="utf-8", newline="\n")
    with pytest.raises(UserError, match="ends before it begins"):
        campaign = read_campaign(tmp_path)
        check_of(read_runs(campaign)["check"], campaign)


def baths(made, *offs, ice=0.0, air=22.0, tilt=(), **more):
    """Traces of probes that are off by so much, in ice water for 15 min and then in air."""
    hours = np.arange(0, 1800, 10) / 3600
    rng = np.random.default_rng(3)
    tilt = tilt or (0.0,) * len(offs)
    traces = [
        made.trace(f"load_{i + 2}", hours, np.where(hours < 0.25, ice, air + t) + off
                   + rng.normal(0, 0.01, len(hours)), probe=f"P{i}", resolution=0.01,
                   **{"error": 0.5, **more})
        for i, (off, t) in enumerate(zip(offs, tilt, strict=True))
    ]
    spans = {"ice": (made.zero, made.zero + 900), "air": (made.zero + 900, made.zero + 1800)}
    return traces, spans


def test_ice_water_tells_offsets_absolutely(made):
    found, said = offsets("check", *baths(made, 0.3, -0.2, 0.1))
    assert [round(o.value, 2) for o in found] == [0.3, -0.2, 0.1]
    assert not said
    assert all("still air agrees" in o.note for o in found)


def test_an_offset_that_moves_with_temperature_is_wider_by_it(made):
    traces, spans = baths(made, 0.0, 0.0, 0.0, tilt=(0.6, 0.0, 0.0))
    tilted, *_ = offsets("check", traces, spans)[0]
    plain, *_ = offsets("check", traces, {"ice": spans["ice"]})[0]
    width, before = (np.subtract(*draws.interval(o.draws)[::-1]) for o in (tilted, plain))
    assert tilted.value == plain.value
    assert 0.7 < width < 0.95  # ± 0.4 K: 0.6 K less what the mean of three moved
    assert width > 3 * before
    assert "depends on temperature" in tilted.note


def test_a_probe_beyond_its_stated_error_is_said(made):
    found, _ = offsets("check", *baths(made, 0.9, 0.0, 0.1))
    assert [o.beyond for o in found] == [True, False, False]


def test_a_probe_outside_the_bath_is_left_out(made):
    traces, spans = baths(made, 0.0, 0.0, 6.0)
    found, said = offsets("check", traces, spans)
    assert [o.probe for o in found] == ["P0", "P1"]
    assert any("P2 was 6.0 K off" in s for s in said)


def test_a_probe_with_few_samples_is_left_out(made):
    traces, spans = baths(made, 0.0, 0.0)
    slow = made.trace("air", np.arange(0, 0.6, 0.1), np.zeros(6), probe="slow", error=0.5)
    found, said = offsets("check", [*traces, slow], spans)
    assert [o.probe for o in found] == ["P0", "P1"]
    assert any("slow has too few samples" in s for s in said)


def test_scatter_that_hangs_together_is_not_averaged_away(made):
    """Slow wobble of 0.05 K: its many samples tell no more than its few swings."""
    hours = np.arange(0, 900, 1) / 3600
    wobble = 0.05 * np.sin(2 * np.pi * hours * 3600 / 300)
    quick = np.random.default_rng(0).normal(0, 0.035, len(hours))
    def width(y):
        trace = made.trace("air", hours, y, probe="P", error=0.5)
        [o], _ = offsets("check", [trace], {"ice": (made.zero, made.zero + 900)})
        return np.std(o.draws)
    assert width(wobble) > width(quick)


def test_air_alone_needs_two_probes(made):
    traces, spans = baths(made, 0.3)
    assert offsets("check", traces, {"air": spans["air"]}) == ([], [])


def test_air_alone_without_stated_errors_gives_no_interval(made):
    traces, spans = baths(made, 0.3, -0.1, error=None)
    found, _ = offsets("check", traces, {"air": spans["air"]})
    assert [round(o.value, 1) for o in found] == [0.2, -0.2]
    assert all(o.draws is None for o in found)


def test_the_best_stated_probe_bounds_what_all_share():
    middle, half = shared_part([(0.3, 0.05), (-0.3, 2.0)], float("inf"))
    assert (middle, half) == pytest.approx((-0.3, 0.05))


def test_probes_further_apart_than_their_limits_allow():
    assert shared_part([(0.6, 0.2), (-0.6, 0.2)], float("inf")) == pytest.approx((0.0, 0.2))
    assert shared_part([(0.9, 0.5)], 0.1) == (0.0, 0.1)


@pytest.mark.parametrize("tau", [3.0, 30.0, 120.0, 300.0])
@pytest.mark.parametrize("step", [1.0, 10.0, 60.0])
@pytest.mark.parametrize("order", [1, 2])
def test_the_onset_is_held_whatever_the_probe_and_the_step(made, tau, step, order):
    for late in np.linspace(0, step, 7)[:-1]:
        t = np.arange(0, 3600, step)
        x = np.maximum(0, t - 1800 - late) / tau
        y = 22 * (1 - np.exp(-x) * (1 if order == 1 else 1 + x))
        trace = made.trace("air", t / 3600, y, resolution=0.05)
        first, last = onset(trace, (made.zero + 900, made.zero + 1700),
                            (made.zero + 2700, made.zero + 3500))
        assert first - made.zero <= 1800 + late <= last - made.zero
        # A step is bracketed by its samples, and three quarters of one more at most where the
        # next sample has only just left; 0.6 time constants are 8 % of the slower response.
        assert last - first <= 1.75 * step + 0.6 * tau


def test_a_small_step_tells_no_clock(made):
    hours = np.arange(0, 3600, 10) / 3600
    trace = made.trace("air", hours, np.where(hours < 0.5, 0, LIMITS.clock_step - 0.1))
    spans = (made.zero, made.zero + 1700), (made.zero + 1900, made.zero + 3500)
    assert onset(trace, *spans) is None


def test_quiet_stretches_are_proposed_as_windows_and_not_taken(tmp_path):
    sim = drawn(0)[0]
    begin, end = (at / 60 for at in sim.histories["check"].t[[0, -1]])
    campaign = written(tmp_path, sim)
    check = check_of(read_runs(campaign)["check"], only(campaign))
    [notice] = check.notices
    lines = r'window.(ice|air) = { from = "(\d+) min", to = "(\d+) min" }'
    spans = re.findall(lines, notice.message)
    assert [bath for bath, *_ in spans] == ["ice", "air"]
    (_, a, b), (_, c, d) = ([bath, int(x), int(y)] for bath, x, y in spans)
    # Moves were within a minute before 5 min and after 20 min; a clock is 2 min ahead at most.
    assert begin <= a and 4 <= a <= 9 and 16 <= b <= 23
    assert 20 <= c <= 32 and 40 <= d <= end + 2


def test_where_nothing_is_quiet_only_what_to_write_is_said(made):
    hours = np.arange(0, 3600, 10) / 3600
    assert to_add([made.trace("air", hours, 20 * hours)], made.zero) == AS_DONE

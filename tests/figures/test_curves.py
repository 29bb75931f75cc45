"""Pull-down, steady cycling, energy and freezing: what is drawn, labelled and said."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from coldbench import figures
from coldbench.figures.look import cooler_styles

TARGETS = [10.0, 4.0, 0.0, -18.0]


def drawn_segments(axes):
    """Pairs of neighbouring x joined by any line with data of its own in an axes."""
    pairs = []
    for line in axes.lines:
        x, y = np.asarray(line.get_xdata(), float), np.asarray(line.get_ydata(), float)
        if line.get_transform() == axes.transData and line.get_linestyle() not in ("None", ":"):
            joined = np.isfinite(y[:-1]) & np.isfinite(y[1:])
            pairs += zip(x[:-1][joined], x[1:][joined], strict=True)
    return np.array(pairs)


def labelled(axes, label):
    """Artists with a label."""
    return [a for a in [*axes.lines, *axes.collections, *axes.patches] if a.get_label() == label]


def texts(figure):
    """All words in a figure but the ticks."""
    found = [t.get_text() for axes in figure.axes for t in axes.texts] + [
        t.get_text() for t in figure.texts]
    return [text.replace("\n", " ") for text in found]


def spans_gap(axes, start, end):
    """Whether a line with at least one sample between crosses a gap."""
    pairs = drawn_segments(axes)
    level = np.array([len(set(p)) > 1 for p in pairs])
    pairs = pairs[level]
    inside = (pairs[:, 0] > 0) | (pairs[:, 1] < 1)
    return ((pairs[:, 0] <= start) & (pairs[:, 1] >= end) & inside).any()


@pytest.fixture(scope="module")
def campaign(made):
    """Three coolers: a gap, a bounded crossing, one target not reached."""
    records = {
        "chest": made.record("chest", gaps=[(6, 9)], floor=1.5, tau=1.2, counter=True),
        "small": made.record("small", floor=9, tau=4),
        "icebox": made.record("icebox", floor=6, tau=0.6, power=False),
    }
    found = [
        made.crossing("chest", 2.6, 2.4, 2.8),
        made.crossing("chest", low=6.0, high=9.0, at="air<=0 °C", basis="bounded"),
        made.crossing("small", low=30.0, basis="not reached"),
        made.crossing("chest", 5.5, 5.3, 5.8, at="load<=4 °C"),
        made.crossing("chest", 9.9, at="air from footing start"),
        made.finding("chest", "mean_power", 16.1, 15.4, 16.8, unit="W", at="dc"),
    ]
    return records, found


class TestPullDownOverlay:
    def test_artists(self, campaign):
        records, found = campaign
        drawn = figures.pull_down_overlay(records, found, TARGETS, names={"chest": "The chest"})
        (axes,) = drawn.figure.axes
        assert axes.get_ylabel() == "Air temperature [°C]"
        assert axes.get_xlabel() == "Time since power on [h]"
        assert axes.get_xlim() == pytest.approx((0, 1.3 * 9))
        assert len(labelled(axes, "crossing")) == 1
        (crossing,) = labelled(axes, "crossing")
        assert (crossing.get_xdata()[0], crossing.get_ydata()[0]) == (2.6, 4.0)
        (interval,) = labelled(axes, "crossing interval")
        assert list(interval.get_xdata()) == [2.4, 2.8]
        (bounded,) = labelled(axes, "bounded crossing")
        assert list(bounded.get_xdata()) == [6.0, 9.0]
        assert len(labelled(axes, "gap")) == 1
        assert not spans_gap(axes, 6.0, 9.0)
        words = {"The chest", "small", "icebox", "ambient", "target 4 °C"}
        assert words <= set(texts(drawn.figure))
        assert "target \u221218 °C" not in texts(drawn.figure)

    def test_each_cooler_keeps_its_style(self, campaign):
        records, found = campaign
        styles = cooler_styles(records)
        drawn = figures.pull_down_overlay(records, found, TARGETS, styles=styles)
        (axes,) = drawn.figure.axes
        colours = {line.get_color() for line in axes.lines}
        assert {s.colour for s in styles.values()} <= colours
        for style in styles.values():
            assert any(line.get_marker() == style.marker and line.get_color() == style.colour
                       for line in axes.lines)

    def test_data_and_words(self, campaign):
        records, found = campaign
        drawn = figures.pull_down_overlay(records, found, TARGETS)
        chest = drawn.data[(drawn.data["cooler"] == "chest") & (drawn.data["role"] == "air")]
        assert drawn.data.columns.tolist() == [
            "cooler", "role", "unit", "hours since power on", "value"][:2] + [
            "hours since power on", "value", "unit"]
        assert chest["value"].isna().sum() == 1
        assert chest["hours since power on"].max() < 12
        for word in ("3 coolers", "°C", "2.6", "not reached in 30.0 h", "1 gap", "95 % interval"):
            assert word in drawn.alt
        assert "from 24.5 °C" in drawn.alt
        assert "start at 24.5 °C" in drawn.caption
        assert drawn.name == "pull-downs-air"

    def test_load_has_its_own_crossings(self, campaign):
        records, found = campaign
        drawn = figures.pull_down_overlay(records, found, TARGETS, role="load")
        (crossing,) = labelled(drawn.figure.axes[0], "crossing")
        assert crossing.get_xdata()[0] == 5.5

    def test_bars_between_bounds_do_not_cover_each_other(self, made):
        records = {c: made.record(c, end=12) for c in "abc"}
        found = [made.crossing(c, low=2, high=5, basis="bounded") for c in "abc"]
        drawn = figures.pull_down_overlay(records, found, TARGETS)
        bars = labelled(drawn.figure.axes[0], "bounded crossing")
        heights = {round(bar.get_transform().transform((3, 4.0))[1], 3) for bar in bars}
        assert len(heights) == 3

    def test_nothing_to_draw(self, made):
        assert figures.pull_down_overlay({}, [], TARGETS) is None
        run = made.record(load=False)
        assert figures.pull_down_overlay({"chest": run}, [], TARGETS, role="load") is None


class TestPullDownSheet:
    def test_panels(self, campaign, made):
        records, found = campaign
        run = dataclasses.replace(records["chest"], marks=(made.mark(3, "lid opened"),))
        drawn = figures.pull_down_sheet(run, found, TARGETS, name="The chest")
        assert [a.get_ylabel() for a in drawn.figure.axes] == ["Temperature [°C]", "Power [W]"]
        assert "lid opened" in texts(drawn.figure)
        assert drawn.figure.axes[1].get_ylim()[0] == 0
        assert {line.get_drawstyle() for line in drawn.figure.axes[1].lines
                if len(line.get_xdata()) > 50} == {"steps-post"}
        for axes in drawn.figure.axes:
            assert not spans_gap(axes, 6.0, 9.0)
            assert labelled(axes, "gap")
        assert set(drawn.data["role"]) == {"air", "load", "ambient", "power"}
        assert "The chest" in drawn.alt

    def test_without_power_there_is_one_panel(self, made):
        drawn = figures.pull_down_sheet(made.record(power=False, ambient=False), [], TARGETS)
        assert len(drawn.figure.axes) == 1

    def test_nothing_to_draw(self, made):
        run = dataclasses.replace(made.record(), traces={})
        assert figures.pull_down_sheet(run, [], TARGETS) is None


class TestSteadyStack:
    def test_panels_and_window(self, made):
        run = made.record(gaps=[(12, 13)])
        window = made.steady()
        drawn = figures.steady_stack(run, window)
        assert [a.get_ylabel() for a in drawn.figure.axes] == [
            "Inside [°C]", "Power [W]", "Ambient [°C]"]
        for axes in drawn.figure.axes:
            (band,) = labelled(axes, "steady window")
            edges = band.get_x(), band.get_x() + band.get_width()
            assert edges == pytest.approx(((window.t0 - made.zero) / 3600,
                                           (window.t1 - made.zero) / 3600))
            assert labelled(axes, "gap")
            assert not spans_gap(axes, 12.0, 13.0)
        assert "whole cycles" in drawn.alt

    @pytest.mark.parametrize("passed", [None, False])
    def test_not_steady_is_said(self, made, passed):
        window = None if passed is None else made.steady(passed=False)
        drawn = figures.steady_stack(made.record(), window)
        assert not any(labelled(a, "steady window") for a in drawn.figure.axes)
        assert "No steady window was found" in drawn.alt

    def test_of_a_long_window_the_end_is_drawn(self, made):
        drawn = figures.steady_stack(made.record(end=200, step=300), made.steady(20, 180))
        start, end = drawn.figure.axes[0].get_xlim()
        assert end - start == pytest.approx(48)
        assert end > 180
        assert any("its end" in text for text in texts(drawn.figure))

    def test_power_alone(self, made):
        run = made.record(load=False, ambient=False)
        run = dataclasses.replace(run, traces={"power": run.traces["power"]})
        drawn = figures.steady_stack(run, made.steady())
        assert [a.get_ylabel() for a in drawn.figure.axes] == ["Power [W]"]

    def test_nothing_to_draw(self, made):
        run = dataclasses.replace(made.record(), traces={})
        assert figures.steady_stack(run, made.steady()) is None


class TestOneCycle:
    def test_swing_and_duty(self, made):
        found = [made.finding("chest", "air_swing", 1.6, 1.5, 1.7, unit="K"),
                 made.finding("chest", "duty", 0.40, 0.39, 0.41, unit="-")]
        drawn = figures.one_cycle(made.record(), made.steady(), found)
        air, power = drawn.figure.axes
        assert air.get_xlim() == pytest.approx((0, 36 * 1.06))
        assert power.get_xlabel() == "Time since the start of the cycle [min]"
        assert any("swing" in t and "1.6" in t for t in texts(drawn.figure))
        bar = [li for li in power.lines if list(li.get_xdata()) == pytest.approx([0, 0.4 * 36])]
        assert len(bar) == 1
        assert "Duty" in drawn.alt and "36.0 min" in drawn.alt

    def test_half_width(self, made):
        drawn = figures.one_cycle(made.record(), made.steady(), half=True)
        assert drawn.figure.get_size_inches()[0] * 25.4 == pytest.approx(82)

    def test_dropped_cycles_are_not_shown(self, made):
        window = made.steady()
        window.good[:] = False
        window.good[3] = True
        drawn = figures.one_cycle(made.record(), window)
        minutes = drawn.data["minutes since start of cycle"]
        samples = made.zero + 60 * np.arange(0, 30 * 60)
        kept = samples[np.searchsorted(samples, window.starts[3] - 1)]
        assert minutes.abs().min() * 60 == pytest.approx(abs(kept - window.starts[3]), abs=1)

    def test_nothing_to_draw(self, made):
        assert figures.one_cycle(made.record(), None) is None
        assert figures.one_cycle(made.record(), made.steady(cycling=False)) is None
        assert figures.one_cycle(made.record(), made.steady(passed=False)) is None
        run = dataclasses.replace(made.record(), traces={})
        assert figures.one_cycle(run, made.steady()) is None


class TestCumulativeEnergy:
    def test_counter_through_a_gap_is_dotted(self, campaign):
        records, found = campaign
        drawn = figures.cumulative_energy(records, found)
        (axes,) = drawn.figure.axes
        (jump,) = labelled(axes, "counter through a gap")
        assert jump.get_linestyle() == ":"
        assert jump.get_xdata()[:2] == pytest.approx([6.0, 9.0], abs=0.02)
        assert not spans_gap(axes, 6.0, 9.0)
        assert axes.get_ylim()[0] == 0
        assert any("16.1" in text for text in texts(drawn.figure))
        assert "icebox" not in drawn.alt

    def test_power_is_summed(self, made):
        hours = np.arange(0, 4, 0.25)
        run = dataclasses.replace(made.record(), traces={
            "power": made.trace("power", hours, np.full(len(hours), 40.0), gap=3600)})
        drawn = figures.cumulative_energy({"chest": run})
        assert drawn.data["value"].tolist() == pytest.approx((40 * hours).tolist())

    def test_a_gap_without_counter_adds_nothing(self, made):
        hours = np.array([0.0, 1.0, 5.0, 6.0])
        run = dataclasses.replace(made.record(), traces={
            "power": made.trace("power", hours, np.full(4, 10.0), gap=3600.0)})
        drawn = figures.cumulative_energy({"chest": run})
        assert drawn.data["value"].dropna().tolist() == pytest.approx([0, 10, 10, 20])
        assert drawn.data["value"].isna().sum() == 1
        assert not labelled(drawn.figure.axes[0], "counter through a gap")

    def test_the_counter_starts_at_zero(self, made):
        run = dataclasses.replace(made.record(), traces={
            "energy": made.trace("energy", [-1, 0, 1, 2], [90, 100, 130, 150], gap=7200)})
        drawn = figures.cumulative_energy({"chest": run})
        assert drawn.data["value"].tolist() == [0, 30, 50]

    def test_nothing_to_draw(self, made):
        assert figures.cumulative_energy({"icebox": made.record(power=False)}) is None


class TestFreezeCurve:
    def test_stages(self, made):
        run, freeze = made.freezing()
        found = [made.finding("chest", "freeze_time", 12.0, 11.8, 12.2, unit="h")]
        drawn = figures.freeze_curve(run, freeze, found, name="The chest")
        (axes,) = drawn.figure.axes
        (band,) = labelled(axes, "plateau")
        assert (band.get_x(), band.get_width()) == pytest.approx((4.0, 8.0))
        assert len(labelled(axes, "start")) == len(labelled(axes, "end of the plateau")) == 1
        assert any("supercooled to \u22124." in text for text in texts(drawn.figure))
        assert "Freezing starts at 4.0 h; the plateau ends at 12.0 h." in drawn.alt
        assert "12.0" in drawn.caption

    def test_end_not_seen(self, made):
        run, freeze = made.freezing(warm_end=True, gaps=[(7, 9)])
        drawn = figures.freeze_curve(run, freeze)
        (axes,) = drawn.figure.axes
        assert not labelled(axes, "plateau")
        assert not spans_gap(axes, 7.0, 9.0)
        assert "the end of the plateau was not seen" in drawn.alt

    def test_without_an_analysis(self, made):
        run, _ = made.freezing()
        assert "No start of freezing was found" in figures.freeze_curve(run, None).alt

    def test_nothing_to_draw(self, made):
        assert figures.freeze_curve(made.record(load=False), None) is None

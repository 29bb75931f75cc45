"""Comparison dots and size against energy: intervals, bounds, words, axes from zero."""

from __future__ import annotations

import pytest

from coldbench import figures
from coldbench.figures.look import cooler_styles

DAILY = ("daily_energy", "dc")
COLD = ("coldest_air", "")


def labelled(axes, label):
    """Lines with a label."""
    return [line for line in axes.lines if line.get_label() == label]


def rows(axes):
    """Names of the rows, from the top."""
    return [label.get_text().replace("\n", " ") for label in axes.get_yticklabels()]


@pytest.fixture(scope="module")
def found(made):
    """Four coolers with all kinds of answers."""
    return [
        made.finding("chest", *DAILY[:1], 386, 370, 403, unit="Wh/d", at="dc"),
        made.finding("small", *DAILY[:1], 204, 190, 219, unit="Wh/d", at="dc"),
        made.finding("liquid", *DAILY[:1], None, 336, 456, unit="Wh/d", at="dc", basis="bounded"),
        made.finding("icebox", *DAILY[:1], unit="Wh/d", at="dc", basis="not applicable"),
        made.finding("chest", "coldest_air", -16.2, -16.8, -15.5, unit="°C"),
        made.finding("small", "coldest_air", None, None, 9.0, unit="°C", basis="bounded"),
        made.finding("chest", "price", 180, unit="EUR", basis="sheet"),
        made.crossing("small", low=26.0, basis="not reached"),
        made.finding("chest", "usable_volume", 12.1, 11.5, 12.7, unit="L"),
        made.finding("small", "usable_volume", 10.1, 9.5, 10.7, unit="L"),
        made.finding("liquid", "usable_volume", 14.1, 13.5, 14.7, unit="L"),
        made.finding("icebox", "usable_volume", 20.1, 19.5, 20.7, unit="L"),
    ]


COOLERS = ["chest", "small", "liquid", "icebox"]


class TestDotPlot:
    def test_rows_are_sorted_and_those_without_a_number_last(self, found):
        drawn = figures.dot_plot(found, [DAILY], coolers=COOLERS)
        (axes,) = drawn.figure.axes
        assert rows(axes) == ["small", "liquid", "chest", "icebox"]
        assert drawn.data["cooler"].tolist() == rows(axes)

    def test_energy_starts_at_zero_and_temperature_need_not(self, found):
        drawn = figures.dot_plot(found, [DAILY, COLD], coolers=COOLERS)
        energy, cold = drawn.figure.axes
        assert energy.get_xlim()[0] == 0
        assert cold.get_xlim()[0] < -16.8

    def test_a_warm_temperature_axis_is_not_stretched_to_zero(self, made):
        warm = [made.finding("a", "coldest_air", 9.0, 8.5, 9.5, unit="°C"),
                made.finding("b", "coldest_air", 11.0, 10.5, 11.5, unit="°C")]
        (axes,) = figures.dot_plot(warm, [COLD]).figure.axes
        assert axes.get_xlim()[0] > 7

    def test_bounds_have_a_bar_and_no_dot(self, found):
        (axes,) = figures.dot_plot(found, [DAILY], coolers=COOLERS).figure.axes
        at = rows(axes).index("liquid")
        assert [list(b.get_xdata()) for b in labelled(axes, "interval")
                if b.get_ydata()[0] == at] == [[336, 456]]
        assert at not in [d.get_ydata()[0] for d in labelled(axes, "dot")]
        assert len(labelled(axes, "dot")) == 2

    def test_an_open_end_is_an_arrow_at_the_edge(self, found):
        (axes,) = figures.dot_plot(found, [COLD], coolers=COOLERS).figure.axes
        (arrow,) = labelled(axes, "open end")
        assert arrow.get_xdata()[0] == axes.get_xlim()[0]

    def test_answers_without_a_number_are_words(self, found):
        keys = [DAILY, ("pull_down_time", "air<=4 °C")]
        drawn = figures.dot_plot(found, keys, coolers=COOLERS)
        energy, time = drawn.figure.axes
        assert [t.get_text() for t in energy.texts] == ["not applicable"]
        assert sorted(t.get_text() for t in time.texts) == ["not measured"] * 3 + [
            "not reached in 26.0 h"]
        assert not labelled(time, "dot")
        assert "small not reached in 26.0 h" in drawn.alt

    def test_a_value_without_interval_is_hollow(self, found):
        drawn = figures.dot_plot(found, [("price", "")])
        (dot,) = labelled(drawn.figure.axes[0], "dot")
        assert dot.get_markerfacecolor() == "white"
        assert "Hollow dots" in drawn.caption
        assert "Price [EUR]" in [t.get_text() for t in drawn.figure.texts]

    def test_more_is_better_comes_first(self, found):
        (axes,) = figures.dot_plot(found, [("usable_volume", "")]).figure.axes
        assert rows(axes)[0] == "icebox"

    def test_ties_are_bracketed(self, found):
        ties = {DAILY: [{"chest", "liquid"}, {"small"}]}
        drawn = figures.dot_plot(found, [DAILY], coolers=COOLERS, ties=ties)
        (bracket,) = labelled(drawn.figure.axes[0], "tie")
        assert list(bracket.get_ydata()) == [0.75, 2.25]
        assert "cannot be told apart" in drawn.caption
        plain = figures.dot_plot(found, [DAILY], coolers=COOLERS)
        assert "told apart" not in plain.caption

    def test_style_and_name_of_each_cooler(self, found):
        styles = cooler_styles(COOLERS)
        drawn = figures.dot_plot(found, [DAILY], styles=styles, names={"chest": "The chest"})
        (axes,) = drawn.figure.axes
        assert "The chest" in rows(axes)
        dot = next(d for d in labelled(axes, "dot") if d.get_xdata()[0] == 386)
        assert (dot.get_color(), dot.get_marker()) == (styles["chest"].colour, "o")

    def test_names_never_reach_into_the_panel(self, made):
        long = {c: f"cooler {c} with a name that goes on and on, and then some more" for c in "abc"}
        found = [made.finding(c, "mass", 9.0, 8, 10, unit="kg") for c in "abc"]
        drawn = figures.dot_plot(found, [("mass", ""), ("mass", "")][:1], names=long)
        renderer = drawn.figure.canvas.get_renderer()
        (axes,) = drawn.figure.axes
        for label in axes.get_yticklabels():
            box = label.get_window_extent(renderer)
            assert box.x0 >= 0
            assert box.x1 <= axes.get_window_extent(renderer).x0

    def test_nothing_to_draw(self, found):
        assert figures.dot_plot(found, [("mass", "")]) is None
        assert figures.dot_plot([], [DAILY]) is None


class TestSizeAgainstEnergy:
    def test_points_intervals_and_axes(self, found):
        drawn = figures.size_against_energy(found, coolers=COOLERS)
        (axes,) = drawn.figure.axes
        assert axes.get_xlim()[0] == axes.get_ylim()[0] == 0
        assert axes.get_xlabel() == "Usable volume [L]"
        assert axes.get_ylabel() == "Daily energy [Wh/d]"
        assert len(labelled(axes, "dot")) == 2  # the third has only bounds
        assert len(labelled(axes, "interval")) == 6
        assert [t.get_text() for t in axes.texts] == ["chest", "small", "liquid"]

    def test_those_without_energy_are_listed(self, found):
        drawn = figures.size_against_energy(found, coolers=COOLERS)
        told = " ".join(t.get_text() for t in drawn.figure.texts).replace("\n", " ")
        assert told == "Not in the figure: icebox (energy not applicable)."
        assert told in drawn.alt

    def test_names_that_collide_move_to_the_margin(self, made):
        found = []
        for n in range(8):
            found += [
                made.finding(f"c{n}", "usable_volume", 10 + n / 10, 9, 11, unit="L"),
                made.finding(f"c{n}", "daily_energy", 300 + n, 250, 350, unit="Wh/d", at="dc")]
        drawn = figures.size_against_energy(found)
        words = [t.get_text() for t in drawn.figure.axes[0].texts]
        assert "a" in words and "h" in words
        assert "a  c0" in words

    def test_nothing_to_draw(self, found):
        assert figures.size_against_energy([f for f in found if f.cooler == "icebox"]) is None

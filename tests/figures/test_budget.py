"""Budget bars."""

from __future__ import annotations

import pytest

from coldbench.compare.budget import REST, Share
from coldbench.figures import budget_bars, cooler_styles
from coldbench.figures.budget import MOST
from coldbench.findings import Finding

STYLE = cooler_styles(["chest"])["chest"]


def of(name: str, *shares: float):
    finding = Finding(cooler="chest", finding=name, value=4.0, low=3.0, high=5.0, unit="h")
    rest = max(0.0, 1 - sum(shares))
    return finding, [*(Share(f"P{i} offset", s) for i, s in enumerate(shares)), Share(REST, rest)]


def test_the_largest_inputs_have_a_bar_and_the_rest_is_one():
    drawn = budget_bars([of("pull_down_time", 0.5, 0.2, 0.1, 0.06, 0.05, 0.04, 0.03)], style=STYLE)
    (axes,) = drawn.figure.axes
    widths = [bar.get_width() for bar in axes.patches]
    assert widths[:MOST] == pytest.approx([0.5, 0.2, 0.1, 0.06, 0.05])
    assert widths[MOST] == pytest.approx(0.09) and len(widths) == MOST + 1
    assert len(drawn.data) == 8  # the table behind it has all of them


def test_texts_stay_in_the_figure_and_clear_of_each_other():
    long = ("pull_down_time", *([0.15] * 6))
    drawn = budget_bars([of(*long), of("freeze_time", 1.0), of(*long)], style=STYLE, cooler="Chest")
    figure = drawn.figure
    renderer = figure.canvas.get_renderer()
    for axes in figure.axes:
        for label in [*axes.get_yticklabels(), *axes.texts]:
            box = label.get_window_extent(renderer)
            assert 0 <= box.x0 and box.x1 <= figure.bbox.x1
    assert "P0 offset 15 %" in drawn.alt and drawn.caption.startswith("Chest: share")


def test_nothing_is_drawn_without_budgets():
    assert budget_bars([], style=STYLE) is None

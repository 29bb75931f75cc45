"""Maps of battery against panel and bars of months, from made-up years."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from coldbench.compare.supply_year import STATED, Case, SupplyYear
from coldbench.figures import supply_map, supply_months, svg_text
from coldbench.findings import Finding

BATTERY, PANEL = np.geomspace(50, 2000, 16), np.geomspace(20, 500, 16)


def year(cooler="chest", cases=True, worst=10):
    """A share that falls off as e to the minus battery times panel."""
    without = np.zeros((3, 12))
    without[:, worst] = 50.0, 60.0, 70.0
    share = 1 - np.exp(-BATTERY[:, None] * PANEL / 5000)
    named = (Case(STATED, 400.0, 60.0, without, 0.2),
             Case("99 %", 300.0, 80.0, np.zeros((3, 12)), 0.3, 0.9, 1.2)) if cases else ()
    sun = 3 + 2 * np.cos(2 * np.pi * (np.arange(12) - 5) / 12)
    return SupplyYear(
        cooler, Finding(cooler=cooler, finding="daily_energy_footing", value=240.0),
        100 + 10 * np.arange(12.0), sun, np.full(12, 25.0), BATTERY, PANEL, share, named,
        ("made up",))


def test_a_map_a_cooler_with_its_lines_and_pairs():
    drawn = supply_map([year(), year("tall")], names={"chest": "Chest"})
    assert [axes.get_title(loc="left") for axes in drawn.figure.axes] == ["Chest", "tall"]
    axes = drawn.figure.axes[0]
    assert (axes.get_xlabel(), axes.get_ylabel()) == ("Panel [W]", "Battery [Wh]")
    marks = {line.get_label(): line.get_xydata()[0].tolist() for line in axes.lines}
    assert marks == {STATED: [60.0, 400.0], "99 %": [80.0, 300.0]}
    assert "300 Wh with 80 W is the smallest pair for 99 %" in drawn.alt
    assert "made up" in drawn.caption and "neither wiring nor protection" in drawn.caption
    assert len(drawn.data) == 2 * 256 and drawn.data["share of hours"].between(0, 1).all()
    assert svg_text(drawn) == svg_text(supply_map([year(), year("tall")], names={"chest": "Chest"}))


@pytest.mark.parametrize("level", [0.95, 0.99, 0.999])
def test_a_line_runs_where_the_share_is_its_own(level):
    axes = supply_map([year()]).figure.axes[0]
    contour = axes.collections[0]
    path = contour.get_paths()[(0.95, 0.99, 0.999).index(level)]
    # Straight between sizes a quarter apart on a hyperbola.
    product = path.vertices[:, 0] * path.vertices[:, 1]
    assert product == pytest.approx(np.full(len(product), -5000 * np.log(1 - level)), rel=0.15)


def test_the_key_stays_on_the_page():
    drawn = supply_map([year()])
    drawn.figure.canvas.draw()
    box = drawn.figure.legends[0].get_window_extent()
    assert box.x0 >= 0 and box.x1 <= drawn.figure.bbox.x1
    assert not any(box.overlaps(axes.get_window_extent()) for axes in drawn.figure.axes)


def test_months_with_sun_mean_and_range_of_years():
    drawn = supply_months([year(), year("tall", worst=6), year("none", cases=False)])
    sun, chest, tall = drawn.figure.axes
    assert [bar.get_height() for bar in sun.patches] == pytest.approx(year().sun.tolist())
    assert [bar.get_height() for bar in chest.patches][10] == 60.0
    assert tall.get_title(loc="left") == "tall, 400 Wh with 60 W"
    assert chest.get_ylim() == tall.get_ylim()
    assert "most in Nov, 60 h" in drawn.alt and STATED in drawn.caption
    row = drawn.data[(drawn.data["cooler"] == "tall") & (drawn.data["month"] == "Jul")].iloc[0]
    assert (row["least"], row["without power [h]"], row["most"]) == (50.0, 60.0, 70.0)


def test_without_hours_lacking_it_says_none():
    never = Case("95 %", 1.0, 2.0, np.zeros((3, 12)), 1.0)
    drawn = supply_months([replace(year(), cases=(never,))])
    assert [text.get_text() for text in drawn.figure.axes[1].texts] == ["none"]
    assert "the smallest pair for 95 %" in drawn.caption


def test_without_years_there_is_nothing():
    assert supply_map([]) is None and supply_months([]) is None
    assert supply_months([year(cases=False)]) is None
    assert "no pair tried is enough" in supply_map([year(cases=False)]).alt

"""Lines of cost over time and the rings where they cross."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench import draws
from coldbench.compare.outlay import by_case, outlays
from coldbench.compare.payback import paybacks
from coldbench.figures import cost_over_time
from coldbench.findings import Finding, measured

CASE = "dc mains"


def cooler(name, price, yearly, at="dc", error=1.0):
    sure = Finding(cooler=name, finding="price", unit="EUR",
                   **measured(np.full(draws.DRAWS, price), price))
    base = {"cooler": name, "finding": "running_cost", "unit": "EUR/yr", "at": at, "runs": ("a",)}
    if error is None:
        return [sure, Finding(**base, basis="bounded", low=0.8 * yearly, high=1.2 * yearly)]
    drawn = yearly + draws.uniform(f"{name} meter", error)
    return [sure, Finding(**base, **measured(drawn, yearly))]


def drawn(*coolers, years=10.0):
    rows = [row for one in coolers for row in one]
    group = by_case(outlays(rows)).get(CASE, [])
    return cost_over_time(group, paybacks(rows), case=CASE, years=years,
                          names={"dear": "Dear box"})


CHEAP, DEAR = cooler("cheap", 100.0, 40.0), cooler("dear", 250.0, 10.0)


def rings(figure):
    """Places of the rings."""
    return [(line.get_xdata()[0], line.get_ydata()[0]) for line in figure.axes[0].lines
            if line.get_label() == "payback"]


def test_lines_start_at_the_price_and_rise_by_the_yearly_cost():
    data = drawn(CHEAP, DEAR).data
    ends = data[data["years"].isin([0.0, 10.0])].groupby("cooler")["value"].apply(list)
    assert ends["cheap"] == pytest.approx([100.0, 500.0])
    assert ends["dear"] == pytest.approx([250.0, 350.0])
    wide = data["high"] - data["low"]
    assert (wide[data["years"] == 0] == 0).all() and (wide[data["years"] == 10] > 0).all()


def test_a_ring_stands_where_the_lines_cross():
    assert rings(drawn(CHEAP, DEAR).figure) == [pytest.approx((5.0, 300.0))]
    assert "Dear box crosses below cheap after 60 months" in drawn(CHEAP, DEAR).alt
    assert rings(drawn(CHEAP, DEAR, years=4.0).figure) == []


def test_a_bound_is_a_band_without_a_line():
    figure = drawn(cooler("cheap", 100.0, 40.0, error=None), DEAR)
    assert figure.data[figure.data["cooler"] == "cheap"]["value"].isna().all()
    assert rings(figure.figure) == [] and "between 420 EUR and 580 EUR" in figure.alt


def test_labels_stay_in_the_figure():
    figure = drawn(CHEAP, DEAR).figure
    renderer = figure.canvas.get_renderer()
    for text in figure.axes[0].texts:
        box = text.get_window_extent(renderer)
        assert 0 <= box.x0 and box.x1 <= figure.bbox.x1


def test_nothing_is_drawn_without_costs():
    assert drawn() is None

"""Bars of heat and electricity."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench import draws
from coldbench.compare import flows as parts
from coldbench.compare.flows import Flows, Part
from coldbench.figures import heat_and_electricity


def part(what: str, watts: float, limit: float | None = 0.05) -> Part:
    drawn = None if limit is None else watts * (1 + draws.uniform(f"{what} {watts}", limit))
    return Part(what, watts, "measured", drawn)


def flows(cooler: str, heat: list[Part], electricity: list[Part]) -> Flows:
    return Flows(cooler, f"{cooler}-run", 4.0, 25.0, tuple(heat), tuple(electricity), None, None,
                 leak=None)


CHEST = flows("chest", [part(parts.WALLS, 6.2), part(parts.BEYOND, 3.1)],
              [part(parts.IDLE, 1.5), part(parts.LEAST, 0.7), part(parts.LOST, 11.2)])
ICE = flows("ice", [part(parts.BOTH, 12.2, None)], [])


def drawn(*those: Flows):
    return heat_and_electricity(those, names={"chest": "Chest", "ice": "Ice box"})


def bars(figure) -> list[tuple[float, float]]:
    axes = figure.axes[0]
    return [(p.get_x(), p.get_width()) for p in axes.patches]


def test_parts_stand_end_to_end_and_a_passive_box_has_no_second_bar():
    found = bars(drawn(CHEST, ICE).figure)
    expected = [(0, 6.2), (6.2, 3.1), (0, 1.5), (1.5, 0.7), (2.2, 11.2)]
    assert found[:5] == [pytest.approx(one) for one in expected]
    assert len(found) == 6


def test_a_measured_loss_below_nothing_draws_no_bar_backwards():
    odd = flows("chest", [part(parts.BOTH, 5.0)], [part(parts.LEAST, 3.0), part(parts.LOST, -0.4)])
    assert min(width for _, width in bars(drawn(odd).figure)) == 0
    assert "−0.4" in drawn(odd).alt


def test_data_and_words_hold_every_part():
    told = drawn(CHEST, ICE)
    assert told.data["W"].sum() == pytest.approx(6.2 + 3.1 + 1.5 + 0.7 + 11.2 + 12.2)
    assert np.isnan(told.data["low"].iloc[-1]) and told.data["low"].iloc[0] < 6.2
    assert "Chest, electricity 13.40 ±" in told.alt and "Ice box, heat in 12" in told.alt


def test_nothing_is_drawn_without_flows():
    assert heat_and_electricity([]) is None


def test_numbers_fit_into_their_bars():
    figure = drawn(CHEST, ICE).figure
    renderer = figure.canvas.get_renderer()
    axes = figure.axes[0]
    bars_at = [p.get_window_extent(renderer) for p in axes.patches]
    for text in axes.texts:
        box = text.get_window_extent(renderer)
        inside = [b for b in bars_at if b.y0 < (box.y0 + box.y1) / 2 < b.y1
                  and b.x0 <= (box.x0 + box.x1) / 2 <= b.x1]
        for bar in inside:
            assert bar.x0 <= box.x0 and box.x1 <= bar.x1
        assert 0 <= box.x0 and box.x1 <= figure.bbox.x1

"""The label's freezing figure, only for a run that allows it."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.analysis.freeze_eu import freezing_capacity_eu

LOAD = [{"count": 4, "water": "500 mL ± 1 mL"}]


def context(made, start=25.0, ambient=25.0, end=-25.0, **more):
    hours = made.every(60, 24)
    load = np.interp(hours, [0, 20, 24], [start, end, end])
    record = made.record(made.trace("load", hours, load, error=0.1),
                         made.trace("ambient", hours, np.full_like(hours, ambient), error=0.1))
    return made.context(record, kind=["freeze"], load=LOAD, **more)


def test_the_published_example(made):
    """REG-23: 3.5 kg from +25 to −18 °C in 18.5 h are 2.3 kg in 12 h; here 2 kg in 17.2 h."""
    (row,) = freezing_capacity_eu(context(made))
    hours = 20 * 43 / 50
    assert row.value == pytest.approx(12 * 2.0 / hours, rel=2e-3)
    assert row.low < row.value < row.high and "informative" in row.note


@pytest.mark.parametrize("change", [
    {"start": 20.0}, {"ambient": 22.0}, {"end": -15.0},
])
def test_other_runs_have_none(made, change):
    assert freezing_capacity_eu(context(made, **change)) == []

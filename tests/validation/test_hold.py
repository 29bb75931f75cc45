"""Modelled hold times hold a truth that was not measured."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))

import hold

BOXES = 12


def test_the_interval_holds_the_truth_at_another_ambient_and_load():
    """Of 12 intervals that hold in 95 % of cases, 3 fail in 2 % of draws, 4 in 0.2 %."""
    boxes = hold.study("checked", BOXES)
    held = (boxes["low"] <= boxes["truth"]) & (boxes["truth"] <= boxes["high"])
    assert held.sum() >= BOXES - 3, boxes.to_string()
    error = boxes["value"] / boxes["truth"] - 1
    assert abs(error.median()) < 0.05
    assert np.median((boxes["high"] - boxes["low"]) / boxes["truth"]) < 0.25

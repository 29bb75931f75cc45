"""Running capacity against a box's leak: what is drawn, labelled and said."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.design.capacity_sweep import Sweep
from coldbench.figures import capacity_and_leak


def band(middle, share):
    """Middle, low and high."""
    return np.array([middle, middle * (1 - share), middle * (1 + share)])


@pytest.fixture
def found():
    """A unit that meets the leak at −4 °C and runs for half of the time at 4 °C."""
    inside = np.linspace(-8.0, 14.0, 45)
    capacity, leak = 30.0 + 1.5 * (inside + 4.0), 30.0 - 0.85 * (inside + 4.0)
    duty = np.where(leak <= capacity, leak / capacity, np.nan)
    return Sweep(inside, band(capacity, 0.1), band(leak, 0.05), band(duty, 0.1),
                 (-4.0, -6.0, -2.5), (4.0, 0.55, 0.49, 0.62), 32.0,
                 np.array([[-3.0, 31.0], [2.0, 39.5], [-20.0, 15.0]]))


def test_lines_labels_and_where_they_meet(found):
    drawn = capacity_and_leak(found, "the new box")
    heat, duty = drawn.figure.axes
    assert heat.get_ylabel() == "Heat flow [W]" and duty.get_ylabel() == "Duty"
    assert duty.get_xlabel() == "Inside air [°C]"
    assert duty.get_ylim()[0] == 0 and heat.get_ylim()[0] == 0
    words = [text.get_text() for text in heat.texts]
    assert "coldest −4 °C" in words and "to be held: 4 °C" in words
    assert "55 %" in [text.get_text() for text in duty.texts]
    (dots,) = [line for line in heat.lines if line.get_label() == "donor's runs"]
    assert len(dots.get_xdata()) == 2  # the third lies off the axis
    (meet,) = [line for line in heat.lines if line.get_label() == "coldest"]
    assert meet.get_ydata()[0] == pytest.approx(30.0, abs=0.1)


def test_words_and_data(found):
    drawn = capacity_and_leak(found, "the new box")
    assert "of the new box at 32 °C ambient" in drawn.alt
    assert "They meet at −4.0 °C (−6.0 to −2.5 °C)" in drawn.alt
    assert "it takes 42 W, 23 W come in; duty 55 % (49 to 62 %)" in drawn.alt
    assert "95 % interval" in drawn.caption and "Circles" in drawn.caption
    roles = set(drawn.data["role"])
    assert {"running capacity", "comes in, low", "duty, high",
            "running capacity, donor's runs"} <= roles
    assert drawn.data[drawn.data["role"] == "duty"]["value"].isna().sum() == 8


def test_what_is_not_held_is_said(found):
    weak = Sweep(**{**vars(found), "held": (-6.0, 1.0, 0.9, 1.0), "points": np.empty((0, 2))})
    drawn = capacity_and_leak(weak)
    assert "runs without a break and does not hold it" in drawn.alt
    assert "Circles" not in drawn.caption
    assert "donor's runs" not in [text.get_text() for text in drawn.figure.axes[0].texts]

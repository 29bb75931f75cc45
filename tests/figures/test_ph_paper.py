"""The chart that enthalpies are read from: its lines, its words, and only what was answered."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.course.chart_paper import COLDEST, HOTTEST, paper
from coldbench.figures import svg_text
from coldbench.physics.refrigerant import props

STATES = [("1", 395.0, 140.0), ("2", 435.0, 800.0), ("3", 236.0, 800.0), ("4", 236.0, 140.0)]


@pytest.fixture(scope="module", params=["R134a", "R600a", "R290", "R1234yf"])
def drawn(request):
    return request.param, paper(request.param)


def test_lines_lie_where_the_library_has_them(drawn):
    fluid, chart = drawn
    for name, group in chart.data.groupby("line"):
        if not name.endswith("°C"):
            continue
        kelvin = float(name.removesuffix(" °C").replace("\u2212", "-")) + 273.15
        gas = group.iloc[-1]
        zero = float(props("H", "T", 273.15, "Q", 0.0, fluid)) / 1e3 - 200
        enthalpy = float(props("H", "P", 1e5 * gas["pressure [bar]"] * 0.9999, "T", kelvin, fluid))
        assert gas["enthalpy [kJ/kg]"] == pytest.approx(enthalpy / 1e3 - zero, abs=0.1)


def test_its_range_holds_small_machines(drawn):
    fluid, chart = drawn
    names = set(chart.data["line"])
    degrees = np.arange(COLDEST + 10, HOTTEST + 1, 10)
    assert {f"{t:.0f} °C".replace("-", "\u2212") for t in degrees} < names
    entropies = [name for name in names if name.endswith("kJ/(kg·K)")]
    assert 5 < len(entropies) < 25
    low, high = chart.figure.axes[0].get_ylim()
    boils = [float(props("P", "T", t + 273.15, "Q", 1.0, fluid)) / 1e5 for t in (-35, 65)]
    assert low < boils[0] < boils[1] < high


def test_nothing_is_marked_that_nobody_answered(drawn):
    fluid, chart = drawn
    assert "answered" not in " ".join(chart.data["line"])
    assert "marked" not in chart.alt
    assert fluid in chart.alt and "200 kJ/kg" in chart.caption


def test_answered_states_are_marked():
    chart = paper("R134a", STATES)
    marked = chart.data[chart.data["line"].str.startswith("answered")]
    assert list(marked["enthalpy [kJ/kg]"]) == [state[1] for state in STATES]
    assert list(marked["pressure [bar]"]) == pytest.approx([state[2] / 100 for state in STATES])
    assert "1, 2, 3 and 4" in chart.alt
    loop = next(line for line in chart.figure.axes[0].lines if line.get_label() == "as answered")
    assert len(loop.get_xdata()) == 5


def test_the_same_chart_twice_is_the_same_file():
    assert svg_text(paper("R290")) == svg_text(paper("R290"))

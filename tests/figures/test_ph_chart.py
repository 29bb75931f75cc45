"""The log p–h chart: what is drawn is what the physics gave, and it is told in words."""

from __future__ import annotations

import re

import numpy as np
import pytest

from coldbench.figures.drawn import csv_text, svg_text
from coldbench.figures.look import cooler_styles
from coldbench.figures.ph_chart import ph_chart
from coldbench.physics.vapour import cycle
from coldbench.physics.vapour_chart import dome, isotherm

AT = (-20.0, 20.0, 60.0, 140.0)


def made(reference="IIR", fluid="R600a", **more):
    """Chart of an isobutane cycle between −23 and 45 °C."""
    found = cycle(fluid, 250.15, 318.15, superheat=30.0, subcooling=5.0, efficiency=0.65,
                  reference=reference)
    lines = {t: isotherm(fluid, t + 273.15, 3e4, 4e6, reference) for t in AT}
    return found, ph_chart(found, dome(fluid, 233.15, reference), lines, **more)


def labelled(axes, label):
    """The line of a label."""
    return next(line for line in axes.lines if line.get_label() == label)


@pytest.fixture(scope="module")
def drawn():
    """The cycle and its chart."""
    return made()


def test_the_cycle_passes_its_states_and_closes(drawn):
    found, chart = drawn
    (axes,) = chart.figure.axes
    x, y = labelled(axes, "cycle").get_data()
    wanted = [found.states[n] for n in (0, 1, 2, 3, 0)]
    assert x == pytest.approx([float(s.enthalpy) / 1e3 for s in wanted])
    assert y == pytest.approx([float(s.pressure) / 1e5 for s in wanted])


def test_pressure_is_logarithmic_with_plain_numbers_and_holds_everything(drawn):
    found, chart = drawn
    (axes,) = chart.figure.axes
    assert axes.get_yscale() == "log"
    chart.figure.canvas.draw()
    low, high = axes.get_ylim()
    ticks = [t.get_text() for t, at in zip(axes.get_yticklabels(), axes.get_yticks(), strict=True)
             if low <= at <= high]
    assert {"1", "2", "5", "10", "20"} <= set(ticks)
    for n, state in enumerate(found.states, start=1):
        (x,), (y,) = labelled(axes, f"state {n}").get_data()
        assert axes.get_xlim()[0] < x < axes.get_xlim()[1]
        assert low < y < high
        assert y == pytest.approx(float(state.pressure) / 1e5)


def test_each_isotherm_is_named_where_it_lies(drawn):
    _, chart = drawn
    (axes,) = chart.figure.axes
    texts = {t.get_text(): t for t in axes.texts}
    assert {"\u221220 °C", "20 °C", "60 °C", "140 °C", "1", "2", "3", "4"} == set(texts)
    for degrees in (-20, 20, 60):
        name = f"{degrees} °C".replace("-", "\u2212")
        x, y = labelled(axes, f"isotherm {degrees}").get_data()
        assert np.any(np.isclose(y, texts[name].xy[1]))
        assert x.min() < texts[name].xy[0] < x.max()


def test_data_and_words(drawn):
    found, chart = drawn
    assert set(chart.data["line"]) == {
        "saturation", "cycle", "\u221220 °C", "20 °C", "60 °C", "140 °C"
    }
    assert (chart.data["line"] == "cycle").sum() == 5
    assert chart.name == "ph-chart-r600a"
    assert f"COP {float(found.cop):.2f}" in chart.alt
    assert "IIR: 200 kJ/kg for saturated liquid at 0 °C" in chart.caption
    assert len(re.findall(r"state \d at", chart.alt)) == 4
    assert csv_text(chart).startswith("line,enthalpy [kJ/kg],pressure [bar]\nsaturation,")


def test_the_reference_state_is_named_and_moves_the_chart():
    found, chart = made("ASHRAE", name="Stall box", key="stall",
                        style=cooler_styles(["stall"])["stall"])
    (axes,) = chart.figure.axes
    assert "from ASHRAE [kJ/kg]" in axes.get_xlabel()
    assert "at \u221240 °C" in chart.alt
    assert "Cycle of Stall box with R600a" in chart.caption
    assert chart.name == "ph-chart-stall"
    first = float(made()[0].states[0].enthalpy - found.states[0].enthalpy)
    assert abs(first) > 1e4


def test_the_drawing_is_the_same_each_time_and_needs_no_font(drawn):
    _, chart = drawn
    svg = svg_text(chart)
    assert svg == svg_text(chart)
    assert "<text" not in svg


def test_many_cycles_at_once_are_refused():
    many = cycle("R134a", 253.15, np.array([303.15, 313.15]))
    with pytest.raises(ValueError, match="one cycle, not an array"):
        ph_chart(many, dome("R134a", 233.15), {})

"""Heat leak of the walls alone."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest

from coldbench.compare.geometry import geometry
from coldbench.physics.box import even_box, heat_leak
from coldbench.quantities import parse
from coldbench.sheets.cooler import CoolerSheet

SHEET = {"name": "Box", "technology": "passive", "origin": "built",
         "inside": {"width": "500 mm", "depth": "300 mm", "height": "270 mm"},
         "insulation": {"material": "XPS", "thickness": "40 mm"}}


def of(**changes):
    sheet = CoolerSheet.model_validate({**SHEET, **changes})
    footing = SimpleNamespace(ambient=parse("25 °C", "temperature"),
                              inside=parse("4 °C", "temperature"))
    return geometry(SimpleNamespace(coolers={"box": sheet}, sheet=SimpleNamespace(footing=footing)))


def test_the_interval_holds_a_plain_calculation():
    (row,) = of()
    plain = float(heat_leak(even_box(0.5, 0.3, 0.27, 0.04), 0.029, 6.0, 8.0))
    assert row.low < plain < row.high
    assert row.value == pytest.approx(plain, rel=0.1)
    assert (row.basis, row.conditions["wall"]) == ("modelled", 14.5)


def test_thicker_walls_leak_less():
    thin, thick = (of(insulation={"material": "XPS", "thickness": t})[0].value
                   for t in ("30 mm", "60 mm"))
    assert thick < 0.65 * thin


@pytest.mark.parametrize("change", [
    {"inside": {"volume": "40 L"}},
    {"insulation": {"material": "straw", "thickness": "40 mm"}},
    {"insulation": {"material": "XPS"}},
    {"inside": {"width": "500 mm", "depth": "300 mm", "height": "5 mm"}},
])
def test_nothing_is_said_where_the_walls_are_not_known(change):
    assert of(**change) == []


def test_a_common_word_for_a_foam_is_known():
    pur = of(insulation={"material": "PU", "thickness": "40 mm"})[0]
    assert pur.conditions["foam"] == "PUR"
    assert replace(pur, draws=None).finding == "heat_leak_geometry"

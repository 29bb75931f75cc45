"""Shapes and sizes of containers: what is missing, what does not belong, what cannot be."""

from __future__ import annotations

import pytest

from coldbench.sheets.containers import container_faults
from coldbench.sheets.run import LoadSheet


def faults(water="330 mL", **sizes):
    container = {"material": "aluminium", "mass": "13 g", **sizes}
    load = LoadSheet.model_validate({"count": 2, "water": water, "container": container})
    return [fault.what for fault in container_faults(load, "load 1, container", "runs/a.toml:3")]


@pytest.mark.parametrize("sizes", [
    {},
    {"shape": "can", "diameter": "66 mm"},
    {"shape": "bottle", "diameter": "66 mm", "height": "20 cm"},
    {"shape": "brick", "width": "10 cm", "depth": "6 cm"},
    {"shape": "slab", "height": "3 cm"},
])
def test_what_tells_the_body_of_water_passes(sizes):
    assert faults(**sizes) == []


@pytest.mark.parametrize(("sizes", "told"), [
    ({"shape": "can"}, "a can lacks its diameter"),
    ({"shape": "bottle", "height": "20 cm"}, "a bottle lacks its diameter"),
    ({"shape": "brick", "height": "20 cm"}, "a brick lacks its width and its depth"),
    ({"shape": "slab"}, "a slab lacks its height"),
    ({"diameter": "66 mm"}, "it has sizes but no shape"),
    ({"shape": "can", "diameter": "66 mm", "width": "66 mm"}, "a can has no width"),
    ({"shape": "can", "diameter": "66 mm", "height": "12 mm"}, "it cannot hold the water"),
    ({"shape": "brick", "width": "10 mm", "depth": "6 cm", "height": "1 cm"},
     "it cannot hold the water"),
])
def test_what_cannot_be_is_told(sizes, told):
    assert faults(**sizes) == [f"load 1, container: {told}"]

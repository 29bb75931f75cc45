"""Modelled hold times: closed forms, one load for all, what is missing is said."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from coldbench import draws
from coldbench.compare.hold_modelled import hold_modelled
from coldbench.findings import Finding, measured
from coldbench.physics.water import CP_ICE, CP_WATER, LATENT_HEAT
from coldbench.sheets import Campaign, CoolerSheet, RunSheet
from coldbench.sheets.campaign import CampaignSheet

UA, STRUCTURE, AMBIENT = 0.8, 5.0, 25.0  # [W/K], [kJ/K], [°C]


def asked(pairs, loads, technology="passive", ambient="25 °C"):
    """A campaign without logs: a run a cooler with so much water."""
    sheet = CampaignSheet.model_validate({
        "title": "made", "question": "made", "author": "tests", "date": date(2031, 6, 14),
        "timezone": "UTC", "targets": {"hold": pairs},
        "footing": {"ambient": ambient, "inside": "4 °C"}})
    cooler = CoolerSheet.model_validate(
        {"name": "made", "technology": technology, "origin": "lent"})
    runs = {
        f"run-{name}": RunSheet.model_validate({
            "cooler": name, "kind": ["pull-down"],
            **({"load": [{"count": 1, "water": f"{kg} kg"}]} if kg else {})})
        for name, kg in loads.items()
    }
    campaign = Campaign(Path("made"), sheet, dict.fromkeys(loads, cooler), runs)
    return SimpleNamespace(campaign=campaign, of=lambda cooler, kind: [])


def row(cooler, finding="heat_leak", at="walls heater", value=UA, limit=0.03, wall=None):
    drawn = value * (1 + draws.uniform(f"{cooler} {finding}", limit))
    return Finding(cooler=cooler, finding=finding, at=at, runs=("r",),
                   unit="W/K" if finding == "heat_leak" else "kJ/K",
                   conditions={} if wall is None else {"wall": wall}, **measured(drawn, value))


def known(cooler, **more):
    return [row(cooler, **more), row(cooler, "structure_heat", "walls two loads", STRUCTURE)]


def share(mass, ua=UA):
    return 1 / (1 + ua / (0.45 * mass))


def test_one_lumped_mass_by_hand():
    (found,) = hold_modelled(asked([["4 °C", "8 °C"]], {"a": 10}), known("a"))
    r = share(10)
    seconds = (10 * CP_WATER + r * 5000) / (r * UA) * np.log((AMBIENT - 4) / (AMBIENT - 8))
    assert found.value == pytest.approx(seconds / 3600)
    assert found.low < found.value < found.high
    assert (found.basis, found.at) == ("modelled", "load 4 to 8 °C modelled")
    assert found.conditions == {"ambient": 25.0, "load": 10.0}
    assert "film at the load assumed" in found.note


def test_ice_warms_without_melting_and_melts_between():
    frozen, through = hold_modelled(
        asked([["-18 °C", "-9 °C"], ["-18 °C", "5 °C"]], {"a": 10}), known("a"))
    r = share(10)

    def stage(heat, first, second):
        return (heat + r * 5000) / (r * UA) * np.log((AMBIENT - first) / (AMBIENT - second))

    assert frozen.value == pytest.approx(stage(10 * CP_ICE, -18, -9) / 3600)
    melting = 10 * LATENT_HEAT / (r * UA * AMBIENT)
    whole = stage(10 * CP_ICE, -18, 0) + melting + stage(10 * CP_WATER, 0, 5)
    assert through.value == pytest.approx(whole / 3600)


def test_all_coolers_hold_the_load_that_each_of_them_had():
    one, two = hold_modelled(asked([["4 °C", "8 °C"]], {"a": 10, "b": 4}),
                             [*known("a"), *known("b", value=2 * UA)])
    assert one.conditions == two.conditions == {"ambient": 25.0, "load": 4.0}
    assert one.value > 1.5 * two.value


def test_without_any_load_air_and_structure_warm():
    (found,) = hold_modelled(asked([["4 °C", "8 °C"]], {"a": 0}), known("a"))
    assert found.value == pytest.approx(5000 / UA * np.log(21 / 17) / 3600)
    assert found.at == "air 4 to 8 °C modelled"
    assert "no run had a load" in found.note


def test_the_heat_leak_is_moved_to_the_wall():
    """The wall lies at (6 + 25)/2 = 15.5 °C; foam, 0.8 of the leak, conducts 0.4 %/K more."""
    rest = known("a")[1:]
    here, there = (hold_modelled(asked([["4 °C", "8 °C"]], {"a": 0}), [row("a", wall=w), *rest])
                   for w in (15.5, 35.5))
    assert there[0].value / here[0].value == pytest.approx(np.exp(0.8 * 0.004 * 20), rel=1e-6)


@pytest.mark.parametrize(("rows", "said"), [
    ([], "needs a heat leak"),
    (known("a")[:1], "needs the box's volume or sides"),
])  # fmt: skip
def test_what_is_missing_is_said(rows, said):
    (found,) = hold_modelled(asked([["4 °C", "8 °C"]], {"a": 10}), rows)
    assert (found.basis, found.value) == ("not measured", None)
    assert said in found.note


def test_a_room_that_is_no_warmer_has_no_hold_time():
    (found,) = hold_modelled(asked([["4 °C", "8 °C"]], {"a": 10}, ambient="8 °C"), known("a"))
    assert (found.basis, found.value) == ("not applicable", None)


def test_the_walls_of_a_thermoelectric_box_are_not_all_of_it():
    result = asked([["4 °C", "8 °C"]], {"a": 10}, "thermoelectric")
    (walls,) = hold_modelled(result, known("a"))
    assert "it holds less long" in walls.note
    off = row("a", at="off warm-up", value=1.4)
    (whole,) = hold_modelled(result, [*known("a"), off])
    assert whole.value < walls.value
    assert "from off warm-up" in whole.note

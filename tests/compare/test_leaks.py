"""Which heat leak a balance uses, whether two ways agree, and walls without a bridge."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from coldbench import draws
from coldbench.compare.bridge import walls_modelled
from coldbench.compare.leaks import agreements, leak_of
from coldbench.findings import Finding, measured
from coldbench.sheets.cooler import CoolerSheet


def leak(at: str, value: float, limit: float, wall: float = 14.0, cooler: str = "a") -> Finding:
    drawn = value * (1 + draws.uniform(f"{cooler} {at}", limit))
    return Finding(cooler=cooler, finding="heat_leak", at=at, unit="W/K",
                   conditions={"wall": wall}, **measured(drawn, value))


def test_the_narrowest_measured_way_stands_for_a_cooler() -> None:
    rows = [leak("walls warm-up", 0.52, 0.06), leak("walls heater", 0.50, 0.02),
            leak("off warm-up", 0.90, 0.01), leak("walls heater", 0.8, 0.01, cooler="b")]
    assert leak_of(rows, "a").finding.at == "walls heater"
    assert leak_of(rows, "a", "off").value == 0.90
    assert leak_of(rows, "c") is None


def test_a_modelled_row_gives_way_to_a_measured_one() -> None:
    modelled = replace(leak("walls modelled", 0.5, 0.001), basis="modelled")
    assert leak_of([modelled, leak("walls heater", 0.6, 0.1)], "a").value == 0.6
    assert leak_of([modelled], "a").value == 0.5


def test_a_row_without_interval_comes_last() -> None:
    bare = Finding(cooler="a", finding="heat_leak", at="walls ice melt", value=0.4, unit="W/K")
    assert leak_of([bare, leak("walls heater", 0.6, 0.1)], "a").value == 0.6
    alone = leak_of([bare], "a")
    assert alone.draws is None and alone.at_wall(20.0) == (0.4, None)


def test_a_warmer_wall_lets_more_in_by_the_slope_of_foam() -> None:
    one = leak_of([leak("walls heater", 0.50, 0.0, wall=30.0)], "a")
    value, drawn = one.at_temperatures(inside=4.0, ambient=24.0)
    # Foam makes 0.8 of the heat leak.
    assert value == pytest.approx(0.50 * np.exp(-16 * 0.8 * 0.004))
    low, high = draws.interval(drawn)
    # ± 0.2 %/K over 0.8 · 16 K: the middle 95 % of a rectangle ± 2.56 % of the value.
    assert (high - low) / 2 == pytest.approx(value * 0.0256 * 0.95, rel=0.03)


def test_two_ways_agree_where_their_difference_may_be_nothing() -> None:
    (same,) = agreements([leak("walls heater", 0.50, 0.03), leak("walls warm-up", 0.52, 0.05)])
    assert same.agree and same.apart == pytest.approx(0.04)
    (apart,) = agreements([leak("walls heater", 0.50, 0.03), leak("walls warm-up", 0.62, 0.05)])
    assert apart.agree is False
    assert agreements([leak("walls heater", 0.5, 0.03), leak("off warm-up", 0.9, 0.05)]) == []


def test_ways_at_unlike_wall_temperatures_are_compared_at_one() -> None:
    warm = leak("walls heater", 0.50 * np.exp(20 * 0.8 * 0.004), 0.01, wall=34.0)
    (told,) = agreements([warm, leak("walls warm-up", 0.50, 0.012, wall=14.0)])
    assert told.apart == pytest.approx(0.0, abs=0.001) and told.agree


def test_ways_that_disagree_widen_what_follows() -> None:
    chosen = leak_of([leak("walls heater", 0.50, 0.03), leak("walls warm-up", 0.62, 0.05)], "a")
    low, high = draws.interval(chosen.draws)
    assert low < 0.50 and high > 0.62 and "disagree" in chosen.note
    share = float(np.mean(chosen.draws > 0.56))
    # 4 000 tosses of a coin: 0.5 within five standard deviations.
    assert abs(share - 0.5) < 5 * 0.5 / np.sqrt(draws.DRAWS)


MODULES = {"count": 1, "i_max": "6.4 A", "v_max": "16.4 V", "dt_max": "68 K", "t_hot": "27 °C"}


def coolers(technology: str, **sheet: object) -> SimpleNamespace:
    told = {"name": "Box", "technology": technology, "origin": "built", **sheet}
    return SimpleNamespace(coolers={"a": CoolerSheet.model_validate(told)})


@pytest.mark.parametrize(("modules", "basis"), [(MODULES, "modelled"), (None, "not measured")])
def test_walls_of_a_thermoelectric_box_are_modelled_from_off(modules, basis) -> None:
    campaign = coolers("thermoelectric", modules=modules)
    (row,) = walls_modelled([leak("off warm-up", 1.00, 0.03)], campaign)
    assert (row.at, row.basis) == ("walls modelled", basis)
    if basis == "modelled":
        # K of this sheet is 0.60 W/K (16.4 · 6.4 · 232 / (2 · 300 · 68)); between sides of 0.2 and
        # 0.3 at best the bridge is 0.46, between 0.8 and 2.0 at worst 0.22.
        assert row.low < 1.00 - 0.40 and row.high > 1.00 - 0.26
        assert 0.54 < row.value < 0.78


def test_measured_walls_are_not_modelled_again() -> None:
    campaign = coolers("thermoelectric", modules=MODULES)
    rows = [leak("off warm-up", 1.00, 0.03), leak("walls heater", 0.55, 0.03)]
    assert walls_modelled(rows, campaign) == []
    assert walls_modelled([leak("walls warm-up", 0.5, 0.03)], coolers("compressor")) == []

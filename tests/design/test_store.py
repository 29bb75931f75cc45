"""Ice and eutectic packs: masses from the first law, and which of them serve."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench import draws
from coldbench.design.store import STORES, rides, store_mass


def test_mass_is_heat_over_latent_heat():
    # 0.6 W/K over 25 K for 12 h and 2 W besides: 204 Wh.
    mass = store_mass(333.5e3, 2050.0, 0.0, 0.6, 5.0, 30.0, 12.0, extra=2.0)
    assert float(mass) * 333.5e3 == pytest.approx(204 * 3600)


def test_a_store_from_the_freezer_needs_less():
    plain, cold = (store_mass(333.5e3, 2050.0, 0.0, 0.6, 5.0, 30.0, 12.0, start=at)
                   for at in (None, -18.0))
    assert plain / cold == pytest.approx(1 + 2050 * 18 / 333.5e3)


def test_what_melts_too_warm_does_not_serve():
    leak = np.full(draws.DRAWS, 0.5)
    assert [ride.store.melts for ride in rides(leak, 4.0, 25.0, 10.0)] == [0.0, -10.7, -21.2]
    assert [ride.store.melts for ride in rides(leak, -18.0, 25.0, 10.0)] == [-21.2]
    assert rides(leak, -25.0, 25.0, 10.0) == []
    assert np.isinf(store_mass(227e3, 1800.0, 5.9, 0.5, 4.0, 25.0, 10.0))


def test_colder_packs_need_less_surface_and_more_mass():
    leak = 0.5 * (1 + draws.uniform("leak", 0.05))
    ice, salt, brine = rides(leak, 4.0, 25.0, 10.0)
    assert np.median(ice.area) > np.median(salt.area) > np.median(brine.area)
    assert np.median(ice.mass) < np.median(salt.mass) < np.median(brine.mass)
    low, high = draws.interval(ice.mass)
    assert high / low == pytest.approx(1.1, abs=0.02)


def test_every_store_names_its_source():
    assert all(store.source for store in STORES)
    assert [store.name for store in STORES if "memory" not in store.source] == ["ice"]

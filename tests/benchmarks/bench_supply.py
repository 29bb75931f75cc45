"""Twenty years of hours for one cooler: all batteries and panels tried, the smallest found.

``python run.py bench`` runs it.
"""

from __future__ import annotations

import numpy as np

from coldbench.compare.supply_place import Place
from coldbench.compare.supply_year import year_of
from coldbench.findings import Finding
from coldbench.physics.weather_years import air_year, calendar, sky_years

TARGET = 2.0  # s


def test_twenty_years_of_one_cooler(benchmark):
    sky = sky_years(45.0, 0.45, 20, np.random.default_rng(1), dull=0.25, persistence=0.3)
    air = air_year(45.0, 22.0, 6.0, 5.0)
    place = Place(sky.sun, air, calendar(45.0).month, 0.8, 0.95, 0.7, 0.2, ())
    load = 1 + 9 * (np.maximum(air - 4, 0) / 21) ** 1.5
    energy = Finding(cooler="a", finding="daily_energy_footing", value=240.0)
    benchmark.pedantic(year_of, args=(place, energy, load, (500.0, 100.0)), rounds=3)
    median = benchmark.stats["median"]
    print(f"\n20 years of one cooler: {median:.2f} s, target at most {TARGET:g} s")
    assert median <= TARGET

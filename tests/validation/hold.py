"""Modelled hold times of simulated boxes, held against another warm-up that the kit never sees.

Measured is one warm-up of a heavy load in a drifting room; asked is the time another load takes in
a room of another temperature. The truth is that second warm-up, simulated.
"""

from __future__ import annotations

import sys
import tempfile
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd

sys.path.insert(0, str(Path(__file__).parent))

import leaks

from coldbench.analysis.campaign import analyse_campaign
from coldbench.bench import (
    Campaign,
    CampaignSim,
    Case,
    Room,
    simulate,
    simulate_campaigns,
    write_campaign,
)
from coldbench.bench.history import History
from coldbench.compare.hold_modelled import Held, one_hold
from coldbench.compare.rows import all_rows
from coldbench.sheets import read_campaign

SEED = 991
BOTTLE = 0.499  # water in one [kg]
PAIR = (4.0, 8.0)


def study(kit: str, count: int, seed: int = SEED) -> pd.DataFrame:
    """One row a box: hold time modelled, its interval, truth. [h]"""
    asked = [_asked(number, kit, seed) for number in range(count)]
    sims = simulate_campaigns([campaign for campaign, _ in asked])
    histories = simulate([case for _, case in asked])
    return pd.DataFrame([
        {**_modelled(sim, case), "truth": _truth(history)}
        for sim, (_, case), history in zip(sims, asked, histories, strict=True)
    ])


def _asked(number: int, kit: str, seed: int) -> tuple[Campaign, Case]:
    """What is measured, and the warm-up that is asked for."""
    campaign, box = leaks._drawn(number, kit, seed)
    (heavy,) = [run for run in campaign.runs if run.id == "heavy"]
    rng = np.random.default_rng([5, campaign.seed])
    load, ambient = heavy.case.loads[0], float(rng.integers(18, 33))
    bottles = max(1, round(load.water / BOTTLE * rng.uniform(0.4, 1.0)))
    part = bottles * BOTTLE / load.water
    lighter = replace(load, water=bottles * BOTTLE, film=part * load.film,
                      container_heat=part * load.container_heat, start=1.0)
    hours = (bottles * 2100 + box.liner_heat + box.foam_heat) / box.heat_leak / 900
    return replace(campaign, runs=(heavy,)), Case(
        box, None, (lighter,), room=Room(mean=ambient, daily=0.0, drift=0.0), start=1.0,
        hours=hours)


def _modelled(sim: CampaignSim, case: Case) -> dict[str, float]:
    with tempfile.TemporaryDirectory() as folder:
        write_campaign(Path(folder) / "c", sim)
        result = analyse_campaign(read_campaign(Path(folder) / "c"))
    rows, _ = all_rows(result)
    held = Held(result.campaign.runs["heavy"], case.loads[0].water, case.room.mean)
    row = one_hold(result, rows, "cooler", held, *PAIR)
    return {"value": row.value, "low": row.low, "high": row.high}


def _truth(history: History) -> float:
    core = history.states["load"].astype(float)
    first, second = (np.interp(level, core, history.t) for level in PAIR)
    return float(second - first) / 3600

"""Twins on the bench: two coolers that are one and the same but for the day, and two that are not.

Each campaign has two coolers with one meter and one set of probes. Every run has its own hidden
spread, as runs of the simulator do. At true equality a difference must hardly ever be claimed; one
of three standard uncertainties (assumed ones, of a difference of two runs) mostly is.
"""

from __future__ import annotations

import datetime as dt
import tempfile
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd

from coldbench.analysis.campaign import analyse_campaign
from coldbench.analysis.limits import LIMITS
from coldbench.bench import (
    Campaign,
    Case,
    Column,
    Compressor,
    LogPlan,
    Meter,
    Room,
    Run,
    Thermostat,
    cans,
    foam_box,
    simulate_campaigns,
    write_campaign,
)
from coldbench.compare.differences import differences
from coldbench.compare.repeats import one_row_each
from coldbench.sheets import read_campaign

SEED = 20311005
CAMPAIGNS = 1000
TENTH = 100
AT_ONCE = 25
MOST_CLAIMED = 0.065  # of campaigns with twins
LEAST_FOUND = 0.80  # of real differences
# Three standard uncertainties of the difference of two single runs, one t times the other:
# t − 1 = 3 · spread · √(1 + t²), solved for t. [-]
SPREADS = (3 * LIMITS.spread_energy) ** 2
THIRSTIER = float((1 + np.sqrt(1 - (1 - SPREADS) ** 2)) / (1 - SPREADS))
FINDINGS = ("daily_energy", "pull_down_time")
TARGET = "air<=8 °C"


# What is compared, how much thirstier the second is, and the relative error of their meter. [-]
KINDS = {
    "twins": (1.0, 0.03), "one thirstier": (THIRSTIER, 0.03),
    "one thirstier, coarse meter": (THIRSTIER, 0.10),
}


def study(what: str, count: int, seed: int = SEED) -> pd.DataFrame:
    """One row a campaign and finding: the verdict, and the intervals of both.

    Parameters
    ----------
    what : str
        One of ``KINDS``.
    count : int
        Campaigns.
    seed : int
        What they are drawn from.
    """
    rows: list[dict[str, object]] = []
    for begin in range(0, count, AT_ONCE):
        numbers = range(begin, min(begin + AT_ONCE, count))
        drawn = [_campaign(n, *KINDS[what], seed) for n in numbers]
        for campaign, sim in zip(drawn, simulate_campaigns(drawn, dt=20.0), strict=True):
            with tempfile.TemporaryDirectory() as folder:
                write_campaign(Path(folder) / "c", sim)
                result = analyse_campaign(read_campaign(Path(folder) / "c"))
            found, spreads = one_row_each(result.findings, result.campaign)
            for d in differences(found, spreads, {}):
                at = d.first.at in ("", TARGET) or d.first.finding == "daily_energy"
                if d.first.finding in FINDINGS and at:
                    rows.append(_row(campaign.id, d))
    return pd.DataFrame(rows)


def _row(campaign: str, d) -> dict[str, object]:
    a, b = d.first, d.second
    stated = None not in (a.low, a.high, b.low, b.high)
    return {
        "campaign": campaign, "finding": a.finding, "verdict": d.verdict, "why": d.why,
        "overlap": stated and a.low <= b.high and b.low <= a.high,
    }


def table(rows: pd.DataFrame, what: str) -> pd.DataFrame:
    """A row a finding: how often a difference was claimed, and how often the intervals overlap."""
    lines = []
    for finding, of in rows.groupby("finding", sort=True):
        judged = of[of["verdict"] != "not comparable"]
        claimed = float(judged["verdict"].isin(("less", "more")).mean())
        # The marks are for all campaigns; of a part chance allows 2.6 standard deviations.
        chance = 2.6 / np.sqrt(max(len(judged), 1)) if len(judged) < CAMPAIGNS else 0.0
        passed = True
        if what == "twins":
            passed = claimed <= MOST_CLAIMED + chance * np.sqrt(0.05 * 0.95)
        elif finding == "daily_energy":
            # Where all intervals overlap, the shared meter's error must cancel all the same.
            passed = claimed >= LEAST_FOUND - chance * np.sqrt(0.8 * 0.2)
        lines.append({
            "coolers": what, "finding": finding, "campaigns": len(of), "compared": len(judged),
            "claimed": claimed, "intervals overlap": float(judged["overlap"].mean()),
            "claimed of overlapping": float(
                judged[judged["overlap"]]["verdict"].isin(("less", "more")).mean()),
            "passed": "yes" if passed else "no",
        })
    return pd.DataFrame(lines)


def _campaign(number: int, thirst: float, error: float, seed: int) -> Campaign:
    rng = np.random.default_rng([seed, number])
    box = foam_box(
        float(rng.uniform(15, 45)), float(rng.uniform(0.03, 0.05)),
        float(rng.uniform(0.023, 0.03)), seal=0.05, mixing=3.0)
    unit = Compressor()
    size = box.heat_leak * 45 / 20 * float(rng.uniform(1.0, 1.4))
    unit = replace(
        unit, capacity=(*(c * size for c in unit.capacity[:3]), unit.capacity[3]),
        power=(*(c * size**0.8 for c in unit.power[:3]), unit.power[3]),
        evaporator_heat=1500.0 * size, evaporator_film=3.8 * size)
    thirsty = replace(unit, power=(*(c * thirst for c in unit.power[:3]), unit.power[3]),
                      idle=unit.idle * thirst, peak=unit.peak * thirst)
    probes = Meter("probes", "temperature", error="0.5 K", offset=0.5, noise=0.03, resolution=0.05)
    meter = Meter("meter", "power", error=f"{100 * error:g} % + 0.2 W", offset=0.2, gain=error,
                  noise=0.05, resolution=0.1)
    plan = (
        LogPlan((Column("air_C", "air", "probes", probe="P1"),
                 Column("ambient_C", "ambient", "probes", probe="P3")), step=120.0),
        LogPlan((Column("power_W", "power", "meter"),), step=120.0, power="mean",
                ending="-power"),
    )
    thermostat = Thermostat(5.3, 2.7, lag=float(rng.uniform(150, 400)))
    runs = []
    for n, machine in enumerate((unit, thirsty)):
        room = Room(mean=24.5, daily=0.3, drift=0.1, seed=int(rng.integers(1 << 30)))
        load, told = cans(4, 330.0, "aluminium", 13.0, 24.5)
        case = Case(box, machine, (load,), thermostat=thermostat, room=room, start=24.5, hours=32.0)
        sheet = {"cooler": f"c{n}", "kind": ["pull-down", "steady"], "setting": "4 °C",
                 "load": [told], "mark": [{"at": "0 min", "what": "power on"}]}
        runs.append(Run(f"run-{n}", case, sheet, dt.datetime(2031, 3, 3 + 3 * n, 9), plan))
    coolers = {f"c{n}": {"name": f"Cooler {n}", "technology": "compressor", "origin": "bought",
                         "supply": "12 V"} for n in range(2)}
    sheet = {"title": f"Twins {number} (invented data)", "timezone": "UTC",
             "targets": {"temperatures": ["8 °C"]}}
    return Campaign(id=f"twins-{number:04d}", seed=seed + 7 * number, sheet=sheet,
                    meters=(probes, meter), coolers=coolers, runs=tuple(runs))

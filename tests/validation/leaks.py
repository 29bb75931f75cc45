"""Heat leaks of simulated boxes with hidden truth: heater, warm-up, two loads, melting ice.

Drawn by seed: box, room, loads, heater, ice, and probes of a checked kit (0.1 K) and of an
unchecked one (0.5 K). The truth is the box's series resistance at the mean wall temperature of
the stretch; the analyses know nothing of it.
"""

from __future__ import annotations

import datetime as dt
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd

from coldbench.analysis.campaign import analyse_campaign
from coldbench.bench import (
    Box,
    Campaign,
    CampaignSim,
    Case,
    Column,
    Load,
    LogPlan,
    Meter,
    Room,
    Run,
    cans,
    foam_box,
    simulate_campaigns,
    write_campaign,
)
from coldbench.bench.boxes import FOAM_PER_KELVIN, FOAM_REFERENCE
from coldbench.bench.sheet_text import Inline
from coldbench.findings import Finding
from coldbench.sheets import read_campaign

SEED = 20310808
BOXES = 400
TENTH = 40
AT_ONCE = 20
LIGHT = "warm-up, light load"  # less than three times the structure's heat
WAYS = ("heater", "warm-up", LIGHT, "two loads", "ice melt")
# What the value may be off by with a checked kit, in 95 % of cases. [-]
WITHIN = {"heater": 0.05, "warm-up": 0.07, "two loads": 0.05}
SHARE = 0.95


def study(kit: str, count: int, first: int = 0, seed: int = SEED) -> pd.DataFrame:
    """One row a box and way: value, interval, truth.

    Parameters
    ----------
    kit : {"checked", "unchecked", "exact"}
    count, first, seed : int
        How many boxes, the first of them, and what they are drawn from.
    """
    rows: list[dict[str, object]] = []
    for begin in range(first, first + count, AT_ONCE):
        numbers = range(begin, min(begin + AT_ONCE, first + count))
        drawn = [_drawn(number, kit, seed) for number in numbers]
        for (campaign, box), sim in zip(
                drawn, simulate_campaigns([c for c, _ in drawn]), strict=True):
            sim = _poured_off(sim)
            with tempfile.TemporaryDirectory() as folder:
                write_campaign(Path(folder) / "c", sim)
                found = analyse_campaign(read_campaign(Path(folder) / "c")).findings
            rows += [{"box": campaign.id, **row} for row in _rows(found, box)]
    return pd.DataFrame(rows)


def _poured_off(sim: CampaignSim) -> CampaignSim:
    """The same, with the melted water of its ice run weighed and written down."""
    (run,) = [run for run in sim.campaign.runs if run.id == "ice"]
    rng = np.random.default_rng([sim.campaign.seed, 7])
    mass = run.case.loads[0].water
    melted = mass * (1 - sim.truths["ice"].ice_fraction())
    wet = mass * float(rng.uniform(0, 0.02))  # water that clung to the ice when it was weighed
    weighed = (melted + wet) * (1 + float(rng.uniform(-0.01, 0.01)))
    sheet = run.sheet | {"ice": Inline(mass=f"{mass + wet:.3f} kg", start="0 °C",
                                       drained=f"{weighed:.4f} kg")}
    runs = tuple(replace(r, sheet=sheet) if r is run else r for r in sim.campaign.runs)
    return CampaignSim(replace(sim.campaign, runs=runs), sim.histories)


def table(rows: pd.DataFrame, kit: str) -> pd.DataFrame:
    """A row a way: how often the value is near enough, and how often its interval holds."""
    lines = []
    for way in WAYS:
        of = rows[rows["way"] == way]
        valued = of[of["value"].notna()]
        error = (valued["value"] / valued["truth"] - 1).abs()
        limit = WITHIN.get(way) if kit == "checked" else None
        near = float((error <= limit).mean()) if limit else np.nan
        hit = float(valued["hit"].mean()) if len(valued) else np.nan
        # 99 % of the binomial about 95 %, rounded outwards: a lower rate is no chance.
        least = SHARE - 2.6 * np.sqrt(SHARE * (1 - SHARE) / max(len(valued), 1))
        passed = hit >= least and (not limit or near >= least)
        lines.append({
            "kit": kit, "way": way, "boxes": len(of), "valued": len(valued),
            "median error": float(error.median()), "within": near, "limit": limit or np.nan,
            "hit rate": hit, "half width": float(valued["half"].median()),
            "passed": "yes" if passed else "no",
        })
    return pd.DataFrame(lines)


def _rows(found: tuple[Finding, ...], box: Box) -> Iterator[dict[str, object]]:
    for finding in found:
        if finding.finding != "heat_leak":
            continue
        truth = leak_at(box, float(finding.conditions["wall"]))
        low, high = finding.low, finding.high
        stated = low is not None and high is not None
        yield {
            "way": LIGHT if finding.runs == ("light",) else finding.at.split(" ", 1)[1],
            "value": finding.value, "truth": truth,
            "hit": stated and low <= truth <= high,
            "half": (high - low) / 2 / truth if stated else np.nan,
            "basis": finding.basis, "note": finding.note,
        }


def leak_at(box: Box, wall: float) -> float:
    """Heat leak of a box at a mean wall temperature. [W/K]"""
    foam = box.foam_resistance / (1 + FOAM_PER_KELVIN * (wall - FOAM_REFERENCE))
    return 1 / (1 / box.film_inside + foam + 1 / box.film_outside) + box.seal


def _drawn(number: int, kit: str, seed: int) -> tuple[Campaign, Box]:
    """A passive box or one whose machine is out, and four runs of it."""
    rng = np.random.default_rng([seed, number])
    wall = float(rng.uniform(0.02, 0.055))
    box = foam_box(
        float(rng.uniform(5, 60)), wall,
        float(rng.uniform(0.023, 0.034)), seal=float(rng.uniform(0.03, 0.08)),
        mixing=float(rng.uniform(2.0, 4.0)),
    )  # fmt: skip
    runs = [heater_run(rng, box), *warm_up_runs(rng, box), _ice(rng, box)]
    limit = {"exact": 0.001, "checked": 0.1, "unchecked": 0.5}[kit]
    probes = Meter(
        "probes", "temperature", error=f"{limit:g} K", offset=limit,
        noise=float(rng.uniform(0.01, 0.05)), resolution=0.05,
    )  # fmt: skip
    columns = tuple(Column(f"{role}_C", role, "probes", probe=probe)
                    for role, probe in (("air", "P1"), ("load", "P2"), ("ambient", "P3")))
    plan = LogPlan(columns, step=float(rng.choice([60.0, 300.0])))
    cooler = {
        "name": f"Box {number}", "technology": "passive", "origin": "built",
        "inside": Inline(volume=f"{box.litres:.1f} L"),
        "liner": Inline(material="polypropylene", mass=f"{box.liner_heat / 1900:.3f} kg"),
        "insulation": Inline(material="foam", thickness=f"{1000 * wall:.0f} mm"),
    }
    sheet = {"title": f"Box {number} (invented data)", "timezone": "UTC"}
    campaign = Campaign(
        id=f"box-{number:03d}", seed=seed + number, sheet=sheet, meters=(probes,),
        coolers={"cooler": cooler}, runs=tuple(replace(run, logs=(plan,)) for run in runs),
    )
    return campaign, box


def draw_room(rng: np.random.Generator) -> Room:
    """A room with its own course of a day."""
    return Room(
        mean=float(rng.uniform(19, 28)), daily=float(rng.uniform(0, 1.5)),
        drift=float(rng.uniform(0.05, 0.2)), warmest=float(rng.uniform(0, 24)),
        seed=int(rng.integers(1 << 30)),
    )  # fmt: skip


def _run(name: str, kind: str, case: Case, **sheet: object) -> Run:
    # The box is the same on all days: what is asked is whether the way finds it.
    return Run(name, case, {"cooler": "cooler", "kind": [kind], "machine": "out", **sheet},
               dt.datetime(2031, 3, 3, 9), logs=(), spread=0.0)


def heater_run(rng: np.random.Generator, box: Box) -> Run:
    """A heater in a box without a machine."""
    room = draw_room(rng)
    watts = box.heat_leak * float(rng.uniform(11, 22))
    load, of_load = cans(1, 330.0, "PET", 20.0, room.mean)
    case = Case(box, None, (load,), room=room, start=room.mean, heater=watts,
                hours=float(rng.integers(9, 16)))
    stated = watts * (1 + float(rng.uniform(-0.01, 0.01)))
    heater = Inline(power=f"{stated:.4f} W ± {0.01 * stated:.4f} W")
    return _run("heater", "heater", case, load=[of_load], heater=heater)


def warm_up_runs(rng: np.random.Generator, box: Box) -> list[Run]:
    """A heavy load whose heat is at least three times the structure's, and a light one."""
    structure = box.liner_heat + box.foam_heat / 3
    least = int(np.ceil(3 * structure / (0.5 * 4186)))
    heavy = least + int(rng.integers(0, 5))
    light = max(1, heavy // int(rng.integers(4, 7)))
    return [_warm_up(rng, box, "heavy", heavy), _warm_up(rng, box, "light", light)]


def _warm_up(rng: np.random.Generator, box: Box, name: str, bottles: int) -> Run:
    room, start = draw_room(rng), float(rng.uniform(1, 5))
    filling = float(rng.uniform(-0.01, 0.01))
    load, of_load = cans(bottles, 500.0, "PET", 20.0, start, film=0.25, filling=filling)
    of_load |= {"water": f"{0.998 * 0.5:.4f} kg ± {0.005:.3f} kg"}
    days = bottles * 0.5 * 4186 / box.heat_leak / 3600  # its time constant [h]
    hours = float(np.clip(rng.uniform(0.5, 1.0) * days, 8, 40))
    case = Case(box, None, (load,), room=room, start=start, hours=hours)
    return _run(name, "warm-up", case, load=[of_load])


def _ice(rng: np.random.Generator, box: Box) -> Run:
    """Ice on the floor, weighed before and what has melted after."""
    room, hours = draw_room(rng), float(rng.integers(10, 20))
    mass = float(box.heat_leak * 24 * hours * 3600 / 333_500 * rng.uniform(1.2, 2.0))
    ice = Load(water=mass, film=float(rng.uniform(1.5, 2.5)) * mass, start=-0.01, frozen=True,
               warm_share=0.3)
    case = Case(box, None, (ice,), room=room, start=4.0, hours=hours)
    return _run("ice", "ice-melt", case, ice=Inline(mass=f"{mass:.3f} kg", start="0 °C"))

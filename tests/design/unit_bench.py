"""Compressor coolers drawn by number, logged, and their units simulated in other boxes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from coldbench.analysis.campaign import CampaignResult, analyse_campaign
from coldbench.bench import (
    Box,
    Campaign,
    CampaignSim,
    Case,
    Column,
    Compressor,
    History,
    Load,
    LogPlan,
    Meter,
    Room,
    Run,
    Thermostat,
    Truth,
    cans,
    foam_box,
    simulate,
    write_campaign,
)
from coldbench.bench.boxes import FOAM_PER_KELVIN, FOAM_REFERENCE
from coldbench.bench.sheet_text import Inline
from coldbench.sheets import read_campaign

HOUR = 3600.0
RUNS = ("heater", "near", "far", "cold")
SETTLED = 12.0  # last hours, from which truth is read [h]


@dataclass(frozen=True)
class Donor:
    """A cooler that is measured, and the box its unit moves into."""

    number: int
    box: Box
    unit: Compressor
    room: float  # [°C]
    setting: float  # [°C]
    load: tuple[Load, dict[str, object]]
    new: Box
    hot: float  # ambient of the new box [°C]
    target: float  # its setting [°C]
    goods: Load
    cases: dict[str, Case]


def draw_unit(rng: np.random.Generator, box: Box) -> Compressor:
    """A unit whose map is bent, tilted and sized otherwise than any other's."""
    size = box.heat_leak * 45 / 20 * rng.uniform(0.9, 1.5)
    thirst = size**0.8 * rng.uniform(0.9, 1.15)
    slope = 1.85 * size * rng.uniform(0.85, 1.2)
    return Compressor(
        # The map's turning point lies where no evaporator gets to.
        capacity=(54.0 * size, slope, slope / (2 * rng.uniform(43, 80)),
                  rng.uniform(-0.014, -0.003)),
        power=(51.5 * thirst, thirst * rng.uniform(0.1, 0.9), thirst * rng.uniform(-0.004, 0.002),
               rng.uniform(0.004, 0.015)),
        idle=rng.uniform(0.6, 2.5), peak=rng.uniform(20, 90),
        evaporator_heat=rng.uniform(600, 1800), evaporator_film=3.8 * size * rng.uniform(0.8, 1.3),
    )


def draw_donor(number: int, seed: int = 20310704) -> Donor:
    """Cooler, new box and all that is done with both."""
    rng = np.random.default_rng([seed, number])
    box = foam_box(rng.uniform(12, 40), rng.uniform(0.03, 0.055), rng.uniform(0.023, 0.03),
                   seal=rng.uniform(0.03, 0.08), mixing=rng.uniform(2, 4))
    unit = draw_unit(rng, box)
    room, setting, half = rng.uniform(18, 24), round(rng.uniform(2, 6), 1), rng.uniform(0.7, 1.5)
    load = cans(int(rng.integers(4, 13)), 330.0, "aluminium", 13.0, room)
    new = foam_box(box.litres * rng.uniform(0.8, 2.2), rng.uniform(0.04, 0.08),
                   rng.uniform(0.023, 0.034), seal=rng.uniform(0.03, 0.1),
                   mixing=rng.uniform(2, 4))
    hot, target = room + rng.uniform(4, 12), rng.uniform(-2, 7)
    goods, _ = cans(int(rng.integers(6, 20)), 330.0, "PET", 24.0, hot)
    thermostat = Thermostat(setting + half, setting - half, lag=rng.uniform(100, 400))
    here = Room(mean=room, daily=0.4, drift=0.1, seed=number)
    there = replace(here, mean=room + rng.uniform(6.5, 10))
    own, other = Case(box, unit, room=here, start=room), Case(new, unit, room=_still(hot))
    cases = {
        "heater": replace(own, power_off=0.0, heater=box.heat_leak * 20, hours=30.0),
        "near": replace(own, loads=(load[0],), thermostat=thermostat, hours=30.0),
        "far": replace(own, room=there, thermostat=thermostat, start=setting + 2, hours=28.0),
        "cold": replace(own, loads=(load[0],), hours=44.0),
        "new coldest": replace(other, start=hot - 15, hours=40.0),
        "new held": replace(other, start=target, hours=26.0,
                            thermostat=Thermostat(target + 1, target - 1, lag=200.0)),
        "new goods": replace(other, loads=(goods,), start=hot, hours=40.0),
    }
    return Donor(number, box, unit, room, setting, load, new, hot, target, goods, cases)


def _still(mean: float) -> Room:
    return Room(mean=mean, daily=0.0, drift=0.0)


def simulated(donors: Sequence[Donor]) -> list[dict[str, History]]:
    """Histories of all cases of some donors, by name."""
    work = [(n, name, case) for n, one in enumerate(donors) for name, case in one.cases.items()]
    found: list[dict[str, History]] = [{} for _ in donors]
    for (n, name, _), history in zip(work, simulate([case for *_, case in work]), strict=True):
        found[n][name] = history
    return found


def logged(
    folder: Path, donor: Donor, histories: dict[str, History], kelvins: float = 0.1
) -> CampaignResult:
    """The donor's own runs, logged by instruments with these limits, written and analysed."""
    probes = Meter("probes", "temperature", error=f"{kelvins:g} K", offset=kelvins, noise=0.02,
                   resolution=0.05)
    meter = Meter("meter", "power", error="1 % + 0.1 W", offset=0.1, gain=0.01, noise=0.05,
                  resolution=0.1)
    runs = tuple(_run(donor, name) for name in RUNS)
    cooler = {
        "name": "Donor", "technology": "compressor", "origin": "built",
        "inside": Inline(volume=f"{donor.box.litres:.1f} L"),
        "liner": Inline(material="polypropylene", mass=f"{donor.box.liner_heat / 1900:.3f} kg"),
    }
    made = Campaign(f"donor-{donor.number}", 7 + donor.number,
                    {"title": "Made (invented data)", "timezone": "UTC"}, (probes, meter),
                    {"cooler": cooler}, runs)
    write_campaign(folder / made.id, CampaignSim(made, {n: histories[n] for n in RUNS}))
    return analyse_campaign(read_campaign(folder / made.id))


def _run(donor: Donor, name: str) -> Run:
    case, setting = donor.cases[name], f"{donor.setting:g} °C"
    sheet: dict[str, object] = {
        "heater": {"kind": ["heater"], "machine": "off",
                   "heater": Inline(power=f"{case.heater:.4f} W ± {0.01 * case.heater:.4f} W")},
        "near": {"kind": ["pull-down", "steady"], "setting": setting, "load": [donor.load[1]]},
        "far": {"kind": ["steady"], "setting": setting},
        "cold": {"kind": ["pull-down", "steady"], "setting": "coldest", "load": [donor.load[1]]},
    }[name]
    roles = ("air", "load", "ambient") if case.loads else ("air", "ambient")
    probe = {"air": "P1", "load": "P2", "ambient": "P3"}
    logs = [LogPlan(tuple(Column(f"{r}_C", r, "probes", probe=probe[r]) for r in roles))]
    if name != "heater":
        logs.append(LogPlan((Column("power_W", "power", "meter"),), power="mean", ending="-p"))
    return Run(name, case, {"cooler": "cooler", "mark": [{"at": "0 min", "what": "power on"}]}
               | sheet, dt.datetime(2031, 3, 10, 9), tuple(logs), spread=0.0)


def without(result: CampaignResult, *runs: str) -> CampaignResult:
    """The same campaign, had some runs not been made."""
    kept = {name: sheet for name, sheet in result.campaign.runs.items() if name not in runs}
    return replace(result, campaign=replace(result.campaign, runs=kept),
                   results={name: one for name, one in result.results.items() if name in kept})


def leak_at(box: Box, wall: float) -> float:
    """Heat leak of a box at a mean wall temperature, films and seal in it. [W/K]"""
    foam = box.foam_resistance / (1 + FOAM_PER_KELVIN * (wall - FOAM_REFERENCE))
    return 1 / (1 / box.film_inside + foam + 1 / box.film_outside) + box.seal


def steady(history: History) -> dict[str, float]:
    """Mean inside [°C], mean power [W] and duty of the last hours, in whole cycles."""
    truth, last = Truth(history), float(history.t[-1])
    starts = truth.starts(last - SETTLED * HOUR, last)
    t0, t1 = (starts[0], starts[-1]) if len(starts) > 2 else (last - SETTLED * HOUR, last)
    return {"inside": truth.mean("air", t0, t1), "power": truth.mean_power(t0, t1),
            "duty": truth.duty(t0, t1)}

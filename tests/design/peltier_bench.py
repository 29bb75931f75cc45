"""Thermoelectric coolers drawn by number, logged, and built otherwise on the simulated bench."""

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
    History,
    LogPlan,
    Meter,
    Room,
    Run,
    Thermoelectric,
    Thermostat,
    Truth,
    foam_box,
    simulate,
    write_campaign,
)
from coldbench.bench.boxes import FOAM_PER_KELVIN, FOAM_REFERENCE
from coldbench.bench.sheet_text import Inline
from coldbench.sheets import read_campaign

HOUR = 3600.0
RUNS = ("heater", "coldest", "held")
WARMER = 6.0  # room of what is built otherwise, above that of the runs [K]
SETBACK = 5.0  # a setting above the coldest [K]
WALL = 12.0  # mean temperature of a wall at which boxes are told apart [°C]


@dataclass(frozen=True)
class Owner:
    """A cooler that is measured, and what its owner might build instead.

    ``builds`` are a box and a machine each; ``cases`` are those of its own runs.
    """

    number: int
    box: Box
    machine: Thermoelectric
    room: float  # [°C]
    builds: dict[str, tuple[Box, Thermoelectric]]
    cases: dict[str, Case]

    @property
    def hot(self) -> float:
        """Room of what is built otherwise. [°C]"""
        return self.room + WARMER


def draw_owner(number: int, seed: int = 20310719) -> Owner:
    """Box, modules, sinks and four other builds of a number."""
    rng = np.random.default_rng([seed, number])
    box = foam_box(rng.uniform(8, 30), rng.uniform(0.03, 0.05), rng.uniform(0.03, 0.036),
                   seal=rng.uniform(0.03, 0.08), mixing=rng.uniform(2, 4))
    count = int(rng.integers(1, 4))
    machine = Thermoelectric(
        count=count, i_max=rng.uniform(4.0, 7.0), v_max=rng.uniform(15.0, 16.5),
        dt_max=rng.uniform(63, 69), volts=rng.uniform(8.0, 12.5),
        hot_resistance=rng.uniform(0.22, 0.5) / count,
        hot_resistance_still=rng.uniform(0.9, 1.8) / count,
        hot_heat=rng.uniform(300, 900) * count, cold_film=rng.uniform(1.8, 3.2) * count,
        cold_heat=rng.uniform(250, 700) * count, fan_inside=rng.uniform(0.3, 1.6),
        fan_outside=rng.uniform(1.0, 4.0) * count, idle=rng.uniform(0.2, 0.8),
    )
    room = float(rng.uniform(18, 24))
    builds = {
        "same": (box, machine),
        "gentler": (box, replace(machine, volts=0.7 * machine.volts)),
        "better hot side": (box, replace(machine, hot_resistance=0.6 * machine.hot_resistance)),
        "one module more": (box, replace(machine, count=count + 1)),
        "thicker": (replace(box, foam_resistance=1.5 * box.foam_resistance), machine),
    }
    here = Room(mean=room, daily=0.3, drift=0.1, seed=number)
    own = Case(box, machine, room=here, start=room - 8, hours=28.0)
    cases = {"heater": replace(own, machine=None, heater=box.heat_leak * 20, start=room,
                               hours=30.0), "coldest": own}
    return Owner(number, box, machine, room, builds, cases)


def simulated(owners: Sequence[Owner]) -> list[dict[str, History]]:
    """Histories of an owner's runs, and of each build at its coldest and held above it."""
    work = [(n, name, case) for n, one in enumerate(owners) for name, case in one.cases.items()]
    work += [(n, f"{name} coldest", Case(box, machine, room=_still(one.hot), start=one.hot - 12,
                                         hours=20.0))
             for n, one in enumerate(owners) for name, (box, machine) in one.builds.items()]
    found: list[dict[str, History]] = [{} for _ in owners]
    for (n, name, _), history in zip(work, simulate([w[2] for w in work]), strict=True):
        found[n][name] = history
    held = [(n, name.replace("coldest", "held"), _held(case, found[n][name]))
            for n, name, case in work if name.endswith("coldest")]
    for (n, name, _), history in zip(held, simulate([h[2] for h in held]), strict=True):
        found[n][name] = history
    return found


def _held(case: Case, coldest: History) -> Case:
    setting = steady(coldest)["inside"] + SETBACK
    about = Thermostat(setting + 1, setting - 1, lag=120.0)
    return replace(case, start=setting + 1, thermostat=about)


def _still(mean: float) -> Room:
    return Room(mean=mean, daily=0.0, drift=0.0)


def steady(history: History, hours: float = 6.0) -> dict[str, float]:
    """Mean inside and power of the last hours, whole cycles where there are any. [°C], [W]"""
    truth, end = Truth(history), float(history.t[-1])
    begin = end - hours * HOUR
    starts = truth.starts(begin, end)
    if len(starts) > 2:
        begin, end = starts[0], starts[-1]
    chosen = (history.t >= begin) & (history.t <= end)
    return {"inside": float(history.state("air")[chosen].mean()),
            "power": truth.mean_power(begin, end)}


def leak_at(box: Box, wall: float) -> float:
    """Heat leak of a box at a mean wall temperature, films and seal in it. [W/K]"""
    foam = box.foam_resistance / (1 + FOAM_PER_KELVIN * (wall - FOAM_REFERENCE))
    return 1 / (1 / box.film_inside + foam + 1 / box.film_outside) + box.seal


def logged(
    folder: Path, owner: Owner, histories: dict[str, History], *, kelvins: float = 0.1,
    runs: Sequence[str] = RUNS, hot_side: bool = True, metered_at: str = "dc",
    of: Owner | None = None, **cooler: object,
) -> CampaignResult:
    """An owner's runs, logged by instruments with these limits, written and analysed.

    ``of`` states another cooler's modules on the sheet.
    """
    rng = np.random.default_rng([owner.number, 5])
    probes = Meter("probes", "temperature", error=f"{kelvins:g} K", offset=kelvins, noise=0.02,
                   resolution=0.05)
    meter = Meter("meter", "power", error="1 % + 0.1 W", offset=0.1, gain=0.01, noise=0.05,
                  resolution=0.1)
    machine, off = (of or owner).machine, 1 + rng.uniform(-0.04, 0.04, 3)
    aside = machine.fan_inside + machine.fan_outside + machine.idle
    sheet = {
        "name": "Owner's box", "technology": "thermoelectric", "origin": "built",
        "auxiliary": f"{aside:.2f} W", "inside": Inline(volume=f"{owner.box.litres:.1f} L"),
        "liner": Inline(material="polypropylene", mass=f"{owner.box.liner_heat / 1900:.3f} kg"),
        # Samples are not just what their sheet says.
        "modules": Inline(
            count=machine.count, i_max=f"{machine.i_max * off[0]:.2f} A",
            v_max=f"{machine.v_max * off[1]:.2f} V", dt_max=f"{machine.dt_max * off[2]:.1f} K",
            t_hot=f"{machine.t_hot:g} °C"),
    } | cooler
    sheet = {key: value for key, value in sheet.items() if value is not None}
    made = Campaign(f"owner-{owner.number}", 7 + owner.number,
                    {"title": "Made (invented data)", "timezone": "UTC"}, (probes, meter),
                    {"cooler": sheet},
                    tuple(_run(owner, name, histories, hot_side, metered_at) for name in runs))
    write_campaign(folder / made.id, CampaignSim(made, {_id(n): histories[n] for n in runs}))
    return analyse_campaign(read_campaign(folder / made.id))


def _id(name: str) -> str:
    return name.replace(" ", "-")


def _run(
    owner: Owner, name: str, histories: dict[str, History], hot_side: bool, metered_at: str
) -> Run:
    roles = ["air", "ambient"] + ["hot_side"] * (hot_side and name != "heater")
    logs = [LogPlan(tuple(Column(f"{r}_C", r, "probes", probe=f"P {r}") for r in roles))]
    sheet = {"cooler": "cooler", "kind": ["steady"], "setting": "coldest"}
    if name == "heater":
        case = owner.cases["heater"]
        sheet = {"cooler": "cooler", "kind": ["heater"], "machine": "out",
                 "heater": Inline(power=f"{case.heater:.3f} W ± 0.05 W")}
    else:
        case = owner.cases["coldest"]
        logs.append(LogPlan((Column("power_W", "power", "meter"),), power="mean", ending="-p",
                            metered_at=metered_at))
    if name.endswith("held") or name.startswith("gentler"):
        sheet["setting"] = f"{steady(histories[name])['inside']:.0f} °C"
    return Run(_id(name), case, sheet, dt.datetime(2031, 4, 3, 9), tuple(logs), spread=0.0)

"""Coolers on the simulated bench, logged exactly, and the heat leak that their box truly has."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from coldbench import draws
from coldbench.analysis.campaign import CampaignResult, analyse_campaign
from coldbench.bench import (
    Box,
    Campaign,
    CampaignSim,
    Case,
    Column,
    Compressor,
    LogPlan,
    Meter,
    Room,
    Run,
    Thermoelectric,
    Thermostat,
    cans,
    foam_box,
    simulate_campaigns,
    write_campaign,
)
from coldbench.bench.boxes import FOAM_PER_KELVIN, FOAM_REFERENCE
from coldbench.bench.sheet_text import Inline
from coldbench.findings import Finding, measured
from coldbench.sheets import read_campaign

CHEST = foam_box(32.0, 0.045, 0.025)
SMALL = foam_box(14.0, 0.032, 0.033)
ROOM = Room(mean=24.0, daily=0.6, drift=0.1, seed=4)
ALWAYS_ON = Thermostat()
ROLES = ("air", "load", "ambient", "hot_side")


def campaign(
    name: str, box: Box, machine: Compressor | Thermoelectric, *, kind: tuple[str, ...],
    hours: float, thermostat: Thermostat = ALWAYS_ON, load: int = 4, start: float = 24.0,
    cooler: dict[str, object] | None = None, error: str = "0.001 K", noise: float = 0.002,
    **sheet: object,
) -> Campaign:
    """One cooler and one run of it; its instruments read true, whatever their sheets state."""
    probes = Meter("probes", "temperature", error=error, noise=noise, resolution=0.001)
    meter = Meter("meter", "power", error="0.01 %")
    places = [role for role in ROLES if role != "hot_side" or isinstance(machine, Thermoelectric)]
    plans = (
        LogPlan(tuple(Column(f"{r}_C", r, "probes", probe=f"P {r}") for r in places), step=60.0,
                ending="-t"),
        LogPlan((Column("power_W", "power", "meter"),), step=60.0, power="mean", ending="-p"),
    )
    water, of_load = cans(load, 500.0, "PET", 20.0, start)
    case = Case(box, machine, (water,), thermostat, ROOM, hours, start=start)
    of_run = {"cooler": "cooler", "kind": list(kind), "load": [of_load],
              "mark": [{"at": "0 min", "what": "power on"}], **sheet}
    technology = "compressor" if isinstance(machine, Compressor) else "thermoelectric"
    of_cooler = {
        "name": "Bench box", "technology": technology, "origin": "built",
        "inside": Inline(volume=f"{box.litres:.1f} L"),
        "liner": Inline(material="polypropylene", mass=f"{box.liner_heat / 1900:.3f} kg"),
        **(cooler or {}),
    }
    run = Run("main", case, of_run, dt.datetime(2031, 3, 3, 9), plans, spread=0.0)
    return Campaign(name, 7, {"title": "Made (invented data)", "timezone": "UTC"},
                    (probes, meter), {"cooler": of_cooler}, (run,), decimals=4)


def on_bench(folder: Path, made: Campaign) -> tuple[CampaignSim, CampaignResult]:
    """Simulate a campaign, log it, write it and analyse it."""
    (sim,) = simulate_campaigns([made])
    write_campaign(folder / made.id, sim)
    return sim, analyse_campaign(read_campaign(folder / made.id))


def leak_at(box: Box, wall: float) -> float:
    """Heat leak of a box at a mean wall temperature, films and seal in it. [W/K]"""
    foam = box.foam_resistance / (1 + FOAM_PER_KELVIN * (wall - FOAM_REFERENCE))
    return 1 / (1 / box.film_inside + foam + 1 / box.film_outside) + box.seal


def leak_row(
    box: Box, wall: float = 15.0, at: str = "walls heater", limit: float | None = 0.0,
    **more: object,
) -> Finding:
    """The true heat leak as a finding, its draws off by no more than a share of it."""
    value = leak_at(box, wall)
    row = dict(cooler="cooler", finding="heat_leak", at=at, unit="W/K", runs=("leak",),
               conditions={"wall": wall}) | more
    if limit is None:
        return Finding(**row, value=value)
    return Finding(**row, **measured(value * (1 + draws.uniform("leak made", limit)), value))


def compressor(name: str = "chest", inside: float = 4.0, **more: object) -> Campaign:
    """A compressor box that its thermostat keeps at a setting."""
    thermostat = Thermostat(inside + 1.5, inside - 1.5, lag=200.0)
    return campaign(name, CHEST, Compressor(), kind=("steady",), hours=34.0,
                    thermostat=thermostat, setting=f"{inside:g} °C", **more)


def peltier(name: str = "small", **more: object) -> Campaign:
    """A thermoelectric box that runs without a break."""
    return campaign(name, SMALL, Thermoelectric(), kind=("steady",), hours=30.0, load=3,
                    setting="coldest", **more)


def truth_of(sim: CampaignSim, result: CampaignResult) -> dict[str, float]:
    """Truth of the steady window: heat taken net of a fan inside, mean power, duty. [W], [-]"""
    truth, window = sim.truths["main"], result.results["main"].steady
    ends = [truth.seconds(t) for t in (window.t0, window.t1)]
    heat = truth.flow_mean("machine", *ends) - truth.flow_mean("inside", *ends)
    return {"taken": heat, "power": truth.mean_power(*ends), "duty": truth.duty(*ends)}

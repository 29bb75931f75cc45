"""Simulated coolers measured alike: one, and a design that was built after it; all invented."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

from coldbench.analysis.campaign import analyse_campaign
from coldbench.bench import (
    Campaign,
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
from coldbench.bench.boxes import Box, Machine
from coldbench.bench.sheet_text import Inline
from coldbench.compare.rows import all_rows
from coldbench.sheets import read_campaign

METERS = (
    Meter("probes", "temperature", error="0.1 K", offset=0.1, noise=0.02, resolution=0.05),
    Meter("meter", "power", error="1 % + 0.1 W", offset=0.1, gain=0.01, noise=0.05,
          resolution=0.1),
)
MODULES = Thermoelectric(
    count=4, series=2, i_max=6.4, v_max=16.4, dt_max=68.0, volts=12.0, hot_resistance=0.17,
    hot_resistance_still=0.45, hot_heat=1500.0, cold_film=6.0, cold_heat=1200.0, fan_outside=6.0,
    fan_inside=1.0)
UNIT = Compressor(evaporator_film=3.8)
FOAM = 0.031 / 1.056  # XPS in the middle of its kind, at 10 °C [W/(m K)]
SHAPE = (1.7, 1.2, 1.0)


def box(litres: float, wall: float, seal: float = 0.08) -> Box:
    """A box of XPS."""
    return foam_box(litres, wall, FOAM, seal=seal, mixing=3.0)


def sheet(litres: float, wall: float, machine: Machine, **more: object) -> dict[str, object]:
    """Sheet of a box that opens on top."""
    height = (litres / 1000 / (SHAPE[0] * SHAPE[1])) ** (1 / 3)
    sides = {name: f"{1000 * height * part:.0f} mm"
             for name, part in zip(("width", "depth", "height"), SHAPE, strict=True)}
    told: dict[str, object] = {
        "name": f"Box of {litres:g} L", "origin": "built", "supply": "12 V",
        "technology": "compressor" if isinstance(machine, Compressor) else "thermoelectric",
        "inside": Inline(sides),
        "insulation": Inline(material="XPS", thickness=f"{1000 * wall:.0f} mm"),
        "liner": Inline(material="polypropylene",
                        mass=f"{box(litres, wall).liner_heat / 1900:.3f} kg"), **more}
    if isinstance(machine, Thermoelectric):
        told["auxiliary"] = f"{machine.fan_outside + machine.fan_inside + machine.idle:.1f} W"
        told["modules"] = Inline(
            count=machine.count, series=machine.series, i_max=f"{machine.i_max} A",
            v_max=f"{machine.v_max} V", dt_max=f"{machine.dt_max} K", t_hot="27 °C")
    return told


def runs(cooler: str, built: Box, machine: Machine, setting: float, day: int) -> list[Run]:
    """Heat leak without the machine, the coldest, a setting."""
    room = Room(mean=24.0, daily=0.3, drift=0.1, seed=day)
    heater = built.heat_leak * 16
    load, bottles = cans(2, 330.0, "PET", 24.0, 24.0)
    out = Case(built, None, room=room, start=24.0, heater=heater, hours=14.0)
    case = Case(built, machine, (load,), room=room, start=24.0, hours=34.0)
    held = replace(case, thermostat=Thermostat(setting + 1, setting - 1, lag=200.0))
    roles = ["air", "load", "ambient"]
    roles += ["hot_side"] if isinstance(machine, Thermoelectric) else []
    places = tuple(Column(f"{role}_C", role, "probes", probe=role) for role in roles)
    plan = LogPlan((*places, Column("power_W", "power", "meter")), power="mean")
    dry = LogPlan((places[0], places[2]))
    told = {"cooler": cooler, "kind": ["pull-down", "steady"], "load": [bottles],
            "mark": [{"at": "0 min", "what": "power on"}]}
    start = dt.datetime(2031, 6, day, 9)
    return [
        Run(f"{cooler}-out", out, {"cooler": cooler, "kind": ["heater"], "machine": "out",
            "heater": Inline(power=f"{heater:.3f} W ± {0.01 * heater:.3f} W")}, start, (dry,),
            spread=0.0),
        Run(f"{cooler}-coldest", case, told | {"setting": "coldest"},
            start + dt.timedelta(days=2), (plan,), spread=0.0),
        Run(f"{cooler}-held", held, told | {"setting": f"{setting:g} °C"},
            start + dt.timedelta(days=5), (plan,), spread=0.0),
    ]


def campaign(first: Machine, second: Machine, setting: float, **more: object) -> Campaign:
    """A box of 16 L and one of 26 L with thicker walls, built after it."""
    coolers = {"first": sheet(16.0, 0.04, first),
               "second": sheet(26.0, 0.06, second, design_of="first", **more)}
    both = [*runs("first", box(16.0, 0.04), first, setting, 2),
            *runs("second", box(26.0, 0.06, seal=0.095), second, setting, 14)]
    head = {"title": "Built twice (invented data)", "timezone": "UTC",
            "targets": {"temperatures": ["10 °C"]}}
    return Campaign("twice", 11, head, METERS, coolers, tuple(both))


def analysed(folder: Path, campaigns: list[Campaign]) -> list[tuple[object, list[object]]]:
    """Each campaign, simulated, written, read and analysed, with all its rows."""
    found = []
    for number, sim in enumerate(simulate_campaigns(campaigns, dt=20.0)):
        write_campaign(folder / str(number), sim)
        result = analyse_campaign(read_campaign(folder / str(number)))
        found.append((result, all_rows(result)[0]))
    return found

"""Data for a group that was absent: the bench simulator's, and marked so wherever they stand."""

from __future__ import annotations

import datetime as dt
import zlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from coldbench.bench import (
    Box,
    Campaign,
    Case,
    Column,
    Compressor,
    Load,
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
from coldbench.bench.campaign import WATER_KG_PER_LITRE
from coldbench.bench.sheet_text import Inline
from coldbench.course.makeup_readings import make_up_readings
from coldbench.course.parameters import DRAWN
from coldbench.physics.water import SPECIFIC_HEAT
from coldbench.quantities import parse

SYNTHETIC = "SYNTHETIC make-up data: a simulator made them, nobody measured them."
ROOM, TARGET, LOAD, BOTTLE = 24.0, 5.0, 1.5, 0.5  # unless the roster says otherwise [°C, kg]
STIRRED = 8.0  # exchange between the air places with the heater's fan [W/K]
HOUR = 3600.0
COOLER = "box"
FIRST_DAY = dt.datetime(2031, 9, 1, 9)
LINER = 0.9  # [kg]
FOAMS = (30.0, 35.0, 40.0, 45.0)  # [mm]
SHAPE = {"width": 1.7, "depth": 1.2, "height": 1.0}  # of the simulator's box
SHAPE_VOLUME = 1.7 * 1.2
REFRIGERANT = "R134a"
SUPPLY = {
    "volts": "12 V", "days": 2, "depth_of_discharge": "80 %", "battery_efficiency": "95 %",
    "sun_hours": "3.5 h", "performance_ratio": "70 %", "cable_length": "4 m",
    "cable_area": "2.5 mm²",
}
PROBES = {"air": "P1", "load": "P2", "ambient": "P3"}
METERS = (
    Meter("probes", "temperature", kind="digital sensors", error="0.3 K", offset=0.3, noise=0.03,
          resolution=0.05),
    Meter("dc-meter", "power", kind="shunt meter", error="1 % + 0.2 W", offset=0.2, gain=0.01,
          noise=0.03, resolution=0.05),
    Meter("counter", "power", kind="energy counter, read by eye", error="2 %", gain=0.02,
          resolution=0.1, counter_step=10.0),
)


def make_up(
    folder: Path, group: str, seed: int, kinds: Iterable[str], roles: Iterable[str],
    numbers: Mapping[str, str],
) -> None:
    """Write a campaign that a simulator made.

    Parameters
    ----------
    folder : Path
        Made if missing.
    group : str
        Id.
    seed : int
        The roster's; the same seed and id give the same files.
    kinds : iterable of str
        Kinds of run that the cards need; those not in ``MADE`` the simulator has not.
    roles : iterable of str
        Roles that the cards need, for readings by eye.
    numbers : mapping of str to str
        The group's own, each with its unit.
    """
    rng = np.random.default_rng([seed, zlib.crc32(group.encode())])
    parts = _parts(rng, numbers)
    wanted = [name for name, (kinds_of, _) in RUNS.items() if set(kinds_of) & set(kinds)]
    runs = [RUNS[name][1](parts, name, FIRST_DAY + dt.timedelta(days=3 * n))
            for n, name in enumerate(wanted)]
    campaign = Campaign(
        group, seed + zlib.crc32(group.encode()), _campaign(group), METERS,
        {COOLER: _cooler(parts)}, tuple(runs), remark=SYNTHETIC,
    )
    (sim,) = simulate_campaigns([campaign])
    write_campaign(folder, sim)
    make_up_readings(folder, COOLER, group, seed, roles, numbers, SYNTHETIC)


@dataclass(frozen=True)
class _Parts:
    box: Box
    machine: Compressor
    room: float  # [°C]
    load: float  # water [kg]
    bottle: float  # water in one [kg]
    target: float  # [°C]
    filling: float  # true filling is off by this [-]
    seed: int
    foam: float  # [mm]
    refrigerant: str

    def case(self, **more: Any) -> Case:
        room = Room(self.room, daily=0.3, drift=0.1, seed=self.seed)
        return Case(self.box, self.machine, room=room, **{"start": self.room, **more})

    def bottles(self, start: float, **more: Any) -> tuple[Load, dict[str, Any]]:
        count = max(1, round(self.load / self.bottle))
        grams = 1000 * self.load / count
        load, sheet = cans(count, grams / WATER_KG_PER_LITRE, "PET", 24.0, start,
                           filling=self.filling, **more)
        return load, sheet | {"water": f"{grams:.0f} g ± {max(1.0, 0.01 * grams):.0f} g"}


def _parts(rng: np.random.Generator, numbers: Mapping[str, str]) -> _Parts:
    litres, foam = rng.uniform(18, 30), float(rng.choice(FOAMS))
    box = foam_box(litres, foam / 1000, rng.uniform(0.026, 0.032), seal=rng.uniform(0.04, 0.06))

    def given(name: str, otherwise: float) -> float:
        return parse(numbers[name], DRAWN[name]).value if name in numbers else otherwise

    return _Parts(
        replace(box, liner_heat=LINER * SPECIFIC_HEAT["polypropylene"]),
        Compressor(evaporator_film=3.8), ROOM + given("ambient_offset", 0.0),
        given("load", LOAD), given("bottle", BOTTLE), given("target", TARGET),
        float(rng.uniform(-0.006, 0.006)), int(rng.integers(1 << 30)), foam,
        numbers.get("refrigerant", REFRIGERANT),
    )


def _cold(parts: _Parts, name: str, start: dt.datetime) -> Run:
    load, told = parts.bottles(parts.room + 0.2)
    sheet = _sheet(["pull-down", "steady"], "Soaked overnight, then switched on.",
                   setting=f"{parts.target:g} °C", load=[told],
                   mark=[{"at": "0 min", "what": "power on"}])
    thermostat = Thermostat(parts.target + 1.0, parts.target - 1.0, lag=240.0)
    case = parts.case(loads=(load,), thermostat=thermostat, hours=36.0)
    readings = tuple(HOUR * h for h in (0, 2, 4, 6, 10, 12, 24, 36))
    return Run(name, case, sheet, start, (_log("air", "load", "ambient", "power"),),
               readings=readings, reader="counter")


def _freeze(parts: _Parts, name: str, start: dt.datetime) -> Run:
    load, told = cans(1, 1000 * parts.bottle / WATER_KG_PER_LITRE, "PET", 24.0, parts.room,
                      filling=parts.filling, film=0.3, nucleation=-4.0)
    sheet = _sheet(["freeze"], "One bottle, the probe in its middle.", setting="coldest",
                   load=[told], mark=[{"at": "0 min", "what": "power on"}])
    case = parts.case(loads=(load,), hours=18.0)
    return Run(name, case, sheet, start, (_log("air", "load", "ambient", "power"),))


def _warm_up(parts: _Parts, name: str, start: dt.datetime) -> Run:
    load, told = parts.bottles(3.0)
    sheet = _sheet(["warm-up"], "Bottles out of the cold room, switched off.", load=[told],
                   machine="off", mark=[{"at": "0 min", "what": "load in"}])
    case = parts.case(loads=(load,), start=3.0, lead=0.0, power_off=0.0, hours=14.0)
    return Run(name, case, sheet, start, (_log("air", "load", "ambient", step=120.0),))


def _heater(parts: _Parts, name: str, start: dt.datetime) -> Run:
    watts = 9.0
    sheet = _sheet(["heater"], "A resistor and a fan on the floor of the empty box.",
                   machine="off", heater=Inline(power=f"{watts:g} W ± 0.1 W", fan="0.8 W"))
    case = parts.case(heater=watts * (1 + parts.filling), power_off=0.0, hours=14.0)
    case = replace(case, box=replace(case.box, mixing=STIRRED))
    return Run(name, case, sheet, start, (_log("air", "ambient", step=120.0),))


# Runs by id, with the kinds that they are good for.
RUNS = {
    "cold": (("pull-down", "steady"), _cold),
    "freeze": (("freeze",), _freeze),
    "warm-up": (("warm-up",), _warm_up),
    "heater": (("heater",), _heater),
}
MADE = tuple(kind for kinds, _ in RUNS.values() for kind in kinds)


def _log(*roles: str, step: float = 60.0) -> LogPlan:
    columns = [
        Column("power_W", "power", "dc-meter") if role == "power"
        else Column(f"{role}_C", role, "probes", probe=PROBES[role])
        for role in roles
    ]
    return LogPlan(tuple(columns), step=step, power="mean")


def _sheet(kind: list[str], note: str, **more: Any) -> dict[str, Any]:
    return {"cooler": COOLER, "kind": kind, "protocol": "make-up", "note": note, **more}


def _campaign(group: str) -> dict[str, Any]:
    return {
        "title": f"Make-up data for group {group}",
        "author": "the bench simulator",
        "timezone": "UTC",
        "footing": {"ambient": "25 °C", "inside": "4 °C", "start": "25 °C"},
        "targets": {"temperatures": ["15 °C", "10 °C", "5 °C"]},
        "supply": dict(SUPPLY),
        "disclosure": {"invented": SYNTHETIC, "sample": "none: the box exists in a simulator"},
    }


def _cooler(parts: _Parts) -> dict[str, Any]:
    return {
        "name": "Box of the make-up data",
        "technology": "compressor",
        "origin": "built",
        "supply": "12 V",
        "refrigerant": Inline(name=parts.refrigerant),
        "inside": Inline(**{
            side: f"{share * (1e6 * parts.box.litres / SHAPE_VOLUME) ** (1 / 3):.0f} mm"
            for side, share in SHAPE.items()}),
        "insulation": Inline(material="PUR", thickness=f"{parts.foam:g} mm"),
        "liner": Inline(material="polypropylene", mass=f"{LINER:g} kg"),
    }

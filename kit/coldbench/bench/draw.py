"""Draw campaigns at random: many coolers, rooms, loads, settings and meters, from one seed."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any, Literal

import numpy as np

from coldbench.bench.boxes import (
    Box,
    Case,
    Compressor,
    Load,
    Machine,
    Room,
    Thermoelectric,
    Thermostat,
    foam_box,
)
from coldbench.bench.campaign import Campaign, Run, cans
from coldbench.bench.draw_meters import draw_logs, draw_meters
from coldbench.bench.sheet_text import Inline

Technology = Literal["compressor", "thermoelectric", "passive"]
SHARES: dict[Technology, float] = {"compressor": 0.5, "thermoelectric": 0.35, "passive": 0.15}


def draw_campaigns(
    n: int, seed: int, instruments: Literal["ideal", "real"] = "real"
) -> list[Campaign]:
    """Campaigns of one cooler each, with one or two runs.

    Parameters
    ----------
    n : int
    seed : int
        Campaign number i is the same whatever n is, and its coolers and runs are the same with
        ideal and with real instruments.
    instruments : {"ideal", "real"}
        Ideal ones do not err and log the mean of each minute.

    Returns
    -------
    list of Campaign
    """
    return [_draw(i, seed, instruments) for i in range(n)]


def _draw(number: int, seed: int, instruments: Literal["ideal", "real"]) -> Campaign:
    rng = np.random.default_rng([seed, number])
    technology = str(rng.choice(list(SHARES), p=list(SHARES.values())))
    box, machine = _cooler(rng, technology)
    runs = _runs(rng, technology, box, machine, exact=instruments == "ideal")
    of_meters = np.random.default_rng([seed, number, 1])
    meters = draw_meters(of_meters, instruments)
    runs = [replace(run, logs=draw_logs(of_meters, instruments, meters, run.case)) for run in runs]
    return Campaign(
        id=f"{technology}-{number:03d}",
        seed=seed * 1000 + number,
        sheet=_campaign_sheet(number),
        meters=meters,
        coolers={"cooler": _cooler_sheet(technology, box, machine)},
        runs=tuple(runs),
        decimals=4 if instruments == "ideal" else 2,
    )


def _cooler(rng: np.random.Generator, technology: str) -> tuple[Box, Machine]:
    if technology == "compressor":
        box = foam_box(
            rng.uniform(12, 60), rng.uniform(0.030, 0.055), rng.uniform(0.023, 0.030),
            seal=rng.uniform(0.03, 0.08), mixing=rng.uniform(1.5, 4.0),
        )  # fmt: skip
        return box, _compressor(rng, box)
    litres = rng.uniform(5, 35)
    box = foam_box(
        litres, rng.uniform(0.020, 0.045), rng.uniform(0.030, 0.036),
        seal=rng.uniform(0.03, 0.07), mixing=rng.uniform(1.5, 4.0),
    )  # fmt: skip
    if technology == "passive":
        return box, None
    count = 1 if litres < 15 else 2
    unit = Thermoelectric(
        count=count,
        i_max=float(rng.uniform(5.0, 6.5)),
        v_max=float(rng.uniform(15.0, 16.5)),
        dt_max=float(rng.uniform(64, 69)),
        volts=float(rng.uniform(8.5, 12.5)),
        hot_resistance=float(rng.uniform(0.25, 0.55)) / count,
        hot_resistance_still=1.6 / count,
        hot_heat=600.0 * count,
        cold_film=float(rng.uniform(1.8, 2.8)) * count,
        cold_heat=float(rng.uniform(400, 900)) * count,
    )
    return box, unit


def _compressor(rng: np.random.Generator, box: Box) -> Compressor:
    """A unit that can hold the box some 45 K below the room, or a little less or more."""
    unit = Compressor()
    size = box.heat_leak * 45 / 20 * rng.uniform(0.9, 1.4)
    thirst = size**0.8 * rng.uniform(0.9, 1.15)
    return replace(
        unit,
        capacity=(*(c * size for c in unit.capacity[:3]), unit.capacity[3]),
        power=(*(c * thirst for c in unit.power[:3]), unit.power[3]),
        idle=float(rng.uniform(0.6, 2.5)),
        evaporator_heat=1500.0 * size,
        evaporator_film=3.8 * size,
    )


def _runs(
    rng: np.random.Generator, technology: str, box: Box, machine: Machine, exact: bool
) -> list[Run]:
    room = Room(
        mean=float(rng.uniform(19, 30)),
        daily=float(1.2 * rng.uniform() ** 2),  # most rooms are calm
        drift=float(rng.uniform(0.05, 0.2)),
        warmest=float(rng.uniform(0, 24)),
        seed=int(rng.integers(1 << 30)),
    )
    start = round(room.mean + float(rng.uniform(-0.5, 0.5)), 1)
    load, sheet = _cans(rng, start, exact)
    runs = [_main_run(rng, technology, Case(box, machine, (load,), room=room, start=start), sheet)]
    if technology == "compressor" and rng.uniform() < 0.4:
        runs.append(_freeze_run(rng, Case(box, machine, (), room=room, start=start), exact))
    return runs


def _cans(rng: np.random.Generator, start: float, exact: bool) -> tuple[Load, dict[str, Any]]:
    """A few cans, filled to within the usual limit of a nominal filling."""
    count, millilitres = int(rng.integers(2, 8)), float(rng.choice([330.0, 500.0]))
    filling = float(rng.uniform(-0.03, 0.03))
    return cans(
        count, millilitres, "aluminium", 13.0 if millilitres < 400 else 17.0, start,
        filling=0.0 if exact else filling, film=float(rng.uniform(0.18, 0.30)),
        nucleation=float(rng.uniform(-5.0, -0.3)),
    )  # fmt: skip


def _main_run(
    rng: np.random.Generator, technology: str, case: Case, load_sheet: dict[str, Any]
) -> Run:
    """Pull-down and what follows; a passive box gets ice."""
    hours = float(rng.integers(26, 41))
    sheet: dict[str, Any] = {"cooler": "cooler", "kind": ["pull-down", "steady"]}
    sheet["setting"] = "coldest"
    sheet["load"] = [load_sheet]
    sheet["mark"] = [{"at": "0 min", "what": "power on"}]
    thermostat = Thermostat()
    if technology == "passive":
        ice = float(rng.uniform(1.0, 4.0))
        block = Load(
            water=ice, film=float(rng.uniform(1.0, 1.8)) * ice, start=-2.0, frozen=True,
            warm_share=0.3,
        )  # fmt: skip
        sheet |= {"kind": ["pull-down", "warm-up"], "setting": "ice"}
        sheet["ice"] = {"mass": f"{ice:.2f} kg", "start": "-2 °C"}
        sheet["mark"] = [{"at": "0 min", "what": "load in"}]
        return _run("main", replace(case, loads=(*case.loads, block), hours=hours), sheet)
    if technology == "compressor" and rng.uniform() < 0.8:
        inside = float(rng.choice([-15.0, -10.0, 0.0, 2.0, 4.0, 6.0, 8.0]))
        half = float(rng.uniform(1.0, 2.0))
        thermostat = Thermostat(inside + half, inside - half, lag=float(rng.uniform(150, 500)))
        sheet["setting"] = f"{inside:g} °C"
    elif technology == "thermoelectric" and rng.uniform() < 0.35:
        inside = round(case.room.mean - float(rng.uniform(7, 13)))
        thermostat = Thermostat(inside + 1.2, inside - 1.2, lag=float(rng.uniform(100, 300)))
        sheet["setting"] = f"{inside:g} °C"
    return _run("main", replace(case, thermostat=thermostat, hours=hours), sheet)


def _freeze_run(rng: np.random.Generator, case: Case, exact: bool) -> Run:
    """Bottles frozen at the coldest setting; now and then what is left is poured off."""
    count = int(rng.integers(1, 5))
    filling = 0.0 if exact else float(rng.uniform(-0.03, 0.03))
    load, load_sheet = cans(
        count, 330.0, "PET", 22.0, case.start, filling=filling,
        film=float(rng.uniform(0.20, 0.35)), nucleation=float(rng.choice([-0.1, -2.5, -5.0])),
    )  # fmt: skip
    sheet: dict[str, Any] = {"cooler": "cooler", "kind": ["freeze"], "setting": "coldest"}
    sheet["load"] = [load_sheet]
    sheet["mark"] = [{"at": "0 min", "what": "power on"}]
    hours = float(rng.integers(10, 24))
    return _run("freeze", replace(case, loads=(load,), hours=hours), sheet, pours_off=True)


def _run(name: str, case: Case, sheet: dict[str, Any], pours_off: bool = False) -> Run:
    begin = dt.datetime(2031, 3, 3 if name == "main" else 10, 9)
    return Run(name, case, sheet, begin, logs=(), pours_off=pours_off)


def _campaign_sheet(number: int) -> dict[str, Any]:
    return {
        "title": f"Random campaign {number} (invented data)",
        "timezone": "UTC",
        "footing": {"ambient": "25 °C", "inside": "4 °C", "start": "25 °C"},
        "targets": {"temperatures": ["10 °C", "4 °C", "0 °C", "-18 °C"], "food_limit": "5 °C"},
    }


def _cooler_sheet(technology: str, box: Box, machine: Machine) -> dict[str, Any]:
    sheet: dict[str, Any] = {
        "name": f"Random {technology} box",
        "technology": technology,
        "origin": "bought",
        "inside": Inline(volume=f"{box.litres:.1f} L"),
    }
    if machine is not None:
        sheet["supply"] = "12 V"
    return sheet

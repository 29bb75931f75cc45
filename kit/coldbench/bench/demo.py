"""The demo campaign: four invented cool boxes for a weekly cheese stall, run on the bench."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

from coldbench.bench.boxes import (
    Case,
    Compressor,
    Load,
    Room,
    Thermoelectric,
    Thermostat,
    foam_box,
)
from coldbench.bench.campaign import Campaign, Run, cans, simulate_campaigns
from coldbench.bench.demo_sheets import CAMPAIGN, COOLERS, METERS
from coldbench.bench.instruments import Column, LogPlan
from coldbench.bench.truth import Truth
from coldbench.bench.writing import write_campaign

SEED = 20310614
HOUR = 3600.0

CHEST = (foam_box(22.0, 0.035, 0.026, seal=0.05), Compressor(evaporator_film=3.8))
SMALL = (
    foam_box(12.0, 0.022, 0.034, seal=0.08),
    Thermoelectric(i_max=5.6, v_max=15.2, volts=11.2, hot_resistance=0.66, cold_film=1.9),
)
BUILT = (
    foam_box(16.0, 0.050, 0.032, seal=0.085),
    Thermoelectric(
        count=4, series=2, i_max=6.4, v_max=16.4, dt_max=68.0, volts=12.4, hot_resistance=0.17,
        hot_resistance_still=0.45, hot_heat=2500.0, cold_film=2.9, cold_heat=2000.0,
        fan_outside=12.0, fan_inside=1.0,
    ),
)  # fmt: skip
ICE_BOX = (foam_box(18.0, 0.030, 0.034, seal=0.05), None)


def _log(*roles: str, step: float = 60.0, **more: Any) -> LogPlan:
    """A log in the stall's own style: a probe for each place, power by the DC meter."""
    probes = {"air": "P1", "load": "P2", "ambient": "P3", "hot_side": "P4"}
    columns = [
        Column("power_W", "power", "dc-meter")
        if role == "power"
        else Column(f"{role}_C", role, "probes", probe=probes[role])
        for role in roles
    ]
    return LogPlan(tuple(columns), step=step, power="mean", **more)


def _sheet(cooler: str, kind: list[str], setting: str, note: str, **more: Any) -> dict[str, Any]:
    head = {"cooler": cooler, "kind": kind, "setting": setting, "protocol": "stall-1"}
    return {"#": "Invented data.", **head, "note": note, **more}


def _power_on(*marks: tuple[str, str]) -> list[dict[str, str]]:
    return [{"at": "0 min", "what": "power on"}, *({"at": at, "what": w} for at, w in marks)]


def _bottles(start: float, filling: float) -> tuple[Load, dict[str, Any]]:
    """The stall's test load: four half-litre bottles with head-space left for ice."""
    return cans(4, 330.0, "PET", 24.0, start, filling=filling, nucleation=-3.0)


def demo_campaign() -> Campaign:
    """The demo before it is simulated.

    Returns
    -------
    Campaign
        Nine runs of four coolers.
    """
    runs = (*_chest_runs(), *_small_runs(), *_built_runs(), _ice_box_run())
    return Campaign("demo", SEED, CAMPAIGN, METERS, COOLERS, runs)


def _run(
    name: str, day: int, parts: tuple, sheet: dict[str, Any], plan: LogPlan, **more: Any
) -> Run:
    """A run begun at nine on a day of June, soaked at the room's temperature.

    ``more`` goes to the case or the run.
    """
    of_run = {key: more.pop(key) for key in ("readings", "reader", "pours_off") if key in more}
    room = Room(mean=more.pop("room"), daily=0.25, drift=0.08, seed=day)
    case = Case(*parts, room=room, lead=900.0, start=room.mean + 0.1, **more)
    return Run(name, case, sheet, dt.datetime(2031, 6, day, 9), (plan,), **of_run)


def _chest_runs() -> list[Run]:
    load, bottles = _bottles(25.4, 0.006)
    four = Thermostat(on_at=4.5, off_at=-4.9, on_evaporator=True)
    coldest = _run(
        "chest-coldest", 2, CHEST,
        _sheet("chest", ["pull-down", "steady"], "coldest", "Dial at its coldest.",
               display="-18 °C", load=[bottles], mark=_power_on()),
        _log("air", "load", "ambient", "power"), loads=(load,), hours=48.0, room=25.4,
    )  # fmt: skip
    steady = _run(
        "chest-4c", 5, CHEST,
        _sheet("chest", ["pull-down", "steady"], "4 °C",
               "Dial at 4. The logger lost its plug for most of an hour.", display="4 °C",
               load=[bottles], mark=_power_on()),
        _log("air", "load", "ambient", "power", gaps=((20.4 * HOUR, 21.3 * HOUR),)),
        loads=(load,), thermostat=four, hours=36.0, room=25.2,
    )  # fmt: skip
    again = _run(
        "chest-4c-again", 8, CHEST,
        _sheet("chest", ["pull-down", "steady"], "4 °C", "The same once more.",
               display="4 °C", repeat_of="chest-4c", load=[bottles], mark=_power_on()),
        _log("air", "load", "ambient", "power"),
        loads=(load,), thermostat=four, hours=36.0, room=25.6,
    )  # fmt: skip
    return [coldest, steady, again, _freeze_run()]


def _freeze_run() -> Run:
    """Two small bottles freeze through, a large one does not: some water is poured off."""
    small, bottle = cans(2, 250.0, "PET", 20.0, 25.3, film=0.24, filling=-0.004, nucleation=-4.5)
    large, jug = cans(1, 1000.0, "PET", 34.0, 25.3, film=0.55, filling=0.003, nucleation=-2.0)
    bottle = {"#": "The probe sits in the middle of one of these.", **bottle}
    return _run(
        "chest-freeze", 11, CHEST,
        _sheet("chest", ["freeze"], "coldest", "Chest empty, dry and warm at the start.",
               load=[bottle, jug], mark=_power_on()),
        _log("air", "load", "ambient", "power"),
        loads=(small, large), hours=15.0, room=25.3, pours_off=True,
    )  # fmt: skip


def _small_runs() -> list[Run]:
    load, bottles = cans(2, 330.0, "PET", 24.0, 25.5, filling=-0.005)
    coldest = _run(
        "small-te-coldest", 13, SMALL,
        _sheet("small-te", ["pull-down", "steady"], "coldest",
               "It has no thermostat. The logger was unplugged for a while.",
               load=[bottles], mark=_power_on()),
        _log("air", "load", "ambient", "power", gaps=((5.5 * HOUR, 7.3 * HOUR),)),
        loads=(load,), hours=36.0, room=25.5,
    )  # fmt: skip
    again = _run(
        "small-te-coldest-again", 16, SMALL,
        _sheet("small-te", ["steady"], "coldest",
               "The DC meter was lent out; the counter was read by eye.",
               repeat_of="small-te-coldest", load=[bottles], mark=_power_on()),
        _log("air", "load", "ambient"), loads=(load,), hours=34.0, room=25.3,
        readings=tuple(HOUR * h for h in (0, 3, 8, 10, 14, 24, 28, 32, 34)), reader="counter",
    )  # fmt: skip
    return [coldest, again]


def _built_runs() -> list[Run]:
    load, bottles = _bottles(25.4, -0.008)
    roles = ("air", "load", "ambient", "hot_side", "power")
    coldest = _run(
        "self-built-coldest", 19, BUILT,
        _sheet("self-built", ["pull-down", "steady"], "coldest", "Thermostat bridged.",
               load=[bottles], mark=_power_on()),
        _log(*roles), loads=(load,), hours=36.0, room=25.4,
    )  # fmt: skip
    steady = _run(
        "self-built-4c", 22, BUILT,
        _sheet("self-built", ["pull-down", "steady"], "4 °C", "Thermostat on the cold plate.",
               load=[bottles], mark=_power_on()),
        _log(*roles), loads=(load,), hours=36.0, room=25.2,
        thermostat=Thermostat(on_at=4.5, off_at=-1.7, on_evaporator=True, rest=120.0, lag=90.0),
    )  # fmt: skip
    return [coldest, steady]


def _ice_box_run() -> Run:
    load, bottles = _bottles(25.5, 0.004)
    ice = Load(water=3.0, film=3.4, start=-2.0, frozen=True, warm_share=0.3)
    marks = [{"at": "0 min", "what": "load in", "note": "bottles, and the ice on top"}]
    return _run(
        "ice-box-3kg", 25, ICE_BOX,
        _sheet("ice-box", ["pull-down", "warm-up"], "3 kg of ice", "Lid shut throughout.",
               load=[bottles], ice={"mass": "3 kg", "start": "-2 °C"}, mark=marks),
        _log("air", "load", "ambient", step=120.0),
        loads=(load, ice), hours=46.0, room=25.5,
    )  # fmt: skip


def build_demo(folder: Path) -> dict[str, Truth]:
    """Simulate the demo and write it.

    Parameters
    ----------
    folder : Path
        Campaign folder; made if missing.

    Returns
    -------
    dict of str to Truth
        Truth of each run, by its id.
    """
    (sim,) = simulate_campaigns([demo_campaign()])
    return write_campaign(folder, sim)

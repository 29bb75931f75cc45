"""Runs of the demo that show where the heat comes in, and the check of its probes."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import numpy as np

from coldbench.bench.boxes import Load
from coldbench.bench.campaign import WATER_KG_PER_LITRE, CampaignSim, Run, cans
from coldbench.bench.demo_parts import BUILT, CHEST, HOUR, ICE_BOX, PROBES, SMALL, log, run, sheet
from coldbench.bench.instruments import Column, LogPlan
from coldbench.bench.same_place import SharedBath, with_check
from coldbench.bench.sheet_text import Inline

STEP = 300.0  # of their logs [s]
STIRRED = 8.0  # exchange between the air places with the heater's fan [W/K]
SLOWNESS = 25.0  # time constant of a probe in air [s]


def leak_runs() -> list[Run]:
    """Heater, warm-up and melting ice, of each cooler what can be done with it.

    Returns
    -------
    list of Run
        Ten bottles and two in the ice box tell its structure heat too. The modules of the bought
        thermoelectric box stay in it; those of the self-built one come out for the heater.
    """
    return [*_chest(), _small(), *_built(), *_ice_box()]


def same_place(sim: CampaignSim) -> CampaignSim:
    """The campaign with the check of its probes on the day before its first run.

    Parameters
    ----------
    sim : CampaignSim

    Returns
    -------
    CampaignSim
    """
    probes = list(PROBES.values())
    bath = SharedBath.drawn(np.random.default_rng(sim.campaign.seed), probes)
    columns = tuple(Column(f"{role}_C", role, "probes", probe, probe)
                    for role, probe in PROBES.items())
    said = {"#": "Invented data.", "note": "All probes in one jug, then side by side on the bench."}
    return with_check(
        sim, bath, dict.fromkeys(probes, SLOWNESS), (LogPlan(columns, step=20.0),),
        start=dt.datetime(2031, 6, 1, 9), name="probes-together", more=said,
    )


def _weighed(
    count: int, grams: float, start: float, filling: float, **more: Any
) -> tuple[Load, dict[str, Any]]:
    """Bottles filled on the kitchen scale."""
    millilitres = grams / WATER_KG_PER_LITRE
    load, told = cans(count, millilitres, "PET", 24.0, start, filling=filling, **more)
    return load, told | {"water": f"{grams:g} g ± {0.01 * grams:.0f} g"}


def _off(at: float) -> list[dict[str, str]]:
    return [{"at": f"{at / HOUR:g} h", "what": "power off"}]


def _heater(watts: float) -> Inline:
    return Inline(power=f"{watts:g} W ± 0.1 W", fan="0.8 W")


def _chest() -> list[Run]:
    load, told = _weighed(8, 480.0, -20.5, 0.006, frozen=True)
    off = 2 * HOUR
    warming = run(
        "chest-warm-up", 4, CHEST,
        sheet("chest", ["warm-up"], "coldest", "Eight bottles frozen through, then unplugged.",
              load=[told], mark=_off(off)),
        log("air", "load", "ambient", step=STEP),
        loads=(load,), lead=0.0, start=-20.5, power_off=off, hours=5.6, room=25.3,
    )  # fmt: skip
    heated = run(
        "chest-heater", 7, (replace(CHEST[0], mixing=STIRRED), CHEST[1]),
        sheet("chest", ["heater"], None, "A resistor and a fan on the floor of the empty chest.",
              machine="off", heater=_heater(9.2)),
        log("air", "ambient", step=STEP),
        heater=9.25, power_off=0.0, hours=11.0, room=25.0,
    )  # fmt: skip
    return [warming, heated]


def _small() -> Run:
    load, told = _weighed(8, 480.0, 8.3, -0.004)
    off = 2 * HOUR
    return run(
        "small-te-warm-up", 17, SMALL,
        sheet("small-te", ["warm-up"], "coldest", "Eight bottles, as cold as it gets, unplugged.",
              load=[told], mark=_off(off)),
        log("air", "load", "ambient", step=STEP),
        hour=20, loads=(load,), lead=0.0, start=8.3, power_off=off, hours=12.0, room=25.3,
    )  # fmt: skip


def _built() -> list[Run]:
    load, told = _weighed(10, 500.0, 2.5, 0.005)
    off = 2 * HOUR
    warming = run(
        "self-built-warm-up", 21, BUILT,
        sheet("self-built", ["warm-up"], "coldest", "Ten bottles out of the cold room, unplugged.",
              load=[told], mark=_off(off)),
        log("air", "load", "ambient", "hot_side", step=STEP),
        loads=(load,), lead=0.0, start=2.5, power_off=off, hours=12.0, room=25.2,
    )  # fmt: skip
    heated = run(
        "self-built-out", 24, (replace(BUILT[0], mixing=STIRRED), None),
        sheet("self-built", ["heater"], None,
              "Modules and plate taken out, their opening closed with the same board.",
              machine="out", heater=_heater(8.5)),
        log("air", "ambient", step=STEP),
        heater=8.46, hours=12.0, room=25.1,
    )  # fmt: skip
    return [warming, heated]


def _ice_box() -> list[Run]:
    ice = Load(water=3.0, film=6.0, start=-0.01, frozen=True, warm_share=0.3)
    melting = run(
        "ice-box-melt", 10, ICE_BOX,
        sheet("ice-box", ["ice-melt"], None, "Wet ice alone, in the box already cold.",
              ice={"mass": "3 kg", "start": "0 °C"}),
        log("air", "ambient", step=STEP),
        loads=(ice,), lead=0.0, start=3.5, hours=14.0, room=25.4, drains=True,
    )  # fmt: skip
    return [melting, _warming("ice-box-ten", 12, 10, 20.0), _warming("ice-box-two", 15, 2, 9.0)]


def _warming(name: str, day: int, count: int, hours: float) -> Run:
    load, told = _weighed(count, 500.0, 2.5, 0.003)
    words = {2: "Two", 10: "Ten"}
    return run(
        name, day, ICE_BOX,
        sheet("ice-box", ["warm-up"], None, f"{words[count]} bottles out of the cold room, no ice.",
              load=[told]),
        log("air", "load", "ambient", step=STEP),
        loads=(load,), lead=0.0, start=2.5, hours=hours, room=25.2,
    )  # fmt: skip


def sound_runs() -> list[Run]:
    """Sound of each powered cooler, read by eye on a quiet evening: invented readings.

    Returns
    -------
    list of Run
        Nothing of them is simulated.
    """
    told = (
        ("chest", CHEST, 12, "running", (39.1, 39.8, 39.4, 40.2, 39.5, 39.0)),
        ("small-te", SMALL, 14, "running", (43.7, 44.1, 43.5, 43.9, 44.4, 43.8)),
        ("self-built", BUILT, 23, "running", (47.6, 48.3, 47.9, 48.1, 47.4, 48.0)),
    )
    return [_heard(*one) for one in told]


def _heard(
    cooler: str, parts: tuple, day: int, state: str, levels: tuple[float, ...]
) -> Run:
    readings = [{"at": f"{n} min", "sound": f"{level:g} dB", "instrument": "ear"}
                for n, level in enumerate(levels)]
    quiet = run(
        f"{cooler}-sound", day, parts,
        sheet(cooler, ["sound"], None, "After closing time, by the till.",
              sound=Inline(state=state, distance="1 m", background="30.5 dB"), reading=readings),
        log(), room=24.0, hour=22, lead=0.0, hours=0.1,
    )  # fmt: skip
    return replace(quiet, logs=())

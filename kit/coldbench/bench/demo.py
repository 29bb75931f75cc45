"""The demo campaign: four invented cool boxes for a weekly cheese stall, run on the bench."""

from __future__ import annotations

from pathlib import Path

from coldbench.bench.boxes import Load, Thermostat
from coldbench.bench.campaign import Campaign, Run, cans, simulate_campaigns
from coldbench.bench.demo_leaks import leak_runs, same_place, sound_runs
from coldbench.bench.demo_parts import (
    BUILT,
    CHEST,
    HOUR,
    ICE_BOX,
    SMALL,
    four_bottles,
    log,
    power_on,
    run,
    sheet,
)
from coldbench.bench.demo_sheets import CAMPAIGN, COOLERS, METERS
from coldbench.bench.truth import Truth
from coldbench.bench.writing import write_campaign

SEED = 20310614


def demo_campaign() -> Campaign:
    """The demo before it is simulated.

    Returns
    -------
    Campaign
        Runs of four coolers; the same-place check of the probes is added by ``build_demo``.
    """
    runs = (*_chest_runs(), *_small_runs(), *_built_runs(), _ice_box_run(), *leak_runs(),
            *sound_runs())
    return Campaign("demo", SEED, CAMPAIGN, METERS, COOLERS, runs)


def _chest_runs() -> list[Run]:
    load, bottles = four_bottles(25.4, 0.006)
    four = Thermostat(on_at=4.5, off_at=-4.9, on_evaporator=True)
    coldest = run(
        "chest-coldest", 2, CHEST,
        sheet("chest", ["pull-down", "steady"], "coldest", "Dial at its coldest.",
              display="-18 °C", load=[bottles], mark=power_on()),
        log("air", "load", "ambient", "power"), loads=(load,), hours=48.0, room=25.4,
    )  # fmt: skip
    steady = run(
        "chest-4c", 5, CHEST,
        sheet("chest", ["pull-down", "steady"], "4 °C",
              "Dial at 4. The logger lost its plug for most of an hour.", display="4 °C",
              load=[bottles], mark=power_on()),
        log("air", "load", "ambient", "power", gaps=((20.4 * HOUR, 21.3 * HOUR),)),
        loads=(load,), thermostat=four, hours=36.0, room=25.2,
    )  # fmt: skip
    again = run(
        "chest-4c-again", 8, CHEST,
        sheet("chest", ["pull-down", "steady"], "4 °C", "The same once more.",
              display="4 °C", repeat_of="chest-4c", load=[bottles], mark=power_on()),
        log("air", "load", "ambient", "power"),
        loads=(load,), thermostat=four, hours=36.0, room=25.6,
    )  # fmt: skip
    load, bottles = four_bottles(33.3, 0.006)
    warm = run(
        "chest-4c-warm", 27, CHEST,
        sheet("chest", ["pull-down", "steady"], "4 °C", "Up in the loft, under the roof.",
              display="4 °C", load=[bottles], mark=power_on()),
        log("air", "load", "ambient", "power", step=120.0),
        loads=(load,), thermostat=four, hours=36.0, room=33.2,
    )  # fmt: skip
    return [coldest, steady, again, warm, _freeze_run()]


def _freeze_run() -> Run:
    """Two small bottles freeze through, a large one does not: some water is poured off."""
    small, bottle = cans(2, 250.0, "PET", 20.0, 25.3, film=0.24, filling=-0.004, nucleation=-4.5)
    large, jug = cans(1, 1000.0, "PET", 34.0, 25.3, film=0.55, filling=0.003, nucleation=-2.0)
    bottle = {"#": "The probe sits in the middle of one of these.", **bottle}
    return run(
        "chest-freeze", 11, CHEST,
        sheet("chest", ["freeze"], "coldest", "Chest empty, dry and warm at the start.",
              load=[bottle, jug], mark=power_on()),
        log("air", "load", "ambient", "power"),
        loads=(small, large), hours=15.0, room=25.3, pours_off=True,
    )  # fmt: skip


def _small_runs() -> list[Run]:
    load, bottles = cans(2, 330.0, "PET", 24.0, 25.5, filling=-0.005)
    coldest = run(
        "small-te-coldest", 13, SMALL,
        sheet("small-te", ["pull-down", "steady"], "coldest",
              "It has no thermostat. The logger was unplugged for a while.",
              load=[bottles], mark=power_on()),
        log("air", "load", "ambient", "power", gaps=((5.5 * HOUR, 7.3 * HOUR),)),
        loads=(load,), hours=36.0, room=25.5,
    )  # fmt: skip
    again = run(
        "small-te-coldest-again", 16, SMALL,
        sheet("small-te", ["steady"], "coldest",
              "The DC meter was lent out; the counter was read by eye.",
              repeat_of="small-te-coldest", load=[bottles], mark=power_on()),
        log("air", "load", "ambient"), loads=(load,), hours=34.0, room=25.3,
        readings=tuple(HOUR * h for h in (0, 3, 8, 10, 14, 24, 28, 32, 34)), reader="counter",
    )  # fmt: skip
    return [coldest, again]


def _built_runs() -> list[Run]:
    load, bottles = four_bottles(25.4, -0.008)
    roles = ("air", "load", "ambient", "hot_side", "power")
    coldest = run(
        "self-built-coldest", 19, BUILT,
        sheet("self-built", ["pull-down", "steady"], "coldest", "Thermostat bridged.",
              load=[bottles], mark=power_on()),
        log(*roles), loads=(load,), hours=36.0, room=25.4,
    )  # fmt: skip
    steady = run(
        "self-built-4c", 22, BUILT,
        sheet("self-built", ["pull-down", "steady"], "4 °C", "Thermostat on the cold plate.",
              load=[bottles], mark=power_on()),
        log(*roles), loads=(load,), hours=36.0, room=25.2,
        thermostat=Thermostat(on_at=4.5, off_at=-1.7, on_evaporator=True, rest=120.0, lag=90.0),
    )  # fmt: skip
    return [coldest, steady]


def _ice_box_run() -> Run:
    load, bottles = four_bottles(25.5, 0.004)
    ice = Load(water=3.0, film=3.4, start=-2.0, frozen=True, warm_share=0.3)
    marks = [{"at": "0 min", "what": "load in", "note": "bottles, and the ice on top"}]
    return run(
        "ice-box-3kg", 25, ICE_BOX,
        sheet("ice-box", ["pull-down", "warm-up"], "3 kg of ice", "Lid shut throughout.",
              load=[bottles], ice={"mass": "3 kg", "start": "-2 °C"}, mark=marks),
        log("air", "load", "ambient", step=120.0),
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
    return write_campaign(folder, same_place(sim))

"""A same-place check on the bench: probes of any speed in one ice bath, then in one room's air."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from coldbench.bench.boxes import Case, foam_box
from coldbench.bench.campaign import CampaignSim, Run
from coldbench.bench.history import History
from coldbench.bench.instruments import LogPlan

STEP = 1.0  # [s]
MINUTES = {"ice": (5, 20), "air": (25, 40)}  # in each bath, as its sheet says
END = 45.0  # [min]


@dataclass(frozen=True)
class SharedBath:
    """What the baths were really like.

    Parameters
    ----------
    ice_error : float
        Of the ice water against 0 °C. [K]
    room : float
        Mean of the room. [°C]
    drift : float
        Of the room. [K/h]
    places : dict of str to pair of float
        How far the place of each probe is off its bath, in ice and in air. [K]
    moves : pair of float
        When the probes go into the ice water and out of it. [s after the start]
    """

    ice_error: float = 0.0
    room: float = 22.0
    drift: float = 0.0
    places: Mapping[str, tuple[float, float]] | None = None
    moves: tuple[float, float] = (300.0, 1200.0)

    @classmethod
    def drawn(cls, rng: np.random.Generator, probes: Sequence[str]) -> SharedBath:
        """Baths as careful people make them at home."""
        return cls(
            float(rng.uniform(-0.1, 0.1)), float(rng.uniform(18, 27)),
            float(rng.uniform(-0.3, 0.3)),
            {p: (float(rng.uniform(-0.02, 0.02)), float(rng.uniform(-0.05, 0.05)))
             for p in probes},
            # A little before and after what the sheet says, as no hand keeps to the minute.
            (float(300 - rng.uniform(0, 60)), float(1200 + rng.uniform(0, 60))),
        )


def shared_history(bath: SharedBath, slowness: Mapping[str, float]) -> History:
    """What each probe's place and speed make of the baths.

    Parameters
    ----------
    bath : SharedBath
    slowness : mapping of str to float
        Time constant of each probe in air; in stirred water it is a tenth of that. [s]

    Returns
    -------
    History
        States by name of probe.
    """
    t = np.arange(0.0, END * 60 + STEP, STEP)
    wet = (t >= bath.moves[0]) & (t < bath.moves[1])
    states = {}
    for probe, tau in slowness.items():
        in_ice, in_air = (bath.places or {}).get(probe, (0.0, 0.0))
        outside = np.where(wet, bath.ice_error + in_ice,
                           bath.room + bath.drift * t / 3600 + in_air)
        share = 1 - np.exp(-STEP / np.where(wet, tau / 10, tau))
        states[probe] = _follow(outside, share)
    zero = np.zeros(t.size - 1)
    none = np.zeros((0, t.size))
    return History(
        t=t, states=states, flows=dict.fromkeys(("power", "leak", "machine", "inside"), zero),
        on=zero > 0, taken=none, taken_container=none, stored=np.zeros(t.size),
        nucleated=np.zeros(0), water=np.zeros(0),
    )


def _follow(outside: np.ndarray, share: np.ndarray) -> np.ndarray:
    seen = np.empty_like(outside)
    at = outside[0]
    for k, (goal, part) in enumerate(zip(outside.tolist(), share.tolist(), strict=True)):
        at += part * (goal - at)
        seen[k] = at
    return seen


def with_check(
    sim: CampaignSim,
    bath: SharedBath,
    slowness: Mapping[str, float],
    logs: Sequence[LogPlan],
    *,
    start: dt.datetime = dt.datetime(2031, 3, 1, 9),
    baths: Sequence[Literal["ice", "air"]] = ("ice", "air"),
    name: str = "check",
    more: Mapping[str, str] | None = None,
) -> CampaignSim:
    """A campaign with a same-place check before its runs.

    Parameters
    ----------
    sim : CampaignSim
        Its first cooler lends the check its name.
    bath : SharedBath
    slowness : mapping of str to float
        As :func:`shared_history`. [s]
    logs : sequence of LogPlan
        Places of their columns are names of probes.
    start : datetime
        Local.
    baths : sequence of {"ice", "air"}
        What the run's sheet says; without one of them its windows are not written.
    name : str
        Id of the run.
    more : mapping of str to str
        What else the run's sheet says, before everything else.

    Returns
    -------
    CampaignSim
    """
    windows = {
        b: {"from": f"{MINUTES[b][0]} min", "to": f"{MINUTES[b][1]} min"} for b in baths
    }
    cooler = next(iter(sim.campaign.coolers))
    sheet = {**(more or {}), "cooler": cooler, "kind": ["same-place"]}
    if windows:
        sheet["window"] = windows
    # Nothing of a box is in it: the case only fills its place.
    run = Run(name, Case(foam_box(10.0, 0.03, 0.03), None, ()), sheet, start, tuple(logs))
    campaign = replace(sim.campaign, runs=(run, *sim.campaign.runs))
    return CampaignSim(campaign, {**sim.histories, name: shared_history(bath, slowness)})

"""Same-place checks on the simulator's bench: four probes, two loggers, the truth known."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import numpy as np

from coldbench.bench import Campaign, CampaignSim, Column, LogPlan, Meter, write_campaign
from coldbench.bench.same_place import SharedBath, with_check
from coldbench.sheets import Campaign as Sheets
from coldbench.sheets import read_campaign

ROLES = {"P1": "air", "P2": "load", "P3": "ambient", "P4": "load_2"}
SHEET = {"title": "Made (invented data)", "timezone": "UTC"}
COOLER = {"name": "Made", "technology": "passive", "origin": "lent"}


def plans(probes: dict[str, str], steps=(10.0, 10.0), clock=0.0, ending="") -> tuple[LogPlan, ...]:
    """Logs of two loggers, the second's clock ahead; ``probes`` are places by probe."""
    names = list(probes)
    loggers = {"L1": names[:2], "L2": names[2:]}
    return tuple(
        LogPlan(tuple(Column(f"{p}_C", ROLES[p], logger, probes[p], p) for p in of_logger),
                step=step, ending=f"{ending}-{logger}", clock=clock if logger == "L2" else 0.0)
        for (logger, of_logger), step in zip(loggers.items(), steps, strict=True)
    )


def drawn(seed: int) -> tuple[CampaignSim, dict[str, float], float]:
    """A check drawn at random, the true offset of each probe [K], and of the second clock [s]."""
    rng = np.random.default_rng([seed, 77])
    limit = float(rng.choice([0.2, 0.3, 0.5]))
    meters = tuple(
        Meter(logger, "temperature", error=f"{limit} K", offset=limit,
              noise=float(rng.uniform(0.01, 0.06)), resolution=float(rng.choice([0.05, 0.1])))
        for logger in ("L1", "L2")
    )
    clock = float(rng.integers(-120, 121))
    slowness = {probe: float(rng.uniform(10, 90)) for probe in ROLES}
    logs = plans({p: p for p in ROLES}, rng.choice([5.0, 10.0, 30.0, 60.0], 2), clock)
    bare = CampaignSim(Campaign("made", seed, SHEET, meters, {"cooler": COOLER}, ()))
    sim = with_check(bare, SharedBath.drawn(rng, list(ROLES)), slowness, logs)
    return sim, {p: meters[0].hidden(seed, p)[0] for p in ROLES}, clock


def written(folder: Path, sim: CampaignSim) -> Sheets:
    """Its sheets, written and read."""
    write_campaign(folder, sim)
    return read_campaign(folder)


def only(campaign: Sheets, *baths: str, run: str = "check") -> Sheets:
    """The same campaign, of whose check only some windows are stated."""
    sheet = campaign.runs[run]
    gone = dict.fromkeys({"ice", "air"} - set(baths))
    cut = sheet.model_copy(update={"window": sheet.window.model_copy(update=gone)})
    return replace(campaign, runs={**campaign.runs, run: cut})


def with_soak(sim: CampaignSim, probes: tuple[str, ...] = tuple(ROLES)) -> CampaignSim:
    """A second run: the same loggers and probes once more in the same places, as a soak."""
    first = sim.campaign.runs[0]
    logs = tuple(
        replace(plan, columns=tuple(
            c if c.probe in probes else replace(c, probe=f"other {c.probe}")
            for c in plan.columns))
        for plan in first.logs
    )
    soak = replace(first, id="soak", logs=logs, start=dt.datetime(2031, 3, 8, 9),
                   sheet={"cooler": "cooler", "kind": ["pull-down"]})
    campaign = replace(sim.campaign, runs=(first, soak))
    return CampaignSim(campaign, {**sim.histories, "soak": sim.histories["check"]})

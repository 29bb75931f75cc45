"""A simulated campaign: its sheets, the runs behind them, and the histories they turn into."""

from __future__ import annotations

import datetime as dt
import zlib
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from coldbench.bench.boxes import Case, Load, with_spread
from coldbench.bench.history import History
from coldbench.bench.instruments import LogPlan, Meter
from coldbench.bench.sheet_text import Inline
from coldbench.bench.simulate import simulate
from coldbench.bench.truth import Truth
from coldbench.physics.water import SPECIFIC_HEAT

WATER_KG_PER_LITRE = 0.998


@dataclass(frozen=True)
class Run:
    """One run: what is simulated, what its sheet says, what is logged.

    ``sheet`` holds what the sheet says beside logs and readings. ``readings`` are instants
    [s after power on] at which someone reads the counter of ``reader`` by hand.
    """

    id: str
    case: Case
    sheet: dict[str, Any]
    start: dt.datetime  # power on, local
    logs: tuple[LogPlan, ...]
    readings: tuple[float, ...] = ()
    reader: str = ""
    pours_off: bool = False  # at the end the water that is left is poured off and weighed
    drains: bool = False  # at the end what has melted of the ice is poured off and weighed
    spread: float = 0.025


@dataclass(frozen=True)
class Campaign:
    """Everything that one folder will hold, before anything has been simulated."""

    id: str
    seed: int
    sheet: dict[str, Any]
    meters: tuple[Meter, ...]
    coolers: dict[str, dict[str, Any]]
    runs: tuple[Run, ...]
    decimals: int = 2  # of a logged value
    remark: str = ""  # a line at the head of every sheet and log

    @property
    def timezone(self) -> ZoneInfo:
        """Time zone of the sheets and logs."""
        return ZoneInfo(self.sheet["timezone"])


@dataclass(frozen=True)
class CampaignSim:
    """A campaign and what happened in each of its runs."""

    campaign: Campaign
    histories: dict[str, History] = field(default_factory=dict)

    @property
    def truths(self) -> dict[str, Truth]:
        """Truth of each run, by its id."""
        zone = self.campaign.timezone
        return {
            run.id: Truth(self.histories[run.id], run.start.replace(tzinfo=zone).timestamp())
            for run in self.campaign.runs
        }


def cans(
    count: int,
    millilitres: float,
    material: str,
    grams: float,
    start: float,
    *,
    film: float = 0.22,
    filling: float = 0.0,
    **more: Any,
) -> tuple[Load, dict[str, Any]]:
    """Filled containers: the load on the bench, and what the run's sheet says of it.

    Parameters
    ----------
    count : int
    millilitres : float
        Nominal filling of one. [mL]
    material : str
        Of the container.
    grams : float
        One empty container. [g]
    start : float
        [°C]
    film : float
        One container to the air. [W/K]
    filling : float
        True filling is off by this, relative. [-]
    **more
        Further attributes of ``Load``.

    Returns
    -------
    load : Load
    sheet : dict
    """
    water = count * millilitres / 1000 * WATER_KG_PER_LITRE * (1 + filling)
    load = Load(
        water=water,
        container_heat=count * grams / 1000 * SPECIFIC_HEAT[material],
        film=count * film,
        start=start,
        **more,
    )
    sheet = {
        "count": count,
        "water": f"{millilitres:g} mL",
        "container": Inline(material=material, mass=f"{grams:g} g"),
        "start": f"{start:.1f} °C",
    }
    return load, sheet


def simulate_campaigns(
    campaigns: Sequence[Campaign], batch: int = 100, dt: float = 10.0
) -> list[CampaignSim]:
    """Run every run of every campaign, many at a time.

    Parameters
    ----------
    campaigns : sequence of Campaign
    batch : int
        Runs stepped together. What happened takes about 1 MB a run and day: for hundreds of
        campaigns ask for a few dozen at a time.
    dt : float
        Time step. [s]

    Returns
    -------
    list of CampaignSim
        In order. The result does not depend on ``batch``.
    """
    work = [
        (number, run.id, _as_run(campaign, run))
        for number, campaign in enumerate(campaigns)
        for run in campaign.runs
    ]
    sims = [CampaignSim(campaign) for campaign in campaigns]
    # Runs of like length together: a batch is as long as its longest.
    work.sort(key=lambda item: item[2].hours)
    for begin in range(0, len(work), batch):
        chunk = work[begin : begin + batch]
        for (number, run, _), history in zip(
            chunk, simulate([case for *_, case in chunk], dt), strict=True
        ):
            sims[number].histories[run] = history
    return sims


def _as_run(campaign: Campaign, run: Run) -> Case:
    """The case with the spread of this one run."""
    rng = np.random.default_rng([campaign.seed, zlib.crc32(f"run {run.id}".encode())])
    return with_spread(run.case, rng, run.spread)

"""Draw the instruments of a random campaign and the logs they keep."""

from __future__ import annotations

from typing import Literal

import numpy as np

from coldbench.bench.boxes import Case
from coldbench.bench.instruments import Column, LogPlan, Meter

TEMPERATURES = (("air", "P1"), ("load", "P2"), ("ambient", "P3"))
STYLES = {"mean": 0.5, "hold": 0.25, "change": 0.15, "counter": 0.10}


def draw_meters(
    rng: np.random.Generator, instruments: Literal["ideal", "real"]
) -> tuple[Meter, ...]:
    """A set of temperature probes and an electrical meter.

    Parameters
    ----------
    rng : Generator
    instruments : {"ideal", "real"}

    Returns
    -------
    tuple of Meter
        Ids ``probes`` and ``meter``.
    """
    if instruments == "ideal":
        probes = Meter("probes", "temperature", error="0.001 K", resolution=0.0001)
        meter = Meter("meter", "power", error="0.01 % + 0.001 W", resolution=0.0001)
        return probes, meter
    limit = float(rng.choice([0.2, 0.3, 0.5]))
    percent, watts = float(rng.choice([0.5, 1.0, 2.0])), float(rng.choice([0.05, 0.1, 0.2]))
    probes = Meter(
        "probes", "temperature", error=f"{limit:g} K", offset=limit,
        noise=float(rng.uniform(0.01, 0.06)), resolution=float(rng.choice([0.05, 0.06, 0.1])),
    )  # fmt: skip
    meter = Meter(
        "meter", "power", error=f"{percent:g} % + {watts:g} W", offset=watts, gain=percent / 100,
        noise=float(rng.uniform(0.01, 0.1)), resolution=0.1, counter_step=10.0,
    )  # fmt: skip
    return probes, meter


def draw_logs(
    rng: np.random.Generator,
    instruments: Literal["ideal", "real"],
    meters: tuple[Meter, ...],
    case: Case,
) -> tuple[LogPlan, ...]:
    """Logs of one run: one file, or one each for temperatures and power.

    Parameters
    ----------
    rng : Generator
    instruments : {"ideal", "real"}
    meters : tuple of Meter
        As drawn.
    case : Case
        What is logged.

    Returns
    -------
    tuple of LogPlan
    """
    probes, meter = meters
    temperatures = [Column(f"{role}_C", role, probes.id, probe=p) for role, p in TEMPERATURES]
    power = Column("power_W", "power", meter.id)
    if instruments == "ideal":
        powers = [] if case.machine is None else [power]
        return (LogPlan((*temperatures, *powers), power="mean"),)
    step = float(rng.choice([30.0, 60.0, 120.0, 300.0], p=[0.25, 0.45, 0.2, 0.1]))
    gaps = _gaps(rng, case.hours)
    of_places = LogPlan(tuple(temperatures), step=step, gaps=gaps)
    if case.machine is None:
        return (of_places,)
    style = str(rng.choice(list(STYLES), p=list(STYLES.values())))
    if style == "counter":
        energy = Column("energy_kWh", "energy", meter.id)
        return of_places, LogPlan((energy,), step=300.0, ending="-counter")
    if style == "change":
        plan = LogPlan((power,), step=10.0, ending="-power", power="change", gap="45 min")
        return of_places, plan
    step = float(rng.choice([10.0, 30.0, 60.0]))
    label = "start" if rng.uniform() < 0.5 else "end"
    return of_places, LogPlan(
        (power,), step=step, ending="-power", power=style, label=label, gaps=gaps
    )


def _gaps(rng: np.random.Generator, hours: float) -> tuple[tuple[float, float], ...]:
    """In two runs out of five the logger falls silent once, for a third of an hour or more."""
    if rng.uniform() > 0.4:
        return ()
    begin, length = rng.uniform(0.5, hours - 2) * 3600, rng.uniform(0.3, 1.5) * 3600
    return ((float(begin), float(begin + length)),)

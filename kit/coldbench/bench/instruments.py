"""What simulated instruments make of the truth: hidden constants, noise, steps, gaps, samples."""

from __future__ import annotations

import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from coldbench.bench.history import History

COUNTER_STARTS = 137_000.0  # what an energy counter has counted before, roughly [Wh]


@dataclass(frozen=True)
class Meter:
    """An instrument; its errors are limits of hidden constants, one set a probe."""

    id: str
    measures: Literal["temperature", "power"]
    kind: str = ""
    error: str = ""  # as its sheet states it
    offset: float = 0.0  # limit [K, W]
    gain: float = 0.0  # limit, relative [-]
    noise: float = 0.0  # standard deviation of a sample [K, W]
    resolution: float = 0.001  # [K, W]
    counter_step: float = 0.0  # [Wh]
    checked: str = ""  # date

    def hidden(self, campaign_seed: int, probe: str) -> tuple[float, float]:
        """Offset and gain of one probe, the same throughout a campaign.

        Parameters
        ----------
        campaign_seed : int
        probe : str
            Name of the probe.

        Returns
        -------
        offset, gain : float
            [K or W], [-]
        """
        offset, gain = _generator(campaign_seed, f"probe {probe}").uniform(-1, 1, 2)
        return float(offset) * self.offset, float(gain) * self.gain


@dataclass(frozen=True)
class Column:
    """A column of a log: which place an instrument watches, and what its role is called."""

    name: str
    role: str
    meter: str
    place: str = ""  # state of the history; "power" or "energy"; by default as the role
    probe: str = ""  # by default instrument and column

    @property
    def probe_name(self) -> str:
        """Name that the probe's hidden constants carry."""
        return self.probe or f"{self.meter} {self.name}"


@dataclass(frozen=True)
class LogPlan:
    """One log file: its columns, its sampling and where it is silent."""

    columns: tuple[Column, ...]
    step: float = 60.0  # [s]
    ending: str = ""  # file name is the run's id and this
    power: Literal["hold", "mean", "change"] = "hold"
    label: Literal["start", "end"] = "start"
    change: float = 0.5  # smallest change that is reported [W]
    heartbeat: float = 1800.0  # longest silence of an on-change log [s]
    gaps: tuple[tuple[float, float], ...] = ()  # after power on [s]
    gap: str = ""  # gap limit, as its sheet states it
    metered_at: str = "dc"
    clock: float = 0.0  # its clock is ahead by this [s]


def _generator(seed: int, name: str) -> np.random.Generator:
    return np.random.default_rng([seed, zlib.crc32(name.encode("utf-8"))])


def sample_times(history: History, plan: LogPlan) -> np.ndarray:
    """When a log has a row, gaps left out; on the logger's own clock, begun with the run's lead.

    Parameters
    ----------
    history : History
    plan : LogPlan

    Returns
    -------
    ndarray
        After power on. [s]
    """
    count = int((history.t[-1] - history.t[0]) // plan.step) + 1
    t = history.t[0] + plan.step * np.arange(count)
    if plan.power == "mean":  # an interval that is not whole has no mean
        t = t[1:] if plan.label == "end" else t[:-1]
    silent = np.zeros(t.size, dtype=bool)
    for begin, end in plan.gaps:
        silent |= (t >= begin) & (t < end)
    return t[~silent]


def record(
    history: History, plan: LogPlan, meters: Mapping[str, Meter], seed: int, run: str
) -> tuple[np.ndarray, dict[str, np.ndarray]]:
    """What a logger writes down of a run.

    Parameters
    ----------
    history : History
        The truth.
    plan : LogPlan
    meters : mapping of str to Meter
        By id.
    seed : int
        Of the campaign: fixes the hidden constants.
    run : str
        Id of the run: fixes the noise, with the campaign's seed.

    Returns
    -------
    t : ndarray, shape (n,)
        After power on. [s]
    columns : dict of ndarray, shape (n,)
        Readings, rounded as the instrument does. [°C, W, kWh]
    """
    t = sample_times(history, plan)
    values = {}
    for column in plan.columns:
        meter = meters[column.meter]
        offset, gain = meter.hidden(seed, column.probe_name)
        rng = _generator(seed, f"{run} {plan.ending} {column.name}")
        if column.role == "energy":
            values[column.name] = counter(history, t, meter, offset, gain, rng)
            continue
        true = _true(history, column.place or column.role, t, plan)
        seen = true * (1 + gain) + offset + rng.normal(0.0, meter.noise, t.size)
        if column.role == "power":
            seen = np.maximum(seen, 0.0)
        values[column.name] = _rounded(seen, meter.resolution)
    if plan.power != "change":
        return t, values
    kept = _reported(t, values, plan)
    return t[kept], {name: y[kept] for name, y in values.items()}


def counter(
    history: History,
    t: np.ndarray,
    meter: Meter,
    offset: float,
    gain: float,
    rng: np.random.Generator,
) -> np.ndarray:
    """Readings of an energy counter that has counted before.

    Parameters
    ----------
    history : History
    t : ndarray, shape (n,)
        After power on. [s]
    meter : Meter
        Its ``counter_step`` is how finely it shows.
    offset, gain : float
        Hidden constants. [W], [-]
    rng : Generator
        Where in its step the counter stands at the beginning.

    Returns
    -------
    ndarray, shape (n,)
        [kWh]
    """
    energy = np.interp(t, history.t, history.energy) * (1 + gain)
    energy = (energy + offset * np.maximum(t, 0.0)) / 3600
    count = COUNTER_STARTS + rng.uniform(0, 1) * meter.counter_step + energy
    return _rounded(np.floor(count / meter.counter_step) * meter.counter_step / 1000, 1e-6)


def _true(history: History, place: str, t: np.ndarray, plan: LogPlan) -> np.ndarray:
    if place != "power":
        return np.interp(t, history.t, history.state(place))
    if plan.power == "mean":
        shift = plan.step if plan.label == "end" else 0.0
        energy = history.energy
        begin = np.interp(t - shift, history.t, energy)
        return (np.interp(t - shift + plan.step, history.t, energy) - begin) / plan.step
    here = np.searchsorted(history.t, t, side="right") - 1
    return history.flows["power"].astype(float)[np.minimum(here, history.on.size - 1)]


def _rounded(values: np.ndarray, resolution: float) -> np.ndarray:
    """To whole steps of the reading; adding zero turns −0 into 0."""
    return np.round(np.round(values / resolution) * resolution, 6) + 0.0


def _reported(t: np.ndarray, values: dict[str, np.ndarray], plan: LogPlan) -> np.ndarray:
    """Rows of an on-change log: a new level, or a sign of life after a long silence."""
    levels = np.stack([np.round(y / plan.change) for y in values.values()])
    changed = np.concatenate([[True], (np.diff(levels, axis=1) != 0).any(axis=0)])
    beat = np.floor((t - t[0]) / plan.heartbeat)
    changed[1:] |= np.diff(beat) > 0
    return changed

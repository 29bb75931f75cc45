"""Everything an analysis of one run may ask for."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from coldbench import draws
from coldbench.analysis.doubt import true_of
from coldbench.analysis.energy import EnergyMeter
from coldbench.analysis.limits import LIMITS
from coldbench.logs.cumulative import cumulative
from coldbench.logs.record import Record, Trace
from coldbench.sheets import Campaign, RunSheet


@dataclass(frozen=True)
class Context:
    """One run with its campaign.

    Parameters
    ----------
    record : Record
        The run, read.
    campaign : Campaign
        Sheets of the campaign.
    """

    record: Record
    campaign: Campaign

    @property
    def run(self) -> RunSheet:
        """Sheet of the run."""
        return self.campaign.runs[self.record.run]

    @property
    def name(self) -> str:
        """Stem of the names of this run's own scatter."""
        return f"{self.record.cooler} {self.record.run}"

    @cached_property
    def meter(self) -> EnergyMeter | None:
        """Its electrical side."""
        return EnergyMeter.of(self.record)

    @property
    def targets(self) -> list[float]:
        """Targets of the campaign, warm to cold. [°C]"""
        targets = self.campaign.sheet.targets
        return sorted((q.value for q in targets.temperatures), reverse=True) if targets else []

    @property
    def food_limit(self) -> float | None:
        """Food limit of the campaign. [°C]"""
        targets = self.campaign.sheet.targets
        return targets.food_limit.value if targets and targets.food_limit else None

    @property
    def footing_start(self) -> float | None:
        """Start temperature of the footing. [°C]"""
        footing = self.campaign.sheet.footing
        return footing.start.value if footing and footing.start else None

    @cached_property
    def end(self) -> float:
        """End of the cooler's running: the mark ``power off``, else the last sample. [s]"""
        off = [m.t for m in self.record.marks if m.what == "power off"]
        return min([self.record.end, *(t for t in off if t > self.record.zero)])

    def ambient(self, t0: float, t1: float) -> tuple[float | None, np.ndarray | None]:
        """Mean ambient over a window and its draws; typed where it was not logged. [°C]"""
        trace = self.record.trace("ambient")
        if trace is not None:
            mean = float(cumulative(trace).mean(t0, t1))
            return (mean, true_of(trace, mean)) if np.isfinite(mean) else (None, None)
        typed = self.run.ambient
        if typed is None:
            return None, None
        limit = typed.limit if typed.limit is not None else LIMITS.ambient_typed
        return typed.value, typed.value + draws.uniform(f"{self.record.run} ambient", limit)

    def conditions(self, t0: float, t1: float, **more: float | str) -> dict[str, float | str]:
        """Measured conditions of a window; typed ambient is said to be typed."""
        found: dict[str, float | str] = {}
        ambient, _ = self.ambient(t0, t1)
        if ambient is not None:
            found["ambient"] = ambient
            if self.record.trace("ambient") is None:
                found["ambient_from"] = "typed"
        found.update(more)
        if self.run.load and "load" not in found:
            found["load"] = float(sum(i.count * i.water.value for i in self.run.load))
        if self.run.ice is not None and self.run.ice.mass is not None:
            found["ice"] = self.run.ice.mass.value
        return found

    def coverage(self, trace: Trace, t0: float, t1: float) -> float:
        """Share of a window within the gap limit of a sample. [%]"""
        # A log may begin one sample after the switch and end one before it.
        t0 = trace.t[0] if 0 < trace.t[0] - t0 <= trace.gap else t0
        t1 = trace.t[-1] if 0 < t1 - trace.t[-1] <= trace.gap else t1
        return cumulative(trace).coverage(t0, t1)

"""One simulated run: each finding of the kit beside the truth that the simulator integrated.

The truth is asked for on the very window the analysis chose; the definitions are those of the
findings. The implied width is what the drawn limits of the instruments alone make of the truth.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from coldbench.analysis.campaign import RunResult
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.steady import SteadyWindow
from coldbench.bench import CampaignSim, Truth
from coldbench.findings import Finding
from coldbench.physics.water import heat_to_cool_container, heat_to_cool_water

HOUR = 3600.0


@dataclass(frozen=True)
class Judged:
    """A finding, its truth, and what it should have done.

    ``should`` says whether the run met the method's stated conditions, so that a value is due;
    ``implied`` is the width of the interval that instrument limits alone imply, NaN where they
    have no part in it. [unit of the finding]
    """

    campaign: str
    run: str
    finding: str
    at: str
    basis: str
    value: float
    low: float
    high: float
    truth: float
    should: bool
    implied: float

    @property
    def hit(self) -> bool:
        """Whether the interval (or bound) holds the truth; never reached is infinite."""
        truth = np.inf if np.isnan(self.truth) else self.truth
        return self.low <= truth <= self.high


class Meters:
    """Limits of the drawn instruments, and draws within them. Independent of the kit's draws."""

    def __init__(self, sim: CampaignSim) -> None:
        by_kind = {m.measures: m for m in sim.campaign.meters}
        self.probe, self.power = by_kind["temperature"], by_kind["power"]
        rng = np.random.default_rng(7)
        self.unit = rng.uniform(-1, 1, (6, 4000))

    def temperature(self, which: int = 0) -> np.ndarray:
        """Offsets of a probe. [K]"""
        return self.unit[which] * self.probe.offset

    def count(self) -> np.ndarray:
        """Errors of a difference of two counter readings. [Wh]"""
        return (self.unit[4] + self.unit[5]) * self.power.counter_step / 2

    def energy(self, energy: float, hours: float) -> np.ndarray:
        """Errors of an energy. [Wh]"""
        gain, offset = self.unit[2] * self.power.gain, self.unit[3] * self.power.offset
        return energy * gain + offset * hours


def width(draws: np.ndarray) -> float:
    """Width of the middle 95 %."""
    low, high = np.quantile(draws[np.isfinite(draws)], [0.025, 0.975])
    return float(high - low)


def judge(sim: CampaignSim, result: RunResult) -> Iterator[Judged]:
    """Every finding of one run beside its truth."""
    truth = sim.truths[result.record.run]
    meters = Meters(sim)
    for finding in result.findings:
        answer = _answer(sim, result, truth, meters, finding)
        if answer is None:
            continue
        true, should, implied = answer
        yield Judged(
            sim.campaign.id, result.record.run, finding.finding, finding.at, finding.basis,
            _number(finding.value, np.nan), _number(finding.low, -np.inf),
            _number(finding.high, np.inf), true, should, implied,
        )


def _number(value: float | None, otherwise: float) -> float:
    return otherwise if value is None else value


Answer = tuple[float, bool, float]


def _answer(
    sim: CampaignSim, result: RunResult, truth: Truth, meters: Meters, finding: Finding
) -> Answer | None:
    name = finding.finding
    if name in ("pull_down_time", "pull_down_energy", "load_heat"):
        return _pull_down(sim, result, truth, meters, finding)
    if name == "hours_above_limit":
        return _hours_above(result, truth, meters, finding)
    if name in ("freeze_start", "plateau_time", "freeze_time", "freeze_energy",
                "freezing_capacity"):
        return _freeze(sim, result, truth, meters, finding)
    if result.steady is not None and name in STEADY:
        return _steady(sim, result, truth, meters, finding)
    return None


# --- the steady window --------------------------------------------------------------------------

STEADY = {"coldest_air", "below_ambient", "warmest_load", "mean_power", "daily_energy",
          "running_power", "idle_power", "duty", "cycle_time", "air_swing"}


def _steady(
    sim: CampaignSim, result: RunResult, truth: Truth, meters: Meters, finding: Finding
) -> Answer | None:
    window, name = result.steady, finding.finding
    t0, t1 = truth.seconds(window.t0), truth.seconds(window.t1)
    begin = window.starts[:-1][window.good] - truth.power_on
    end = window.starts[1:][window.good] - truth.power_on
    if "energy from the counter" in finding.note:
        begin, end = np.array([t0]), np.array([t1])
    hours = float((end - begin).sum()) / HOUR
    powered = truth.history.energy[-1] > 0 and truly_steady(truth)

    def mean(place: str) -> float:
        parts = [truth.mean(place, a, b) * (b - a) for a, b in zip(begin, end, strict=True)]
        return float(np.sum(parts) / (hours * HOUR))

    if name == "coldest_air":
        run = next(r for r in sim.campaign.runs if r.id == finding.runs[0])
        due = run.sheet["setting"] == "coldest" and truly_steady(truth)
        if finding.basis == "bounded":
            return _lowest(truth, window), due, np.nan
        return mean("air"), due, width(meters.temperature())
    if name == "below_ambient":
        both = meters.temperature(0) - meters.temperature(1)
        return mean("ambient") - mean("air"), True, width(both)
    if name == "warmest_load":
        return mean("load"), True, width(meters.temperature())
    energy = sum(truth.energy(a, b) for a, b in zip(begin, end, strict=True))
    if name in ("mean_power", "daily_energy"):
        factor = 24.0 if name == "daily_energy" else 1.0
        if not window.passed:
            last = truth.mean_power(truth.history.t[-1] - 6 * HOUR, truth.history.t[-1])
            return factor * last, powered, np.nan
        implied = width(meters.energy(energy, hours)) / hours * factor
        return factor * energy / hours, powered, implied
    if name == "running_power":
        true = truth.running_power(t0, t1)
        return true, powered, width(meters.energy(true, 1.0))
    if name == "idle_power":
        true = truth.idle_power(t0, t1)
        return true, powered, width(meters.energy(true, 1.0))
    return _cycles(truth, finding, begin, end)


def truly_steady(truth: Truth) -> bool:
    """Whether the last day of the truth itself meets the steadiness rule, whatever was found.

    Which cases are due a value must not hang on the answer they got, or none could be missing.
    """
    last = float(truth.history.t[-1])
    starts = truth.starts(last - 24 * HOUR, last)
    if len(starts) > 2 * LIMITS.block_cycles:
        middle = starts[np.argmin(np.abs(starts - (starts[0] + starts[-1]) / 2))]
        halves = [(starts[0], middle), (middle, starts[-1])]
        inside, ambient = (abs(np.subtract(*[truth.mean(place, *half) for half in halves]))
                           for place in ("air", "ambient"))
        watts = [truth.mean_power(*half) for half in halves]
        power = abs(watts[0] - watts[1]) / np.mean(watts)
        return bool(inside <= LIMITS.block_inside and power <= LIMITS.block_power
                    and ambient <= LIMITS.block_ambient)
    if 0 < truth.duty(last - 24 * HOUR, last) < 1:
        return False  # too few cycles for the rule
    inside, ambient = (_drift(truth, place, last) for place in ("air", "ambient"))
    middle = last - 12 * HOUR
    watts = [truth.mean_power(last - 24 * HOUR, middle), truth.mean_power(middle, last)]
    power = abs(watts[1] - watts[0]) / 12 / max(np.mean(watts), 1e-9)
    return bool(abs(ambient - inside) < LIMITS.slope_inside and power < LIMITS.slope_power
                and abs(ambient) < LIMITS.slope_ambient)


def _drift(truth: Truth, place: str, last: float) -> float:
    """Slope of a place over the last day. [K/h]"""
    day = truth.history.t >= last - 24 * HOUR
    return float(np.polyfit(truth.history.t[day] / HOUR, truth.history.state(place)[day], 1)[0])


def _lowest(truth: Truth, window: SteadyWindow) -> float:
    """Lowest mean of a cycle, or of an hour. [°C]"""
    if window.cycling is None:
        return truth.lowest_mean("air")
    starts = window.cycling.starts - truth.power_on
    return min(truth.mean("air", a, b) for a, b in zip(starts[:-1], starts[1:], strict=True))


def _cycles(truth: Truth, finding: Finding, begin: np.ndarray, end: np.ndarray) -> Answer | None:
    starts = truth.starts()
    if not len(starts) or finding.value == 1.0:
        return None  # runs without a break
    nearest = [starts[np.argmin(np.abs(starts[:, None] - x), axis=0)] for x in (begin, end)]
    if finding.finding == "cycle_time":
        return float(np.mean(nearest[1] - nearest[0])) / 60, True, np.nan
    spans = list(zip(begin, end, strict=True))
    if finding.finding == "duty":
        ran = sum(truth.duty(a, b) * (b - a) for a, b in spans)
        return float(ran / np.sum(end - begin)), True, np.nan
    swings = [np.ptp(truth.extreme("air", a, b)) for a, b in spans]
    return float(np.mean(swings)), True, np.nan


# --- pull-down ----------------------------------------------------------------------------------


def _pull_down(
    sim: CampaignSim, result: RunResult, truth: Truth, meters: Meters, finding: Finding
) -> Answer | None:
    if finding.basis == "not applicable" or "footing" in finding.at:
        return None
    place, _, rest = finding.at.partition("<=")
    target = float(rest.partition("°C")[0])
    true = truth.crossing(place, target)
    if finding.finding == "load_heat":
        return _load_heat(sim, truth, finding, target)
    after = truth.history.t >= 0
    t, y = truth.history.t[after], truth.centred_mean(place)[after]
    levels = target + meters.temperature()
    drawn = _first(t, y, levels)
    reaches_surely = bool(np.isfinite(drawn).all())
    decisive = _decisive(t, y, target)
    if finding.finding == "pull_down_time":
        implied = width(drawn) / HOUR if reaches_surely else np.nan
        due = reaches_surely and decisive and not _silent(result, place, true)
        return true / HOUR, due, implied
    if np.isnan(true):
        return None
    energy = truth.energy(0.0, true)
    if not reaches_surely:
        return energy, False, np.nan
    at = np.interp(drawn, truth.history.t, truth.history.energy) / HOUR
    counted = any(c.role == "energy" for r in sim.campaign.runs if r.id == finding.runs[0]
                  for plan in r.logs for c in plan.columns)
    implied = width(at - np.interp(0.0, truth.history.t, truth.history.energy) / HOUR
                    + meters.energy(energy, true / HOUR) + counted * meters.count())
    return energy, decisive, implied


def _decisive(t: np.ndarray, y: np.ndarray, target: float) -> bool:
    """Whether a curve goes through the target, not along it: 0.1 K within half an hour."""
    above, below = _first(t, y, np.array([target + 0.05, target - 0.05]))
    return bool(np.isfinite(below) and below - above <= 1800)


def _first(t: np.ndarray, y: np.ndarray, levels: np.ndarray) -> np.ndarray:
    """First instant at or below each level on a dense curve; infinite where never."""
    lowest = np.minimum.accumulate(y)
    i = np.searchsorted(-lowest, -levels)
    return np.where(i < len(t), t[np.minimum(i, len(t) - 1)], np.inf)


def _silent(result: RunResult, place: str, at: float) -> bool:
    """Whether the log of a place is silent near an instant."""
    trace = result.record.trace(place) or result.record.loads()[0]
    t = trace.t - result.record.zero
    near = np.searchsorted(t, [at - 400, at + 400])
    return bool(np.max(np.diff(t[max(near[0] - 1, 0): near[1] + 2]), initial=0.0) > trace.gap)


def _load_heat(
    sim: CampaignSim, truth: Truth, finding: Finding, target: float
) -> Answer | None:
    run = next(r for r in sim.campaign.runs if r.id == finding.runs[0])
    load = run.case.loads[0]
    start = truth.history.state("load")[np.searchsorted(truth.history.t, 0.0)]
    true = load.water * heat_to_cool_water(start, target)
    sheet = run.sheet["load"][0]
    grams = float(sheet["container"]["mass"].split()[0])
    metal = sheet["count"] * grams / 1000
    true = true + metal * heat_to_cool_container(sheet["container"]["material"], start, target)
    return float(true) / HOUR, True, np.nan


def _hours_above(
    result: RunResult, truth: Truth, meters: Meters, finding: Finding
) -> Answer | None:
    limit = float(finding.at.split()[0])
    first = truth.crossing("load", limit)
    if np.isnan(first):
        return np.nan, False, np.nan
    history = truth.history
    later = (history.t >= first) & (history.t <= result.record.end - truth.power_on)
    above = float((history.state("load")[later] > limit).sum() * history.step) / HOUR
    trace = result.record.loads()[0]
    silent = (np.diff(trace.t) > trace.gap) & (trace.t[1:] > truth.power_on + first)
    return above, not silent.any(), np.nan


# --- freezing -----------------------------------------------------------------------------------


def _freeze(
    sim: CampaignSim, result: RunResult, truth: Truth, meters: Meters, finding: Finding
) -> Answer | None:
    start, end = _plateau(truth)
    name = finding.finding
    if name == "freeze_start":
        return start / HOUR, True, np.nan
    if name == "plateau_time":
        return (end - start) / HOUR, True, np.nan
    if name == "freeze_time":
        return end / HOUR, not np.isnan(end), np.nan
    if np.isnan(end):
        return None
    if name == "freeze_energy":
        energy = truth.energy(0.0, end)
        return energy, True, width(meters.energy(energy, end / HOUR))
    load = next(r for r in sim.campaign.runs if r.id == finding.runs[0]).case.loads[0]
    return 24 * load.water / (end / HOUR), True, np.nan


def _plateau(truth: Truth) -> tuple[float, float]:
    """Start and end of the plateau at the core, after the findings' definition. [s]"""
    history = truth.history
    core, t = history.state("load"), history.t
    nucleated = float(history.nucleated[0])
    if np.isnan(nucleated):
        return np.nan, np.nan
    near = int(np.searchsorted(t, nucleated))
    if core[max(near - 3, 0)] < -0.4:  # a jump ends supercooling
        start = nucleated - history.step / 2  # it happened within that step
    else:
        start = float(t[np.flatnonzero((t >= 0) & (core <= 0.5))[0]])
    left = np.flatnonzero((t > start) & (core <= -0.5))
    # A supercooled core rises back to 0 °C: it leaves the plateau after its last visit.
    visits = np.flatnonzero((t > start) & (np.abs(core) <= 0.5))
    left = left[left > visits[-1]] if len(visits) else left
    return start, float(t[left[0]]) if len(left) else np.nan

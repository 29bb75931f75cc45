"""A design, built and measured: what was predicted of it beside what it does, and why it differs.

Predicted from its own sheet and the measured parts of the cooler it is a design of, at its own
measured conditions. Then one predicted part after another gives way to the measured one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from coldbench import draws
from coldbench.analysis.campaign import CampaignResult
from coldbench.analysis.heat import load_mass
from coldbench.analysis.structure import modelled_structure
from coldbench.compare.leaks import Leak, leak_of
from coldbench.compare.states import State, states
from coldbench.design import compressor_fit, thermoelectric_fit
from coldbench.design.as_stated import Leaks, stated_machine, stated_walls
from coldbench.design.beside_row import Row, row_of
from coldbench.design.compressor_unit import CompressorUnit, Law
from coldbench.design.expected import DAY, Unit, coldest_air
from coldbench.design.fitted import Fitted
from coldbench.design.limits import DESIGN
from coldbench.design.load_film import load_film
from coldbench.design.pull_down_predicted import Contents, pull_down_hours
from coldbench.findings import Finding

FITS = {"compressor": compressor_fit.fit, "thermoelectric": thermoelectric_fit.fit}
WALLS, STORED = "heat leak of the walls", "heat that load and walls still gave up"
# Fields of each machine that give way together, and what they are called.
PARTS = {
    "compressor": (
        ("heat it takes while it runs", ("taken", "starts_taken")),
        ("power while it runs", ("drawn", "starts_drawn")),
        ("power while it rests", ("idle",)),
    ),
    "thermoelectric": (
        ("hot side", ("r_hot", "r_still")),
        ("modules with their volts and cold side", ("module", "volts", "r_cold", "fan_inside",
                                                    "quick", "efficiency")),
        ("fans, pump and controller", ("auxiliary", "idle")),
    ),
}
# Everything that gives way, in the order in which it does.
ORDER = (WALLS, STORED, *(what for parts in PARTS.values() for what, _ in parts))


@dataclass(frozen=True)
class Beside:
    """A design beside its own measurement.

    Parameters
    ----------
    cooler, first : str
        Ids of the design and of the cooler that it is a design of.
    rows : tuple of Row
    said : tuple of str
        What the prediction rests on.
    lacking : tuple of str
        Why something is not predicted or not taken apart.
    """

    cooler: str
    first: str
    rows: tuple[Row, ...]
    said: tuple[str, ...]
    lacking: tuple[str, ...] = ()


def beside(result: CampaignResult, rows: Sequence[Finding], cooler: str) -> Beside | None:
    """What was predicted of a design, beside what it does on the bench.

    Parameters
    ----------
    result : CampaignResult
        Runs, analysed.
    rows : sequence of Finding
        Of the campaign, with the machine's and the heat leaks.
    cooler : str
        Id of the design.

    Returns
    -------
    Beside or None
        None where its sheet names no cooler that it is a design of.

    Notes
    -----
    Each part of the prediction gives way to the measured one in turn: walls, heat that load and
    walls still give up, then the machine's parts, as fitted to the design's own runs. What each
    makes of the difference depends on that order where parts act on each other.

    References
    ----------
    .. [1] Draws are subtracted row by row, after JCGM 101:2008, 7; the order is this kit's own.
    """
    campaign = result.campaign
    first = campaign.coolers[cooler].design_of
    if not first:
        return None
    walls = stated_walls(campaign, rows, cooler, first)
    leak = leak_of(rows, cooler)
    own = [s for s in states(result, rows, cooler) if s.inside.draws is not None
           and s.ambient.draws is not None and s.power.draws is not None]
    before, after = (_fit(result, rows, one) for one in (first, cooler))
    machine = stated_machine(campaign, before, cooler, _driven(result, cooler, own))
    lacking = [] if walls.part is not None else list(walls.said)
    lacking += [] if machine.part is not None else list(machine.said)
    found = [] if walls.part is None else list(_walls(rows, cooler, walls.part))
    through = walls.part if walls.part is not None else _measured(leak)
    if machine.part is not None and through is not None:
        steps = _Steps(machine.part, through, _measured(leak), after.unit)
        found += _machine(result, rows, own, steps, before)
        found += _pull_downs(result, rows, cooler, steps, first)
    if after.refused:
        lacking.append(f"{campaign.coolers[cooler].name} {after.refused}: its machine's share of "
                       "a difference is not known")
    said = [s for stated in (walls, machine) if stated.part is not None for s in stated.said]
    return Beside(cooler, first, tuple(found), tuple(said), tuple(lacking))


def _fit(result: CampaignResult, rows: Sequence[Finding], cooler: str) -> Fitted:
    way = FITS.get(result.campaign.coolers[cooler].technology)
    if way is None:
        return Fitted(cooler, refused="has no machine that could be fitted")
    return way(result, rows, cooler)


def _driven(result: CampaignResult, cooler: str, own: Sequence[State]) -> str:
    """How it holds a setting: seen, as it is a choice and no result."""
    held = [one for one in own if not _coldest(result, one)]
    if result.campaign.coolers[cooler].technology != "thermoelectric" or not held:
        return ""
    return "switched" if any(one.settled for one in held) else "steady"


def _coldest(result: CampaignResult, one: State) -> bool:
    """Whether it ran at full drive without a break."""
    if one.settled:
        return False
    runs = result.campaign.runs
    compressor = result.campaign.coolers[runs[one.runs[0]].cooler].technology == "compressor"
    return compressor or all(runs[run].setting == "coldest" for run in one.runs)


def _measured(leak: Leak | None) -> Leaks | None:
    if leak is None or leak.draws is None:
        return None
    return lambda inside, ambient: leak.at_temperatures(inside, ambient)[1]


# --- parts that give way ------------------------------------------------------------------------


@dataclass(frozen=True)
class _Steps:
    """The machine and the leak that were predicted, and those that were measured."""

    unit: Unit
    leak: Leaks
    own_leak: Leaks | None
    own_unit: Unit | None

    def ways(self) -> Iterator[tuple[str, Unit, Leaks, bool]]:
        """What gave way last, machine and leak then, and whether stored heat counts."""
        unit, leak, stored = _settled(self.unit), self.leak, False
        yield "", unit, leak, stored
        if self.own_leak is None:
            return
        leak = self.own_leak
        yield WALLS, unit, leak, stored
        stored = True
        yield STORED, unit, leak, stored
        own = self.own_unit
        if own is None:
            return
        kind = "compressor" if isinstance(own, CompressorUnit) else "thermoelectric"
        for what, names in PARTS[kind]:
            unit = replace(unit, **{name: getattr(own, name) for name in names})
            yield what, unit, leak, stored


def _settled(unit: Unit) -> Unit:
    """A moved unit with its place in its laws, so that they can give way one by one."""
    if not isinstance(unit, CompressorUnit):
        return unit
    taken, drawn = (_shifted(law, unit.place) for law in (unit.taken, unit.drawn))
    return replace(unit, taken=taken, drawn=drawn, place=0.0)


def _shifted(law: Law, by: np.ndarray) -> Law:
    """The law of an inside that is warmer by some kelvin at the plate."""
    return replace(law, level=law.level + by * (law.slope + law.bend * by),
                   slope=law.slope + 2 * law.bend * by)


# --- findings -----------------------------------------------------------------------------------


def _walls(rows: Sequence[Finding], cooler: str, leak: Leaks) -> Iterator[Row]:
    for f in rows:
        wall = f.conditions.get("wall")
        if (f.finding == "heat_leak" and f.cooler == cooler and f.value is not None
                and f.basis == "measured" and f.at.startswith("walls ") and wall is not None):
            predicted = leak(float(wall), float(wall))
            yield row_of("heat_leak", f.at, f.runs, (None, None), [("", predicted)], f.value,
                         f.draws)


def _machine(
    result: CampaignResult, rows: Sequence[Finding], own: Sequence[State], steps: _Steps,
    before: Fitted,
) -> Iterator[Row]:
    for one in own:
        cold, warm = float(one.inside.value), float(one.ambient.value)
        given = _given(rows, one, steps.own_leak)
        full = _coldest(result, one)
        found: dict[str, list[tuple[str, np.ndarray]]] = {}
        for what, unit, leak, stored in steps.ways():
            for name, values in _predicted(unit, leak(cold, warm), one, given if stored else 0.0,
                                           full):
                found.setdefault(name, []).append((what, values))
        measured = {"coldest_air": one.inside, "duty": one.duty,
                    "daily_energy": replace(one.power, value=DAY * one.power.value,
                                            draws=DAY * one.power.draws)}
        for name, ways in found.items():
            if name == "daily_energy" and one.at != before.metered_at:
                continue  # what an adapter loses is not the machine's
            at = "full drive" if full else f"held, {one.at}" if name == "daily_energy" else "held"
            yield row_of(name, at, one.runs, (cold, warm), ways, float(measured[name].value),
                         measured[name].draws)


def _predicted(
    unit: Unit, leak: np.ndarray, one: State, given: np.ndarray | float, full: bool
) -> Iterator[tuple[str, np.ndarray]]:
    ambient, inside = one.ambient.draws, one.inside.draws
    if full:
        coldest = coldest_air(unit, leak, ambient, float(one.inside.value), given)
        yield "coldest_air", coldest
        yield "daily_energy", DAY * unit.power(coldest, ambient)
        return
    held = unit.hold(inside, ambient, leak * (ambient - inside) + given)
    yield "daily_energy", DAY * held.power
    if one.settled and one.duty.draws is not None:
        yield "duty", held.duty


def _given(
    rows: Sequence[Finding], one: State, leak: Leaks | None
) -> np.ndarray | float:
    """Heat taken that did not come through the walls. [W]"""
    heats = [f.draws for f in rows if f.finding == "cooling_capacity" and f.draws is not None
             and f.runs and set(f.runs) <= set(one.runs)]
    if not heats or leak is None:
        return 0.0
    through = leak(float(one.inside.value), float(one.ambient.value))
    return np.mean(heats, axis=0) - through * (one.ambient.draws - one.inside.draws)


def _pull_downs(
    result: CampaignResult, rows: Sequence[Finding], cooler: str, steps: _Steps, first: str
) -> Iterator[Row]:
    """Of its load where it has one, at full drive: a thermostat may rest before a load is cold."""
    structure = modelled_structure(cooler, result.campaign.coolers[cooler])
    if structure is None:
        return
    film, _ = load_film(result, first)
    method = 1 + draws.uniform(f"{cooler} pull-down predicted", DESIGN.model_pull_down)
    for f in rows:
        if f.cooler != cooler or not _pulled_down(f):
            continue
        sheets = [result.campaign.runs[run] for run in f.runs]
        load = float(np.mean([load_mass(sheet) for sheet in sheets]))
        place, target = _goal(f)
        if place != ("load" if load else "air") or any(s.setting != "coldest" for s in sheets):
            continue
        start, ambient = float(f.conditions["start"]), float(f.conditions["ambient"])
        ways = []
        for what, unit, leak, _ in steps.ways():
            contents = Contents(leak((start + target) / 2, ambient), structure.draws, load,
                                film * max(load, 1e-9))
            hours = method * pull_down_hours(unit, contents, ambient, start, target, place)
            ways.append((what, np.where(np.isfinite(hours), hours, np.nan)))
        yield row_of("pull_down_time", f.at, f.runs, (None, ambient), ways, f.value, f.draws)


def _pulled_down(f: Finding) -> bool:
    known = f.value is not None and f.draws is not None and {"start", "ambient"} <= set(
        f.conditions)
    return f.finding == "pull_down_time" and known and "<=" in f.at and " from " not in f.at


def _goal(f: Finding) -> tuple[str, float]:
    """Where and what: ``load`` and 10 of ``load<=10 °C``."""
    place, target = f.at.split("<=")
    return place, float(target.split()[0])

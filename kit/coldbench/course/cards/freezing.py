"""Lab card: a bottle freezes; supercooling, plateau, three heats and what they cost."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from coldbench import draws
from coldbench.analysis.campaign import RunResult
from coldbench.analysis.doubt import true_of
from coldbench.analysis.heat import load_mass, load_mass_draws
from coldbench.analysis.limits import LIMITS
from coldbench.course.card import Asked, Card, Expected, Guide, Steps, with_draws
from coldbench.course.cautions import GENERAL, ICE, MAINS
from coldbench.course.limits import CARDS
from coldbench.errors import Fault, UserError
from coldbench.findings import find
from coldbench.physics.water import CP_ICE, CP_WATER, LATENT_HEAT, SPECIFIC_HEAT

if TYPE_CHECKING:
    from coldbench.course.work import Work

NONE = with_draws(0.0, None)


@dataclass(frozen=True)
class Substance:
    """What freezes: heats of a kilogram above, at and below its freezing point.

    Attributes
    ----------
    unfrozen, latent, frozen : float
        [J/(kg K)], [J/kg], [J/(kg K)]
    point : float
        [°C]
    """

    unfrozen: float = CP_WATER
    latent: float = LATENT_HEAT
    frozen: float = CP_ICE
    point: float = 0.0


@dataclass(frozen=True)
class Watched:
    """What was read of a bottle that freezes, each in front of its draws.

    Attributes
    ----------
    mass : ndarray
        Of what freezes. [kg]
    container : ndarray
        Heat capacity of what it is in. [J/K]
    start, end : ndarray
        Temperature when put in, and at the end. [°C]
    share : ndarray
        That is ice at the end. [-]
    level, dip : ndarray or None
        Plateau, and coldest reading before it where it jumped, by one probe. [°C]
    begin, plateau : ndarray or None
        Load in to the end of supercooling; length of the plateau. [h]
    energy : ndarray or None
        Electrical, to the end of the plateau. [Wh]
    """

    mass: np.ndarray
    start: np.ndarray
    end: np.ndarray
    container: np.ndarray = field(default_factory=lambda: NONE)
    share: np.ndarray = field(default_factory=lambda: with_draws(1.0, None))
    level: np.ndarray | None = None
    dip: np.ndarray | None = None
    begin: np.ndarray | None = None
    plateau: np.ndarray | None = None
    energy: np.ndarray | None = None


def solve(work: Work, given: Mapping[str, float]) -> dict[str, Expected]:
    """What a group's readings give; see :class:`coldbench.course.card.Card`."""
    run = work.run("freeze")
    return freezing_steps(given, _watched(work, run))


@np.errstate(divide="ignore", invalid="ignore")  # answers to carry forward may be 0
def freezing_steps(
    given: Mapping[str, float], seen: Watched, substance: Substance | None = None
) -> dict[str, Expected]:
    """The way through the card from plain numbers.

    Parameters
    ----------
    given : mapping of str to float
        Answers to carry forward. [unit of each]
    seen : Watched
        What was read.
    substance : Substance or None
        Water if None.

    Returns
    -------
    dict of str to Expected

    References
    ----------
    .. [1] Heats above, at and below a freezing point, as in any handbook of refrigeration;
       values of water: ``coldbench.physics.water``.
    """
    substance = substance or Substance()
    steps = Steps(given)
    if seen.level is not None:
        level = steps.add("plateau_level", seen.level)
        if seen.dip is not None:
            steps.add("supercooling", level - seen.dip)
        else:
            steps.put("supercooling", 0.0, 0.0, LIMITS.jump, "it did not jump")
    if seen.begin is not None:
        steps.add("freeze_start", seen.begin)
    plateau = None if seen.plateau is None else steps.add("plateau_time", seen.plateau)
    above = np.maximum(seen.start - substance.point, 0.0)
    below = np.maximum(substance.point - seen.end, 0.0)
    first = steps.add(
        "heat_above", above * (seen.mass * substance.unfrozen + seen.container) / 1e3)
    latent = steps.add("heat_latent", seen.mass * seen.share * substance.latent / 1e3)
    liquid = (1 - seen.share) * substance.unfrozen
    last = steps.add("heat_below", below * (
        seen.mass * (seen.share * substance.frozen + liquid) + seen.container) / 1e3)
    steps.add("heat_total", first + latent + last)
    if plateau is not None:
        steps.add("plateau_power", latent / (3.6 * plateau))
    if seen.energy is not None:
        energy = steps.add("energy_used", seen.energy)
        steps.add("heat_ratio", (first + latent) / (3.6 * energy))
    return steps.expected


def _watched(work: Work, run: RunResult) -> Watched:
    record, sheet = run.record, work.book.campaign.runs[run.record.run]
    name = record.run
    loads = record.loads()
    if not sheet.load or not loads:
        raise UserError(Fault(
            "the load was not described, or no probe stood in it", f"runs/{name}.toml",
            do='write a [[load]] block, and give the probe at the centre the role "load"'))
    found, probe = run.freezing, loads[0]
    zero = found.zero if found is not None else record.zero
    offset = true_of(probe, 0.0)
    used = (probe.t >= zero - probe.step) & (probe.t < zero + 60.0)
    typed = sheet.load[0].start
    start = float(probe.y[used].mean()) if used.any() or typed is None else typed.value
    last = float(probe.y[probe.t <= record.end][-1])
    level = dip = None
    if found is not None:
        digit = draws.uniform(f"{name} plateau read", CARDS.plateau_read)
        level = with_draws(found.level, found.level + digit)
        dip = None if found.dip is None else with_draws(found.dip, found.dip + digit / 2)
    share = _row(run, "ice_fraction", "poured off")
    return Watched(
        mass=with_draws(load_mass(sheet), load_mass_draws(name, sheet)),
        start=with_draws(start, None if offset is None else start + offset),
        end=with_draws(last, None if offset is None else last + offset),
        container=with_draws(sum(_container(item) for item in sheet.load), None),
        share=with_draws(1.0, None) if share is None else share,
        level=level, dip=dip, begin=_timed(run, "freeze_start"),
        plateau=_timed(run, "plateau_time"), energy=_row(run, "freeze_energy"),
    )


def _container(item: object) -> float:
    """Heat capacity of some like containers. [J/K]"""
    if item.container is None:
        return 0.0
    return item.count * item.container.mass.value * SPECIFIC_HEAT[item.container.material]


def _row(run: RunResult, finding: str, at: str | None = None) -> np.ndarray | None:
    """A finding of the run in front of its draws, None where it has no value."""
    rows = [f for f in find(run.findings, finding=finding)
            if f.value is not None and at in (None, f.at)]
    return with_draws(rows[0].value, rows[0].draws) if rows else None


def _timed(run: RunResult, finding: str) -> np.ndarray | None:
    """The same of a time that is read from a printed curve. [h]"""
    row = _row(run, finding)
    if row is None:
        return None
    drawn = row[1:] if len(row) > 1 else row
    by_eye = draws.uniform(f"{run.record.run} {finding} by eye", CARDS.chart_time / 3600)
    return with_draws(row[0], drawn + by_eye)


def _asked(name: str, title: str, kind: str, unit: str, span: tuple[float, float], formula: str,
           *needs: str, part: str = "derived quantities") -> Asked:
    return Asked(name, title, kind, unit, *span, formula, needs, part=part)


ASKED = (
    _asked("plateau_level", "Level of the plateau, as the probe shows it", "temperature", "°C",
           (-3, 3), "the level at which the curve stays longest", part="plots"),
    _asked("supercooling", "Depth of supercooling", "difference", "K", (0, 15),
           "plateau − coldest reading before the jump; 0 K where it did not jump",
           "plateau_level"),
    _asked("freeze_start", "Load in to the start of freezing", "duration", "h", (0.05, 48),
           "to the jump, else to the first reading on the plateau", part="plots"),
    _asked("plateau_time", "Length of the plateau", "duration", "h", (0.05, 96),
           "until the centre lies 0.5 K below the plateau", part="plots"),
    _asked("heat_above", "Heat given up down to 0 °C", "energy", "kJ", (1, 5000),
           "(m c + m c of the bottle) × (t start − 0 °C)"),
    _asked("heat_latent", "Heat given up in freezing", "energy", "kJ", (5, 20000),
           "m × share frozen × heat of melting"),
    _asked("heat_below", "Heat given up below 0 °C, to the end of the run", "energy", "kJ",
           (0, 3000), "(m c of ice + m c of the bottle) × (0 °C − t end)"),
    _asked("heat_total", "All of it", "energy", "kJ", (5, 25000), "sum of the three",
           "heat_above", "heat_latent", "heat_below", part="balance and closure"),
    _asked("plateau_power", "Mean heat flow out of the load on the plateau", "power", "W",
           (0.2, 500), "heat given up in freezing / length of the plateau", "heat_latent",
           "plateau_time"),
    _asked("energy_used", "Electrical energy to the end of the plateau", "energy", "Wh",
           (2, 5000), "counter, or power × time over whole cycles"),
    _asked("heat_ratio", "Heat out of the load for that energy", "count", "", (0.01, 3),
           "(heat down to 0 °C + heat of freezing) / energy, in one unit", "heat_above",
           "heat_latent", "energy_used", part="comparison with the ideal and between groups"),
)

CARD = Card(
    name="freezing",
    title="Freezing a bottle",
    asked=ASKED,
    solve=solve,
    runs=("freeze",),
    roles=("load", "air", "ambient", "power", "energy"),
    safety=(*GENERAL, MAINS, ICE),
    questions=(
        "Why is the plateau of your curve not at 0.0 °C? Name two reasons, and how to tell them "
        "apart.",
        "What started the freezing of supercooled water, and where did the heat of the jump come "
        "from?",
        "Your probe sits at the wall instead of at the centre. What would the plateau look like, "
        "and which of your results would change?",
        "The heat flow out of the load falls while it freezes. Why, although the air stays as "
        "cold?",
        "Is the heat that left the load all that the machine took out? What else did it cool?",
        "Two bottles of half the size hold the same water. Which freezes first, and by about what "
        "factor?",
    ),
    guide=Guide(
        usual={
            "plateau_level": "0 °C within the limit of the probe; lower with sugar, salt or gas",
            "supercooling": "0 to 8 K; deeper in clean, still, smooth bottles",
            "plateau_power": "3 to 30 W for one litre in a small freezer",
            "heat_ratio": "0.1 to 0.6 for a small compressor cooler; less for a thermoelectric one",
        },
        slips=(
            "End of the plateau read at a probe that touches the wall: far too early.",
            "Heat of melting taken for all the water where some was poured off at the end.",
            "kJ and Wh in one ratio: 1 Wh is 3.6 kJ.",
            "Supercooling counted from 0 °C although the probe's plateau lies elsewhere.",
            "A full closed bottle: it bursts.",
        ),
        plan=(("10 min", "bottle, probe in the middle, load in, clock"),
              ("unattended", "2 to 12 h of logging; start it the evening before"),
              ("10 min", "pour off, weigh"),
              ("40 min", "curve: jump, plateau, end"),
              ("40 min", "three heats, ratio, question")),
        shopping=("cooler that goes below −10 °C", "PET bottles, nine tenths full",
                  "probe with a stopper that holds it in the middle", "logger with 1 min step",
                  "kitchen scale", "power meter"),
    ),
)

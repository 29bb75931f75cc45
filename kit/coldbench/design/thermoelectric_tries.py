"""Machines that show what one run shows: drawn, solved, and kept where they can be believed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.compare.heat_taken import Known
from coldbench.compare.leaks import leak_of
from coldbench.design.limits import DESIGN
from coldbench.design.thermoelectric_shown import KELVIN, Shown, auxiliary_of, drawn_modules
from coldbench.design.thermoelectric_solve import solve
from coldbench.findings import Finding
from coldbench.physics.thermoelectric import Module
from coldbench.sheets import CoolerSheet

OF_MODULE = ("seebeck", "resistance", "conductance")
OF_MACHINE = ("volts", "r_cold", "r_hot", "r_still", "weight")
PASSES = 4  # each side's resistance leans on the other's, weakly
FLAT = 0.1  # cold sides better than this are not likelier still [K/W]
OVER = 1.02  # no modules get more than the logged supply volts, but for the meters


@dataclass(frozen=True)
class Tries:
    """Machines that agree with a run, one a draw.

    Attributes
    ----------
    module : Module
        All modules as one.
    volts : ndarray
        At full drive. [V]
    r_cold, r_hot, r_still : ndarray
        As in :class:`coldbench.design.thermoelectric_unit.ThermoelectricUnit`. [K/W]
    weight : ndarray
        How likely beside another of the same draw; 0 where it cannot be believed. [-]
    """

    module: Module
    volts: np.ndarray
    r_cold: np.ndarray
    r_hot: np.ndarray
    r_still: np.ndarray
    weight: np.ndarray


@dataclass(frozen=True)
class Seen:
    """A run's numbers as they go into the balance: draws, or their medians alike.

    Attributes
    ----------
    heat, running, duty, inside, ambient : array_like
        As in :class:`coldbench.design.thermoelectric_shown.Shown`. [W, W, -, °C, °C]
    beside, fan : array_like
        Drawn beside the modules; given off inside. [W]
    quick : array_like
        Whether sinks keep their means over a cycle, 1, or settle in each spell, 0. [-]
    let_back : array_like or None
        Bridge of the resting modules, where measured. [W/K]
    still : array_like
        Hot side of the resting modules, where not. [K/W]
    """

    heat: ArrayLike
    running: ArrayLike
    duty: ArrayLike
    inside: ArrayLike
    ambient: ArrayLike
    beside: ArrayLike
    fan: ArrayLike
    quick: ArrayLike
    let_back: ArrayLike | None
    still: ArrayLike


def seen_in(rows: Sequence[Finding], cooler: str, sheet: CoolerSheet, one: Shown) -> Seen:
    """Draws of what a run shows, and of what it leaves to be assumed.

    Parameters
    ----------
    rows : sequence of Finding
        Of the campaign.
    cooler : str
        Its id.
    sheet : CoolerSheet
    one : Shown

    Returns
    -------
    Seen

    References
    ----------
    .. [1] This kit's own definition.
    """
    parts = (one.heat, one.running, one.duty, one.inside, one.ambient)
    walls, off = leak_of(rows, cooler, "walls"), leak_of(rows, cooler, "off")
    let_back = None
    if off is not None and off.draws is not None:
        at = float(one.inside.value), float(one.ambient.value)
        let_back = off.at_temperatures(*at)[1] - walls.at_temperatures(*at)[1]
    heat, running, duty, inside, ambient = (part.draws for part in parts)
    if one.cycles:
        # Samples cut spells short, and no sink quite lies between the two limits in both ways.
        duty = np.minimum(duty * (1 + draws.uniform(f"{cooler} duty", DESIGN.module_duty)), 1.0)
    return Seen(
        heat, running, duty, inside, ambient, auxiliary_of(cooler, sheet, one).draws,
        fan_inside(cooler, sheet, one).draws,
        draws.between(f"{cooler} quick", DESIGN.module_quick, 1.0), let_back,
        draws.between(f"{cooler} hot side", LIMITS.hot_side_least, LIMITS.hot_side_most),
    )


def fan_inside(cooler: str, sheet: CoolerSheet, one: Shown) -> Known:
    """Heat of a fan inside: not known, and no more than all that is drawn beside. [W]"""
    most = auxiliary_of(cooler, sheet, one).value * (1 if sheet.auxiliary is not None else 2)
    half = min(LIMITS.fan_inside_most, most) / 2
    return Known(half, half + draws.uniform(f"{cooler} fan inside", half))


def tries(cooler: str, sheet: CoolerSheet, one: Shown, seen: Seen) -> Tries:
    """Machines of all draws; where none is found that can be believed, that of another draw.

    Parameters
    ----------
    cooler : str
        Its id.
    sheet : CoolerSheet
        It states its modules.
    one : Shown
    seen : Seen
        Draws.

    Returns
    -------
    Tries

    References
    ----------
    .. [1] One of several tries of each row, drawn by weight as they come: M. T. Chao,
       Biometrika 69 (1982) 653 (from memory). Its use here is this kit's own.
    """
    kept = _tried(cooler, sheet, one, seen, 0)
    for again in range(1, DESIGN.module_tries):
        if one.rise is not None and (kept.weight > 0).all():
            break
        other = _tried(cooler, sheet, one, seen, again)
        total = kept.weight + other.weight
        turn = draws.between(f"{cooler} machine {again}", 0.0, 1.0) * total < other.weight
        kept = replace(_each(lambda a, b, here=turn: np.where(here, a, b), other, kept),
                       weight=total)
    rows, every = np.flatnonzero(kept.weight > 0), np.arange(draws.DRAWS)
    if len(rows) == 0:
        return kept
    at = np.where(kept.weight > 0, every, rows[every % len(rows)])
    return replace(_each(lambda a: a[at], kept), weight=kept.weight)


def _each(change: object, *of: Tries) -> Tries:
    """The same change to every array of one or more."""
    module = Module(*(change(*(getattr(one.module, name) for one in of)) for name in OF_MODULE))
    return Tries(module, *(change(*(getattr(one, name) for one in of)) for name in OF_MACHINE))


def _tried(cooler: str, sheet: CoolerSheet, one: Shown, seen: Seen, again: int) -> Tries:
    module = drawn_modules(cooler, sheet, again)
    if one.rise is not None:
        place = 1 + draws.uniform(f"{cooler} hot side place", DESIGN.module_place)
        found = machine_of(module, seen, rise=one.rise.draws * place)
    else:
        hidden = f"{cooler} hot side unlogged" + (f" {again}" if again else "")
        ends = np.log([DESIGN.module_hot_least, DESIGN.module_hot_most])
        r_hot = np.exp(draws.between(hidden, *ends)) / sheet.modules.count
        found = machine_of(module, seen, r_hot=r_hot)
        # Drawn evenly over the hot side's logarithm; the cold side's size is no better known.
        found = replace(found, weight=found.weight / np.maximum(found.r_cold, FLAT))
    believed = np.isfinite(found.volts) & (found.r_hot > 0)
    believed &= found.r_cold >= DESIGN.module_cold_least
    believed &= found.r_cold <= DESIGN.module_cold_most
    believed &= _volts_believed(sheet, one, found.volts)
    return replace(found, weight=np.where(believed, found.weight, 0.0))


def _volts_believed(sheet: CoolerSheet, one: Shown, volts: np.ndarray) -> np.ndarray:
    """Logged supply volts before stated ones; without either, any."""
    if one.volts is not None:
        supply = one.volts.draws
        return (volts <= supply * OVER) & (volts >= supply * (1 - DESIGN.module_drop))
    if sheet.supply is None:
        return np.isfinite(volts)
    least, most = DESIGN.module_volts_least, DESIGN.module_volts_most
    return (volts >= least * sheet.supply.value) & (volts <= most * sheet.supply.value)


def machine_of(
    module: Module, seen: Seen, rise: ArrayLike | None = None, r_hot: ArrayLike | None = None
) -> Tries:
    """The machine that shows what was seen, by the rise of its hot side or by its resistance.

    Parameters
    ----------
    module : Module
    seen : Seen
    rise : array_like, optional
        Mean of the hot side over the ambient. [K]
    r_hot : array_like, optional
        Instead of it. [K/W]

    Returns
    -------
    Tries
        Weighed for now by its power alone, which must be above nothing.

    References
    ----------
    .. [1] :func:`coldbench.design.thermoelectric_solve.solve` at the two limits of a switched
       cycle, and between them by ``quick``; one and the same where nothing rests.
    """
    r_still = seen.still
    for _ in range(PASSES):
        mean = _mean(module, seen, r_still, rise, r_hot)
        r_still = _still(mean, module, seen)
    spells = _spells(module, seen, mean, rise, r_hot)
    mixed = (spell + seen.quick * (one - spell) for one, spell in (
        (getattr(mean, name), getattr(spells, name)) for name in ("volts", "r_cold", "r_hot")))
    found = Tries(module, *mixed, r_still, mean.weight)
    return replace(found, r_still=_still(found, module, seen))


def _mean(
    module: Module, seen: Seen, r_still: ArrayLike, rise: ArrayLike | None,
    r_hot: ArrayLike | None,
) -> Tries:
    """With sinks that keep their means: what they shed, they shed running and resting."""
    heat, power = seen.heat + seen.fan, seen.running - seen.beside
    given, rest = heat + seen.duty * power, (1 - seen.duty) / r_still
    if rise is None:
        rise = given / (seen.duty / r_hot + rest)
    else:
        r_hot = seen.duty / (given / rise - rest)
    return _with_cold(module, seen, heat, seen.duty, rise, r_hot, r_still)


def _spells(
    module: Module, seen: Seen, mean: Tries, rise: ArrayLike | None, r_hot: ArrayLike | None
) -> Tries:
    """With sinks that settle in each spell."""
    back = (seen.ambient - seen.inside) / (mean.r_cold + 1 / module.conductance + mean.r_still)
    heat = (seen.heat + seen.fan + back) / seen.duty - back
    given = heat + seen.running - seen.beside
    if rise is None:
        rise = r_hot * given
    else:
        # Resting, the hot side falls below the ambient, from which it takes the heat let back.
        rise = (rise + (1 - seen.duty) * mean.r_still * back) / seen.duty
        r_hot = rise / given
    return _with_cold(module, seen, heat, 1.0, rise, r_hot, mean.r_still)


def _with_cold(
    module: Module, seen: Seen, heat: ArrayLike, duty: ArrayLike, rise: ArrayLike,
    r_hot: ArrayLike, r_still: ArrayLike,
) -> Tries:
    power = np.asarray(seen.running - seen.beside)
    with np.errstate(invalid="ignore", divide="ignore"):
        found = solve(module, heat, power, seen.ambient + KELVIN + rise, duty)
        r_cold = (seen.inside + KELVIN - found.t_cold) / heat
    return Tries(module, found.volts, r_cold, r_hot, r_still, 1.0 * (power > 0))


def _still(found: Tries, module: Module, seen: Seen) -> np.ndarray:
    """From hot faces to ambient while the modules rest: from the bridge, where it is known."""
    still = seen.still
    if seen.let_back is not None:
        with np.errstate(divide="ignore"):
            r_still = 1 / seen.let_back - found.r_cold - 1 / module.conductance
        # A bridge beyond what the modules themselves let through leaves nothing for the side.
        still = np.where(seen.let_back > 0, r_still, still)
    return np.maximum(still, found.r_hot)

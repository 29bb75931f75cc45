"""Net heat that a machine takes from the inside in a steady window: leak less what is stored.

What came in through the walls and what load and structure gave up is what the machine took; a fan
inside is not counted, so that the result is net of its heat.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from coldbench import draws
from coldbench.analysis.balance import PLATEAU
from coldbench.analysis.context import Context
from coldbench.analysis.doubt import gain, mean_scatter
from coldbench.analysis.heat import load_heat, load_mass, load_mass_draws
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.settled_rows import window_mean
from coldbench.analysis.steady import SteadyWindow
from coldbench.analysis.structure import modelled_structure
from coldbench.compare.leaks import Leak
from coldbench.findings import Finding
from coldbench.logs.cumulative import cumulative
from coldbench.logs.record import Trace

HOUR = 3600.0
END_SHARE = 1 / 4  # an end takes no more of a window


class Missing(Exception):
    """What a run lacks for its balance, in words that follow "needs"."""


@dataclass(frozen=True)
class Known:
    """A quantity as read, and draws of what it truly was.

    Parameters
    ----------
    value : float or ndarray
        As the readings stand. [any]
    draws : ndarray, shape (..., 4000), or None
        None where an instrument states no error. [as value]
    """

    value: float | np.ndarray
    draws: np.ndarray | None


@dataclass(frozen=True)
class Taken:
    """The heat that was taken in a window, and what it is made of.

    ``taken`` [W] is ``leak`` [W] through the walls and ``given`` [W] by load and structure;
    ``inside`` and ``ambient`` are the means that the leak goes by. [°C]
    """

    taken: Known
    leak: Known
    given: Known
    inside: Known
    ambient: Known
    note: str = ""

    @property
    def wall(self) -> float:
        """Mean wall temperature: half way between inside and ambient. [°C]"""
        return float(self.inside.value + self.ambient.value) / 2


def heat_taken(
    context: Context, window: SteadyWindow, leak: Leak, rows: Iterable[Finding] = ()
) -> Taken:
    """Mean heat taken from the inside over the kept cycles of a steady window.

    Parameters
    ----------
    context : Context
        Run with inside air; ambient logged or typed.
    window : SteadyWindow
        One that passed.
    leak : Leak
        Of the walls.
    rows : iterable of Finding
        A measured ``structure_heat`` among them serves before the modelled one.

    Returns
    -------
    Taken

    Raises
    ------
    Missing
        Where the balance cannot be made: it says what is needed.

    References
    ----------
    .. [1] First law for the inside of a closed box; its use here is this kit's own.
    """
    inside, ambient = inside_of(context, window), ambient_of(context, window)
    air = context.record.trace("air")
    unfit(context)
    moved = Known(*leak.at_temperatures(inside.value, ambient.value))
    through = of(lambda k, a, i: k * (a - i), moved, ambient, inside)
    load, said = _load_gives(context, window, through.value)
    structure, of_structure = structure_heat(context, rows)
    cooled = _fall(context, window, air)
    given = of(lambda q, c, x: q + c * x, load, structure, cooled)
    # One probe for all of the air while the machine blows: it may stand warm or cold of the mean.
    place = 1 + draws.uniform(f"{context.name} capacity method", LIMITS.model_capacity)
    taken = of(lambda a, b: a + b, through, given)
    taken = Known(taken.value, None if taken.draws is None else taken.draws * place)
    notes = (f"{through.value:.3g} W through the walls, {given.value:+.2g} W given up by load and "
             "structure", said, of_structure)
    return Taken(taken, through, given, inside, ambient, "; ".join(n for n in notes if n))


def of(formula: object, *parts: Known) -> Known:
    """A quantity out of others, draw by draw; without draws where one of them has none.

    Parameters
    ----------
    formula : callable
        Takes the parts, values or draws.
    *parts : Known

    Returns
    -------
    Known

    References
    ----------
    .. [1] JCGM 101:2008, 7.4, the model evaluated for each draw of its inputs.

    Examples
    --------
    >>> of(lambda a, b: a * b, Known(2.0, None), Known(3.0, None)).value
    6.0
    """
    value = formula(*(p.value for p in parts))
    stated = all(p.draws is not None for p in parts)
    return Known(value, formula(*(p.draws for p in parts)) if stated else None)


def unfit(context: Context) -> None:
    """Heat that came in or went out otherwise, which the balance does not know.

    Raises
    ------
    Missing
        Where ice or a heater stood inside.
    """
    if context.run.ice is not None:
        raise Missing("a run without ice inside")
    if context.run.heater is not None or context.record.trace("heater") is not None:
        raise Missing("a run without a heater inside")


def inside_of(context: Context, window: SteadyWindow) -> Known:
    """Mean inside air of the window. [°C]

    Raises
    ------
    Missing
        Where it was not logged.
    """
    air = context.record.trace("air")
    if air is None:
        raise Missing("the inside air, to which the heat leak refers")
    return _mean(context, window, air)


def ambient_of(context: Context, window: SteadyWindow) -> Known:
    """Mean ambient of the window, logged or typed. [°C]

    Raises
    ------
    Missing
        Where it was neither.
    """
    logged = context.record.trace("ambient")
    if logged is not None:
        return _mean(context, window, logged)
    typed, true = context.ambient(window.t0, window.t1)
    if typed is None:
        raise Missing("the ambient, logged or typed")
    return Known(typed, true)


def _mean(context: Context, window: SteadyWindow, trace: Trace) -> Known:
    mean = Known(*window_mean(context, window, trace, f"{trace.role} mean"))
    if not np.isfinite(mean.value):
        raise Missing(f"a log of the {trace.role} over the window")
    return mean


def structure_heat(context: Context, rows: Iterable[Finding]) -> tuple[Known, str]:
    """Heat capacity of liner and inner foam, measured by two loads or modelled. [J/K]

    Parameters
    ----------
    context : Context
    rows : iterable of Finding
        Of the campaign.

    Returns
    -------
    structure : Known
        The air's own heat, a hundredth of it, lies within its limit. [J/K]
    note : str

    Raises
    ------
    Missing
        Where the sheet tells no size either.

    References
    ----------
    .. [1] :func:`coldbench.analysis.structure.modelled_structure`.
    """
    cooler = context.record.cooler
    for row in rows:
        if row.finding == "structure_heat" and row.cooler == cooler and row.value is not None:
            true = None if row.draws is None else 1000 * row.draws
            return Known(1000 * row.value, true), f"structure heat of {' and '.join(row.runs)}"
    modelled = modelled_structure(cooler, context.campaign.coolers[cooler])
    if modelled is None:
        raise Missing("the box's volume or sides, for the heat that its structure stores")
    return Known(modelled.value, modelled.draws), modelled.note


def load_capacity(context: Context, celsius: float) -> Known:
    """Heat capacity of load and containers on one side of 0 °C. [J/K]

    Parameters
    ----------
    context : Context
        Run with its load.
    celsius : float
        Below 0 °C the water counts as ice. [°C]

    Returns
    -------
    Known
        [J/K]

    References
    ----------
    .. [1] Property values and sources: :mod:`coldbench.physics.water`.
    """
    run = context.run
    top = 2.0 if celsius > 0 else -1.0
    masses = (load_mass(run), load_mass_draws(context.record.run, run))
    value, true = (3600 * load_heat(run, mass, top, top - 1) for mass in masses)
    return Known(float(value), np.broadcast_to(true, draws.DRAWS))


def _load_gives(context: Context, window: SteadyWindow, leak: float) -> tuple[Known, str]:
    """Mean heat that the load gave up. [W]"""
    if not context.run.load:
        return Known(0.0, np.zeros(draws.DRAWS)), ""
    places = [p for p in context.record.loads() if np.isfinite(window.mean(p))]
    if not places:
        return _unlogged_load(context, window, leak)
    means = [window.mean(place) for place in places]
    if min(abs(mean) for mean in means) < PLATEAU:
        raise Missing("a load clear of its freezing plateau")
    each = [_fall(context, window, place) for place in places]
    fall = of(lambda *x: np.mean(x, axis=0), *each)
    heat = load_capacity(context, float(np.mean(means)))
    return of(lambda c, x: c * x, heat, fall), ""


def _unlogged_load(context: Context, window: SteadyWindow, leak: float) -> tuple[Known, str]:
    """The load is taken to follow the air, or to lag behind it for all of its way."""
    air = context.record.trace("air")
    fall = _fall(context, window, air)
    heat = load_capacity(context, window.mean(air))
    given = of(lambda c, x: c * x, heat, fall)
    open_by = LIMITS.load_unlogged * leak if not window.days else 0.0
    true = given.draws
    if true is not None:
        true = true + abs(given.value) * draws.uniform(f"{context.name} load follows", 1.0)
        true = true + draws.uniform(f"{context.name} load unlogged", open_by)
    return Known(given.value, true), "the load was not logged: taken to follow the air"


def _fall(context: Context, window: SteadyWindow, trace: Trace) -> Known:
    """Mean rate at which a temperature fell, from whole cycles at both ends. [K/s]"""
    first, last = _ends(window)
    seconds = (np.mean(last) - np.mean(first))
    begin, end = (_of_spells(trace, spells) for spells in (first, last))
    value = (begin - end) / seconds
    if not np.isfinite(value):
        raise Missing(f"a log of the {trace.role} at both ends of the window")
    if trace.error is None:
        return Known(value, None)
    # An offset is in both ends and cancels; what stays is noise and the step of the readings.
    scatter = [_scatter(f"{context.name} {trace.role} {word}", trace, spells)
               for word, spells in (("first", first), ("last", last))]
    true = (begin - end) / (1 + gain(trace)) + scatter[0] - scatter[1]
    return Known(value, true / seconds)


def _ends(window: SteadyWindow) -> tuple[np.ndarray, np.ndarray]:
    """First and last cycles, or parts of the window: about an hour each, shape (n, 2). [s]"""
    if window.cycling is None:
        span = min(HOUR, END_SHARE * (window.t1 - window.t0))
        return (np.array([[window.t0, window.t0 + span]]),
                np.array([[window.t1 - span, window.t1]]))
    spells = np.column_stack([window.starts[:-1], window.starts[1:]])[window.good]
    wanted = int(np.ceil(HOUR / np.diff(spells).mean()))
    n = int(np.clip(wanted, 1, max(1, int(END_SHARE * len(spells)))))
    return spells[:n], spells[-n:]


def _of_spells(trace: Trace, spells: np.ndarray) -> float:
    area, time = cumulative(trace).both(spells[:, 0], spells[:, 1])
    return float(area.sum() / time.sum()) if time.sum() > 0 else np.nan


def _scatter(name: str, trace: Trace, spells: np.ndarray) -> np.ndarray:
    seen = trace.y[trace.within(spells[0, 0], spells[-1, 1])]
    return mean_scatter(name, trace, float(np.ptp(seen)) if len(seen) else 0.0, len(seen))

"""What was read in a run, for a lab card: means and rows, each in front of its draws."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from coldbench import draws
from coldbench.analysis.campaign import CampaignResult, RunResult
from coldbench.analysis.doubt import true_of
from coldbench.course.card import with_draws
from coldbench.errors import Fault, UserError
from coldbench.logs.cumulative import cumulative
from coldbench.logs.record import Trace
from coldbench.quantities import Quantity

if TYPE_CHECKING:
    from coldbench.sheets.campaign import InstrumentSheet


def run_of(
    result: CampaignResult, kinds: Iterable[str] = (), roles: Iterable[str] = ()
) -> RunResult:
    """The first run that is of one of some kinds and has readings of all of some roles.

    Parameters
    ----------
    result : CampaignResult
        Of the group.
    kinds : iterable of str
        Any kind, if empty.
    roles : iterable of str
        What it has to have read.

    Returns
    -------
    RunResult

    Raises
    ------
    UserError
        There is none; what it would need is told.
    """
    kinds, roles = tuple(kinds), tuple(roles)
    for run in result.results.values():
        if kinds and not set(kinds) & set(run.kinds):
            continue
        if all(run.record.trace(role) is not None for role in roles):
            return run
    kind = f" of kind {' or '.join(kinds)}" if kinds else ""
    read = f" with readings of {', '.join(roles)}" if roles else ""
    raise UserError(Fault(
        f"this card needs a run{kind}{read}", where="runs/",
        found=", ".join(result.results) or "no run at all",
        do="fill in the data sheet: a [[reading]] row in the run's sheet for each line of it",
    ))


def mean_of(run: RunResult, role: str) -> np.ndarray | None:
    """Mean of a role over the steady window of a run, or over all of it where it has none.

    Parameters
    ----------
    run : RunResult
        Analysed.
    role : str
        As in the run's sheet.

    Returns
    -------
    ndarray, shape (4001,) or (1,), or None
        The mean in front of its draws, which an instrument without a stated error has not; None
        where the role was not read. Readings by eye count alike, a log by its time.
        [unit of the role]

    References
    ----------
    .. [1] JCGM 100:2008, 4.2.3: scatter of a mean. Windows are this kit's own.
    """
    trace = run.record.trace(role)
    if trace is None:
        return None
    window = run.steady if run.steady is not None and run.steady.passed else None
    used = trace.y[trace.within(window.t0, window.t1)] if window is not None else trace.y
    used = used if len(used) else trace.y
    value = float(np.mean(used))
    if not trace.by_hand and len(used) > 1:
        t0, t1 = (window.t0, window.t1) if window is not None else (trace.t[0], trace.t[-1])
        value = float(cumulative(trace).mean(t0, t1))
    true = true_of(trace, value)
    if true is None:
        return with_draws(value, None)
    name = f"{run.record.run} {role}"
    scatter = float(np.std(used, ddof=1)) / np.sqrt(len(used)) if len(used) > 1 else 0.0
    true = true + draws.normal(f"{name} scatter", scatter)
    return with_draws(value, true + draws.uniform(f"{name} last digit", trace.resolution / 2))


def steady_hours(run: RunResult) -> dict[str, tuple[float, float]]:
    """The steady window of a run, as the stretch that its means are taken over.

    Parameters
    ----------
    run : RunResult
        Analysed.

    Returns
    -------
    dict of str to (float, float)
        Empty where there is none. [h since time zero]
    """
    if run.steady is None or not run.steady.passed:
        return {}
    zero = run.record.zero
    return {"all means": ((run.steady.t0 - zero) / 3600, (run.steady.t1 - zero) / 3600)}


def rows_of(run: RunResult, roles: Sequence[str]) -> dict[str, np.ndarray]:
    """Readings by eye of some roles, a row an instant.

    Parameters
    ----------
    run : RunResult
        Analysed.
    roles : sequence of str
        The first one says which instants count.

    Returns
    -------
    dict of str to ndarray, shape (n, 4001) or (n, 1)
        By role: each reading in front of its draws, not a number where it was not read. A role
        that was never read is left out. [unit of the role]

    References
    ----------
    .. [1] One constant a probe is this kit's own definition.
    """
    first = run.record.trace(roles[0])
    times = first.t if first is not None else np.array([])
    traces = {role: run.record.trace(role) for role in roles}
    return {role: _at(run, trace, times) for role, trace in traces.items() if trace is not None}


def _at(run: RunResult, trace: Trace, times: np.ndarray) -> np.ndarray:
    """Readings of a trace at some instants, in front of their draws."""
    place = np.clip(np.searchsorted(trace.t, times), 0, len(trace.t) - 1)
    read = np.where(trace.t[place] == times, trace.y[place], np.nan)
    if trace.error is None:
        return read[:, np.newaxis]
    name = f"{run.record.run} {trace.role}"
    digit = np.array([draws.uniform(f"{name} row {n}", trace.resolution / 2)
                      for n in range(len(times))])
    true = np.array([true_of(trace, value) for value in read]) + digit
    return np.concatenate([read[:, np.newaxis], true], axis=1)


def typed(name: str, quantity: Quantity, assumed: float) -> np.ndarray:
    """A quantity that was typed, in front of draws within its limit.

    Parameters
    ----------
    name : str
        Of the hidden constant.
    quantity : Quantity
        With its own limit, or without.
    assumed : float
        Limit where it states none. [unit of the quantity]

    Returns
    -------
    ndarray, shape (4001,)
        [unit of the quantity]

    References
    ----------
    .. [1] JCGM 101:2008, 6.4.2.
    """
    limit = quantity.limit if quantity.limit is not None else assumed
    return with_draws(quantity.value, quantity.value + draws.uniform(name, limit))


def linear(formula: Callable[..., np.ndarray], *inputs: np.ndarray) -> np.ndarray:
    """A slow formula of inputs with draws, by its value and its slopes there.

    Parameters
    ----------
    formula : callable
        From arrays of one length n to an array of shape (..., n).
    *inputs : ndarray, shape (4001,) or (1,)
        Values in front of their draws. [any]

    Returns
    -------
    ndarray, shape (..., 4001) or (..., 1)
        [as formula]

    References
    ----------
    .. [1] JCGM 100:2008, 5.1.3: first-order terms; slopes by differences over a standard
       deviation.

    Examples
    --------
    >>> x = np.concatenate([[2.0], 2.0 + draws.normal("x", 0.1)])
    >>> value = linear(lambda a, b: a * b, x, np.array([3.0]))
    >>> float(value[0]), round(float(value[1:].std()), 1)
    (6.0, 0.3)
    """
    at = np.array([one[0] for one in inputs])
    varied = [n for n, one in enumerate(inputs) if len(one) > 1 and np.std(one[1:]) > 0]
    step = np.array([np.std(inputs[n][1:]) for n in varied])
    points = np.tile(at, (1 + len(varied), 1))
    points[1 + np.arange(len(varied)), varied] += step
    values = np.asarray(formula(*points.T))
    first = values[..., :1]
    return first + sum((values[..., 1 + k:2 + k] - first) / step[k] * (inputs[n] - at[n])
                       for k, n in enumerate(varied))


def instrument_of(result: CampaignResult, run: RunResult, role: str) -> InstrumentSheet | None:
    """The instrument that a role was read with, or None where the run's sheet does not say."""
    sheet = result.campaign.runs[run.record.run]
    ids = [reading.instrument for reading in sheet.reading if role in reading.values]
    ids += [column.instrument or log.instrument for log in sheet.log
            for column in log.columns.values() if column.role == role]
    known: Mapping[str, InstrumentSheet] = result.campaign.sheet.instruments
    return next((known[one] for one in ids if one in known), None)

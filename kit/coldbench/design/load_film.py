"""How readily a load gives its heat to the air of a box: from a logged pull-down, else assumed."""

from __future__ import annotations

import numpy as np

from coldbench import draws
from coldbench.analysis.balance import PLATEAU
from coldbench.analysis.campaign import CampaignResult, RunResult
from coldbench.analysis.context import Context
from coldbench.analysis.doubt import true_of
from coldbench.analysis.heat import load_mass
from coldbench.analysis.limits import LIMITS
from coldbench.compare.heat_taken import load_capacity
from coldbench.design.limits import DESIGN
from coldbench.logs.cumulative import cumulative

HOUR = 3600.0
LEAST = 3.0  # load above the air, as a mean, from which a film is told [K]
FALL = 5.0  # of the load, from which it is [K]
SETTLED = 2.0  # load above its last value: from there on the thermostat has a say [K]


def load_film(result: CampaignResult, cooler: str) -> tuple[np.ndarray, str]:
    """Film at a kilogram of load, for goods in other containers.

    Parameters
    ----------
    result : CampaignResult
        Runs, analysed.
    cooler : str
        Whose pull-downs are looked at.

    Returns
    -------
    film : ndarray, shape (4000,)
        [W/(K kg)]
    said : str
        How it is known.

    Notes
    -----
    From an hour after switching on until the load nears freezing or its last value: heat that the
    load gave up over the integral of (load − air), for each kilogram of water. The runs' mean,
    give or take what other containers differ by.

    References
    ----------
    .. [1] Newton's law for a body of one temperature; this kit's own use.
    """
    seen = {run.record.run: film for run in result.of(cooler, "pull-down")
            if (film := _of_run(result, run)) is not None}
    if not seen:
        film = LIMITS.load_film + draws.uniform("load film", LIMITS.load_film_limit)
        return film, "film at the load assumed"
    other = 1 + draws.uniform("load film other containers", DESIGN.unit_film)
    said = f"film at the load as in {' and '.join(seen)}"
    return np.mean(list(seen.values()), axis=0) * other, said


def _of_run(result: CampaignResult, run: RunResult) -> np.ndarray | None:
    """Of one pull-down, with its doubt. [W/(K kg)]"""
    record, context = run.record, Context(run.record, result.campaign)
    air, loads = record.trace("air"), record.loads()
    if air is None or not loads or not context.run.load or context.run.ice is not None:
        return None
    load, t0 = loads[0], record.zero + HOUR
    until = max(LIMITS.curve_plateau + PLATEAU, float(load.y[-1]) + SETTLED)
    near = load.t[(load.t > t0) & (load.y <= until)]
    t1 = float(near[0]) if len(near) else context.end
    ends = [float(np.interp(t, load.t, load.y)) for t in (t0, t1)]
    warm, cold = (float(cumulative(trace).mean(t0, t1)) for trace in (load, air))
    if not (ends[0] - ends[1] >= FALL and warm - cold >= LEAST):
        return None
    trues = [true_of(load, warm), true_of(air, cold)]
    if any(true is None for true in trues):
        return None
    given = load_capacity(context, 10.0).draws * (ends[0] - ends[1])
    apart = np.maximum(trues[0] - trues[1], LEAST / 2)
    return given / ((t1 - t0) * apart) / load_mass(context.run)

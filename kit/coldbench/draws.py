"""Hidden constants of a campaign, drawn once, and the intervals they give.

Every instrument error is a hidden constant with a name of its own ("T1 offset"). It is drawn by
that name, so each finding that used the probe sees the same draws, in whatever order findings are
computed and in whichever process. A difference of two findings subtracts row by row, and errors
common to both cancel by themselves.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

import numpy as np

DRAWS = 4000
SEED = 20310614
LOW, HIGH = 2.5, 97.5  # percent
_NOTES: ContextVar[dict[str, str] | None] = ContextVar("notes", default=None)


@contextmanager
def noted() -> Iterator[dict[str, str]]:
    """Keep the names of all constants that are drawn inside, for uncertainty budgets.

    Yields
    ------
    dict of str to str
        ``uniform`` or ``normal`` by name, filled as they are drawn.

    Examples
    --------
    >>> with noted() as names:
    ...     _ = uniform("T1 offset", 0.5)
    >>> names
    {'T1 offset': 'uniform'}
    """
    names: dict[str, str] = {}
    token = _NOTES.set(names)
    try:
        yield names
    finally:
        _NOTES.reset(token)


def standard(name: str, shape: str) -> np.ndarray:
    """Draws of a constant by its name alone, with a variance of one.

    Parameters
    ----------
    name : str
        As it was drawn.
    shape : {"uniform", "normal"}
        As noted.

    Returns
    -------
    ndarray, shape (4000,)
        [-]

    References
    ----------
    .. [1] A rectangle between −1 and 1 has the variance 1/3: JCGM 100:2008, 4.3.7.
    """
    if shape == "normal":
        return generator(name).standard_normal(DRAWS)
    return generator(name).uniform(-1.0, 1.0, DRAWS) * np.sqrt(3)


def uniform(name: str, half_width: float) -> np.ndarray:
    """Draws of a hidden constant known only by its limit.

    Parameters
    ----------
    name : str
        Name of the constant; the same name always gives the same draws.
    half_width : float
        Limit of the error, in the unit of the constant. [any]

    Returns
    -------
    ndarray, shape (4000,)
        Rectangular between minus and plus the limit. [as half_width]

    References
    ----------
    .. [1] JCGM 101:2008, 6.4.2, rectangular distribution for a quantity known by its limits.
    """
    _note(name, "uniform")
    return generator(name).uniform(-1.0, 1.0, DRAWS) * half_width


def between(name: str, least: float, most: float) -> np.ndarray:
    """Draws of a hidden constant known to lie between two values.

    Parameters
    ----------
    name : str
        Name of the constant.
    least, most : float
        [any]

    Returns
    -------
    ndarray, shape (4000,)
        Rectangular. [as least]

    References
    ----------
    .. [1] As :func:`uniform`.
    """
    return (least + most) / 2 + uniform(name, (most - least) / 2)


def normal(name: str, sd: float) -> np.ndarray:
    """Draws of a scatter with a known standard deviation.

    Parameters
    ----------
    name : str
        Name of the scatter; scatter of one finding takes the finding's own name.
    sd : float
        Standard deviation. [any]

    Returns
    -------
    ndarray, shape (4000,)
        [as sd]

    References
    ----------
    .. [1] JCGM 101:2008, 6.4.7, Gaussian distribution for a best estimate and its standard
       uncertainty.
    """
    _note(name, "normal")
    return generator(name).standard_normal(DRAWS) * sd


def student_scale(name: str, freedom: int) -> np.ndarray:
    """What turns draws of a normal into Student's t, for a spread seen in a few repeats.

    Parameters
    ----------
    name : str
        Name of the spread.
    freedom : int
        Its degrees of freedom.

    Returns
    -------
    ndarray, shape (4000,)
        ``√(ν / χ²)``. [-]

    References
    ----------
    .. [1] JCGM 101:2008, 6.4.9, t-distribution for a mean of repeats.

    Examples
    --------
    >>> t = student_scale("seen", 4) * normal("one", 1.0)
    >>> 2.5 < interval(t)[1] < 3.1  # t of 4 degrees of freedom is 2.78
    True
    """
    return np.sqrt(freedom / generator(name).chisquare(freedom, DRAWS))


def interval(draws: np.ndarray) -> tuple[float, float]:
    """Probabilistically symmetric 95 % interval of some draws.

    Parameters
    ----------
    draws : ndarray, shape (4000,)
        Infinite draws are allowed: an end that is infinite is open. [any]

    Returns
    -------
    low, high : float
        The 2.5 and 97.5 % quantiles. [as draws]

    References
    ----------
    .. [1] JCGM 101:2008, 7.7, coverage interval from the discrete representation.
    """
    ordered = np.sort(draws)
    rank = np.array([LOW, HIGH]) / 100 * (len(ordered) - 1)
    low, high = ordered[[int(np.floor(rank[0])), int(np.ceil(rank[1]))]]
    return float(low), float(high)


def _note(name: str, shape: str) -> None:
    names = _NOTES.get()
    if names is not None:
        names[name] = shape


def generator(name: str) -> np.random.Generator:
    """Source of the draws of a name, for what neither of the above describes.

    Parameters
    ----------
    name : str
        The same name always gives the same numbers.

    Returns
    -------
    Generator

    References
    ----------
    .. [1] This kit's own definition.
    """
    # crc32 is the same on every machine; Python's own hash of a text is not.
    return np.random.default_rng([SEED, zlib.crc32(name.encode("utf-8"))])

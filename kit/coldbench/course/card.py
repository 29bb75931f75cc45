"""What a lab card is: what is asked, how it is worked out, how it is marked and taught."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

import numpy as np

from coldbench import draws
from coldbench.quantities.units import factors

if TYPE_CHECKING:
    from coldbench.course.work import Work
    from coldbench.figures import Drawn

Reading = Literal["table", "chart", "state", "measured", "computed"]

# Points of each part of the work. The kit marks numbers; people mark the rest. Common practice of
# published rubrics, merged; no single source.
RUBRIC: dict[str, int] = {
    "data sheet and raw file": 10,
    "set-up and conditions": 5,
    "derived quantities": 20,
    "plots": 15,
    "balance and closure": 10,
    "uncertainty": 15,
    "comparison with the ideal and between groups": 10,
    "discussion question": 10,
    "conclusion that answers the aim": 5,
}


@dataclass(frozen=True)
class Asked:
    """One number that the student works out.

    Parameters
    ----------
    name : str
        Key in ``answers.toml``.
    title : str
        What the student reads.
    kind : str
        Kind of quantity, out of ``coldbench.quantities.KINDS``.
    unit : str
        Unit in which the kit works it out and asks for it; one of the kind.
    least, most : float
        Magnitude that is plausible for any group; says nothing of this one's. [unit]
    formula : str
        Shown as a hint.
    needs : tuple of str
        Earlier answers that it builds on.
    reading : {"table", "chart", "state", "measured", "computed"}
        Where it comes from, which sets the width of its band.
    part : str
        Row of the rubric that it earns points for.
    """

    name: str
    title: str
    kind: str
    unit: str
    least: float
    most: float
    formula: str
    needs: tuple[str, ...] = ()
    reading: Reading = "measured"
    part: str = "derived quantities"

    def in_unit(self, canonical: float) -> float:
        """A value of this kind in the unit in which it is asked for.

        Parameters
        ----------
        canonical : float
            [canonical unit of the kind]

        Returns
        -------
        float
            [unit]

        Examples
        --------
        >>> Asked("e", "Energy", "energy", "kJ", 0, 9, "P t").in_unit(1.0)
        3.6
        """
        if not self.unit or self.unit == "-":
            return canonical
        scale, offset = factors(self.unit, self.kind)
        return (canonical - offset) / scale


@dataclass(frozen=True)
class Expected:
    """What the kit itself makes of a group's data.

    Parameters
    ----------
    value : float
        [unit of what is asked]
    low, high : float or None
        Its 95 % interval; None where an instrument states no error. [as value]
    note : str
        What whoever marks has to know.
    """

    value: float
    low: float | None = None
    high: float | None = None
    note: str = ""


@dataclass(frozen=True)
class Guide:
    """What whoever teaches has to know; it stands in no student's file.

    Parameters
    ----------
    usual : mapping of str to str
        By the name of what is asked: the range that sound work gives.
    slips : tuple of str
        What usually goes wrong.
    plan : tuple of (str, str)
        How long, and what.
    shopping : tuple of str
        What is needed, in generic terms.
    """

    usual: Mapping[str, str] = field(default_factory=dict)
    slips: tuple[str, ...] = ()
    plan: tuple[tuple[str, str], ...] = ()
    shopping: tuple[str, ...] = ()


@dataclass(frozen=True)
class Card:
    """A lab card.

    Parameters
    ----------
    name : str
        Its module, and its notebook in ``notebooks/labs/``.
    title : str
        What people read.
    asked : tuple of Asked
        In the order of the work.
    solve : callable
        From the work, and answers to carry forward in place of the kit's own
        [unit of each asked], to what is expected, by name. Made with :class:`Steps`.
    runs : tuple of str
        Kinds of run that it needs.
    roles : tuple of str
        Roles that have to be read, for the blank sheet.
    safety : tuple of str
        What is read and signed before anything is switched on.
    questions : tuple of str
        Its questions; a group gets one of them.
    windows : callable or None
        From the work to the stretches of its run that are worked on: what each is for, and its
        ends. [h since time zero]
    until : callable or None
        From the work to how much of its run is drawn and listed, all by default. [h]
    headline : str
        Answer that stands for the card in a table; else a derived one that builds on most others.
    plots : callable or None
        From the work to drawings beyond the curves of its run; nothing in them is worked out.
    guide : Guide
        For whoever teaches.
    """

    name: str
    title: str
    asked: tuple[Asked, ...]
    solve: Callable[[Work, Mapping[str, float]], dict[str, Expected]]
    runs: tuple[str, ...] = ()
    roles: tuple[str, ...] = ()
    safety: tuple[str, ...] = ()
    questions: tuple[str, ...] = ()
    windows: Callable[[Work], dict[str, tuple[float, float]]] | None = None
    until: Callable[[Work], float] | None = None
    plots: Callable[[Work], list[Drawn | None]] | None = None
    guide: Guide = field(default_factory=Guide)
    headline: str = ""

    def named(self, name: str) -> Asked:
        """What is asked under a name."""
        return next(one for one in self.asked if one.name == name)


def with_draws(value: float, drawn: np.ndarray | None) -> np.ndarray:
    """A value in front of its draws: one array that a formula takes whole.

    Parameters
    ----------
    value : float
        [any]
    drawn : ndarray or None, shape (4000,)
        None where no error is stated. [as value]

    Returns
    -------
    ndarray, shape (4001,) or (1,)
        [as value]
    """
    return np.array([value]) if drawn is None else np.concatenate([[value], drawn])


class Steps:
    """The way through a card: each step notes what is expected and hands on what to go on with.

    That is the student's own answer where one is carried forward, else the kit's, with its draws.

    Parameters
    ----------
    given : mapping of str to float
        Answers to carry forward. [unit of each]

    Examples
    --------
    >>> steps = Steps({"heat": 100.0})
    >>> heat = steps.add("heat", with_draws(90.0, None))
    >>> ratio = steps.add("ratio", heat / 50)
    >>> steps.expected["heat"].value, steps.expected["ratio"].value
    (90.0, 2.0)
    """

    def __init__(self, given: Mapping[str, float]) -> None:
        self.given = given
        self.expected: dict[str, Expected] = {}

    def add(
        self, name: str, values: np.ndarray | float, note: str = "", also: np.ndarray | None = None
    ) -> np.ndarray:
        """Note a step by its value and draws; what is not known is not expected.

        Parameters
        ----------
        name : str
            What is asked.
        values : ndarray or float, shape (4001,) or (1,)
            Value in front of its draws; see :func:`with_draws`. [unit of what is asked]
        note : str
            What whoever marks has to know.
        also : ndarray, optional
            The same by another way that is right too: the interval spans both. [as values]

        Returns
        -------
        ndarray
            What to go on with. [as values]
        """
        values = np.atleast_1d(np.asarray(values, float))
        ends = [draws.interval(way[1:]) if len(way) > 1 else (way[0], way[0])
                for way in (values, also) if way is not None]
        known = len(values) > 1 or also is not None
        low, high = min(e[0] for e in ends), max(e[1] for e in ends)
        return self.put(name, values, *((low, high) if known else (None, None)), note)

    def put(
        self, name: str, values: np.ndarray | float, low: float | None, high: float | None,
        note: str = "",
    ) -> np.ndarray:
        """Note a step whose interval is known otherwise.

        Parameters
        ----------
        name : str
            What is asked.
        values : ndarray or float
            Value, with or without draws behind it. [unit of what is asked]
        low, high : float or None
            Its interval. [as values]
        note : str
            What whoever marks has to know.

        Returns
        -------
        ndarray
            What to go on with. [as values]
        """
        values = np.atleast_1d(np.asarray(values, float))
        if np.isfinite(values[0]):
            ends = (None if end is None else float(end) for end in (low, high))
            self.expected[name] = Expected(float(values[0]), *ends, note)
        return np.array([self.given[name]]) if name in self.given else values

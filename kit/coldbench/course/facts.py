"""What may be told of a group to its whole class: coverage, doubts, what it wrote, raw curves.

Nothing here is worked out from the readings, so that nothing of it gives an answer away.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from coldbench.analysis.heat import load_mass
from coldbench.analysis.limits import LIMITS
from coldbench.course.answers import Answer
from coldbench.course.card import Asked, Card
from coldbench.course.work import Work
from coldbench.errors import UserError
from coldbench.logs.record import Record, Trace
from coldbench.quantities import Quantity, number

POINTS = 160  # of a curve; more do not show at the width of a page
HEADLINE_PART = "derived quantities"
CURVES = ("load", "air")  # the first that was logged
SEVERE = ("doubt", "disqualifies")
WORDS = {  # of notices about logs
    "LOG-GAP": "gap in the log", "LOG-STUCK": "a reading stands still", "LOG-SPIKE": "spikes",
    "LOG-CLOCKS": "clocks do not agree", "LOG-SWAPPED": "channels look swapped",
    "LOG-AWAY": "a log of another day", "LOG-ZERO": "time zero is a guess",
    "LOG-TWICE": "rows stand twice",
}


def card_facts(work: Work) -> dict[str, object]:
    """What may be told of a group's work on one card.

    Parameters
    ----------
    work : Work
        Opened.

    Returns
    -------
    dict
        ``coverage`` [%] or None, ``flags``, ``headline`` as the group wrote it, and ``answers``
        by name: ``text`` as written and ``value`` in the unit asked for, or None.
    """
    records = list(_records(work))
    answers = {one.name: _answer(one, work.answers.numbers[one.name]) for one in work.card.asked}
    return {
        "coverage": coverage(records),
        "flags": [*_answer_flags(work), *_load_flags(work, records), *_log_flags(records)],
        "headline": work.answers.numbers[headline(work.card).name].text,
        "answers": answers,
    }


def headline(card: Card) -> Asked:
    """The one number of a card for a table: as named, else what builds on the most others.

    Examples
    --------
    >>> leak = Asked("leak", "", "heat_leak", "W/K", 0, 9, "", needs=("power", "difference"))
    >>> power = Asked("power", "", "power", "W", 0, 9, "")
    >>> headline(Card("card", "Card", (power, leak), solve=None)).name
    'leak'
    """
    named = [one for one in card.asked if one.name == card.headline]
    derived = named or [one for one in card.asked if one.part == HEADLINE_PART] or card.asked
    return max(derived, key=lambda one: len(one.needs))


def curves(works: Iterable[Work]) -> dict[str, dict[str, object]]:
    """Raw temperature curves of the runs that a group's cards rest on, by kind of run.

    Parameters
    ----------
    works : iterable of Work
        All cards of one group.

    Returns
    -------
    dict
        ``role``, ``hours`` since time zero [h], ``values`` [°C]; None is a break.
    """
    found: dict[str, dict[str, object]] = {}
    seen: set[str] = set()
    for record, kind in ((_record(work, kind), kind) for work in works for kind in work.card.runs):
        # A run that is good for two kinds is shown once.
        if record is None or record.run in seen or kind in found:
            continue
        trace = next((t for role in CURVES if (t := record.trace(role))), None)
        if trace is not None:
            seen.add(record.run)
            found[kind] = _curve(record, trace)
    return found


def coverage(records: Iterable[Record]) -> float | None:
    """Least share of a log's span that its readings cover. [%]

    Parameters
    ----------
    records : iterable of Record
        Runs.

    Returns
    -------
    float or None
        None where nothing was logged. This kit's own definition: time between samples no further
        apart than the gap limit, for the whole span of the log.
    """
    shares = [
        100 * float(np.diff(trace.t)[trace.covered].sum()) / float(trace.t[-1] - trace.t[0])
        for record in records for trace in record.traces.values()
        if not trace.by_hand and len(trace.t) > 1
    ]
    return round(min(shares), 1) if shares else None


def _records(work: Work) -> Iterable[Record]:
    return (r for kind in work.card.runs if (r := _record(work, kind)) is not None)


def _record(work: Work, kind: str) -> Record | None:
    try:
        return work.run(kind).record
    except UserError:  # the card tells so
        return None


def _curve(record: Record, trace: Trace) -> dict[str, object]:
    t = np.where(np.r_[trace.covered, True], trace.t, np.nan)  # the last before a silence
    hours = (trace.t - record.zero) / 3600
    kept = np.unique(np.linspace(0, len(t) - 1, min(POINTS, len(t))).round().astype(int))
    # A silence that is thinned away would be drawn over.
    broken = np.add.reduceat(np.isnan(t), kept) > 0
    rows = zip(hours[kept].tolist(), trace.y[kept].tolist(), broken.tolist(), strict=True)
    points = [p for h, y, breaks in rows
              for p in [(round(h, 3), round(y, 2)), *([(round(h, 3), None)] if breaks else [])]]
    return {"role": trace.role, "hours": [h for h, _ in points], "values": [y for _, y in points]}


def _answer(asked: Asked, answer: Answer) -> dict[str, object]:
    quantity = answer.quantity
    value = None if quantity is None else float(f"{asked.in_unit(quantity.value):.6g}")
    return {"text": answer.text, "value": value}


def _answer_flags(work: Work) -> list[str]:
    asked, numbers = work.card.asked, work.answers.numbers
    open_ones = sum(not numbers[one.name].text for one in asked)
    flags = [f"{open_ones} of {len(asked)} not answered"] if open_ones else []
    flags += [f"{one.title}: another unit" for one in asked if numbers[one.name].wrong]
    for one in asked:
        value = work.number(one.name)
        if value is not None and not one.least <= value <= one.most:
            flags.append(f"{one.title}: magnitude not plausible")
    return flags


def _load_flags(work: Work, records: Iterable[Record]) -> list[str]:
    """A load that is not the one which the group was given."""
    given = work.parameters.get("load")
    if not isinstance(given, Quantity):
        return []
    loads = {r.run: load_mass(run) for r in records
             if (run := work.book.campaign.runs[r.run]).load}
    return [f"load of {number(mass, 2)} kg, given was {given.text}" for mass in loads.values()
            if abs(mass / given.value - 1) > LIMITS.load_apart]


def _log_flags(records: Iterable[Record]) -> list[str]:
    codes = [n.code for r in records for n in r.notices if n.severity in SEVERE]
    return list(dict.fromkeys(WORDS.get(code, "a doubt about the log") for code in codes))

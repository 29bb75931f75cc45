"""What a class came to: a row for each group and card, as a table, as CSV, and for the overlay."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import astuple, dataclass, fields

from coldbench.course.deliver import Desk, facts_of
from coldbench.course.marking import FACTS
from coldbench.course.parameters import FILE as PARAMETERS
from coldbench.course.parameters import read_parameters
from coldbench.course.pieces import CLOSING
from coldbench.course.roster import Group, Roster
from coldbench.errors import UserError

CLASS = "class.json"
SHAPE = 1  # of class.json
STATUS = {"done": "done", "user": "needs mending", "ours": "fault of the kit"}


@dataclass(frozen=True)
class Row:
    """One group on one card.

    ``coverage`` is the least share of a log that its readings cover [%], as text; ``headline`` is
    what the group itself answered; ``reason`` says why there is no report.
    """

    group: str
    card: str
    status: str
    coverage: str
    headline: str
    flags: str
    reason: str
    data: str


def summary(roster: Roster, desk: Desk) -> list[Row]:
    """Rows of all groups, in the roster's order."""
    return [row for group in roster.groups for row in _rows(roster, desk, group)]


def csv_text(rows: Sequence[Row]) -> str:
    """Rows as CSV, headings first."""
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    table.writerow([one.name for one in fields(Row)])
    table.writerows(astuple(row) for row in rows)
    return text.getvalue()


def class_facts(roster: Roster, desk: Desk) -> dict[str, object]:
    """What the class's report is made of; students may read all of it."""
    return {
        "shape": SHAPE,
        "title": roster.title,
        "cards": list(roster.cards),
        "rows": [vars(row) for row in summary(roster, desk)],
        "groups": [
            {"synthetic": group.makeup, **facts}
            for group in roster.groups if (facts := _facts(desk, group))
        ],
    }


def _facts(desk: Desk, group: Group) -> dict:
    closed = desk.results[group.id].get(CLOSING)
    return facts_of(desk.places, group) if closed and FACTS in closed.files else {}


def _rows(roster: Roster, desk: Desk, group: Group) -> Iterator[Row]:
    facts = _facts(desk, group).get("cards", {})
    others = _other_numbers(roster, group)
    for card in roster.cards:
        result = desk.results[group.id][card]
        told = facts.get(card, {}) if result.kind == "done" else {}
        coverage = told.get("coverage")
        yield Row(
            group.id, card, STATUS[result.kind],
            "" if coverage is None else f"{coverage:g}",
            told.get("headline", ""),
            "; ".join([*told.get("flags", ()), *others]),
            one_line(result.reason),
            "synthetic" if group.makeup else "measured",
        )


def _other_numbers(roster: Roster, group: Group) -> list[str]:
    """Whether a group works with numbers that the roster did not give it."""
    try:
        given = read_parameters(group.folder / PARAMETERS)
    except UserError:
        return []  # the card says so
    wanted = {"group": group.id, "seed": str(roster.seed), **roster.parameters(group)}
    same = {name: f"{value}" for name, value in given.items()} == wanted
    return [] if same or not given else ["its numbers are not the roster's"]


def one_line(reason: str) -> str:
    """A fault of several lines as one, for a cell.

    Examples
    --------
    >>> one_line("runs/a.toml:3: no unit\\n  found:   4\\n  do:      write \\"4 W\\"")
    'runs/a.toml:3: no unit; found: 4; do: write "4 W"'
    """
    return "; ".join(" ".join(line.split()) for line in reason.splitlines() if line.strip())

"""What the report of a class shows: how it went, all groups' curves and answers on one axis."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from coldbench.course.card import Card
from coldbench.course.cards import card_named
from coldbench.course.facts import headline
from coldbench.course.invented_class import invented_class
from coldbench.course.makeup import SYNTHETIC
from coldbench.course.summary import CLASS, SHAPE, STATUS
from coldbench.errors import Fault, UserError
from coldbench.figures import Drawn, csv_text, svg_text
from coldbench.figures.groups import Answered, group_answers, group_curves
from coldbench.quantities import us
from coldbench.report.book import DEMO
from coldbench.report.display import Cell, Figure, Heading, ReportHead, Table, Text

RUN_WORDS = {
    "pull-down": "Pull-down", "steady": "Steady run", "freeze": "Freezing", "warm-up": "Warm-up",
    "heater": "Heater run", "ice-melt": "Melting ice",
}
DONE = STATUS["done"]


@dataclass(frozen=True)
class ClassBook:
    """A class's results, opened.

    Parameters
    ----------
    told : dict
        What ``class.json`` holds.
    out : Path or None
        Where figures go; None writes none.
    bold : str
        Id of the group that is drawn in bold, or ``""``.
    paper : str
        ``a4`` or ``letter``.
    """

    told: dict[str, Any]
    out: Path | None
    bold: str
    paper: str

    @property
    def cards(self) -> list[Card]:
        """Cards of the class."""
        return [card_named(name) for name in self.told["cards"]]

    @property
    def ids(self) -> list[str]:
        """Ids of all groups, in order."""
        return list(dict.fromkeys(row["group"] for row in self.told["rows"]))

    def figure(self, drawn: Drawn | None) -> list[Figure]:
        """A drawing to show; its SVG and the data behind it are written beside the report."""
        if drawn is None:
            return []
        svg, csv = svg_text(drawn), ""
        if self.out is not None:
            folder = self.out / "figures"
            folder.mkdir(parents=True, exist_ok=True)
            csv = f"figures/{drawn.name}.csv"
            for suffix, text in ((".svg", svg), (".csv", csv_text(drawn))):
                (folder / f"{drawn.name}{suffix}").write_text(text, encoding="utf-8", newline="\n")
        return [Figure(svg, drawn.caption, drawn.alt, label=drawn.name, csv=csv)]


def open_class(
    results: str, bold: str = "", out: str = "", paper: str = "a4", units: str = "si"
) -> ClassBook:
    """Open what ``coldbench class`` left.

    Parameters
    ----------
    results : str
        Its folder ``out``, or ``"demo"`` for an invented class.
    bold : str
        Id of a group to be drawn in bold, or ``""``.
    out : str
        Folder for figures; ``""`` writes none.
    paper : {"a4", "letter"}
        Paper of the PDF.
    units : {"si", "us"}
        What is printed.

    Returns
    -------
    ClassBook

    Raises
    ------
    UserError
        No such results, or no such group.
    """
    if units not in us.CHOICES:
        raise UserError(Fault("unknown units", found=units, allowed=" or ".join(us.CHOICES)))
    us.use(units)
    book = ClassBook(_told(Path(results)), Path(out) if out else None, bold, paper)
    if bold and bold not in book.ids:
        raise UserError(Fault("the class has no group of this id", found=bold,
                              allowed=", ".join(book.ids)))
    return book


def _told(folder: Path) -> dict[str, Any]:
    if folder == Path(DEMO) and not folder.exists():
        return invented_class()
    do = "name the folder that coldbench class has written"
    try:
        told = json.loads((folder / CLASS).read_text(encoding="utf-8"))
        if told["shape"] != SHAPE:
            raise ValueError(told["shape"])
        return told
    except OSError as error:
        raise UserError(Fault(f"{CLASS} cannot be read: {error.strerror}", str(folder),
                              do=do)) from None
    except (ValueError, KeyError, TypeError):
        raise UserError(Fault(f"{CLASS} does not hold a class of this version", str(folder),
                              do=do)) from None


def head(book: ClassBook) -> list[object]:
    """Title; the banner of a class with made-up data; how many reports there are."""
    rows = book.told["rows"]
    done = sum(row["status"] == DONE for row in rows)
    cards = _counted(len(book.told["cards"]), "lab card")
    lead = (f"{_counted(len(book.ids), 'group')}, {cards}: {done} of {len(rows)} reports were "
            "written." + ("" if done == len(rows) else " What the others need stands below."))
    return [
        ReportHead(title=book.told["title"], subtitle="Class report", paper=book.paper,
                   banner=_banner(book), report_id="class"),
        Text(lead, style="lead"),
        Text("Groups appear by their ids only. Values are what the groups answered or logged; "
             "no answer is marked here, and nothing was worked out for them.", style="small"),
        *_mending(book),
    ]


def _banner(book: ClassBook) -> str:
    absent = {row["group"] for row in book.told["rows"] if row["data"] == "synthetic"}
    some = f"{len(absent)} of {_counted(len(book.ids), 'group')}: {SYNTHETIC}" if absent else ""
    return book.told.get("banner", some)


def _mending(book: ClassBook) -> Iterator[Table]:
    """What groups have to mend; cards that fail for the same reason share a row."""
    reasons: dict[tuple[str, str], list[str]] = {}
    for row in book.told["rows"]:
        if row["status"] != DONE:
            reasons.setdefault((row["group"], row["reason"]), []).append(row["card"])
    if reasons:
        every = len(book.told["cards"])
        rows = [[Cell(group, "strong"), "all" if len(cards) == every else ", ".join(cards), reason]
                for (group, reason), cards in reasons.items()]
        yield Table(["Group", "Cards", "Why there is no report, and what to do"], rows,
                    caption="Groups that have something to mend", align="lll",
                    widths=[0.1, 0.2, 0.7])


def curves(book: ClassBook) -> list[object]:
    """Curves of all groups, a figure for each kind of run."""
    kinds = dict.fromkeys(k for group in book.told["groups"] for k in group["curves"])
    shown: list[object] = []
    for kind in kinds:
        found = {group["group"]: group["curves"][kind] for group in book.told["groups"]
                 if kind in group["curves"]}
        for role in dict.fromkeys(one["role"] for one in found.values()):
            drawn = group_curves(
                {group: (one["hours"], one["values"]) for group, one in found.items()
                 if one["role"] == role},
                f"{RUN_WORDS.get(kind, kind)}: {role} temperature", f"class-{kind}-{role}",
                book.bold)
            shown += book.figure(drawn)
    return shown or [Text("No group has a log that these cards rest on.")]


def answers(book: ClassBook) -> list[object]:
    """What all groups answered, a figure a card."""
    shown: list[object] = []
    for card in book.cards:
        rows = [
            Answered(one.title, one.unit, _values(book, card.name, one.name), one.least, one.most)
            for one in card.asked
        ]
        drawn = book.figure(group_answers(rows, f"class-{card.name}", book.bold))
        shown += [Heading(3, card.title), *(drawn or [Text("No group has answered yet.")])]
    return shown


def _values(book: ClassBook, card: str, asked: str) -> dict[str, float]:
    found = {group["group"]: group["cards"].get(card, {}).get("answers", {}).get(asked, {})
             for group in book.told["groups"]}
    return {group: one["value"] for group, one in found.items() if one.get("value") is not None}


def table(book: ClassBook) -> list[object]:
    """A row a group, a table a card."""
    return [
        Table(
            ["Group", "Status", "Log covered [%]", "Answered", "Flags"],
            [[_group(book, row), Cell(row["status"], "good" if row["status"] == DONE else "bad"),
              row["coverage"] or None, row["headline"] or None,
              "; ".join(filter(None, [_data(row), row["flags"]])) or None]
             for row in book.told["rows"] if row["card"] == card.name],
            caption=f"{card.title}: each group", align="llrll", widths=[0.1, 0.16, 0.14, 0.2, 0.4],
            note=f"Answered: {headline(card).title.lower()}, as the group wrote it.",
        )
        for card in book.cards
    ]


def _group(book: ClassBook, row: dict[str, str]) -> Cell:
    return Cell(row["group"], "strong" if row["group"] == book.bold else "")


def _data(row: dict[str, str]) -> str:
    return "SYNTHETIC data" if row["data"] == "synthetic" else ""


def _counted(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"

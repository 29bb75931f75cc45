"""What a student's notebook shows: data, raw curves, and of answers whether they can be.

Never what is expected, and never whether an answer is right.
"""

from __future__ import annotations

from coldbench.course.card import RUBRIC, Asked, Card
from coldbench.course.questions import question_for
from coldbench.course.sheet_shown import data_sheet, plots, readings
from coldbench.course.work import Work
from coldbench.quantities.printing import MINUS
from coldbench.report.display import Caution, Cell, KeyValue, NoticeBox, ReportHead, Table, Text

__all__ = [
    "answered", "data_sheet", "head", "plots", "question", "readings", "rubric", "rubric_of",
    "safety", "steps", "verdict", "words",
]

SAID = "The kit checks unit and magnitude only. Whether an answer is right, it does not say."
SIGNERS, DOTS = 4, "\u2026" * 11
OPEN, FITS, FAR = "open", "unit fits, magnitude plausible", "unit fits, magnitude not plausible"


def head(work: Work) -> ReportHead:
    """Title of the card, the group it belongs to, and the banner of made-up data."""
    sheet = work.book.campaign.sheet
    told = sheet.disclosure
    return ReportHead(
        title=work.card.title, subtitle=f"Lab card, group {work.group}",
        date=str(sheet.date or ""), paper=work.book.paper,
        banner=(told.invented or "") if told else "",
        report_id=f"{work.group}/{work.card.name}",
    )


def safety(work: Work) -> list[object]:
    """What is read and signed before anything is switched on."""
    line = "\u2003".join(f"{what} {DOTS}" for what in ("Initials", "Date", "Staff"))
    return [
        Caution("Read and sign before you begin", list(work.card.safety)),
        Text("Read and understood by each of the group:"), Text(*[line] * SIGNERS),
    ]


def steps(work: Work, *names: str) -> list[object]:
    """Some steps of the way: how to get there, what was answered, whether it can be.

    Parameters
    ----------
    work : Work
        Opened.
    *names : str
        What is asked; by default all.
    """
    asked = [work.card.named(name) for name in names] or list(work.card.asked)
    rows = [[_place(work.card, one), one.title, _how(work.card, one), _range(one),
             work.answers.numbers[one.name].text or None, verdict(work, one)] for one in asked]
    heads = ["", "Asked", "How", "Any group's", "Your answer", "The kit says"]
    return [Table(heads, rows, note=SAID, align="rlllll", widths=[0.5, 3, 4.5, 2.8, 1.9, 2.3])]


def answered(work: Work) -> list[object]:
    """All answers of the card in one table, and how many are still open."""
    left = sum(not work.answers.numbers[one.name].text for one in work.card.asked)
    told = f"{left} of {len(work.card.asked)} answers are open." if left else "Nothing is open."
    rows = [[_place(work.card, one), one.title, work.answers.numbers[one.name].text or None,
             verdict(work, one)] for one in work.card.asked]
    heads = ["", "Asked", "Your answer", "The kit says"]
    return [Text(told),
            Table(heads, rows, note=SAID, align="rlll", widths=[0.5, 5, 3, 4])]


def verdict(work: Work, asked: Asked) -> Cell:
    """What may be said of an answer: open, another unit, or whether its size is plausible.

    Parameters
    ----------
    work : Work
        Opened.
    asked : Asked
        What it answers.
    """
    answer, value = work.answers.numbers[asked.name], work.number(asked.name)
    if not answer.text:
        return Cell(OPEN, "muted")
    if value is None:
        return Cell(f"{answer.wrong}: {answer.do}", "bad")
    return Cell(FITS) if asked.least <= value <= asked.most else Cell(FAR, "bad")


def _place(card: Card, asked: Asked) -> int:
    """Number of a step in its card."""
    return 1 + card.asked.index(asked)


def _how(card: Card, asked: Asked) -> str:
    """The formula, and which steps it builds on."""
    before = [str(_place(card, card.named(name))) for name in asked.needs]
    return f"{asked.formula} (builds on {', '.join(before)})" if before else asked.formula


def _range(asked: Asked) -> str:
    unit = "" if asked.unit == "-" else f" {asked.unit}"
    return f"{asked.least:g} to {asked.most:g}{unit}".replace("-", MINUS)


def question(work: Work) -> list[object]:
    """The question that this group answers in words."""
    asked = question_for(work.card, work.group, str(work.parameters.get("seed", "")))
    return [NoticeBox("note", "The question of your group", asked)]


def words(work: Work) -> list[object]:
    """What the group wrote: its answer to the question, and its conclusion."""
    names = {"note_1": "Your answer", "conclusion": "Your conclusion"}
    written = dict.fromkeys(names, "") | dict(work.answers.notes)
    return [KeyValue([(names.get(name, name.replace("_", " ").capitalize()), text or "open")
                      for name, text in written.items()])]


def rubric(work: Work) -> list[object]:
    """How the work is marked, a hundred points in all."""
    return rubric_of(work.card)


def rubric_of(card: Card) -> list[object]:
    """The rubric of a card.

    Parameters
    ----------
    card : Card
        Says for which parts it asks numbers.
    """
    parts = {one.part for one in card.asked}
    rows = [[part, points, "numbers, step by step" if part in parts else "read by a person"]
            for part, points in RUBRIC.items()]
    return [Table(
        ["Part", "Points", "Marked by"], [*rows, ["all", sum(RUBRIC.values()), ""]],
        align="lrl", caption="Rubric",
        note="A slip costs its own step only: what follows rightly from it gets its points.")]

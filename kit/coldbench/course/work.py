"""A group's work on one card: its campaign, its own numbers, its answers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from coldbench.analysis.campaign import RunResult
from coldbench.analysis.context import Context
from coldbench.course.answers import FILE, Answers, answer_of, keep_answers, read_answers
from coldbench.course.card import Card
from coldbench.course.cards import card_named
from coldbench.course.parameters import FILE as PARAMETERS_FILE
from coldbench.course.parameters import read_parameters
from coldbench.errors import Fault, UserError
from coldbench.logs.record import Trace
from coldbench.quantities import Quantity
from coldbench.report.book import SHIPPED, Book, folder_of, open_campaign


@dataclass(frozen=True)
class Work:
    """One group's work on one card.

    Parameters
    ----------
    book : Book
        The group's campaign, read and analysed.
    card : Card
        What it works on.
    parameters : mapping of str to Quantity or str
        What the roster gave this group; names out of ``PARAMETERS``.
    answers : Answers
        What the group wrote.
    group : str
        Its id.
    path : Path or None
        Its ``answers.toml``; None where nothing is kept, as for the invented campaign.
    """

    book: Book
    card: Card
    parameters: Mapping[str, Quantity | str]
    answers: Answers
    group: str
    path: Path | None

    def run(self, kind: str = "") -> RunResult:
        """The run of a kind that the card rests on, by default of the first kind it needs.

        Of several it is the one with most of the card's roles, the first among equals.

        Parameters
        ----------
        kind : str
            Kind of run.

        Raises
        ------
        UserError
            The campaign has no such run.
        """
        kind = kind or self.card.runs[0]
        sheets, roles = self.book.campaign.runs, set(self.card.roles)
        found = [r for r in self.book.result.results.values()
                 if kind in r.kinds and not sheets[r.record.run].repeat_of]
        if found:
            return max(found, key=lambda run: len(roles & set(run.record.traces)))
        raise UserError(Fault(
            f"the card {self.card.name} needs a run of kind {kind}", "runs/",
            found=", ".join(self.book.campaign.runs), do=f'write kind = "{kind}" in its sheet',
        ))

    def context(self, kind: str = "") -> Context:
        """The run of a kind with its sheets, for analyses."""
        return Context(self.run(kind).record, self.book.campaign)

    def trace(self, role: str, kind: str = "") -> Trace:
        """Readings of a role in the run of a kind.

        Raises
        ------
        UserError
            The run has none.
        """
        record = self.run(kind).record
        trace = record.trace(role)
        if trace is None:
            raise UserError(Fault(
                f"the card {self.card.name} needs readings of {role}", f"runs/{record.run}.toml",
                found=", ".join(record.traces) or "no readings",
                do=f'give a column of the log the role "{role}", or type [[reading]] rows',
            ))
        return trace

    def number(self, name: str) -> float | None:
        """An answer in the unit in which it is asked for; None where there is none of its kind."""
        quantity = self.answers.numbers[name].quantity
        return None if quantity is None else self.card.named(name).in_unit(quantity.value)

    def typed(self, **typed: str) -> Work:
        """The work with answers typed in a notebook; they are kept in ``answers.toml`` too.

        Parameters
        ----------
        **typed : str
            Answers by name; ``""`` leaves what the file has.

        Raises
        ------
        UserError
            The file cannot take them.
        """
        new = {name: text for name, text in typed.items() if text.strip()}
        if not new:
            return self
        if self.path is not None:
            keep_answers(self.path, self.card, new)
        numbers = {name: answer_of(self.card.named(name), text) for name, text in new.items()}
        merged = replace(self.answers, numbers={**self.answers.numbers, **numbers})
        return replace(self, answers=merged)


def open_card(
    card: str, campaign: str, answers: str = "", group: str = "", out: str = "",
    paper: str = "a4", units: str = "si",
) -> Work:
    """Read a group's folder for one card.

    Parameters
    ----------
    card : str
        Name of the card.
    campaign : str
        The group's folder, a campaign.
    answers : str
        File with its answers; by default ``answers.toml`` in the folder.
    group : str
        Its id; by default the one in ``parameters.toml``, else the folder's name.
    out : str
        Folder for figures; ``""`` writes none.
    paper : {"a4", "letter"}
        Paper of the PDF.
    units : {"si", "us"}
        What is printed.

    Returns
    -------
    Work

    Raises
    ------
    UserError
        Faults in the folder's files, those of one kind of file at once.
    """
    known = card_named(card)
    folder = folder_of(campaign)
    book = open_campaign(campaign, out=out, paper=paper, units=units)
    parameters = read_parameters(folder / PARAMETERS_FILE)
    path = Path(answers) if answers else folder / FILE
    named = group or str(parameters.get("group", "")) or folder.resolve().name
    kept = None if campaign in SHIPPED and not answers else path
    return Work(book, known, parameters, read_answers(path, known), named, kept)

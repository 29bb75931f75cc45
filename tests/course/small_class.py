"""A small class whose pieces are done here, without kernels: what a process would leave."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from pathlib import Path

from coldbench.course.pieces import CLOSING, Piece
from coldbench.report.job import Outcome
from coldbench.report.processes import Ended

CARDS = ("heat_leak_warm_up", "heat_leak_heater")
PEOPLE = ("Ottoline Quill", "Barnaby Thrush")
FACTS = {"coverage": 99.5, "flags": ["gap in the log"], "headline": "0.41 W/K", "answers": {}}


def write_class(folder: Path, ids: Sequence[str] = ("g01", "g02", "g03"), more: str = "") -> Path:
    """A roster with people in it, and a folder for each group with what a batch asks for."""
    folder.mkdir(parents=True, exist_ok=True)
    lines = ['title = "Cooling, one afternoon"', "seed = 7", f"cards = {list(CARDS)}", more]
    for ident in ids:
        lines += ["[[group]]", f'id = "{ident}"', f"names = {list(PEOPLE)}"]
        place = folder / "groups" / ident
        place.mkdir(parents=True, exist_ok=True)
        for name, text in (("campaign.toml", f'title = "{ident}"\n'), ("answers.toml", ""),
                           ("parameters.toml", f'group = "{ident}"\nseed = "7"\n')):
            (place / name).write_text(text, encoding="utf-8", newline="\n")
    roster = folder / "class.toml"
    roster.write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")
    return roster


class Hands:
    """Does the pieces it is given, but for those that shall fail; notes their names.

    Parameters
    ----------
    failing : dict of str to Outcome
        By the name of a piece.
    """

    def __init__(self, failing: dict[str, Outcome] | None = None) -> None:
        self.failing = failing or {}
        self.did: list[str] = []

    def __call__(self, todo: Sequence[Piece], work: Path, progress: object) -> Iterator[Ended]:
        for piece in todo:
            self.did.append(piece.job.name)
            folder = work / piece.job.name
            folder.mkdir(parents=True)
            (folder / "stderr.txt").write_text("told", encoding="utf-8")
            outcome = self.failing.get(piece.job.name, Outcome("done"))
            if outcome.kind == "done":
                (_close if piece.card == CLOSING else _print)(piece)
            else:
                (piece.made / "half.html").write_text("half a page", encoding="utf-8")
            yield Ended(piece.job, outcome, folder)


def _print(piece: Piece) -> None:
    for end in ("html", "pdf"):
        place = getattr(piece.job, end)
        if place:
            Path(place).write_text(f"{piece.group.id} {piece.card}", encoding="utf-8")
    figures = piece.made / "figures"
    figures.mkdir()
    (figures / f"{piece.card}.csv").write_text("hours,value\n0,1\n", encoding="utf-8")


def _close(piece: Piece) -> None:
    told = {"group": piece.group.id, "curves": {}, "cards": dict.fromkeys(CARDS, FACTS)}
    (piece.made / "facts.json").write_text(json.dumps(told), encoding="utf-8")
    key = piece.made / "key"
    key.mkdir()
    (key / "key.csv").write_text(
        "group,card,asked,title,unit,number,expected,points,of\n"
        f"{piece.group.id},heat_leak_heater,heat_leak,Heat leak,W/K,,0.98765,0.0,5.0\n",
        encoding="utf-8")

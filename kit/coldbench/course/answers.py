"""What students worked out: ``answers.toml`` beside a group's campaign, and what is typed."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from coldbench.course.card import Asked, Card
from coldbench.course.cards import NAMES
from coldbench.errors import Fault, UserError, nearest
from coldbench.quantities import Quantity, QuantityError, parse
from coldbench.sheets.syntax import syntax_fault
from coldbench.sheets.toml_lines import key_lines

FILE = "answers.toml"
# Words, not numbers: the answer to the group's question, and what the work says of its aim.
NOTE = re.compile(r"note_[1-9]|conclusion")


@dataclass(frozen=True)
class Answer:
    """One answer as it was written.

    Parameters
    ----------
    text : str
        As written; ``""`` is not answered.
    quantity : Quantity or None
        What it says; None where it is not answered or not of the kind.
    wrong : str
        Why it is not of the kind.
    do : str
        What to write instead.
    """

    text: str = ""
    quantity: Quantity | None = None
    wrong: str = ""
    do: str = ""


@dataclass(frozen=True)
class Answers:
    """All answers to one card.

    Parameters
    ----------
    numbers : mapping of str to Answer
        By the name of what is asked; every name is there.
    notes : mapping of str to str
        Answers in words.
    """

    numbers: Mapping[str, Answer]
    notes: Mapping[str, str]


def answer_of(asked: Asked, written: object) -> Answer:
    """An answer out of what was written for it.

    Parameters
    ----------
    asked : Asked
        What it answers.
    written : object
        Text with a unit; anything else is told what is wrong with it.

    Returns
    -------
    Answer

    Examples
    --------
    >>> leak = Asked("heat_leak", "Heat leak", "power", "W", 0, 9, "")
    >>> answer_of(leak, "0.41 W").quantity.value
    0.41
    >>> answer_of(leak, "0.41 V").wrong
    'found a voltage, needs a power'
    """
    text = str(written).strip()
    if not text:
        return Answer()
    try:
        return Answer(text, parse(written, asked.kind))
    except QuantityError as error:
        return Answer(text, None, error.what, error.do)


def read_answers(path: Path, card: Card) -> Answers:
    """A group's answers to one card.

    Parameters
    ----------
    path : Path
        ``answers.toml``; a file that is not there answers nothing.
    card : Card
        Whose table is read.

    Returns
    -------
    Answers

    Raises
    ------
    UserError
        The file is no TOML, or has a name that the card does not ask for.
    """
    table, places = _table(path, card)
    faults = [
        Fault("the card asks for nothing of this name", places.get(name, path.name), found=name,
              allowed=", ".join(one.name for one in card.asked),
              do=f'write "{meant}"' if (meant := nearest(name, _names(card))) else "")
        for name in table if name not in _names(card) and not NOTE.fullmatch(name)
    ]
    if faults:
        raise UserError(faults)
    return Answers(
        {one.name: answer_of(one, table.get(one.name, "")) for one in card.asked},
        {name: str(text).strip() for name, text in table.items() if NOTE.fullmatch(name)},
    )


def _names(card: Card) -> list[str]:
    return [one.name for one in card.asked]


def _table(path: Path, card: Card) -> tuple[dict, dict[str, str]]:
    """The card's table, and the place of each of its keys."""
    if not path.is_file():
        return {}, {}
    text = _text(path)
    tables = _tables(path, text)
    places = {keys: f"{path.name}:{line}" for keys, line in key_lines(text).items()}
    strange = [name for name in tables if name not in NAMES]
    if strange:
        raise UserError([
            Fault("there is no lab card of this name", places[(name,)], found=name,
                  allowed=", ".join(NAMES), do=f"write [{nearest(name, NAMES) or card.name}]")
            for name in strange
        ])
    table = tables.get(card.name, {})
    if not isinstance(table, dict):
        raise UserError(Fault("a card's answers stand below its name in brackets",
                              places[(card.name,)], do=f"write [{card.name}]"))
    return table, {name: places[(card.name, name)] for name in table}


def _text(path: Path) -> str:
    try:
        # Some Windows editors put a byte order mark in front.
        return path.read_bytes().decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError:
        raise UserError(Fault("the file is not UTF-8 text", path.name,
                              do="save it as UTF-8 in the editor")) from None


def _tables(path: Path, text: str) -> dict:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise UserError(syntax_fault(path.name, text, error)) from None


def keep_answers(path: Path, card: Card, typed: Mapping[str, str]) -> None:
    """Put what was typed in a notebook into ``answers.toml``; all else in the file stays.

    Parameters
    ----------
    path : Path
        The file; it is made where there is none.
    card : Card
        In whose table they go.
    typed : mapping of str to str
        Answers by name.

    Raises
    ------
    UserError
        The file is no TOML, or holds an answer over several lines.
    """
    text = _text(path) if path.is_file() else ""
    _tables(path, text)
    for name, answer in typed.items():
        text = _with(path, text, card.name, name, answer)
    path.write_text(text, encoding="utf-8", newline="\n")


def _with(path: Path, text: str, table: str, name: str, answer: str) -> str:
    """The file's text with one answer in it."""
    lines, places = text.splitlines(), key_lines(text)
    line = f"{name} = {_quoted(answer)}"
    if (table, name) in places:
        lines[places[(table, name)] - 1] = line
    elif (table,) in places:
        lines.insert(places[(table,)], line)
    else:
        lines += [f"[{table}]", line]
    new = "\n".join(lines) + "\n"
    if not _says(new, table, name, answer):
        raise UserError(Fault("this answer can only be changed in the file itself", path.name,
                              found=f"{name} over several lines, or inside braces",
                              do="write each answer on a line of its own"))
    return new


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _says(text: str, table: str, name: str, answer: str) -> bool:
    try:
        return tomllib.loads(text)[table][name] == answer
    except tomllib.TOMLDecodeError:
        return False

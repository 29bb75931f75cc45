"""The roster: a class, its cards and its groups, in ``class.toml``, a CSV file or a workbook.

Names of people may stand in it. They are dropped at the door: nothing that the kit holds, prints
or writes has them, and no message shows a line that may.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Annotated, Any

from pydantic import Field, PlainValidator, ValidationError, WithJsonSchema, create_model

from coldbench.course.cards import NAMES
from coldbench.course.parameters import DRAWN, choices, drawn
from coldbench.errors import Fault, UserError, nearest
from coldbench.quantities import QuantityError
from coldbench.sheets.faults import refused
from coldbench.sheets.places import Places, place_of
from coldbench.sheets.raw import ID, safe
from coldbench.sheets.types import Lines, Sheet, Text, YesNo, choice, key, needed

NAMES_KEY = "names"
LEADING_FOLDER = "groups"


@dataclass(frozen=True)
class Group:
    """One group.

    Parameters
    ----------
    id : str
        Stands for the people in it everywhere.
    folder : Path
        Its campaign.
    makeup : bool
        It was absent: a simulator makes its data.
    own : mapping of str to str
        Numbers that the roster sets for it.
    """

    id: str
    folder: Path
    makeup: bool = False
    own: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Roster:
    """A class.

    Parameters
    ----------
    file : Path
        Where it was read.
    title : str
        Of the class.
    seed : int
        From which each group's numbers follow.
    cards : tuple of str
        Lab cards that all work on.
    groups : tuple of Group
        In the roster's order.
    spread : mapping of str to tuple of str
        What each number may be.
    sheets : str
        Blank sheets that are handed out: ``typed``, ``text`` or ``workbook``.
    bench : Path or None
        Folder with what all groups share: a campaign's sheet and its coolers.
    """

    file: Path
    title: str
    seed: int
    cards: tuple[str, ...]
    groups: tuple[Group, ...]
    spread: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    sheets: str = "typed"
    bench: Path | None = None

    @property
    def folder(self) -> Path:
        """Where the roster lies."""
        return self.file.parent

    def parameters(self, group: Group) -> dict[str, str]:
        """Numbers of a group, by name, each with its unit."""
        return drawn(self.seed, group.id, self.spread, group.own)


def read_roster(file: Path) -> Roster:
    """Read a roster.

    Parameters
    ----------
    file : Path
        ``class.toml``, or a CSV file or workbook; or the folder with a ``class.toml`` in it.

    Returns
    -------
    Roster

    Raises
    ------
    UserError
        All faults at once, none of them with a person's name.
    """
    from coldbench.course.roster_files import read_table

    file = Path(file)
    if file.is_dir():
        file = file / "class.toml"
    table, places = read_table(file)
    here = f"{file.name}:1"
    try:
        sheet = RosterSheet.model_validate(_without_names(table))
    except ValidationError as error:
        raise UserError(
            refused(RosterSheet, error, lambda path: place_of(places, path, here))
        ) from None
    faults = _cross_faults(sheet, places, here)
    if faults:
        raise UserError(faults)
    return Roster(
        file.resolve(), sheet.title, sheet.seed, tuple(sheet.cards),
        tuple(_group(one, file.resolve().parent) for one in sheet.group),
        _given(sheet.parameters), sheet.sheets,
        file.resolve().parent / sheet.bench if sheet.bench else None,
    )


def _without_names(part: Any) -> Any:
    if isinstance(part, list):
        return [_without_names(one) for one in part]
    if isinstance(part, dict):
        return {name: _without_names(one) for name, one in part.items() if name != NAMES_KEY}
    return part


def _group(sheet: Any, folder: Path) -> Group:
    own = {name: found[0] for name, found in _given(sheet).items()}
    place = folder / (sheet.folder or f"{LEADING_FOLDER}/{sheet.id}")
    return Group(sheet.id, place, bool(sheet.makeup), own)


def _given(sheet: Any) -> dict[str, tuple[str, ...]]:
    found = {name: getattr(sheet, name) for name in DRAWN} if sheet is not None else {}
    return {name: value for name, value in found.items() if value is not None}


def _cross_faults(sheet: Any, places: Places, here: str) -> list[Fault]:
    faults = [
        Fault("there is no lab card of this name", place_of(places, ("cards",), here), found=name,
              allowed=", ".join(NAMES), do=f'write "{meant}"' if (meant := nearest(name, NAMES))
              else "")
        for name in sheet.cards if name not in NAMES
    ]
    if twice := sorted({name for name in sheet.cards if sheet.cards.count(name) > 1}):
        faults.append(Fault("a card stands twice", place_of(places, ("cards",), here), twice[0],
                            do="name it once"))
    ids: dict[str, int] = {}
    folders: dict[str, str] = {}
    for number, group in enumerate(sheet.group):
        where = place_of(places, ("group", number, "id"), here)
        if not ID.fullmatch(group.id):
            faults.append(Fault(
                "the id has to be safe in every file name", where, found=group.id,
                allowed="letters A to Z, digits, - and _, no spaces",
                do=f"write {safe(group.id)}"))
        # Windows and macOS do not tell G1 from g1.
        if ids.setdefault(group.id.casefold(), number) != number:
            faults.append(Fault("two groups have the same id", where, found=group.id,
                                do="give each its own"))
        folder = group.folder or f"{LEADING_FOLDER}/{group.id}"
        if folders.setdefault(Path(folder).as_posix(), group.id) != group.id:
            faults.append(Fault("two groups have the same folder", where, found=folder,
                                do="give each its own"))
    return faults


def _spread(name: str) -> Any:
    return Annotated[
        tuple[str, ...], PlainValidator(lambda written: choices(written, name)),
        WithJsonSchema({"type": ["string", "array"]}),
    ]


def _one(name: str) -> Any:
    def read(written: object) -> tuple[str, ...]:
        found = choices(written, name)
        if len(found) > 1:
            raise QuantityError("a group has one value", found=f"{written}")
        return found

    return Annotated[tuple[str, ...], PlainValidator(read), WithJsonSchema({"type": "string"})]


def _words(name: str) -> str:
    return f"{name.replace('_', ' ').capitalize()}, as the cards use it."


ParametersSheet = create_model(
    "ParametersSheet", __base__=Sheet, __doc__="What each number of a group may be.",
    **{name: (_spread(name) | None, key(_words(name))) for name in DRAWN},
)


class _GroupHead(Sheet):
    id: Text = needed("Stands for the group everywhere; no name of a person.")
    names: Any = key("Names of people; they are never kept and never printed.")
    folder: Text | None = key("Its campaign, relative to the roster; by default groups/ID.")
    makeup: YesNo | None = key("The group was absent: a simulator makes its data.")


GroupSheet = create_model(
    "GroupSheet", __base__=_GroupHead, __doc__="One group.",
    **{name: (_one(name) | None, key(_words(name))) for name in DRAWN},
)


class RosterSheet(Sheet):
    """class.toml: a class, its cards and its groups."""

    title: Text = needed("Title of the class.")
    seed: Lines = needed("A whole number from which each group's numbers follow.")
    cards: list[Text] = Field(min_length=1, description="Lab cards, by name.")
    sheets: choice("typed", "text", "workbook", what="way to keep sheets") = Field(
        default="typed", description="What is handed out: data sheets to print and type in, "
        "sheets of text, or a campaign's workbook.")
    bench: Text | None = key("Folder with what all groups share: campaign.toml and coolers/.")
    parameters: ParametersSheet | None = key("What each number of a group may be.")
    group: list[GroupSheet] = Field(min_length=1, description="The groups.")

"""Which data sheets are wanted: by kind, for a lab card, or for every group of a class."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from coldbench.course.cards import card_named
from coldbench.errors import Fault, UserError
from coldbench.sheets.hand.form import PLANS, DataSheet, data_sheet
from coldbench.sheets.hand.writing import write_pages
from coldbench.sheets.raw import safe

if TYPE_CHECKING:
    from coldbench.course.roster import Group, Roster

TYPED = "data-sheets.xlsx"  # in a group's runs/


def sheets_of_kinds(
    kinds: Sequence[str] = (), run: str = "", cooler: str = "", copies: int = 1,
    step: str = "", length: str = "", roles: Sequence[str] = (), title: str = "",
    units: str = "si",
) -> tuple[DataSheet, ...]:
    """Data sheets by kind of run.

    Parameters
    ----------
    kinds : sequence of str
        A page each; without any, one of every kind.
    run : str
        Id of the run, by default the kind; of several pages its beginning.
    cooler : str
        Id of the cooler, printed on every page.
    copies : int
        How many of each.
    step, length : str
        Time between readings, and from the first to the last.
    roles : sequence of str
        What is read.
    title : str
        Printed at the head.
    units : str
        ``si`` or ``us``.

    Raises
    ------
    UserError
        No such kind or role, or times that do not fit.

    Examples
    --------
    >>> [sheet.run for sheet in sheets_of_kinds(["warm-up"], cooler="box", copies=2)]
    ['box-warm-up-1', 'box-warm-up-2']
    """
    kinds = tuple(kinds) or tuple(PLANS)
    found = []
    for kind in kinds:
        base = "-".join(filter(None, (run or cooler, kind if not run or len(kinds) > 1 else "")))
        for number in range(1, copies + 1):
            found.append(data_sheet(
                kind, f"{base}-{number}" if copies > 1 else base, step, length, roles,
                title=title, units=units, given={"cooler": cooler}))
    return tuple(found)


def sheet_of_card(
    name: str, title: str = "", units: str = "si", step: str = "", length: str = ""
) -> DataSheet:
    """The data sheet of a lab card.

    Parameters
    ----------
    name : str
        Of the card.
    title : str
        Of the class.
    units : str
        ``si`` or ``us``.
    step, length : str
        Time between readings, and from the first to the last.

    Raises
    ------
    UserError
        No such card, or one that needs no measurement.
    """
    card = card_named(name)
    if not card.runs:
        raise UserError(Fault("nothing is measured for this card", found=name))
    return data_sheet(card.runs[0], safe(name.replace("_", "-")), step, length, card.roles,
                      units=units, title=" · ".join(filter(None, (title, card.title))))


def sheets_of_group(
    roster: Roster, group: Group, units: str = "si", cooler: str = "", step: str = "",
    length: str = "",
) -> tuple[DataSheet, ...]:
    """Data sheets of one group: a page for each card for which something is measured.

    A card whose run and readings are all on another's page needs none of its own.

    Parameters
    ----------
    roster : Roster
        The class.
    group : Group
        One of its groups; its own numbers are printed at the head.
    units : str
        ``si`` or ``us``.
    cooler : str
        Id of the cooler, where it is known.
    step, length : str
        Time between readings, and from the first to the last.
    """
    from coldbench.course.makeup import SYNTHETIC

    cards = [name for name in roster.cards if card_named(name).runs]
    sheets = [sheet_of_card(name, roster.title, units, step, length) for name in cards]
    numbers = tuple(f"{name.replace('_', ' ')} {value}"
                    for name, value in roster.parameters(group).items())
    banner = SYNTHETIC if group.makeup else ""
    return tuple(replace(one, group=group.id, notes=numbers, banner=banner,
                         given={"cooler": cooler} if cooler else {})
                 for n, one in enumerate(sheets)
                 if not any(_covers(other, one, first=m < n) for m, other in enumerate(sheets)
                            if m != n))


def _covers(other: DataSheet, one: DataSheet, first: bool) -> bool:
    """Whether all of a page is on another; of two alike the first stays."""
    inside = one.kind == other.kind and set(one.roles) <= set(other.roles)
    return inside and (first or set(one.roles) != set(other.roles))


def sheets_of_class(
    file: Path, units: str = "si", step: str = "", length: str = ""
) -> tuple[DataSheet, ...]:
    """Data sheets of all groups of a roster that were there.

    Parameters
    ----------
    file : Path
        The roster.
    units : str
        ``si`` or ``us``.
    step, length : str
        Time between readings, and from the first to the last.

    Raises
    ------
    UserError
        A roster that cannot be read, or no card for which anything is measured.
    """
    from coldbench.course.roster import read_roster

    roster = read_roster(file)
    found = tuple(sheet for group in roster.groups if not group.makeup
                  for sheet in sheets_of_group(roster, group, units, "", step, length))
    if not found:
        raise UserError(Fault("no group of this class has anything to measure", str(file),
                              found=", ".join(roster.cards)))
    return found


def write_for_group(
    roster: Roster, group: Group, paper: str = "a4", units: str = "si"
) -> list[Path]:
    """Put a group's data sheets into its folder: a PDF, and the workbook to type them into.

    Parameters
    ----------
    roster : Roster
        The class.
    group : Group
        Its campaign is there already; if it knows one cooler, that is printed on every page.
    paper, units : str
        ``a4`` or ``letter``, ``si`` or ``us``.

    Returns
    -------
    list of Path
        What was written; nothing where there are data sheets already, or none are needed.
    """
    from coldbench.course.blank_sheets import write_sheets
    from coldbench.sheets.hand import books_in

    coolers = [path.stem for path in (group.folder / "coolers").glob("*.toml")]
    cooler = coolers[0] if len(coolers) == 1 else ""
    sheets = sheets_of_group(roster, group, units, cooler)
    if not sheets or books_in(group.folder):
        return []
    book = write_pages(sheets, group.folder / "runs" / TYPED)
    return [book, *write_sheets(sheets, (group.folder / TYPED).with_suffix(".pdf"), paper)]

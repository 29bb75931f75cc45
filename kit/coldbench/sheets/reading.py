"""Read a campaign folder: every sheet, then everything between them, and all faults at once."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from pydantic import ValidationError

from coldbench.errors import Fault, UserError
from coldbench.sheets import clock
from coldbench.sheets.campaign import CampaignSheet
from coldbench.sheets.cooler import CoolerSheet
from coldbench.sheets.crosscheck import cross_faults
from coldbench.sheets.faults import refused
from coldbench.sheets.hand import books_in
from coldbench.sheets.places import Places, in_order, place
from coldbench.sheets.raw import Raw
from coldbench.sheets.run import RunSheet
from coldbench.sheets.toml_files import CAMPAIGN, toml_sheets
from coldbench.sheets.types import Sheet

WORKBOOKS = ("campaign.xlsx", "campaign.ods")
AnySheet = TypeVar("AnySheet", bound=Sheet)


@dataclass(frozen=True)
class Campaign:
    """A campaign whose sheets are all in order.

    Parameters
    ----------
    folder : Path
        Where it lies.
    sheet : CampaignSheet
        campaign.toml.
    coolers : dict of str to CoolerSheet
        By id, in the campaign's ``order``, the others after them by name.
    runs : dict of str to RunSheet
        By id, in the order of their coolers, then by name.
    raw : Raw
        The sheets as they were written, the file they come from, and the places of their keys.
    """

    folder: Path
    sheet: CampaignSheet
    coolers: dict[str, CoolerSheet]
    runs: dict[str, RunSheet]
    raw: Raw = field(repr=False, compare=False, default_factory=lambda: Raw(CAMPAIGN))

    @property
    def tz(self) -> ZoneInfo:
        """Time zone of all times without an own one."""
        return clock.zone(self.sheet.timezone)

    def seconds(self, when: dt.datetime) -> float:
        """POSIX seconds of a time in a sheet. [s]"""
        return clock.seconds(when, self.tz)

    def where(self, file: str, *path: str | int) -> str:
        """Place of a key: ``campaign.where("runs/x.toml", "log", 0, "file")``."""
        return place(self.raw.places, file, path)


@dataclass
class Draft:
    """What could be read so far; the ids are those of all sheets, readable or not."""

    folder: Path
    sheet: CampaignSheet | None = None
    coolers: dict[str, CoolerSheet] = field(default_factory=dict)
    runs: dict[str, RunSheet] = field(default_factory=dict)
    places: dict[str, Places] = field(default_factory=dict)
    cooler_ids: set[str] = field(default_factory=set)
    run_ids: set[str] = field(default_factory=set)
    faults: list[Fault] = field(default_factory=list)

    def where(self, file: str, *path: str | int) -> str:
        """Place of a key."""
        return place(self.places, file, path)


def read_campaign(folder: Path) -> Campaign:
    """Read all sheets of a campaign.

    Parameters
    ----------
    folder : Path
        The campaign: ``campaign.toml``, ``coolers/``, ``runs/``, or all of them in one workbook,
        ``campaign.xlsx`` or ``campaign.ods``; typed data sheets in ``runs/*.xlsx`` come on top.
        Nothing in it is changed.

    Returns
    -------
    Campaign

    Raises
    ------
    UserError
        Every fault of every sheet, in order of file and line, or of page and cell.
    """
    folder = Path(folder)
    raw = raw_sheets(folder)
    draft = Draft(folder, places=raw.places, faults=raw.faults)
    draft.sheet = _read(draft, CAMPAIGN, raw.tables[CAMPAIGN], CampaignSheet)
    for cooler, file in raw.named("coolers").items():
        draft.cooler_ids.add(cooler)
        if (sheet := _read(draft, file, raw.tables[file], CoolerSheet)) is not None:
            draft.coolers[cooler] = sheet
    for run, file in raw.named("runs").items():
        draft.run_ids.add(run)
        if (sheet := _read(draft, file, raw.tables[file], RunSheet)) is not None:
            draft.runs[run] = sheet
    # An unknown instrument is met at each of its columns; once is enough.
    faults = list(dict.fromkeys(map(raw.told, [*draft.faults, *cross_faults(draft)])))
    if faults or draft.sheet is None:
        raise UserError(sorted(faults, key=lambda fault: in_order(fault.where, CAMPAIGN)))
    coolers = _ordered(draft.coolers, draft.sheet.order)
    return Campaign(folder, draft.sheet, coolers, _by_cooler(draft.runs, coolers), raw)


def raw_sheets(folder: Path) -> Raw:
    """Find out how a campaign's sheets are kept, and read them as far as they can be.

    Parameters
    ----------
    folder : Path
        The campaign.

    Returns
    -------
    Raw
        With all faults that are seen without the models.

    Raises
    ------
    UserError
        No folder, no sheets in it, or sheets kept in two ways.
    """
    if folder.is_file():
        raise UserError(Fault("a campaign is a folder, and this is a file", found=str(folder),
                              do=f"name the folder it lies in: {folder.parent}"))
    if not folder.is_dir():
        raise UserError(Fault("there is no such campaign folder", found=str(folder),
                              do=f"coldbench new {folder}"))
    books = [name for name in WORKBOOKS if (folder / name).is_file()]
    texts = [name for name in (CAMPAIGN, "coolers/*.toml", "runs/*.toml")
             if any(folder.glob(name))]
    if len(books) + bool(texts) > 1:
        raise UserError(Fault(
            "the campaign's sheets are kept in two ways, and they may differ", str(folder),
            found=" and ".join([*books, *texts]),
            do=f"keep one: move {books[-1]}, or what else there is, out of the folder"))
    if not books and not (folder / CAMPAIGN).is_file():
        raise UserError(Fault(f"the folder has no {CAMPAIGN}, and no {WORKBOOKS[0]} either",
                              found=str(folder),
                              do="name the folder it lies in, or start one: coldbench new DIR"))
    if books:
        from coldbench.sheets.workbook.reading import book_sheets

        raw = book_sheets(folder, books[0])
    else:
        raw = toml_sheets(folder)
    if books_in(folder):
        from coldbench.sheets.hand.reading import add_typed_sheets

        add_typed_sheets(raw, folder, CAMPAIGN)
    return raw


def _read(
    draft: Draft, file: str, table: dict[str, Any] | None, model: type[AnySheet]
) -> AnySheet | None:
    """One sheet, or None with its faults noted."""
    if table is None:
        return None
    try:
        return model.model_validate(table)
    except ValidationError as error:
        draft.faults += refused(model, error, lambda path: draft.where(file, *path))
        return None


def _ordered(sheets: dict[str, CoolerSheet], order: list[str]) -> dict[str, CoolerSheet]:
    named = dict.fromkeys([*order, *sheets])
    return {cooler: sheets[cooler] for cooler in named}


def _by_cooler(runs: dict[str, RunSheet], coolers: Iterable[str]) -> dict[str, RunSheet]:
    place = {cooler: i for i, cooler in enumerate(coolers)}
    return dict(sorted(runs.items(), key=lambda item: (place[item[1].cooler], item[0])))

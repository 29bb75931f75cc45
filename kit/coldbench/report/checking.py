"""What the kit understood of a campaign, and what is wrong with it; nothing is computed."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from coldbench.errors import Fault, UserError, gathered
from coldbench.logs import echo_text, read_run, read_runs
from coldbench.logs.record import Record
from coldbench.logs.unnamed import look_text, unnamed, unnamed_text
from coldbench.sheets import Campaign, read_campaign
from coldbench.sheets.patterns import files_of
from coldbench.sheets.reading import WORKBOOKS, raw_sheets
from coldbench.sheets.toml_files import CAMPAIGN
from coldbench.sheets.workbook.pasting import card_in_cells


def understand(folder: Path) -> tuple[Campaign, dict[str, Record]]:
    """Read all sheets, then all logs.

    Parameters
    ----------
    folder : Path
        The campaign.

    Returns
    -------
    campaign : Campaign
    records : dict of str to Record
        By run.

    Raises
    ------
    UserError
        All faults of all sheets; if there are none, all faults of all logs.
    """
    campaign = read_campaign(folder)
    try:
        return campaign, read_runs(campaign)
    except UserError as mistake:
        raise UserError(map(campaign.raw.told, mistake.faults)) from None


@dataclass(frozen=True)
class Checked:
    """What was understood, for the eye, and what has to be mended or answered."""

    text: str
    faults: tuple[Fault, ...] = ()


def check(place: Path) -> Checked:
    """Echo cards of a campaign, or of one log file.

    Parameters
    ----------
    place : Path
        A campaign's folder or the sheet or workbook in it, or a file of which no campaign knows
        yet.

    Returns
    -------
    Checked
        Cards of all runs that could be read; of logs that no run names, how they look and the
        block to paste; a line that says how much was read; and all faults.

    Raises
    ------
    UserError
        The sheets cannot be read, or the place is neither.
    """
    if place.is_file() and place.name in (CAMPAIGN, *WORKBOOKS):
        place = place.parent
    if place.is_file():
        return Checked(unnamed_text(place, place.name))
    campaign, faults, cards = None, [], []
    try:
        campaign = read_campaign(place)
    except UserError as mistake:
        faults += mistake.faults
    records = {}
    for run in campaign.runs if campaign else ():
        with gathered(faults):
            records[run] = read_run(campaign, run)
        if run in records:
            cards.append(echo_text(records[run], campaign.tz))
        else:
            cards += [look_text(place / name, name) for log in campaign.runs[run].log
                      for name in files_of(place, log.file)[:1]]
    cards += _unnamed_cards(place, campaign)
    if campaign is not None:
        cards += [f"{page}: still blank, and left out" for page in campaign.raw.blank]
        read = " and ".join([_counted(len(campaign.coolers), "cooler"),
                             _counted(len(records), "run")])
        cards.append(f"{read} read; nothing was computed.")
        faults = [campaign.raw.told(fault) for fault in faults]
    return Checked("\n\n".join(cards), tuple(dict.fromkeys(faults)))


def _unnamed_cards(place: Path, campaign: Campaign | None) -> list[str]:
    """Cards of logs that no run names, with what to write in the way the sheets are kept."""
    left = unnamed(place, campaign)
    book = next((name for name in WORKBOOKS if (place / name).is_file()), "")
    if not book:
        return [unnamed_text(place / file, name) for name, file in left.items()]
    named = _named(place) if campaign is None else set()
    return [card_in_cells(unnamed_text(place / file, name), book)
            for name, file in left.items() if file not in named]


def _named(place: Path) -> set[str]:
    """Logs that a workbook with faults names, as far as it can be read."""
    try:
        tables = raw_sheets(place).tables.values()
    except UserError:  # told already
        return set()
    return {name for table in tables if table for log in table.get("log", ())
            for name in files_of(place, str(log.get("file", "")))}


def _counted(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"

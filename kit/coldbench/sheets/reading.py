"""Read a campaign folder: every sheet, then everything between them, and all faults at once."""

from __future__ import annotations

import datetime as dt
import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar
from zoneinfo import ZoneInfo

from pydantic import ValidationError

from coldbench.errors import Fault, UserError
from coldbench.sheets import clock, toml_lines
from coldbench.sheets.campaign import CampaignSheet
from coldbench.sheets.cooler import CoolerSheet
from coldbench.sheets.crosscheck import cross_faults
from coldbench.sheets.faults import refused
from coldbench.sheets.run import RunSheet
from coldbench.sheets.syntax import syntax_fault
from coldbench.sheets.types import Sheet

CAMPAIGN = "campaign.toml"
ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*")
LARGEST_SHEET = 2_000_000  # bytes
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
    lines : dict
        Lines of the keys of each sheet.
    """

    folder: Path
    sheet: CampaignSheet
    coolers: dict[str, CoolerSheet]
    runs: dict[str, RunSheet]
    lines: dict[str, dict[toml_lines.Path, int]] = field(repr=False, default_factory=dict)

    @property
    def tz(self) -> ZoneInfo:
        """Time zone of all times without an own one."""
        return clock.zone(self.sheet.timezone)

    def seconds(self, when: dt.datetime) -> float:
        """POSIX seconds of a time in a sheet. [s]"""
        return clock.seconds(when, self.tz)

    def where(self, file: str, *path: str | int) -> str:
        """File and line of a key: ``campaign.where("runs/x.toml", "log", 0, "file")``."""
        return toml_lines.place(self.lines, file, path)


@dataclass
class Draft:
    """What could be read so far; the ids are those of all files, readable or not."""

    folder: Path
    sheet: CampaignSheet | None = None
    coolers: dict[str, CoolerSheet] = field(default_factory=dict)
    runs: dict[str, RunSheet] = field(default_factory=dict)
    lines: dict[str, dict[toml_lines.Path, int]] = field(default_factory=dict)
    cooler_ids: set[str] = field(default_factory=set)
    run_ids: set[str] = field(default_factory=set)
    faults: list[Fault] = field(default_factory=list)

    def where(self, file: str, *path: str | int) -> str:
        """File and line of a key."""
        return toml_lines.place(self.lines, file, path)


def read_campaign(folder: Path) -> Campaign:
    """Read all sheets of a campaign.

    Parameters
    ----------
    folder : Path
        The campaign: ``campaign.toml``, ``coolers/``, ``runs/``. Nothing in it is changed.

    Returns
    -------
    Campaign

    Raises
    ------
    UserError
        Every fault of every sheet, in order of file and line.
    """
    folder = Path(folder)
    draft = Draft(folder)
    if not folder.is_dir():
        raise UserError(Fault("there is no such campaign folder", found=str(folder),
                              do=f"coldbench new {folder}"))
    if not (folder / CAMPAIGN).is_file():
        raise UserError(Fault(f"the folder has no {CAMPAIGN}", found=str(folder),
                              do="name the folder it lies in, or start one: coldbench new DIR"))
    draft.sheet = _read(draft, CAMPAIGN, CampaignSheet)
    for cooler, file in _sheets(draft, "coolers"):
        draft.cooler_ids.add(cooler)
        if (sheet := _read(draft, file, CoolerSheet)) is not None:
            draft.coolers[cooler] = sheet
    for run, file in _sheets(draft, "runs"):
        draft.run_ids.add(run)
        if (sheet := _read(draft, file, RunSheet)) is not None:
            draft.runs[run] = sheet
    # An unknown instrument is met at each of its columns; once is enough.
    faults = list(dict.fromkeys([*draft.faults, *cross_faults(draft)]))
    if faults or draft.sheet is None:
        raise UserError(sorted(faults, key=_place))
    coolers = _ordered(draft.coolers, draft.sheet.order)
    return Campaign(folder, draft.sheet, coolers, _by_cooler(draft.runs, coolers), draft.lines)


def _sheets(draft: Draft, kind: str) -> Iterable[tuple[str, str]]:
    """Ids and files of one folder of sheets."""
    paths = sorted(p for p in (draft.folder / kind).glob("*.toml") if not p.name.startswith("."))
    if not paths:
        draft.faults.append(Fault(f"the campaign has no {kind}", f"{kind}/",
                                  do=f"write a sheet for each: {kind}/ID.toml"))
    for path in paths:
        file = f"{kind}/{path.name}"
        if not ID.fullmatch(path.stem):
            draft.faults.append(Fault(
                "the file's name is the id, and has to be safe in every file name", file,
                found=path.stem, allowed="letters A to Z, digits, - and _, no spaces",
                do=f"rename it: {_safe(path.stem)}.toml",
            ))
        yield path.stem, file


def _safe(stem: str) -> str:
    return re.sub("[^A-Za-z0-9_-]+", "-", stem).strip("-_") or "one"


def _read(draft: Draft, file: str, model: type[AnySheet]) -> AnySheet | None:
    """One sheet, or None with its faults noted."""
    text = _text(draft, file)
    if text is None:
        return None
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        draft.faults.append(syntax_fault(file, text, error))
        return None
    draft.lines[file] = toml_lines.key_lines(text)
    try:
        return model.model_validate(table)
    except ValidationError as error:
        draft.faults += refused(model, error, file, draft.lines[file])
        return None


def _text(draft: Draft, file: str) -> str | None:
    path = draft.folder / file
    try:
        size = path.stat().st_size
        raw = path.read_bytes() if size <= LARGEST_SHEET else b""
    except OSError as error:
        draft.faults.append(Fault("the sheet cannot be opened", file, found=error.strerror or ""))
        return None
    if size > LARGEST_SHEET:
        draft.faults.append(Fault("this is too large for a sheet", file, found=f"{size} bytes",
                                  allowed=f"{LARGEST_SHEET} bytes", do="keep data in logs/"))
        return None
    try:
        # Some Windows editors put a byte order mark in front.
        return raw.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        draft.faults.append(Fault(
            "the sheet is not UTF-8 text", f"{file}:{line}", found=f"byte {raw[error.start]:#04x}",
            do="save it as UTF-8 in the editor; ° and ± are written so",
        ))
        return None


def _place(fault: Fault) -> tuple[int, str, int]:
    file, _, line = fault.where.partition(":")
    return (file != CAMPAIGN, file, int(line) if line.isdigit() else 0)


def _ordered(sheets: dict[str, CoolerSheet], order: list[str]) -> dict[str, CoolerSheet]:
    named = dict.fromkeys([*order, *sheets])
    return {cooler: sheets[cooler] for cooler in named}


def _by_cooler(runs: dict[str, RunSheet], coolers: Iterable[str]) -> dict[str, RunSheet]:
    place = {cooler: i for i, cooler in enumerate(coolers)}
    return dict(sorted(runs.items(), key=lambda item: (place[item[1].cooler], item[0])))

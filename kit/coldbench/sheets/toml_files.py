"""The sheets of a campaign folder as TOML files."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path

from coldbench.errors import Fault
from coldbench.sheets.raw import ID, Raw, safe
from coldbench.sheets.syntax import syntax_fault
from coldbench.sheets.toml_lines import key_lines

CAMPAIGN = "campaign.toml"
LARGEST_SHEET = 2_000_000  # bytes


def toml_sheets(folder: Path) -> Raw:
    """Read ``campaign.toml``, ``coolers/ID.toml`` and ``runs/ID.toml``.

    Parameters
    ----------
    folder : Path
        The campaign.

    Returns
    -------
    Raw
        With a fault for each sheet that is no TOML, and for each name that is no id.
    """
    raw = Raw(CAMPAIGN)
    for file in [CAMPAIGN, *_sheets(raw, folder, "coolers"), *_sheets(raw, folder, "runs")]:
        raw.tables[file] = _table(raw, folder, file)
    return raw


def _sheets(raw: Raw, folder: Path, kind: str) -> Iterator[str]:
    """Files of one folder of sheets."""
    paths = sorted(p for p in (folder / kind).glob("*.toml") if not p.name.startswith("."))
    if not paths:
        raw.faults.append(Fault(f"the campaign has no {kind}", f"{kind}/",
                                do=f"write a sheet for each: {kind}/ID.toml"))
    for path in paths:
        file = f"{kind}/{path.name}"
        if not ID.fullmatch(path.stem):
            raw.faults.append(Fault(
                "the file's name is the id, and has to be safe in every file name", file,
                found=path.stem, allowed="letters A to Z, digits, - and _, no spaces",
                do=f"rename it: {safe(path.stem)}.toml",
            ))
        yield file


def _table(raw: Raw, folder: Path, file: str) -> dict | None:
    text = _text(raw, folder, file)
    if text is None:
        return None
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raw.faults.append(syntax_fault(file, text, error))
        return None
    lines = key_lines(text)
    raw.places[file] = {(): f"{file}:1"} | {path: f"{file}:{n}" for path, n in lines.items()}
    return table


def _text(raw: Raw, folder: Path, file: str) -> str | None:
    path = folder / file
    try:
        size = path.stat().st_size
        data = path.read_bytes() if size <= LARGEST_SHEET else b""
    except OSError as error:
        raw.faults.append(Fault("the sheet cannot be opened", file, found=error.strerror or ""))
        return None
    if size > LARGEST_SHEET:
        raw.faults.append(Fault("this is too large for a sheet", file, found=f"{size} bytes",
                                allowed=f"{LARGEST_SHEET} bytes", do="keep data in logs/"))
        return None
    try:
        # Some Windows editors put a byte order mark in front.
        return data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raw.faults.append(Fault(
            "the sheet is not UTF-8 text", f"{file}:{line}",
            found=f"byte {data[error.start]:#04x}",
            do="save it as UTF-8 in the editor; ° and ± are written so",
        ))
        return None

"""Data sheets filled in by hand: one page a run, on paper and in a workbook to type it into."""

from __future__ import annotations

from pathlib import Path

SUFFIXES = (".xlsx", ".ods")


def books_in(folder: Path) -> list[Path]:
    """Workbooks of typed data sheets in a campaign's ``runs/``.

    Parameters
    ----------
    folder : Path
        The campaign. What a spreadsheet program keeps beside an open workbook is none.
    """
    return sorted(path for path in (folder / "runs").glob("*")
                  if path.suffix.lower() in SUFFIXES and not path.name.startswith((".", "~$")))

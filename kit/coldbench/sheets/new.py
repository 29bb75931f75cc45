"""Start a campaign: a folder with commented blank sheets or a workbook, or a copy of the demo."""

from __future__ import annotations

import shutil
from pathlib import Path

from coldbench import shipped
from coldbench.errors import Fault, UserError


def new_campaign(folder: Path, demo: bool = False, workbook: bool = False) -> Path:
    """Write a campaign to start from.

    Parameters
    ----------
    folder : Path
        Made; it may exist if it is empty.
    demo : bool
        A copy of the demo to play with, instead of blank sheets.
    workbook : bool
        All sheets as pages of one workbook, ``campaign.xlsx``, instead of files of text.

    Returns
    -------
    Path
        The folder.

    Raises
    ------
    UserError
        The folder holds something, or cannot be made.
    """
    folder = Path(folder)
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise UserError(Fault("there is something in that place already", found=str(folder),
                              do="name a folder that does not exist yet, or an empty one"))
    try:
        (_workbook if workbook else _texts)(folder, demo)
    except (OSError, shutil.Error) as error:
        raise UserError(Fault("the folder cannot be written", found=f"{folder}: {error}",
                              do="name a place in which you may write")) from None
    return folder


def _texts(folder: Path, demo: bool) -> None:
    templates = shipped("templates")
    source = templates / ("campaign-demo" if demo else "campaign-blank")
    shutil.copytree(source, folder, dirs_exist_ok=True, ignore=_results)
    # Beside the sheets, so that an editor finds them without a network.
    shutil.copytree(templates / "schemas", folder / "schemas", dirs_exist_ok=True)


def _workbook(folder: Path, demo: bool) -> None:
    from coldbench.sheets.reading import read_campaign
    from coldbench.sheets.workbook.writing import workbook_from, write_workbook

    source = shipped("templates") / ("campaign-demo" if demo else "campaign-workbook")
    shutil.copytree(source / "logs", folder / "logs", dirs_exist_ok=True)
    if demo:
        workbook_from(read_campaign(source), folder / "campaign.xlsx")
    else:
        write_workbook(folder / "campaign.xlsx")


def _results(folder: str, names: list[str]) -> list[str]:
    return [name for name in names if name in ("out", "design")]

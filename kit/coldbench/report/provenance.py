"""Where a report comes from: checksums of what went in, versions, and every setting.

Nothing of the machine or of the clock is written, so that the same input gives the same file.
"""

from __future__ import annotations

import hashlib
import json
import platform
import sys
from collections.abc import Sequence
from dataclasses import fields
from importlib import metadata
from pathlib import Path

from coldbench import __version__, draws
from coldbench.analysis.limits import LIMITS, Limits
from coldbench.design.limits import DESIGN, DesignLimits
from coldbench.errors import Fault, UserError
from coldbench.logs.limits import QUALITY, QualityLimits
from coldbench.sheets import Campaign
from coldbench.sheets.patterns import files_of

PROVENANCE = "provenance.json"
LIBRARIES = (
    "numpy", "pandas", "pyarrow", "python-calamine", "scipy", "matplotlib", "pint", "pydantic",
    "papermill", "nbconvert", "ipykernel", "typst",
)


def provenance(
    campaign: Campaign, formats: Sequence[str] = (), paper: str = "", units: str = "",
    verb: str = "report",
) -> dict:
    """Inputs, versions and settings, ready to be printed or stored.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.
    formats : sequence of str
        Formats asked for.
    paper : str
        Paper asked for.
    units : str
        Units asked for.
    verb : str
        What makes it again.

    Returns
    -------
    dict
        ``inputs`` (file, sha256, bytes), ``versions``, ``settings``, ``again`` and ``date``.

    Raises
    ------
    UserError
        An input is gone or cannot be read.
    """
    return {
        "title": campaign.sheet.title,
        "date": str(campaign.sheet.date or ""),
        "inputs": [_input(campaign.folder, name) for name in _inputs(campaign)],
        "versions": versions(),
        "settings": {
            "limits": {
                name: {"value": value, "default": is_default(limits, name)}
                for limits in (LIMITS, QUALITY, DESIGN) for name, value in vars(limits).items()
            },
            "draws": {"seed": draws.SEED, "count": draws.DRAWS, "percent": [draws.LOW, draws.HIGH]},
            "report": {"formats": list(formats), "paper": paper, "units": units or "si"},
        },
        "again": _again(verb, campaign.folder.resolve().name, formats, paper, units),
    }


def write_provenance(
    out: Path, campaign: Campaign, formats: Sequence[str] = (), paper: str = "", units: str = "",
    verb: str = "report",
) -> Path:
    """Write ``provenance.json``.

    Parameters
    ----------
    out : Path
        Folder to write to.
    campaign, formats, paper, units, verb
        As for :func:`provenance`.
    """
    found = provenance(campaign, formats, paper, units, verb)
    told = json.dumps(found, indent=1, ensure_ascii=False)
    file = out / PROVENANCE
    file.write_text(told + "\n", encoding="utf-8", newline="\n")
    return file


def is_default(limits: Limits | QualityLimits | DesignLimits, name: str) -> bool:
    """Whether a limit or assumption stands as the kit ships it.

    Parameters
    ----------
    limits : Limits, QualityLimits or DesignLimits
        Limits in use.
    name : str
        One of their fields.

    Examples
    --------
    >>> is_default(Limits(), "sky_years"), is_default(Limits(sky_years=5), "sky_years")
    (True, False)
    """
    shipped = {field.name: field.default for field in fields(limits)}
    return getattr(limits, name) == shipped[name]


def versions() -> dict[str, str]:
    """Versions of the kit, of Python and of the libraries that may move a number or a page."""
    found = {"coldbench": __version__, "python": platform.python_version()}
    found |= {name: metadata.version(name) for name in LIBRARIES}
    return found | {"system": sys.platform}


def _inputs(campaign: Campaign) -> list[str]:
    """Files relative to the campaign: sheets, logs that runs name, earlier findings, the photo."""
    folder = campaign.folder
    names = set(campaign.raw.files)
    names |= {Path(name).as_posix() for run in campaign.runs.values() for log in run.log
              for name in files_of(folder, log.file)}
    names |= {earlier.findings for earlier in campaign.sheet.earlier}
    told = campaign.sheet.disclosure
    names |= {told.photo.file} if told and told.photo else set()
    return sorted(names)


def _input(folder: Path, name: str) -> dict[str, object]:
    try:
        with (folder / name).open("rb") as file:
            digest = hashlib.file_digest(file, "sha256").hexdigest()
            return {"file": name, "sha256": digest, "bytes": file.tell()}
    except OSError as error:
        raise UserError(Fault(f"cannot be read: {error.strerror}", name)) from error


def _again(
    verb: str, folder: str, formats: Sequence[str], paper: str, units: str = ""
) -> str:
    command = ["coldbench", verb, f'"{folder}"' if " " in folder else folder]
    if formats and set(formats) != {"html", "pdf"}:
        command += ["--formats", ",".join(formats)]
    if paper and paper != "a4":
        command += ["--paper", paper]
    if units and units != "si":
        command += ["--units", units]
    return " ".join(command)

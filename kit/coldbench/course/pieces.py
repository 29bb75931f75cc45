"""A class in pieces: a notebook for each group and card, and one closing process a group.

What a piece rests on has a checksum, so that a second run does only what failed or changed.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

from coldbench import shipped
from coldbench.course.answers import FILE as ANSWERS
from coldbench.course.marking import FACTS, Marking
from coldbench.course.parameters import FILE as PARAMETERS
from coldbench.course.roster import Group, Roster
from coldbench.errors import Fault
from coldbench.report.job import Job, Runnable
from coldbench.report.provenance import versions

CLOSING = "closing"  # the piece that no card has
RESULTS = "out"  # of a group's own reports; not what a piece rests on
PASSING = (".", "~$")  # begins of names of files that programs leave while they are open


@dataclass(frozen=True)
class Settings:
    """How pages are made: formats, paper, units."""

    formats: tuple[str, ...] = ("html", "pdf")
    paper: str = "a4"
    units: str = "si"


@dataclass(frozen=True)
class Piece:
    """One piece of a class.

    Parameters
    ----------
    group : Group
        Whose it is.
    card : str
        Name of a card, or ``CLOSING``.
    job : Job or Marking
        What a process is given.
    made : Path
        Folder that takes the results, and nothing else.
    stamp : str
        Checksum of all it rests on.
    """

    group: Group
    card: str
    job: Runnable
    made: Path
    stamp: str


def pieces(
    roster: Roster, group: Group, files: Mapping[str, str], made: Path, how: Settings
) -> Iterator[Piece]:
    """Pieces of one group, whether or not they have to be done.

    Parameters
    ----------
    roster : Roster
        The class.
    group : Group
        One of its groups, whose folder is there.
    files : mapping of str to str
        Checksums of the folder's files.
    made : Path
        Folder of the run; each piece gets one of its own in it.
    how : Settings
        Of the pages.
    """
    for card in roster.cards:
        notebook = shipped("notebooks") / "labs" / f"{card}.ipynb"
        place = made / f"{group.id}-{card}"
        stamp = _stamp(files, how, card, notebook.read_bytes())
        yield Piece(group, card, _notebook_job(group, card, notebook, place, how), place, stamp)
    place = made / f"{group.id}-{CLOSING}"
    job = Marking(place.name, str(group.folder), group.id, list(roster.cards), str(place),
                  list(how.formats), how.paper)
    yield Piece(group, CLOSING, job, place, _stamp(files, how, *roster.cards))


def checksums(folder: Path) -> dict[str, str]:
    """SHA-256 of each file of a group's folder, by its place in it; results do not count."""
    found = {}
    for path in sorted(folder.rglob("*")):
        parts = path.relative_to(folder).parts
        if path.is_file() and parts[0] != RESULTS and not any(p.startswith(PASSING) for p in parts):
            with path.open("rb") as file:
                digest = hashlib.file_digest(file, "sha256").hexdigest()
            found["/".join(parts)] = digest
    return found


def missing(roster: Roster, group: Group) -> Fault | None:
    """What a group's folder lacks before anything can be run."""
    again = f"coldbench class {roster.file.name} --hand-out"
    if not group.folder.is_dir():
        return Fault("the group has no folder", group.id, do=again)
    if not (group.folder / ANSWERS).is_file():
        return Fault(f"the group's {ANSWERS} is missing", group.id, do=again)
    if not (group.folder / PARAMETERS).is_file():
        return Fault(f"the group's {PARAMETERS} is missing", group.id, do=again)
    return None


def _stamp(files: Mapping[str, str], how: Settings, *more: str | bytes) -> str:
    rest = [one if isinstance(one, str) else hashlib.sha256(one).hexdigest() for one in more]
    told = json.dumps([dict(files), versions(), asdict(how), rest], sort_keys=True)
    return hashlib.sha256(told.encode()).hexdigest()


def _notebook_job(
    group: Group, card: str, notebook: Path, place: Path, how: Settings
) -> Job:
    given = {"answers": "", "group": group.id, "paper": how.paper, "units": how.units}
    return Job(
        name=place.name,
        notebook=str(notebook),
        parameters={"campaign": str(group.folder), "out": str(place), **given},
        shown={"campaign": group.id, "out": "", **given},
        kept=str(place / "notebooks" / f"{card}.ipynb"),
        paper=how.paper,
        folders={str(group.folder): group.id, str(place): "out"},
        **{end: str(place / f"{card}.{end}") for end in how.formats},
    )


def outputs(card: str, how: Settings) -> Sequence[str]:
    """Files that a piece leaves for certain, in the group's results."""
    return [FACTS] if card == CLOSING else [f"{card}.{end}" for end in how.formats]

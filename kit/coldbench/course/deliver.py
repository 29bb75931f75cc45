"""A group's results go home whole: into ``groups/ID``, and its key into a folder of its own."""

from __future__ import annotations

import json
import shutil
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path

from coldbench.course.marking import FACTS, KEY
from coldbench.course.pieces import CLOSING, Piece, Settings, outputs
from coldbench.course.roster import Group, Roster
from coldbench.errors import Fault, UserError
from coldbench.report.provenance import PROVENANCE, versions
from coldbench.report.swap import refuse_foreign, swapped_in

GROUPS = "groups"


@dataclass(frozen=True)
class Result:
    """What became of a piece: ``kind`` as in ``Outcome``, why it failed, what it left.

    ``stamp`` is the checksum of all it rests on, ``files`` are relative to the group's results.
    """

    kind: str
    reason: str = ""
    stamp: str = ""
    files: tuple[str, ...] = ()


@dataclass(frozen=True)
class Places:
    """Folders of a class: what students may see, and what they may not.

    Parameters
    ----------
    out : Path
        Reports of the groups and of the class.
    key : Path
        What is expected. Neither folder lies in the other.
    """

    out: Path
    key: Path

    def of(self, group: Group) -> Path:
        """Where a group's results are."""
        return self.out / GROUPS / group.id

    def key_of(self, group: Group) -> Path:
        """Where a group's key is."""
        return self.key / GROUPS / group.id


@dataclass
class Desk:
    """What is known of a class while it runs: results by group id and card."""

    places: Places
    how: Settings
    results: dict[str, dict[str, Result]] = field(default_factory=dict)


def claim(places: Places, roster: Roster) -> None:
    """Make the two folders, or refuse them.

    Parameters
    ----------
    places : Places
        The folders.
    roster : Roster
        The class.

    Raises
    ------
    UserError
        One lies in the other, the key in the folder of a group, or one of them holds things that
        the kit did not write.
    """
    out, key = places.out, places.key
    for group in roster.groups:
        if (home := group.folder.resolve()) == key or home in key.parents:
            raise UserError(Fault("the key must not lie in a group's folder", str(key),
                                  found=f"group {group.id}", do="name another folder with --key"))
    if out == key or out in key.parents or key in out.parents:
        raise UserError(Fault("the key and what students see must lie apart", str(key),
                              found=f"results go to {out}", do="name another folder with --key"))
    for folder in (out, key):
        refuse_foreign(folder, roster.folder)
        try:
            folder.mkdir(parents=True, exist_ok=True)
            # At once: a run that is cut off leaves a folder that the next one knows again.
            if not (folder / PROVENANCE).exists():
                write_json(folder / PROVENANCE, {"versions": versions()})
        except OSError as error:
            what = f"cannot be written: {error.strerror}"
            raise UserError(Fault(what, str(folder), do="name another folder")) from error


def earlier(desk: Desk, group: Group) -> dict[str, Result]:
    """Results of the last run that are still there, by card."""
    folder = desk.places.of(group)
    try:
        told = json.loads((folder / PROVENANCE).read_text(encoding="utf-8"))
        found = {card: Result(**{**one, "files": tuple(one["files"])})
                 for card, one in told["pieces"].items()}
    except (OSError, ValueError, KeyError, TypeError):
        return {}
    key_there = (desk.places.key_of(group) / PROVENANCE).is_file()
    return {
        card: one for card, one in found.items()
        if one.kind == "done" and (card != CLOSING or key_there)
        and all((folder / name).is_file() for name in (*one.files, *outputs(card, desk.how)))
    }


def deliver(
    desk: Desk, group: Group, kept: Sequence[str], done: Mapping[str, Piece],
    inputs: Mapping[str, str],
) -> None:
    """Put the results of a group in their places; what failed leaves nothing there.

    Parameters
    ----------
    desk : Desk
        Results of the group's pieces are noted in it; their files are added.
    group : Group
        Whose.
    kept : sequence of str
        Cards whose results of the last run stand.
    done : mapping of str to Piece
        Pieces that came to their end in this run, by card.
    inputs : mapping of str to str
        Checksums of the group's files.
    """
    results = desk.results[group.id]
    home = desk.places.of(group)
    with swapped_in(home, group.folder) as side:
        for card in kept:
            for name in results[card].files:
                (side / name).parent.mkdir(parents=True, exist_ok=True)
                shutil.copy2(home / name, side / name)
        for card, piece in done.items():
            files = _brought(piece.made, side)
            results[card] = Result("done", "", piece.stamp, files)
        write_json(side / PROVENANCE, {
            "group": group.id, "inputs": dict(inputs), "versions": versions(),
            "settings": asdict(desk.how),
            "pieces": {card: asdict(one) for card, one in results.items()},
        })
    if CLOSING in done:
        with swapped_in(desk.places.key_of(group), group.folder) as side:
            shutil.copytree(done[CLOSING].made / KEY, side, dirs_exist_ok=True)
            write_json(side / PROVENANCE, {"group": group.id, "versions": versions()})
    elif CLOSING not in kept:
        shutil.rmtree(desk.places.key_of(group), ignore_errors=True)


def _brought(made: Path, side: Path) -> tuple[str, ...]:
    """Copy what a piece made for students; the key goes another way."""
    names = []
    for path in sorted(p for p in made.rglob("*") if p.is_file()):
        name = path.relative_to(made)
        if name.parts[0] != KEY:
            (side / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(path, side / name)
            names.append(name.as_posix())
    return tuple(names)


def facts_of(places: Places, group: Group) -> dict:
    """A group's ``facts.json``, or nothing where it has none."""
    file = places.of(group) / FACTS
    return json.loads(file.read_text(encoding="utf-8")) if file.is_file() else {}


def write_json(file: Path, told: object) -> None:
    """Write a file whole or not at all."""
    fresh = file.with_name(f"{file.name}.new")
    text = json.dumps(told, indent=1, ensure_ascii=False)
    fresh.write_text(text + "\n", encoding="utf-8", newline="\n")
    fresh.replace(file)

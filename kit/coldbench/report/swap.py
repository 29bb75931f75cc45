"""The folder ``out/`` is swapped in whole: it is either the last good report or the new one."""

from __future__ import annotations

import secrets
import shutil
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from coldbench.errors import Fault, UserError

PROOF = "provenance.json"  # a folder that holds it was written by the kit
LEFT_BEHIND = 3600.0  # a side folder untouched for so long belongs to no run any more [s]
PATIENCE = (0.1, 0.2, 0.4, 0.8, 1.6)  # Windows: a virus scanner lets go of a new file after [s]


@contextmanager
def swapped_in(out: Path, campaign: Path) -> Iterator[Path]:
    """A folder beside ``out`` to write to, which takes its place if all goes well.

    Parameters
    ----------
    out : Path
        Where the results shall be. Replaced only if the kit wrote it.
    campaign : Path
        Folder of the campaign, which must not lie inside.

    Yields
    ------
    Path
        The side folder, new and empty.

    Raises
    ------
    UserError
        ``out`` holds things that are not the kit's, cannot be written, or is in use.
    """
    out = out.resolve()
    refuse_foreign(out, campaign.resolve())
    try:
        out.parent.mkdir(parents=True, exist_ok=True)
        _clear_up(out)
        side = out.with_name(f".{out.name}-{secrets.token_hex(4)}")
        side.mkdir()
    except OSError as error:
        what = f"cannot write beside this folder: {error.strerror}"
        raise UserError(Fault(what, str(out), do="name another folder with --out")) from error
    try:
        yield side
        _take_place(side, out)
    finally:
        shutil.rmtree(side, ignore_errors=True)


def refuse_foreign(out: Path, campaign: Path) -> None:
    """Refuse a folder for results that holds other things, or the campaign itself.

    Parameters
    ----------
    out, campaign : Path
        Both resolved.

    Raises
    ------
    UserError
        What is in the way.
    """
    other = "name another folder with --out, or move what is in it"
    if out.exists() and not out.is_dir():
        raise UserError(Fault("is a file, not a folder", str(out), do=other))
    if out == campaign or out in campaign.parents:
        raise UserError(Fault("the campaign itself lies in this folder", str(out), do=other))
    if out.is_dir() and not (out / PROOF).is_file() and any(out.iterdir()):
        what = "this folder holds things that coldbench did not write; nothing in it was touched"
        raise UserError(Fault(what, str(out), found=f"no {PROOF}", do=other))


def _clear_up(out: Path) -> None:
    """Mend what a run that was cut off has left."""
    old = _old(out)
    if old.exists() and not (out / PROOF).is_file():
        if out.exists():
            out.rmdir()  # empty, or it would have been refused
        _move(old, out)
    shutil.rmtree(old, ignore_errors=True)
    for side in out.parent.glob(f".{_glob_literal(out.name)}-????????"):
        if time.time() - _last_touched(side) > LEFT_BEHIND:
            shutil.rmtree(side, ignore_errors=True)


def _take_place(side: Path, out: Path) -> None:
    old = _old(out)
    try:
        if out.exists():
            _move(out, old)
        try:
            _move(side, out)
        except BaseException:  # an interrupt too must not leave the user with nothing
            if old.exists() and not out.exists():
                _move(old, out)
            raise
    except OSError as error:
        what = f"cannot be replaced: {error.strerror}; the last results are as they were"
        do = "close the report where it is open, then report again"
        raise UserError(Fault(what, str(out), do=do)) from error
    shutil.rmtree(old, ignore_errors=True)


def _move(source: Path, target: Path) -> None:
    for seconds in PATIENCE:
        try:
            source.rename(target)
            return
        except PermissionError:
            time.sleep(seconds)
    source.rename(target)


def _old(out: Path) -> Path:
    return out.with_name(f".{out.name}-old")


def _glob_literal(name: str) -> str:
    return "".join(f"[{sign}]" if sign in "*?[" else sign for sign in name)


def _last_touched(folder: Path) -> float:
    return max(path.lstat().st_mtime for path in (folder, *folder.rglob("*")))

"""The executed notebook as it is kept: nothing in it tells of the machine or of the clock."""

from __future__ import annotations

import json
import re
import sys
import tempfile
from collections.abc import Mapping
from pathlib import Path

INJECTED = "injected-parameters"  # papermill's tag
OF_THE_RUN = ("papermill", "execution")  # metadata with times and folders


def clean(notebook: dict, shown: Mapping[str, str], folders: Mapping[str, str]) -> None:
    """Take this machine's folders and times out of an executed notebook, in place.

    Parameters
    ----------
    notebook : NotebookNode
        As executed by papermill.
    shown : mapping of str to str
        What the injected cell says instead of the parameters as they were given.
    folders : mapping of str to str
        Absolute folders and what is written for them wherever an output names one.
    """
    _drop_run(notebook)
    rename = _renaming({**_own_folders(), **folders})
    for cell in notebook["cells"]:
        _drop_run(cell)
        if INJECTED in cell["metadata"].get("tags", ()):
            lines = [f"{n} = {json.dumps(v, ensure_ascii=False)}" for n, v in shown.items()]
            cell["source"] = "\n".join(["# Parameters", *lines])
            cell["id"] = INJECTED
        if "outputs" in cell:
            cell["outputs"] = [_renamed(output, rename) for output in cell["outputs"]]


def _drop_run(holder: dict) -> None:
    for name in OF_THE_RUN:
        holder["metadata"].pop(name, None)


def _own_folders() -> dict[str, str]:
    # Warnings and tracebacks name the files of modules.
    package = Path(__file__).resolve().parents[1]
    python = dict.fromkeys((sys.prefix, sys.base_prefix), "python")
    places = {Path.home(): "~", Path.cwd(): ".", Path(tempfile.gettempdir()): "temp"}
    return python | {str(place): name for place, name in (places | {package: "coldbench"}).items()}


def _renaming(folders: Mapping[str, str]) -> list[tuple[re.Pattern, str]]:
    """Patterns, inner folders first; neither "</td>" nor "/data2" is the folder "/data"."""
    found = []
    real = [folder for folder in folders if Path(folder) != Path(Path(folder).anchor)]
    for folder in sorted(real, key=len, reverse=True):
        forms = {folder, folder.replace("\\", "\\\\"), folder.replace("\\", "/")}
        either = "|".join(re.escape(form) for form in sorted(forms, key=len, reverse=True))
        found.append((re.compile(rf"(?<![\w<])(?:{either})(?!\w)"), folders[folder]))
    return found


def _renamed(thing: object, rename: list[tuple[re.Pattern, str]]) -> object:
    if isinstance(thing, str):
        for pattern, name in rename:
            thing = pattern.sub(lambda _, name=name: name, thing)
        return thing
    if isinstance(thing, dict):
        changed = {key: _renamed(value, rename) for key, value in thing.items()}
        return type(thing)(changed)
    if isinstance(thing, list):
        return [_renamed(value, rename) for value in thing]
    return thing

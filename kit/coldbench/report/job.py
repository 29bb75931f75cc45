"""What is handed to the process that runs one notebook, and what it hands back."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any, ClassVar, Literal, Protocol

JOB, OUTCOME, EXECUTED, ERRORS = "job.json", "outcome.json", "executed.ipynb", "stderr.txt"


class Runnable(Protocol):
    """A dataclass that a process of its own can be given.

    ``child`` is the module that the process runs, ``python -m CHILD FOLDER``; ``name`` is what
    the user sees.
    """

    child: ClassVar[str]
    name: str


@dataclass(frozen=True)
class Job:
    """One notebook to run and export.

    Parameters
    ----------
    name : str
        What the user sees in the progress; also the name of the kept copy.
    notebook : str
        The notebook, absolute.
    parameters : dict of str to str
        What its tagged cell is given.
    shown : dict of str to str
        What the kept copy says instead: no folder of this machine.
    kept : str
        Where the executed copy goes.
    html, pdf : str
        Where the reports go; empty where none is wanted.
    paper : str
        ``a4`` or ``letter``.
    proof : str
        File that the notebook's last cell writes, or empty. A notebook that leaves early ends
        without an error; only this file proves that it came to its end.
    folders : dict of str to str
        Folders of this machine and what is written for them in outputs.
    """

    child: ClassVar[str] = "coldbench.report.child"

    name: str
    notebook: str
    parameters: dict[str, str]
    kept: str
    shown: dict[str, str] = field(default_factory=dict)
    html: str = ""
    pdf: str = ""
    paper: str = "a4"
    proof: str = ""
    folders: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Outcome:
    """How it went: ``done``, a mistake of the ``user``, or a fault of ``ours``."""

    kind: Literal["done", "user", "ours"]
    message: str = ""


def store(thing: Runnable | Outcome, file: Path) -> None:
    """Write a job or an outcome for the other process."""
    file.write_text(json.dumps(asdict(thing)), encoding="utf-8", newline="\n")


def load(kind: type, file: Path) -> Any:
    """Read what the other process wrote."""
    return kind(**json.loads(file.read_text(encoding="utf-8")))

"""The process that closes a group: facts for the class, marks for whoever teaches.

``python -m coldbench.course.marking FOLDER``; the folder holds the job and takes the outcome. A
student's notebook is never in the same process: what is expected exists here only.
"""

from __future__ import annotations

import json
import sys
import traceback
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from coldbench.errors import UserError, gathered
from coldbench.report.job import JOB, OUTCOME, Outcome, load, store

if TYPE_CHECKING:
    from coldbench.course.work import Work

FACTS, KEY = "facts.json", "key"


@dataclass(frozen=True)
class Marking:
    """One group to be closed.

    Parameters
    ----------
    name : str
        What the user sees in the progress.
    campaign : str
        The group's folder.
    group : str
        Its id.
    cards : list of str
        Names of its cards.
    made : str
        Folder that takes ``facts.json`` and ``key/``.
    formats : list of str
        Of the key's pages.
    paper : str
        Of the key's pages.
    """

    child: ClassVar[str] = "coldbench.course.marking"

    name: str
    campaign: str
    group: str
    cards: list[str]
    made: str
    formats: list[str] = field(default_factory=list)
    paper: str = "a4"


def main(folder: Path) -> None:
    """Close the group of a folder's job and leave the outcome there."""
    # See cli.main: without it each process compiles grammars for a second.
    sys.modules.setdefault("rfc3987_syntax", None)
    try:
        outcome = close(load(Marking, folder / JOB))
    except UserError as mistake:
        outcome = Outcome("user", str(mistake))
    except Exception as error:
        traceback.print_exc()
        outcome = Outcome("ours", f"{type(error).__name__}: {error}")
    store(outcome, folder / OUTCOME)


def close(job: Marking) -> Outcome:
    """Write facts and key of a group.

    Parameters
    ----------
    job : Marking
        The group.

    Raises
    ------
    UserError
        Its folder cannot be read, or none of its cards can be marked.
    """
    from coldbench.course.facts import card_facts, curves
    from coldbench.course.key_pages import write_key

    works = list(_works(job))
    made = Path(job.made)
    told = {"group": job.group, "curves": curves(works),
            "cards": {work.card.name: card_facts(work) for work in works}}
    text = json.dumps(told, ensure_ascii=False, allow_nan=False)
    (made / FACTS).write_text(text + "\n", encoding="utf-8", newline="\n")
    write_key(made / KEY, works, formats=job.formats, paper=job.paper)
    return Outcome("done")


def _works(job: Marking) -> Iterator[Work]:
    """Cards of the group that can be read; its campaign is read and analysed once."""
    from coldbench.course.answers import read_answers
    from coldbench.course.cards import card_named
    from coldbench.course.work import open_card

    work, faults = None, []
    for name in job.cards:
        card = card_named(name)
        with gathered(faults):
            if work is None:
                work = open_card(name, job.campaign, group=job.group, paper=job.paper)
            else:
                work = replace(work, card=card, answers=read_answers(work.path, card))
            yield work
    if work is None:
        raise UserError(dict.fromkeys(faults))


if __name__ == "__main__":
    main(Path(sys.argv[1]))

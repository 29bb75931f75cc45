"""The report of the whole class: pages, summary, and what both are made of."""

from __future__ import annotations

import hashlib
import json
import shutil
from pathlib import Path

from coldbench import shipped
from coldbench.course.deliver import Desk, write_json
from coldbench.course.pieces import Settings
from coldbench.course.roster import Roster
from coldbench.course.summary import CLASS, class_facts, csv_text, summary
from coldbench.errors import Fault, UserError
from coldbench.report.job import Job
from coldbench.report.notebook_params import check_parameters
from coldbench.report.processes import run_jobs
from coldbench.report.progress import Progress
from coldbench.report.provenance import PROVENANCE, versions

REPORT, SUMMARY, OVERLAY = "class", "summary.csv", "class_overlay"


def write_class_report(
    roster: Roster, desk: Desk, work: Path, progress: Progress, bold: str = ""
) -> list[Path]:
    """Write summary and report of a class, unless they stand as they would be.

    Parameters
    ----------
    roster : Roster
        The class.
    desk : Desk
        With the results of all groups.
    work : Path
        Folder of the run.
    progress : Progress
        Told of start and end.
    bold : str
        Id of a group that stands out, or ``""``.

    Returns
    -------
    list of Path
        Summary, then the pages.

    Raises
    ------
    UserError
        What is there cannot be replaced.
    """
    out, how = desk.places.out, desk.how
    facts = class_facts(roster, desk)
    told = json.dumps([facts, versions(), vars(how), roster.seed, bold], sort_keys=True)
    stamp = hashlib.sha256(told.encode()).hexdigest()
    made = [out / SUMMARY, *(out / f"{REPORT}.{end}" for end in how.formats)]
    before = json.loads((out / PROVENANCE).read_text(encoding="utf-8")).get("class")
    if before == stamp and all(path.is_file() for path in made):
        return made
    side = work / REPORT
    side.mkdir()
    text = json.dumps(facts, ensure_ascii=False, allow_nan=False)
    (side / CLASS).write_text(f"{text}\n", encoding="utf-8", newline="\n")
    run_jobs([_job(side, how, bold)], 1, work / "jobs", progress)
    (side / SUMMARY).write_text(csv_text(summary(roster, desk)), encoding="utf-8", newline="\n")
    _take_home(side, out)
    write_json(out / PROVENANCE, {
        "roster": hashlib.sha256(roster.file.read_bytes()).hexdigest(), "class": stamp,
        "versions": versions(), "settings": vars(how),
    })
    return made


def _job(side: Path, how: Settings, bold: str) -> Job:
    notebook = shipped("notebooks") / f"{OVERLAY}.ipynb"
    given = {"bold": bold, "paper": how.paper, "units": how.units}
    job = Job(
        name=OVERLAY,
        notebook=str(notebook),
        parameters={"results": str(side), "out": str(side), **given},
        shown={"results": "out", "out": "", **given},
        kept=str(side / "notebooks" / f"{OVERLAY}.ipynb"),
        paper=how.paper,
        folders={str(side): "out"},
        **{end: str(side / f"{REPORT}.{end}") for end in how.formats},
    )
    check_parameters(notebook, job.parameters)
    return job


def _take_home(side: Path, out: Path) -> None:
    """Put each file and folder in the place of its forerunner."""
    for path in sorted(side.iterdir()):
        home = out / path.name
        try:
            shutil.rmtree(home) if home.is_dir() else home.unlink(missing_ok=True)
            shutil.move(path, home)
        except OSError as error:
            raise UserError(Fault(f"cannot be replaced: {error.strerror}", str(home),
                                  do="close it where it is open, then run the class again"
                                  )) from error

"""From a campaign folder to ``out/``: plan the notebooks, run them, swap the results in."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from coldbench import shipped
from coldbench.errors import UserError
from coldbench.report.checking import understand
from coldbench.report.job import Job
from coldbench.report.notebook_params import check_parameters
from coldbench.report.processes import run_jobs
from coldbench.report.progress import Progress
from coldbench.report.provenance import write_provenance
from coldbench.report.results import CSV, DESIGN, JSON
from coldbench.report.swap import swapped_in
from coldbench.sheets import Campaign

MOST_JOBS = 4
FORMATS = ("html", "pdf")


def report_campaign(
    folder: Path,
    out: Path | None = None,
    formats: Sequence[str] = FORMATS,
    jobs: int | None = None,
    paper: str = "a4",
    units: str = "si",
) -> list[Path]:
    """Write the whole report of a campaign.

    Parameters
    ----------
    folder : Path
        The campaign.
    out : Path, optional
        Where to; by default ``out`` in the campaign. Its former content is replaced, once all
        has gone well.
    formats : sequence of str
        ``html``, ``pdf`` or both.
    jobs : int, optional
        Notebooks run at the same time; by default one a core, at most four.
    paper : str
        ``a4`` or ``letter``.
    units : str
        ``si``, or ``us`` for US customary units beside it; files of data stay SI.

    Returns
    -------
    list of Path
        What was made, the report itself last.

    Raises
    ------
    UserError
        The user's data needs mending, or ``out`` is not the kit's.
    ParameterError, NotebookFailed
        The kit is at fault; of a failed notebook the copy and its messages are kept.
    """
    formats = [name for name in FORMATS if name in formats]
    campaign, _ = understand(folder)
    out = (out or folder / "out").resolve()
    with swapped_in(out, folder) as side:
        _run(plan(campaign, side, formats, paper, units), jobs)
        write_provenance(side, campaign, formats, paper, units)
    sheets = [out / "coolers" / f"{one}.{end}" for one in campaign.coolers for end in formats]
    return [*sheets, out / CSV, *(out / f"report.{end}" for end in formats)]


def design_campaign(
    folder: Path,
    out: Path | None = None,
    formats: Sequence[str] = FORMATS,
    jobs: int | None = None,
    paper: str = "a4",
    units: str = "si",
) -> list[Path]:
    """Write what to build next, after the measurements of a campaign.

    Parameters
    ----------
    folder, formats, jobs, paper, units
        As for :func:`report_campaign`.
    out : Path, optional
        Where to; by default ``design`` in the campaign.

    Returns
    -------
    list of Path
        What was made, the pages last.

    Raises
    ------
    UserError, ParameterError, NotebookFailed
        As for :func:`report_campaign`.
    """
    formats = [name for name in FORMATS if name in formats]
    campaign, _ = understand(folder)
    out = (out or folder / "design").resolve()
    with swapped_in(out, folder) as side:
        _run([design_job(campaign, side, formats, paper, units)], jobs)
        write_provenance(side, campaign, formats, paper, units, verb="design")
    return [out / DESIGN, *(out / f"design.{end}" for end in formats)]


def _run(planned: Sequence[Job], jobs: int | None) -> None:
    for job in planned:
        check_parameters(Path(job.notebook), job.parameters)
    with work_folder() as work, Progress() as progress:
        run_jobs(planned, jobs or cores(), work, progress)


def plan(
    campaign: Campaign, out: Path, formats: Sequence[str], paper: str, units: str = "si"
) -> list[Job]:
    """One job a notebook, the slowest first.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.
    out : Path
        Folder that the notebooks write to.
    formats : sequence of str
        ``html``, ``pdf`` or both.
    paper : str
        ``a4`` or ``letter``.
    units : str
        ``si`` or ``us``.
    """
    of = _Jobs(campaign, out, formats, paper, units)
    return [
        of.job("comparison", "comparison", {}, "report", JSON),
        *(of.job(f"cooler_{one}", "cooler_sheet", {"cooler": one}, f"coolers/{one}")
          for one in campaign.coolers),
        of.job("log_check", "log_check", {}),
    ]


def design_job(
    campaign: Campaign, out: Path, formats: Sequence[str], paper: str, units: str = "si"
) -> Job:
    """The job of the design notebook; arguments as for :func:`plan`."""
    return _Jobs(campaign, out, formats, paper, units).job("design", "design", {}, "design", DESIGN)


@dataclass(frozen=True)
class _Jobs:
    """Jobs of one campaign that write to one folder."""

    campaign: Campaign
    out: Path
    formats: Sequence[str]
    paper: str
    units: str

    def job(
        self, name: str, notebook: str, more: dict[str, str], report: str = "", proof: str = ""
    ) -> Job:
        """One notebook; without a report it is run and kept only, and told no folder."""
        folder = self.campaign.folder.resolve()
        how = {"paper": self.paper, "units": self.units}
        to, nowhere = ({"out": place, **how} if report else {} for place in (str(self.out), ""))
        return Job(
            name=name,
            notebook=str(shipped("notebooks") / f"{notebook}.ipynb"),
            parameters={"campaign": str(folder), **more, **to},
            shown={"campaign": folder.name, **more, **nowhere},
            kept=str(self.out / "notebooks" / f"{name}.ipynb"),
            paper=self.paper,
            proof=str(self.out / proof) if proof else "",
            folders={str(folder): folder.name, str(self.out): "out"},
            **{end: str(self.out / f"{report}.{end}") for end in self.formats if report},
        )


def cores() -> int:
    """Notebooks that are run at the same time unless someone says how many."""
    return min(os.cpu_count() or 1, MOST_JOBS)


@contextmanager
def work_folder() -> Iterator[Path]:
    """Scratch folder; it stays if the kit is at fault, for then it tells why."""
    work = Path(tempfile.mkdtemp(prefix="coldbench-"))
    try:
        yield work
    except (UserError, KeyboardInterrupt):
        shutil.rmtree(work, ignore_errors=True)
        raise
    shutil.rmtree(work, ignore_errors=True)

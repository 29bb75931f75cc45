"""From a campaign folder to ``out/``: plan the notebooks, run them, swap the results in."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from coldbench import shipped
from coldbench.errors import UserError
from coldbench.report.checking import understand
from coldbench.report.job import Job
from coldbench.report.notebook_params import check_parameters
from coldbench.report.processes import run_jobs
from coldbench.report.progress import Progress
from coldbench.report.provenance import write_provenance
from coldbench.report.results import CSV, JSON
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
    out = (out or folder / "out").resolve()
    formats = [name for name in FORMATS if name in formats]
    campaign, _ = understand(folder)
    with swapped_in(out, folder) as side:
        planned = plan(campaign, side, formats, paper, units)
        for job in planned:
            check_parameters(Path(job.notebook), job.parameters)
        with _work_folder() as work, Progress() as progress:
            run_jobs(planned, jobs or _cores(), work, progress)
        write_provenance(side, campaign, formats, paper, units)
    sheets = [out / "coolers" / f"{one}.{end}" for one in campaign.coolers for end in formats]
    return [*sheets, out / CSV, *(out / f"report.{end}" for end in formats)]


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
    notebooks = shipped("notebooks")
    folder = campaign.folder.resolve()
    folders = {str(folder): folder.name, str(out): "out"}
    here, told = {"campaign": str(folder)}, {"campaign": folder.name}
    how = {"paper": paper, "units": units}
    to, nowhere = {"out": str(out), **how}, {"out": "", **how}

    def job(name: str, notebook: str, parameters: dict, shown: dict, report: str, proof="") -> Job:
        files = {end: str(out / f"{report}.{end}") for end in formats if report}
        return Job(
            name=name,
            notebook=str(notebooks / f"{notebook}.ipynb"),
            parameters=parameters,
            shown=shown,
            kept=str(out / "notebooks" / f"{name}.ipynb"),
            paper=paper,
            proof=proof,
            folders=folders,
            **files,
        )

    proof = str(out / JSON)
    return [
        job("comparison", "comparison", here | to, told | nowhere, "report", proof),
        *(
            job(
                f"cooler_{one}", "cooler_sheet", here | {"cooler": one} | to,
                told | {"cooler": one} | nowhere, f"coolers/{one}",
            )
            for one in campaign.coolers
        ),
        job("log_check", "log_check", here, told, ""),
    ]


def _cores() -> int:
    return min(os.cpu_count() or 1, MOST_JOBS)


@contextmanager
def _work_folder() -> Iterator[Path]:
    """Scratch folder; stays if the kit is at fault, for then it tells why."""
    work = Path(tempfile.mkdtemp(prefix="coldbench-"))
    try:
        yield work
    except (UserError, KeyboardInterrupt):
        shutil.rmtree(work, ignore_errors=True)
        raise
    shutil.rmtree(work, ignore_errors=True)

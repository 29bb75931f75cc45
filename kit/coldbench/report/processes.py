"""Notebooks run side by side, each in a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TextIO

from coldbench.errors import Fault, UserError
from coldbench.report.job import ERRORS, JOB, OUTCOME, Outcome, Runnable, load, store
from coldbench.report.progress import Progress

TIME_LIMIT = 600.0  # of one notebook [s]
POLL = 0.03  # [s]


class NotebookFailed(Exception):
    """A notebook came to no result: a fault of the kit. ``folder`` holds what it left."""

    def __init__(self, name: str, told: str, folder: Path) -> None:
        self.folder = folder
        super().__init__(f"notebook {name}: {told}\nits copy and messages are in {folder}")


@dataclass(frozen=True)
class Ended:
    """A job that is over: how it went, and the folder that holds what its process left."""

    job: Runnable
    outcome: Outcome
    folder: Path


@dataclass
class _Running:
    job: Runnable
    folder: Path
    process: subprocess.Popen
    errors: TextIO
    since: float

    @property
    def seconds(self) -> float:
        return time.monotonic() - self.since

    def stop(self) -> None:
        # The kernel watches this process and ends with it.
        self.process.kill()
        self.process.wait()
        self.errors.close()


def run_jobs(jobs: Sequence[Runnable], at_once: int, work: Path, progress: Progress) -> None:
    """Run all jobs; stop all at the first that fails.

    Parameters
    ----------
    jobs, at_once, work, progress
        As for :func:`run_each`.

    Raises
    ------
    UserError
        A notebook found a mistake in the user's data.
    NotebookFailed
        A notebook failed, ran too long, or left before its end.
    """
    with closing(run_each(jobs, at_once, work, progress)) as over:
        for one in over:
            _judge(one, progress)


def run_each(
    jobs: Sequence[Runnable], at_once: int, work: Path, progress: Progress
) -> Iterator[Ended]:
    """Run all jobs, whatever becomes of any of them.

    Parameters
    ----------
    jobs : sequence of Job
        The slowest first.
    at_once : int
        Number of processes.
    work : Path
        Folder for what the processes hand over; each gets a folder of its own in it.
    progress : Progress
        Told of each start and end.

    Yields
    ------
    Ended
        As they end. Closing the iterator stops what still runs.
    """
    waiting = list(jobs)
    with _stopped_at_the_end() as running:
        while waiting or running:
            while waiting and len(running) < at_once:
                running.append(_start(waiting.pop(0), work))
                progress.started(running[-1].job.name)
            for one in [one for one in running if _is_over(one)]:
                one.stop()
                running.remove(one)
                outcome = _outcome(one)
                progress.ended(one.job.name, one.seconds, outcome.kind == "done")
                yield Ended(one.job, outcome, one.folder)
            time.sleep(POLL)


@contextmanager
def _stopped_at_the_end() -> Iterator[list[_Running]]:
    running: list[_Running] = []
    try:
        yield running
    finally:
        for one in running:
            one.stop()


def _start(job: Runnable, work: Path) -> _Running:
    folder = work / job.name
    here, scratch = folder / "here", folder / "scratch"  # the first stays empty
    here.mkdir(parents=True)
    scratch.mkdir()
    store(job, folder / JOB)
    errors = (folder / ERRORS).open("w", encoding="utf-8")
    process = subprocess.Popen(
        [sys.executable, "-m", job.child, str(folder)],
        stdin=subprocess.DEVNULL,
        stdout=errors,
        stderr=errors,
        cwd=here,
        env={**os.environ, **_environment(scratch)},
    )
    return _Running(job, folder, process, errors, time.monotonic())


def _environment(scratch: Path) -> dict[str, str]:
    """What keeps a run the same on each machine, and off the toes of the others."""
    one_thread = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), "1")
    # No start-up files and settings of the user's own; and a kernel that is killed leaves its
    # connection file where it is cleared away.
    places = dict.fromkeys(("IPYTHONDIR", "TMPDIR", "TEMP", "TMP"), str(scratch))
    return one_thread | places | {"MPLBACKEND": "agg", "PYTHONUTF8": "1"}


def _is_over(one: _Running) -> bool:
    return one.process.poll() is not None or one.seconds > TIME_LIMIT


def _judge(one: Ended, progress: Progress) -> None:
    if one.outcome.kind == "user":
        raise UserError(Fault(one.outcome.message))
    if one.outcome.kind == "ours":
        failed = NotebookFailed(one.job.name, one.outcome.message, one.folder)
        progress.say(str(failed))
        raise failed


def _outcome(one: _Running) -> Outcome:
    if (one.folder / OUTCOME).is_file():
        return load(Outcome, one.folder / OUTCOME)
    if one.seconds > TIME_LIMIT:
        return Outcome("ours", f"not done after {TIME_LIMIT:.0f} s")
    return Outcome("ours", f"its process ended with code {one.process.returncode}")

"""Run by test_cluster in a process of its own: a real cluster, one worker killed in the middle."""

from __future__ import annotations

import io
import json
import os
import signal
import sys
import time
from pathlib import Path

from distributed import Client, LocalCluster
from rich.console import Console

from coldbench.course.cluster import on_cluster
from coldbench.course.pieces import Piece
from coldbench.course.roster import Group
from coldbench.report.job import Job
from coldbench.report.progress import Progress

WORK = """
from pathlib import Path
import time
read = Path(campaign, "log.csv").read_text()
Path(out, "figures").mkdir()
Path(out, "figures", "a.csv").write_text(read.upper())
with Path(campaign, "log.csv").open("a") as log: log.write("harmed")
time.sleep(1)
print(campaign)
"""
MISTAKE = (
    "from coldbench.errors import Fault, UserError\n"
    "raise UserError(Fault('no unit', 'runs/a.toml:3'))"
)
GROUPS = 5


def notebook(folder: Path, name: str, source: str) -> Path:
    """A notebook with one cell of parameters and one of work."""
    def cell(text: str, *tags: str) -> dict:
        return {"cell_type": "code", "id": f"c{len(text)}", "source": text, "outputs": [],
                "execution_count": None, "metadata": {"tags": list(tags)}}

    told = {"nbformat": 4, "nbformat_minor": 5, "metadata": {},
            "cells": [cell('campaign = ""\nout = ""', "parameters"), cell(source)]}
    file = folder / f"{name}.ipynb"
    file.write_text(json.dumps(told), encoding="utf-8")
    return file


def pieces(folder: Path) -> list[Piece]:
    """A piece a group; that of the last one finds a mistake."""
    sources = dict.fromkeys(range(GROUPS - 1), WORK) | {GROUPS - 1: MISTAKE}
    found = []
    for n, source in sources.items():
        home, made = folder / "groups" / f"g{n}", folder / "made" / f"g{n}"
        home.mkdir(parents=True)
        made.mkdir(parents=True)
        (home / "log.csv").write_text(f"readings of {n}", encoding="utf-8")
        job = Job(f"g{n}-card", str(notebook(folder, f"n{n}", source)),
                  {"campaign": str(home), "out": str(made)}, kept=str(made / "kept.ipynb"),
                  shown={"campaign": f"g{n}", "out": ""},
                  folders={str(home): f"g{n}", str(made): "out"})
        found.append(Piece(Group(f"g{n}", home), "card", job, made, ""))
    return found


def kill_one(client: Client) -> int:
    """Kill a worker that is at work; it has no time to say goodbye."""
    busy = {worker for worker, tasks in client.processing().items() if tasks}
    worker, pid = next((w, p) for w, p in client.run(os.getpid).items() if w in busy)
    os.kill(pid, signal.SIGKILL)
    print("killed", worker, file=sys.stderr)
    return pid


def main(folder: Path) -> None:
    """Prints what came home."""
    silent = Progress(Console(file=io.StringIO()))
    todo = pieces(folder)
    ended, killed, late = {}, 0, []
    with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None,
                      silence_logs=50) as cluster, Client(cluster) as watcher:
        for one in on_cluster(todo, cluster.scheduler_address, folder / "jobs", silent):
            ended[one.job.name] = [one.outcome.kind, one.outcome.message]
            if not killed:
                time.sleep(0.5)
                killed = kill_one(watcher)
        late = [pid for pid in watcher.run(os.getpid).values() if pid == killed]
    files = {path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8")
             for base in ("made", "groups") for path in (folder / base).rglob("*")
             if path.is_file()}
    print(json.dumps({"ended": ended, "files": files, "killed": killed, "late": late}))


if __name__ == "__main__":
    main(Path(sys.argv[1]))

"""A whole class, unattended: every group's cards, the class's report, the key."""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from coldbench import shipped
from coldbench.course.deliver import (
    GROUPS,
    Desk,
    Places,
    Result,
    claim,
    deliver,
    earlier,
    write_json,
)
from coldbench.course.key_class import write_class_key
from coldbench.course.pieces import CLOSING, Piece, Settings, checksums, missing, pieces
from coldbench.course.roster import Group, Roster, read_roster
from coldbench.course.summary import CLASS, class_facts, csv_text, summary
from coldbench.errors import Fault
from coldbench.report.job import Job
from coldbench.report.notebook_params import check_parameters
from coldbench.report.processes import Ended, run_each, run_jobs
from coldbench.report.progress import Progress
from coldbench.report.provenance import PROVENANCE, versions
from coldbench.report.runner import FORMATS, cores, work_folder

REPORT, SUMMARY, OVERLAY = "class", "summary.csv", "class_overlay"
BROKEN = "broken"  # in the key's folder: students do not see what the kit choked on
# Runs pieces somewhere and tells of each as it ends.
Runner = Callable[[Sequence[Piece], Path, Progress], Iterator[Ended]]


@dataclass(frozen=True)
class Delivered:
    """What a run of a class made.

    Parameters
    ----------
    made : tuple of Path
        Summary, reports of the class, folder of the key.
    faults : tuple of Fault
        What groups have to mend; all others have their reports.
    broken : tuple of str
        Pieces at which the kit itself failed.
    """

    made: tuple[Path, ...]
    faults: tuple[Fault, ...] = ()
    broken: tuple[str, ...] = ()


def run_class(
    file: Path,
    out: Path | None = None,
    key: Path | None = None,
    formats: Sequence[str] = FORMATS,
    jobs: int | None = None,
    paper: str = "a4",
    units: str = "si",
    cluster: str = "",
) -> Delivered:
    """Run all cards of all groups; a group that fails does so alone.

    Parameters
    ----------
    file : Path
        The roster.
    out : Path, optional
        Where the reports go; by default ``out`` beside the roster.
    key : Path, optional
        Where the key goes; by default ``key`` beside the roster, never inside ``out``.
    formats : sequence of str
        ``html``, ``pdf`` or both.
    jobs : int, optional
        Processes at the same time; by default one a core.
    paper : str
        ``a4`` or ``letter``.
    units : str
        ``si`` or ``us``.
    cluster : str
        Address of a scheduler; the pieces then run on its workers.

    Returns
    -------
    Delivered

    Raises
    ------
    UserError
        The roster has faults, or a folder for results is not the kit's.
    """
    roster = read_roster(Path(file))
    how = Settings(tuple(name for name in FORMATS if name in formats), paper, units)
    places = Places((out or roster.folder / "out").resolve(),
                    (key or roster.folder / "key").resolve())
    claim(places, roster.folder)
    desk = Desk(places, how, {group.id: {} for group in roster.groups})
    with work_folder() as work, Progress() as progress:
        _run_groups(roster, desk, _runner(jobs, cluster), work, progress)
        _run_overlay(roster, desk, work, progress)
    _clear_away(roster, places)
    write_class_key(roster, places)
    made = (places.out / SUMMARY, places.key, *(places.out / f"{REPORT}.{end}"
                                                for end in how.formats))
    return Delivered(made, tuple(_faults(roster, desk)), tuple(_broken(desk)))


def _runner(jobs: int | None, cluster: str) -> Runner:
    if cluster:
        from coldbench.course.cluster import on_cluster

        return lambda todo, work, progress: on_cluster(todo, cluster, work, progress)
    return lambda todo, work, progress: run_each(
        [piece.job for piece in todo], jobs or cores(), work, progress)


def _run_groups(
    roster: Roster, desk: Desk, runner: Runner, work: Path, progress: Progress
) -> None:
    """Run what has to be run; a group is delivered when the last of its pieces is over."""
    todo: dict[str, Piece] = {}
    open_pieces: dict[str, set[str]] = {}
    kept: dict[str, list[str]] = {}
    inputs = {}
    for group in roster.groups:
        planned, kept[group.id], inputs[group.id] = _plan(roster, desk, group, work / "made")
        todo |= {piece.job.name: piece for piece in planned}
        open_pieces[group.id] = {piece.card for piece in planned}
        if not planned and not kept[group.id]:
            deliver(desk, group, kept[group.id], {}, inputs[group.id])
    done: dict[str, dict[str, Piece]] = {group.id: {} for group in roster.groups}
    for ended in runner(list(todo.values()), work / "jobs", progress):
        piece = todo[ended.job.name]
        group = piece.group
        if ended.outcome.kind == "done":
            done[group.id][piece.card] = piece
        else:
            desk.results[group.id][piece.card] = _failed(ended, desk.places)
        open_pieces[group.id].remove(piece.card)
        if not open_pieces[group.id]:
            deliver(desk, group, kept[group.id], done.pop(group.id), inputs[group.id])
            for card in roster.cards:
                shutil.rmtree(piece.made.with_name(f"{group.id}-{card}"), ignore_errors=True)


def _failed(ended: Ended, places: Places) -> Result:
    """Why a piece failed; of a fault of the kit what its process left is kept beside the key."""
    if ended.outcome.kind == "user":
        return Result("user", ended.outcome.message)
    left = places.key / BROKEN / ended.job.name
    shutil.rmtree(left, ignore_errors=True)
    shutil.copytree(ended.folder, left)
    return Result("ours", f"{ended.outcome.message}; what it left lies with the key, in "
                          f"{BROKEN}/{ended.job.name}")


def _plan(
    roster: Roster, desk: Desk, group: Group, made: Path
) -> tuple[list[Piece], list[str], dict[str, str]]:
    """Pieces of a group that have to be done, cards that stand, and checksums."""
    fault = missing(roster, group)
    if fault is not None:
        told = replace(fault, where="")
        desk.results[group.id] = {card: Result("user", str(told))
                                  for card in (*roster.cards, CLOSING)}
        return [], [], {}
    before = earlier(desk, group)
    planned = []
    for piece in pieces(roster, group, made, desk.how):
        stands = before.get(piece.card)
        if stands is not None and stands.stamp == piece.stamp:
            desk.results[group.id][piece.card] = stands
            continue
        if isinstance(piece.job, Job):
            check_parameters(Path(piece.job.notebook), piece.job.parameters)
        piece.made.mkdir(parents=True)
        planned.append(piece)
    return planned, list(desk.results[group.id]), checksums(group.folder)


def _run_overlay(roster: Roster, desk: Desk, work: Path, progress: Progress) -> None:
    """The class's report, unless it stands; and the summary."""
    out, how = desk.places.out, desk.how
    facts = class_facts(roster, desk)
    stamp = hashlib.sha256(
        json.dumps([facts, versions(), vars(how), roster.seed], sort_keys=True).encode()
    ).hexdigest()
    told = out / PROVENANCE
    pages = [out / f"{REPORT}.{end}" for end in how.formats]
    if json.loads(told.read_text(encoding="utf-8")).get("class") == stamp and all(
        page.is_file() for page in (*pages, out / SUMMARY)
    ):
        return
    side = work / REPORT
    side.mkdir()
    text = json.dumps(facts, ensure_ascii=False, allow_nan=False)
    (side / CLASS).write_text(f"{text}\n", encoding="utf-8", newline="\n")
    run_jobs([_overlay_job(side, how)], 1, work / "jobs", progress)
    (side / SUMMARY).write_text(csv_text(summary(roster, desk)), encoding="utf-8", newline="\n")
    for path in sorted(side.iterdir()):
        home = out / path.name
        shutil.rmtree(home, ignore_errors=True) if home.is_dir() else home.unlink(missing_ok=True)
        shutil.move(path, home)
    write_json(told, {"roster": _digest(roster.file), "class": stamp, "versions": versions(),
                      "settings": vars(how)})


def _overlay_job(side: Path, how: Settings) -> Job:
    notebook = shipped("notebooks") / f"{OVERLAY}.ipynb"
    given = {"bold": "", "paper": how.paper, "units": how.units}
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


def _digest(file: Path) -> str:
    return hashlib.sha256(file.read_bytes()).hexdigest()


def _clear_away(roster: Roster, places: Places) -> None:
    """Results of groups that the roster no longer has."""
    ids = {group.id for group in roster.groups}
    for folder in (places.out / GROUPS, places.key / GROUPS):
        for path in folder.iterdir() if folder.is_dir() else ():
            if path.name not in ids and (path / PROVENANCE).is_file():
                shutil.rmtree(path, ignore_errors=True)


def _faults(roster: Roster, desk: Desk) -> Iterator[Fault]:
    """One for each group and reason; cards that fail alike are told once."""
    for group in roster.groups:
        told = dict.fromkeys(one.reason for one in desk.results[group.id].values()
                             if one.kind == "user")
        yield from (Fault(reason, group.id) for reason in told)


def _broken(desk: Desk) -> Iterator[str]:
    for group, results in desk.results.items():
        for card, one in results.items():
            if one.kind == "ours":
                yield f"{group}, {card}: {one.reason}"

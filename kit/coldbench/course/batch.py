"""A whole class, unattended: every group's cards, the class's report, the key."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, field, replace
from pathlib import Path

from coldbench.course.class_report import write_class_report
from coldbench.course.deliver import GROUPS, Desk, Places, Result, claim, deliver, earlier
from coldbench.course.key_class import write_class_key
from coldbench.course.pieces import CLOSING, Piece, Settings, checksums, missing, pieces
from coldbench.course.roster import Group, Roster, read_roster
from coldbench.errors import Fault, UserError
from coldbench.report.job import Job
from coldbench.report.notebook_params import check_parameters
from coldbench.report.processes import Ended, run_each
from coldbench.report.progress import Progress
from coldbench.report.provenance import PROVENANCE
from coldbench.report.runner import FORMATS, work_folder

BROKEN = "broken"  # in the key's folder: students do not see what the kit choked on
# Runs pieces somewhere and tells of each as it ends.
Runner = Callable[[Sequence[Piece], Path, Progress], Iterator[Ended]]


@dataclass
class _Open:
    """A group that is not delivered yet: cards that stand, pieces to do, pieces done."""

    group: Group
    inputs: Mapping[str, str] = field(default_factory=dict)
    kept: list[str] = field(default_factory=list)
    todo: dict[str, Piece] = field(default_factory=dict)
    done: dict[str, Piece] = field(default_factory=dict)


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
    bold: str = "",
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
    bold : str
        Id of a group that stands out in the class's report, or ``""``.

    Returns
    -------
    Delivered

    Raises
    ------
    UserError
        The roster has faults or no group ``bold``, or a folder for results is not the kit's.
    """
    roster = read_roster(Path(file))
    if bold and bold not in (ids := [group.id for group in roster.groups]):
        raise UserError(Fault("the class has no group of this id", found=bold,
                              allowed=", ".join(ids)))
    how = Settings(tuple(name for name in FORMATS if name in formats), paper, units)
    places = Places((out or roster.folder / "out").resolve(),
                    (key or roster.folder / "key").resolve())
    claim(places, roster)
    desk = Desk(places, how, {group.id: {} for group in roster.groups})
    with work_folder() as work, Progress() as progress:
        _run_groups(roster, desk, _runner(jobs, cluster), work, progress)
        made = write_class_report(roster, desk, work, progress, bold)
    _clear_away(roster, places)
    write_class_key(roster, places)
    summary, *pages = made
    return Delivered((summary, places.key, *pages), tuple(_faults(roster, desk)),
                     tuple(_broken(desk)))


def _runner(jobs: int | None, cluster: str) -> Runner:
    if cluster:
        from coldbench.course.cluster import on_cluster

        return lambda todo, work, progress: on_cluster(todo, cluster, work, progress)
    at_once = jobs or os.cpu_count() or 1
    return lambda todo, work, progress: run_each(
        [piece.job for piece in todo], at_once, work, progress)


def _run_groups(
    roster: Roster, desk: Desk, runner: Runner, work: Path, progress: Progress
) -> None:
    """Run what has to be run; a group is delivered when the last of its pieces is over."""
    groups = {group.id: _plan(roster, desk, group, work / "made") for group in roster.groups}
    for one in groups.values():
        if not one.todo and not one.kept:
            _deliver(desk, one)
    todo = {piece.job.name: piece for one in groups.values() for piece in one.todo.values()}
    with closing(runner(list(todo.values()), work / "jobs", progress)) as over:
        for ended in over:
            piece = todo[ended.job.name]
            one = groups[piece.group.id]
            del one.todo[piece.card]
            if ended.outcome.kind == "done":
                one.done[piece.card] = piece
            else:
                desk.results[one.group.id][piece.card] = _failed(ended, desk.places)
            if not one.todo:
                _deliver(desk, one)


def _deliver(desk: Desk, one: _Open) -> None:
    try:
        deliver(desk, one.group, one.kept, one.done, one.inputs)
    except UserError as mistake:  # a page that is open somewhere, say: the others go on
        for card in (*one.kept, *one.done):
            desk.results[one.group.id][card] = Result("user", str(mistake))
    for piece in one.done.values():
        shutil.rmtree(piece.made, ignore_errors=True)


def _failed(ended: Ended, places: Places) -> Result:
    """Why a piece failed; of a fault of the kit what its process left is kept beside the key."""
    if ended.outcome.kind == "user":
        return Result("user", ended.outcome.message)
    left = places.key / BROKEN / ended.job.name
    shutil.rmtree(left, ignore_errors=True)
    shutil.copytree(ended.folder, left)
    return Result("ours", f"{ended.outcome.message}; what it left lies with the key, in "
                          f"{BROKEN}/{ended.job.name}")


def _plan(roster: Roster, desk: Desk, group: Group, made: Path) -> _Open:
    """What of a group has to be done, and what stands."""
    fault = missing(roster, group)
    if fault is not None:
        failed = Result("user", str(replace(fault, where="")))
        desk.results[group.id] = dict.fromkeys((*roster.cards, CLOSING), failed)
        return _Open(group)
    before = earlier(desk, group)
    one = _Open(group, checksums(group.folder))
    for piece in pieces(roster, group, one.inputs, made, desk.how):
        stands = before.get(piece.card)
        if stands is not None and stands.stamp == piece.stamp:
            desk.results[group.id][piece.card] = stands
            one.kept.append(piece.card)
            continue
        if isinstance(piece.job, Job):
            check_parameters(Path(piece.job.notebook), piece.job.parameters)
        piece.made.mkdir(parents=True)
        one.todo[piece.card] = piece
    return one


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

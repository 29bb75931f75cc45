"""A class on the workers of a scheduler: a group's folder goes with its piece, results come home.

The piece is run there as it is run here, in a process of its own and in a folder of its own. A
worker that dies takes nothing with it: the scheduler gives its piece to another one.
"""

from __future__ import annotations

import io
import tempfile
import zipfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from coldbench import shipped
from coldbench.course.pieces import PASSING, RESULTS, Piece
from coldbench.errors import Fault, UserError
from coldbench.report.job import Outcome, Runnable
from coldbench.report.processes import Ended, run_each
from coldbench.report.progress import Progress
from coldbench.report.provenance import versions

if TYPE_CHECKING:
    from distributed import Client, Future

PATIENCE = 30.0  # until the scheduler answers [s]
LOOK = 10.0  # between looks at whether any worker is left [s]
LOOKS = 6  # without a worker, until the run is given up
IN_FLIGHT = 2  # pieces a worker thread that are sent ahead
OF_A_MACHINE = ("python", "system")  # versions that move no number


@dataclass(frozen=True)
class Parcel:
    """What goes to a worker: the job, the group's folder, and this machine's places."""

    kind: type
    job: dict[str, Any]
    folder: bytes
    campaign: str
    made: str
    notebooks: str


@dataclass(frozen=True)
class Return:
    """What comes home: how it went, what was made, and what the process left."""

    outcome: Outcome
    made: bytes
    left: bytes


def on_cluster(
    todo: Sequence[Piece], address: str, work: Path, progress: Progress
) -> Iterator[Ended]:
    """Run pieces on a cluster.

    Parameters
    ----------
    todo : sequence of Piece
        What is to be done.
    address : str
        Of the scheduler: ``tcp://HOST:PORT``.
    work : Path
        Folder here for what the processes there left.
    progress : Progress
        Told of each start and end.

    Yields
    ------
    Ended
        As they come home; what a piece made then lies in its folder.

    Raises
    ------
    UserError
        No scheduler, no worker, or workers with other versions of the kit.
    """
    if not todo:
        return
    with _client(address) as client:
        threads = _checked(client)
        waiting, flying = list(todo), {}
        while waiting or flying:
            while waiting and len(flying) < IN_FLIGHT * threads:
                piece = waiting.pop(0)
                progress.started(piece.job.name)
                flying[client.submit(run_parcel, _parcel(piece), pure=False)] = piece
            for future in _over(client, list(flying)):
                yield _home(future, flying.pop(future), work, progress)


def _client(address: str) -> Client:
    try:
        from distributed import Client
    except ImportError:
        raise UserError(Fault("a cluster needs the package distributed",
                              do='pip install "coldbench[cluster]"')) from None
    try:
        return Client(address, timeout=PATIENCE)
    except (OSError, ValueError, TimeoutError) as error:
        raise UserError(Fault("no scheduler answers at this address", found=address,
                              allowed="tcp://HOST:PORT", do=f"start one there ({error})")) from None


def _checked(client: Client) -> int:
    """Threads of all workers, which must hold the same kit as this machine."""
    try:
        there = client.run(versions)
    except Exception as error:  # whatever a worker without the kit says
        raise UserError(Fault("the workers cannot run coldbench", found=f"{error}",
                              do="install the same coldbench on every worker")) from None
    if not there:
        raise UserError(Fault("the scheduler has no workers", do="start some"))
    here = _numbers(versions())
    for worker, found in there.items():
        other = {name: version for name, version in _numbers(found).items()
                 if version != here[name]}
        if other:
            told = ", ".join(f"{name} {version}" for name, version in other.items())
            raise UserError(Fault("a worker has other versions", worker, found=told,
                                  allowed=", ".join(f"{name} {here[name]}" for name in other),
                                  do="install the same set on every worker"))
    return max(1, sum(client.nthreads().values()))


def _numbers(found: Mapping[str, str]) -> dict[str, str]:
    return {name: version for name, version in found.items() if name not in OF_A_MACHINE}


def _over(client: Client, futures: list[Future]) -> list[Future]:
    """Those that are over, at least one."""
    from distributed import wait

    looks = 0
    while True:
        try:
            return list(wait(futures, timeout=LOOK, return_when="FIRST_COMPLETED").done)
        except TimeoutError:
            looks = 0 if client.nthreads() else looks + 1
            if looks >= LOOKS:
                raise UserError(Fault("no worker is left", do="start workers, then run again: "
                                      "what is done stays done")) from None


def _home(future: Future, piece: Piece, work: Path, progress: Progress) -> Ended:
    folder = work / piece.job.name
    folder.mkdir(parents=True)
    error = future.exception()
    if error is None:
        back: Return = future.result()
        _unpacked(back.made, piece.made)
        _unpacked(back.left, folder)
        outcome = back.outcome
    else:
        outcome = Outcome("ours", f"the cluster gave up on it: {type(error).__name__}: {error}")
    future.release()
    progress.ended(piece.job.name, None, outcome.kind == "done")
    return Ended(piece.job, outcome, folder)


def _parcel(piece: Piece) -> Parcel:
    return Parcel(
        type(piece.job), asdict(piece.job), _packed(piece.group.folder, skipped=RESULTS),
        str(piece.group.folder), str(piece.made), str(shipped("notebooks")),
    )


def run_parcel(parcel: Parcel) -> Return:
    """Run a piece; this is what a worker does.

    Parameters
    ----------
    parcel : Parcel
        All it needs.
    """
    from rich.console import Console

    with tempfile.TemporaryDirectory(prefix="coldbench-", ignore_cleanup_errors=True) as place:
        # Its own name: pages carry that of the folder.
        campaign = Path(place, "campaign", Path(parcel.campaign.replace("\\", "/")).name)
        made, work = Path(place, "made"), Path(place, "work")
        made.mkdir()
        _unpacked(parcel.folder, campaign)
        moves = {parcel.campaign: str(campaign), parcel.made: str(made),
                 parcel.notebooks: str(shipped("notebooks"))}
        job: Runnable = parcel.kind(**_moved(parcel.job, moves))
        silent = Progress(Console(file=io.StringIO()))
        (ended,) = run_each([job], 1, work, silent)
        left = b"" if ended.outcome.kind == "done" else _packed(ended.folder)
        return Return(ended.outcome, _packed(made), left)


def _moved(thing: Any, moves: Mapping[str, str]) -> Any:
    """Places of the machine at home turned into places here, wherever a text begins with one."""
    if isinstance(thing, str):
        for home, here in moves.items():
            if thing == home or thing.startswith((f"{home}/", f"{home}\\")):
                return here + thing[len(home):].replace("\\", "/")
        return thing
    if isinstance(thing, dict):
        return {_moved(name, moves): _moved(value, moves) for name, value in thing.items()}
    if isinstance(thing, list):
        return [_moved(one, moves) for one in thing]
    return thing


def _packed(folder: Path, skipped: str = "") -> bytes:
    """All files of a folder, but those in one folder of it and passing ones."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for path in sorted(p for p in folder.rglob("*") if p.is_file()):
            parts = path.relative_to(folder).parts
            if parts[0] != skipped and not any(part.startswith(PASSING) for part in parts):
                archive.write(path, "/".join(parts))
    return buffer.getvalue()


def _unpacked(data: bytes, folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    if data:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            archive.extractall(folder)

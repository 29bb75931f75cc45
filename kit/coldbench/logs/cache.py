"""What was read of a large log, kept for the next time beside the campaign, as Parquet.

A copy is used only if it carries the checksum of the very bytes of the log and everything that was
declared of them; one that is stale, cut or foreign is read anew and replaced. Folders in which
nothing may be written get none.
"""

from __future__ import annotations

import hashlib
import json
import os
import threading
from pathlib import Path
from typing import Any

import numpy as np

from coldbench import __version__
from coldbench.logs.columns import Column
from coldbench.logs.parse import Parsed
from coldbench.sheets import Campaign

FOLDER = ".coldbench"  # in the campaign; may be deleted at any time
WORTH_IT = 2_000_000  # bytes of a log that take long enough to read
LAYOUT = 2  # of the copies; a change of what they hold counts it up
TOLD, DIGEST = b"coldbench", b"sha256"
TIME = "t"
_writing: list[threading.Thread] = []


def from_cache(campaign: Campaign, run: str, number: int, name: str) -> Parsed | None:
    """What was read of a log before, or None where that is not known for certain.

    Parameters
    ----------
    campaign : Campaign
        Sheets.
    run : str
        Id of the run.
    number : int
        Which of its logs.
    name : str
        Of the file, relative to the campaign.
    """
    path = campaign.folder / name
    try:
        if not (campaign.folder / FOLDER).is_dir() or path.stat().st_size < WORTH_IT:
            return None
        with path.open("rb") as file:
            sha256 = hashlib.file_digest(file, "sha256").hexdigest()
    except OSError:
        return None
    import pyarrow as pa

    key = _key(campaign, run, number, sha256)
    try:
        told, columns = _read(campaign.folder, key, 0)
        for part in range(1, told["parts"]):
            columns |= _read(campaign.folder, key, part)[1]
        return Parsed(
            tuple(columns[heading] for heading in told["order"]), tuple(told["unused"]),
            tuple(told["said"]), told["form"], sha256, told["ended"])
    except (OSError, pa.ArrowException, KeyError, TypeError, ValueError):
        return None


def to_cache(
    campaign: Campaign, run: str, number: int, name: str, parsed: Parsed
) -> None:
    """Keep what was read of a log; nobody has to wait for it.

    Parameters
    ----------
    campaign, run, number, name
        As for :func:`from_cache`.
    parsed : Parsed
        What was read; that of a log which is read in no time is not kept.
    """
    if (campaign.folder / name).stat().st_size < WORTH_IT:
        return
    key = _key(campaign, run, number, parsed.sha256)
    thread = threading.Thread(target=_write, args=(campaign.folder, key, parsed))
    _writing.append(thread)
    thread.start()


def wait() -> None:
    """Wait until all copies are written."""
    while _writing:
        _writing.pop().join()


def _key(campaign: Campaign, run: str, number: int, sha256: str) -> str:
    """Everything that decides what is read, in one line."""
    sheet = campaign.runs[run]
    settings = [__version__, LAYOUT, sha256, campaign.tz.key, str(sheet.start),
                repr(sheet.log[number])]
    return hashlib.sha256(json.dumps(settings).encode("utf-8")).hexdigest()


def _path(folder: Path, key: str, part: int) -> Path:
    return folder / FOLDER / f"{key[:32]}-{part}.parquet"


def _read(folder: Path, key: str, part: int) -> tuple[dict[str, Any], dict[str, Column]]:
    import pyarrow.parquet as pq

    # Read whole at once, so that each column lies in one piece.
    with pq.ParquetFile(_path(folder, key, part), page_checksum_verification=True) as file:
        table = file.read()
    words = table.schema.metadata[TOLD]
    if table.schema.metadata[DIGEST] != _digest(words):  # pages have checksums, words have none
        raise ValueError("a copy that was harmed")
    told = json.loads(words)
    if (told["key"], told["part"], told["rows"]) != (key, part, table.num_rows):
        raise ValueError("a copy of something else")
    t = table[TIME].to_numpy()
    columns = {}
    for place, (heading, role, unit, step) in enumerate(told["columns"]):
        words = f"{place} silent"
        silent = (table[words].to_numpy() if words in table.column_names
                  else np.zeros(len(t), bool))
        columns[heading] = Column(heading, role, unit, t, table[str(place)].to_numpy(), step,
                                  silent)
    return told, columns


def _digest(words: bytes) -> bytes:
    return hashlib.sha256(words).hexdigest().encode("ascii")


def _write(folder: Path, key: str, parsed: Parsed) -> None:
    import pyarrow as pa
    import pyarrow.parquet as pq

    bases = {id(column.t): column.t for column in parsed.columns}
    for part, (base, t) in enumerate(bases.items()):
        columns = [column for column in parsed.columns if id(column.t) == base]
        told = {
            "key": key, "part": part, "parts": len(bases), "rows": len(t),
            "order": [column.heading for column in parsed.columns],
            "columns": [[c.heading, c.role, c.unit, c.step] for c in columns],
            "unused": parsed.unused, "said": parsed.said, "form": parsed.form,
            "ended": parsed.ended,
        }
        held = {TIME: t} | {str(place): c.values for place, c in enumerate(columns)}
        held |= {f"{place} silent": c.silent for place, c in enumerate(columns) if c.silent.any()}
        words = json.dumps(told).encode("utf-8")
        table = pa.table(held).replace_schema_metadata({TOLD: words, DIGEST: _digest(words)})
        path = _path(folder, key, part)
        whole = path.with_suffix(f".{os.getpid()}-{threading.get_ident()}")
        try:
            path.parent.mkdir(exist_ok=True)
            pq.write_table(
                table, whole, compression="none", use_dictionary=[n for n in held if n != TIME],
                write_statistics=False, write_page_checksum=True, row_group_size=max(1, len(t)))
            os.replace(whole, path)  # noqa: PTH105 - one step on every system
        except OSError:  # a folder that may not be written, or a full disk: then read anew
            whole.unlink(missing_ok=True)
            return

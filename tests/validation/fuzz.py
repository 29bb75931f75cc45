"""Harmed logs: the reader must not break, and must not change a number without a word.

Logs of the sixteen shapes are harmed by seed (``mutations``) and read with the block that was
proposed and answered for the whole one, in a child process that is watched. The judge asks of each:

* nothing but ``UserError``, and no more than ``SLOWEST`` seconds;
* every sample that is read is one that the whole log gives, unless a repair, question or notice
  that the whole log has not got says otherwise (silences do not count as such);
* samples that the whole log gives are only missing where cells are blank, rows are told as left
  out, a channel is told as unused, or the file was cut, which nobody can see at a line's end.

``python run.py validate`` reads all and writes the table; the suite reads a fixed twentieth.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from random import Random

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent))
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "logs"))

import mutations

from coldbench.errors import UserError
from coldbench.logs.cumulative import is_straight
from coldbench.logs.record import Record, Trace

SEED = 20310614  # fixed before the first of the files was read
CASES = 20_000
TWENTIETH = 20
LOOKED_AT = 0.1  # share of the files that are also looked at as logs that no run names
SLOWEST = 5.0  # s a file
HANGS = 30.0  # s until a child is stopped that a file holds up
MOST_BYTES = 1_000_000_000
SAME_TIME, SAME_VALUE = 1e-3, 1e-9  # s; relative
WELL = ("refused", "same samples", "fewer, blank or said", "other, and said", "digit, not seen")
BADLY = ("traceback", "too slow", "fewer without a word", "other without a word")


class Reader:
    """The shapes as campaigns of one run, read again and again with another log in them."""

    def __init__(self, folder: Path) -> None:
        from test_sixteen import answered

        from coldbench.sheets import read_campaign

        self.drafts = mutations.drafts()
        self.files, self.campaigns, self.whole = {}, {}, {}
        for name, draft in self.drafts.items():
            together = "14-daily-2031-10-*.csv" if name.startswith("14-") else name
            path = folder / name / "logs" / name
            path.parent.mkdir(parents=True)
            for other, another in self.drafts.items():
                if other == name or (other[:3] == name[:3] == "14-"):
                    (path.parent / other).write_bytes(another.data())
            whole = min(mutations.sixteen.FOLDER.glob(together))
            for sheet, text in {
                "campaign.toml": CAMPAIGN, "coolers/box.toml": COOLER,
                "runs/one.toml": RUN + answered(together, whole),
            }.items():
                (folder / name / sheet).parent.mkdir(exist_ok=True)
                (folder / name / sheet).write_text(text, encoding="utf-8", newline="\n")
            self.files[name] = path
            self.campaigns[name] = read_campaign(folder / name)
            self.whole[name] = self.read(name, draft.data())

    def read(self, name: str, data: bytes) -> Record:
        """The run with these bytes as its log."""
        from coldbench.logs.reading import read_run

        self.files[name].write_bytes(data)
        return read_run(self.campaigns[name], "one")

    def look(self, name: str) -> None:
        """The card of the log as one that no run names."""
        from coldbench.logs.unnamed import unnamed_text

        unnamed_text(self.files[name], f"logs/{name}")

    def case(self, number: int) -> dict[str, object]:
        """One harmed log by its number: shape, ways, and what came of it."""
        random = Random(f"{SEED} {number}")
        name = random.choice(list(self.drafts))
        data, ways = mutations.harmed(self.drafts[name], random)
        begun, detail = time.perf_counter(), ""
        try:
            try:
                came, detail = judged(self.whole[name], self.read(name, data), ways)
            except UserError as mistake:
                came, detail = "refused", mistake.faults[0].what
            if random.random() < LOOKED_AT:
                self.look(name)
        except Exception as error:  # whatever it is, it would have been a user's traceback
            came, detail = "traceback", f"{type(error).__name__}: {error}"[:300]
        seconds = time.perf_counter() - begun
        if seconds > SLOWEST:
            came = "too slow"
        return {"number": number, "shape": name, "ways": ways, "came": came, "detail": detail,
                "seconds": seconds}


def judged(whole: Record, harmed: Record, ways: Iterable[str]) -> tuple[str, str]:
    """What came of a log that was read although it was harmed.

    Parameters
    ----------
    whole, harmed : Record
        As it was and as it is.
    ways : iterable of str
        How it was harmed.

    Returns
    -------
    came : str
        One of ``WELL`` or ``BADLY``.
    detail : str
        Where the first other sample is, or what is said of it.
    """
    if "digit" in ways:
        return "digit, not seen", ""
    told, before = said(harmed), said(whole)
    other = [f"{role} at {t:.3f}: {y:.6g}" for role, trace in harmed.traces.items()
             for t, y in other_samples(whole.traces.get(role), trace)[:1]]
    if other:
        new = kinds(told) - kinds(before)
        return ("other, and said", min(new)) if new else (
            "other without a word", "; ".join(other))
    samples, blanks = ([of(record) for record in (whole, harmed)] for of in (_samples, _blanks))
    if samples[0] == samples[1]:
        return "same samples", ""
    if told - before or blanks[0] < blanks[1] or "cut" in ways:
        return "fewer, blank or said", ""
    return "fewer without a word", f"{samples[1]} samples of {samples[0]}"


def _samples(record: Record) -> int:
    return sum(len(trace.t) for trace in record.traces.values())


def _blanks(record: Record) -> int:
    return sum(channel.blanks for file in record.files for channel in file.channels)


def other_samples(whole: Trace | None, harmed: Trace) -> np.ndarray:
    """Samples that the whole log has not got, shape (n, 2).

    Where power is held and then known no more, a sample ends what was held: it says nothing.
    """
    t, y = harmed.t, harmed.y
    if harmed.cut is not None and not is_straight(harmed):
        t, y = t[~harmed.cut], y[~harmed.cut]
    if whole is None:
        return np.column_stack([t, y])
    at = np.clip(np.searchsorted(whole.t, t - SAME_TIME), 0, len(whole.t) - 1)
    there = np.abs(whole.t[at] - t) <= SAME_TIME
    there &= np.isclose(whole.y[at], y, rtol=SAME_VALUE, atol=SAME_VALUE)
    return np.column_stack([t, y])[~there]


def said(record: Record) -> set[str]:
    """All that is said of a run's logs, but for silences."""
    told = [notice.message for notice in record.notices if notice.code != "LOG-GAP"]
    for file in record.files:
        told += [*file.repairs, *file.questions, *file.unused]
    return {text.lower().rstrip(".") for text in told}


def kinds(sentences: set[str]) -> set[str]:
    """Sentences without their numbers: one line more that was left out excuses no other value.

    What a counter hid is a number that has to be told; those stay.
    """
    return {text if "counter" in text else re.sub(r"\d+", "0", text) for text in sentences}


def read_in_children(numbers: list[int], jobs: int = 2) -> tuple[list[dict[str, object]], int]:
    """Read harmed logs in child processes.

    Parameters
    ----------
    numbers : list of int
        Of the logs.
    jobs : int
        Processes at a time.

    Returns
    -------
    cases : list of dict
        One a log; a child that broke or hung gives one for the log that it had in hand.
    memory : int
        Most that a child used, 0 where the system does not tell. [byte]
    """
    shares = [share for i in range(jobs) if (share := numbers[i::jobs])]
    with ThreadPoolExecutor(jobs) as pool:
        told = list(pool.map(_child, shares))
    cases = [case for found, _ in told for case in found]
    return sorted(cases, key=lambda case: case["number"]), max(memory for _, memory in told)


def _child(numbers: list[int]) -> tuple[list[dict[str, object]], int]:
    """What a child process says of some logs, and the memory that it used."""
    # Numbers are evenly spaced, so that a command line holds them.
    step = numbers[1] - numbers[0] if len(numbers) > 1 else 1
    command = [sys.executable, __file__, str(numbers[0]), str(numbers[-1] + 1), str(step)]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                               text=True, encoding="utf-8")
    try:
        out, err = process.communicate(timeout=HANGS + SLOWEST * len(numbers))
    except subprocess.TimeoutExpired:
        process.kill()
        out, err = process.communicate()
    lines = [json.loads(line) for line in out.splitlines() if line.endswith("}")]
    cases = [line for line in lines if "number" in line]
    if len(lines) > len(cases):
        return cases, lines[-1]["memory"]
    return [*cases, {
        "number": numbers[len(cases)], "shape": "?", "ways": [], "seconds": HANGS,
        "came": "traceback", "detail": f"the child ended: {err[-2000:]}"}], 0


def child(first: int, stop: int, step: int) -> None:
    """Read some of the harmed logs, print a line each, and the memory used at the end."""
    import faulthandler

    sys.stdout.reconfigure(encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        reader = Reader(Path(folder))
        for number in range(first, stop, step):
            faulthandler.dump_traceback_later(HANGS, exit=True)
            print(json.dumps(reader.case(number)), flush=True)
            faulthandler.cancel_dump_traceback_later()
    print(json.dumps({"memory": _memory()}), flush=True)


def _memory() -> int:
    try:
        import resource
    except ImportError:  # Windows
        return 0
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most if sys.platform == "darwin" else 1024 * most


def failures(cases: list[dict[str, object]], memory: int) -> list[str]:
    """What must not be, in words."""
    wrong = [f"{case['number']} {case['shape']} {', '.join(case['ways'])}: {case['came']}: "
             f"{case['detail']}" for case in cases if case["came"] not in WELL]
    return wrong + ([f"{memory / 1e9:.2f} GB of memory"] if memory > MOST_BYTES else [])


def table(cases: list[dict[str, object]]) -> list[list[object]]:
    """How often what came of each way, the heading row first."""
    counts = Counter((way, case["came"]) for case in cases for way in case["ways"])
    ways = [way.__name__ for way in mutations.WAYS]
    every = [*WELL, *BADLY]
    rows = [[way.replace("_", " "), sum(counts[way, came] for came in every),
             *(counts[way, came] for came in every)] for way in ways]
    total = Counter(case["came"] for case in cases)
    return [["harmed by", "files", *every], *rows,
            ["all", len(cases), *(total[came] for came in every)]]


CAMPAIGN = 'title = "Boxes on a bench"\ntimezone = "Europe/Paris"\n'
COOLER = (
    'name = "Box"\ntechnology = "compressor"\norigin = "bought"\n'
    'outside = { volume = "58 L" }\ninside = { volume = "13 L" }\n'
)
RUN = 'cooler = "box"\nkind = ["steady"]\n'

if __name__ == "__main__":
    child(*map(int, sys.argv[1:4]))

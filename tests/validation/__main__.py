"""``python run.py validate``: the large proofs, their tables written beside this file."""

from __future__ import annotations

import argparse
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import pandas as pd

sys.path.insert(0, str(Path(__file__).parent))

import designs
import designs_drawn
import fuzz
import leaks
import machines
import machines_drawn
import study
import twins

from coldbench import __version__

TABLE = Path(__file__).parent / "table.md"
LEAKS = Path(__file__).parent / "leaks.md"
MACHINES = Path(__file__).parent / "machines.md"
TWINS = Path(__file__).parent / "twins.md"
DESIGNS = Path(__file__).parent / "designs.md"
HARMED = Path(__file__).parent / "harmed.md"


def main() -> int:
    """Run the proofs, print and write their tables; exit 1 where a row misses its mark."""
    options = argparse.ArgumentParser(prog="python run.py validate", description=__doc__)
    options.add_argument("--only", help="one of the proofs", choices=(
        "findings", "logs", "leaks", "machines", "twins", "designs"))
    options.add_argument("--campaigns", type=int, default=study.CAMPAIGNS)
    options.add_argument("--boxes", type=int, default=leaks.BOXES)
    options.add_argument("--coolers", type=int, default=machines.COOLERS)
    options.add_argument("--twins", type=int, default=twins.CAMPAIGNS)
    options.add_argument("--designs", type=int, default=designs.CASES)
    options.add_argument("--logs", type=int, default=fuzz.CASES)
    options.add_argument("--jobs", type=int, default=2)
    given = options.parse_args()
    proofs = {"logs": _logs, "leaks": _leaks, "machines": _machines, "twins": _twins,
              "designs": _designs, "findings": _findings}
    missed = [proof(given) for name, proof in proofs.items() if given.only in (None, name)]
    return int(any(missed))


def _twins(given: argparse.Namespace) -> bool:
    """Whether a difference is claimed between equals, or a real one is not."""
    begun = time.perf_counter()
    with ProcessPoolExecutor(given.jobs) as pool:
        found = list(pool.map(twins.study, twins.KINDS, [given.twins] * len(twins.KINDS)))
    tables = [twins.table(rows, what) for rows, what in zip(found, twins.KINDS, strict=True)]
    table = pd.concat(tables, ignore_index=True)
    text = "\n".join([
        "# Differences of simulated twins", "",
        f"coldbench {__version__}, {given.twins} campaigns of each kind, seed {twins.SEED}. Made "
        "by `python run.py validate`.", "",
        "Twins are one cooler measured twice under two names, each run with its own hidden spread: "
        f"a difference may be claimed in at most {100 * twins.MOST_CLAIMED:g} % of campaigns. The "
        f"thirstier one draws {100 * (twins.THIRSTIER - 1):.1f} % more, three standard "
        f"uncertainties: it must be found in {100 * twins.LEAST_FOUND:g} %, also where a coarse "
        "meter, shared by both, makes their own intervals overlap. Its pull-down is the same.", "",
        _markdown(table), ""])
    print(text)
    _write(text, TWINS, begun, given.twins == twins.CAMPAIGNS)
    return bool((table["passed"] == "no").any())


def _logs(given: argparse.Namespace) -> bool:
    """Whether the reader broke on a harmed log, or changed a number without a word."""
    begun = time.perf_counter()
    cases, memory = fuzz.read_in_children(list(range(given.logs)), given.jobs)
    wrong = fuzz.failures(cases, memory)
    text = _harmed(cases, memory, given.logs)
    print("\n".join([text, *wrong]))
    _write(text, HARMED, begun, given.logs == fuzz.CASES)
    return bool(wrong)


def _harmed(cases: list[dict[str, object]], memory: int, logs: int) -> str:
    head, *rows = fuzz.table(cases)
    slowest = max(float(case["seconds"]) for case in cases)
    return "\n".join([
        "# Harmed logs", "",
        f"coldbench {__version__}, {logs} files, seed {fuzz.SEED}. Made by "
        "`python run.py validate`.", "",
        "Small logs of the sixteen shapes, each harmed in one to three ways; a file counts in each "
        "of its ways. What the judge asks stands in `fuzz.py`; the last four columns have to be 0. "
        f"No file may take {fuzz.SLOWEST:g} s or longer (the slowest took "
        f"{'less than 1 s' if slowest < 1 else f'{slowest:.1f} s'}), no process more than "
        f"{fuzz.MOST_BYTES / 1e9:g} GB ({memory / 1e9:.1f} GB).", "",
        _markdown(pd.DataFrame(rows, columns=head)), "",
    ])


def _leaks(given: argparse.Namespace) -> bool:
    """Whether a way to the heat leak misses its mark."""
    begun = time.perf_counter()
    kits = ("checked", "unchecked")
    parts = [(kit, first) for kit in kits for first in range(0, given.boxes, leaks.AT_ONCE)]
    with ProcessPoolExecutor(given.jobs) as pool:
        found = list(pool.map(_boxes, parts, [given.boxes] * len(parts)))
    tables = [leaks.table(pd.concat([f for (k, _), f in zip(parts, found, strict=True)
                                     if k == kit]), kit) for kit in kits]
    table = pd.concat(tables)
    text = "\n".join([
        "# Heat leaks of simulated boxes", "",
        f"coldbench {__version__}, {given.boxes} boxes for each kit, seed {leaks.SEED}. Made by "
        "`python run.py validate`.", "",
        "A checked kit has probes good to 0.1 K, an unchecked one to 0.5 K. “within” is the share "
        "of values as near to the truth as “limit”, “hit rate” that of intervals which hold it; "
        "either passes at 95 %, less what chance allows (2.6 binomial standard deviations).", "",
        _markdown(table), "",
    ])
    print(text)
    _write(text, LEAKS, begun, given.boxes == leaks.BOXES)
    return bool((table["passed"] == "no").any())


def _boxes(part: tuple[str, int], boxes: int) -> pd.DataFrame:
    kit, first = part
    return leaks.study(kit, min(leaks.AT_ONCE, boxes - first), first)


def _machines(given: argparse.Namespace) -> bool:
    """Whether a COP or a moved energy misses its mark, or something is given that must not be."""
    begun = time.perf_counter()
    parts = [(kit, first) for kit in machines.LIMITS_OF
             for first in range(0, given.coolers, machines.AT_ONCE)]
    with ProcessPoolExecutor(given.jobs) as pool:
        found = list(pool.map(_coolers, parts, [given.coolers] * len(parts)))
    frames = {kit: pd.concat([f for (k, _), f in zip(parts, found, strict=True) if k == kit])
              for kit in machines.LIMITS_OF}
    table = pd.concat([machines.table(rows, kit) for kit, rows in frames.items()])
    refused = pd.concat([machines.refusals(rows, kit) for kit, rows in frames.items()])
    text = "\n".join([
        "# Machines and footings of simulated coolers", "",
        f"coldbench {__version__}, {given.coolers} coolers for each kit, seed {machines.SEED}. "
        "Made by `python run.py validate`.", "",
        "A checked kit has probes good to 0.1 K and power to 1 % + 0.1 W, an unchecked one to "
        "0.5 K and 2 % + 0.2 W. “within” is the share of values as near to the truth as “limit”, "
        "“hit rate” that of intervals which hold it; either passes at 95 %, less what chance "
        "allows (2.6 binomial standard deviations). Energies are moved by "
        f"{machines_drawn.MOVED:g} K of ambient and up to about a kelvin of inside; with one "
        "ambient their band is judged.", "",
        _markdown(table), "",
        "## What gets no figure", "",
        "“would be off by” is the median error of the figure that is not given. What surely cannot "
        f"be held gets {machines_drawn.CLEAR + 0.5:g} K or more too warm at the footing; where the "
        "runs do not show it, bounds stay and the report says that it cannot tell.", "",
        _markdown(refused), "",
    ])
    print(text)
    _write(text, MACHINES, begun, given.coolers == machines.COOLERS)
    return bool((table["passed"] == "no").any() or (refused["passed"] == "no").any())


def _coolers(part: tuple[str, int], coolers: int) -> pd.DataFrame:
    kit, first = part
    return machines.study(kit, min(machines.AT_ONCE, coolers - first), first)


def _designs(given: argparse.Namespace) -> bool:
    """Whether a design misses what the built box does too often, or says too little."""
    begun = time.perf_counter()
    parts = range(0, given.designs, designs.AT_ONCE)
    with ProcessPoolExecutor(given.jobs) as pool:
        found = list(pool.map(_built, parts, [given.designs] * len(parts)))
    rows = pd.concat(found, ignore_index=True)
    table, (cannot, wrong, left_open) = designs.table(rows), designs.not_held(rows)
    refused = rows[rows["refused"] != ""]["case"].nunique()
    text = "\n".join([
        "# Designs of simulated boxes, and what the built ones do", "",
        f"coldbench {__version__}, {given.designs} cases, seed {designs.SEED}. Made by "
        "`python run.py validate`.", "",
        "A cooler is run with a checked kit (probes 0.1 K, power 1 % + 0.1 W) and a box designed "
        "after it: other litres and walls, foam of the same or another kind, the compressor unit "
        "moved whole or the modules with more or fewer of them, another hot side or lowered volts. "
        "The built box is simulated in a still room at the design ambient. Assumed: machine "
        "constants stay, from day to day too; the seal for each metre of rim is within "
        f"{100 * designs_drawn.HAND:.0f} % of the present one's; "
        f"{100 * designs_drawn.SAME_FOAM * designs_drawn.SAME_LOT:.0f} % of the boxes are built of "
        "boards left over from the present one, which the design knows; any other foam conducts "
        "anything that is sold under its name, and "
        f"{100 * designs_drawn.DECLARED:.0f} % of these declare it; what is declared, or stated of "
        "a hot side, is right within the limits that the report prints.", "",
        "“answered” is the share with a value, or with the word that it will not hold; “within” "
        "that of these whose interval holds the truth; widths are relative, of the coldest air to "
        "what lies between it and the ambient. Asked of all cases: "
        f"{100 * designs.HITS:.0f} % within, a median half-width of {100 * designs.HALF:.0f} %, "
        f"{100 * designs.ANSWERED:.0f} % answered; of one kind of machine the two shares, less "
        "what chance allows (2.6 binomial standard deviations).", "",
        _markdown(table), "",
        f"{cannot} built boxes cannot hold the inside: of {wrong} the design said that they do, "
        f"of {left_open} it said that it cannot tell. {refused} coolers got no machine fitted.", "",
        "## Daily energy, by what was known and changed", "",
        _markdown(designs.groups(rows)), "",
    ])
    print(text)
    _write(text, DESIGNS, begun, given.designs == designs.CASES)
    return bool((table["passed"] == "no").any())


def _built(first: int, cases: int) -> pd.DataFrame:
    return designs.study(min(designs.AT_ONCE, cases - first), first)


def _findings(given: argparse.Namespace) -> bool:
    """Whether a finding misses its mark."""
    begun = time.perf_counter()
    parts = [(kind, first) for kind in ("ideal", "real")
             for first in range(0, given.campaigns, study.AT_ONCE)]
    with ProcessPoolExecutor(given.jobs) as pool:
        found = list(pool.map(_part, parts, [given.campaigns] * len(parts)))
    frames = {kind: pd.concat([f for (k, _), f in zip(parts, found, strict=True) if k == kind])
              for kind in ("ideal", "real")}
    ideal, real = study.ideal_table(frames["ideal"]), study.real_table(frames["real"])
    text = _page(ideal, real, given.campaigns)
    print(text)
    _write(text, TABLE, begun, given.campaigns == study.CAMPAIGNS)
    return bool((~ideal["passed"]).any() or (real["passed"] == "no").any())


def _write(text: str, table: Path, begun: float, whole: bool) -> None:
    """Only a whole proof replaces its table."""
    print(f"{time.perf_counter() - begun:.0f} s")
    if whole:
        table.write_text(text, encoding="utf-8", newline="\n")
        print(table)


def _part(part: tuple[str, int], campaigns: int) -> pd.DataFrame:
    kind, first = part
    return study.study(kind, min(study.AT_ONCE, campaigns - first), first)


def _page(ideal: pd.DataFrame, real: pd.DataFrame, campaigns: int) -> str:
    return "\n".join([
        "# Findings against the simulator's truth", "",
        f"coldbench {__version__}, {campaigns} campaigns each, seed {study.SEED}. Made by "
        "`python run.py validate`.", "",
        "## Ideal instruments, one-minute means", "",
        _markdown(ideal), "",
        "## Real instruments", "",
        "A value passes when the 99 % binomial interval of its hit rate touches "
        f"{study.HIT_LOW}–{study.HIT_HIGH}, at least {study.VALUED_LEAST:.0%} of the cases that "
        "meet the method's conditions got a value, and the median interval is at most "
        f"{study.WIDTH_MOST} × as wide as the drawn instrument limits alone imply. A bound passes "
        f"when that interval reaches {study.HIT_BOUNDED}. One row a run and finding counts, drawn "
        "by seed: rows of one run share its hidden constants and hit or miss together.", "",
        _markdown(real), "",
    ])


def _markdown(table: pd.DataFrame) -> str:
    def cell(value: object) -> str:
        if isinstance(value, float):
            return "–" if pd.isna(value) else f"{value:.4g}"
        return {True: "yes", False: "no"}.get(value, str(value)) if isinstance(
            value, bool) else str(value)

    head = "| " + " | ".join(table.columns) + " |"
    rule = "|" + "---|" * len(table.columns)
    rows = ["| " + " | ".join(cell(v) for v in row) + " |" for row in table.to_numpy(object)]
    return "\n".join([head, rule, *rows])


if __name__ == "__main__":
    sys.exit(main())

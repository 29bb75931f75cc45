"""``python run.py validate``: the large proof, its table written beside this file."""

from __future__ import annotations

import argparse
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import pandas as pd

sys.path.insert(0, str(Path(__file__).parent))

import study

from coldbench import __version__

TABLE = Path(__file__).parent / "table.md"


def main() -> int:
    """Run the campaigns, print and write the table; exit 1 where a row misses its mark."""
    options = argparse.ArgumentParser(prog="python run.py validate", description=__doc__)
    options.add_argument("--campaigns", type=int, default=study.CAMPAIGNS)
    options.add_argument("--jobs", type=int, default=2)
    given = options.parse_args()
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
    print(f"{time.perf_counter() - begun:.0f} s")
    if given.campaigns == study.CAMPAIGNS:
        TABLE.write_text(text, encoding="utf-8", newline="\n")
        print(TABLE)
    missed = (~ideal["passed"]).sum() + (real["passed"] == "no").sum()
    return int(missed > 0)


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

"""Seeded campaigns through the whole kit, each finding judged against the simulator's truth.

``python run.py validate`` runs all and writes the table; the suite runs a fixed tenth.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import asdict
from pathlib import Path

import judged
import numpy as np
import pandas as pd

from coldbench.analysis.campaign import analyse_campaign
from coldbench.bench import draw_campaigns, simulate_campaigns, write_campaign
from coldbench.sheets import read_campaign

SEED = 20310301  # fixed before any of the analyses was run on it
CAMPAIGNS = 400
TENTH = 40
AT_ONCE = 40

# Ideal instruments, 1 min means: what the plan asks of each finding.
IDEAL_LIMITS = {
    "daily_energy": ("relative", 0.01),
    "cycle_time": ("relative", 0.02),
    "duty": ("absolute", 0.01),
    "pull_down_time": ("absolute", 1 / 60),  # one sample [h]
}
HIT_LOW, HIT_HIGH, HIT_BOUNDED = 0.94, 0.98, 0.95
VALUED_LEAST, WIDTH_MOST = 0.85, 1.3
FEWEST = 20  # rows with fewer cases are printed, not judged


def study(instruments: str, count: int = CAMPAIGNS, first: int = 0) -> pd.DataFrame:
    """Findings and truths of some campaigns, a row each.

    Parameters
    ----------
    instruments : {"ideal", "real"}
    count : int
        Campaigns, of those that the seed fixes.
    first : int
        Number of the first one.
    """
    rows = [asdict(j) | {"hit": j.hit} for j in _judged(instruments, count, first)]
    return pd.DataFrame(rows)


def _judged(instruments: str, count: int, first: int) -> Iterator[judged.Judged]:
    campaigns = draw_campaigns(first + count, SEED, instruments)[first:]
    for begin in range(0, count, AT_ONCE):
        for sim in simulate_campaigns(campaigns[begin:begin + AT_ONCE]):
            with tempfile.TemporaryDirectory() as folder:
                write_campaign(Path(folder), sim)
                analysed = analyse_campaign(read_campaign(Path(folder)))
            for result in analysed.results.values():
                yield from judged.judge(sim, result)


def ideal_table(rows: pd.DataFrame) -> pd.DataFrame:
    """With ideal instruments: largest error of each finding against its limit."""
    table = []
    # Only a crossing has to be asked for: along a target no instant is the first.
    asked = rows["should"] | (rows["finding"] != "pull_down_time")
    valued = rows[rows["value"].notna() & rows["truth"].notna() & asked]
    for finding, (kind, limit) in IDEAL_LIMITS.items():
        of = valued[valued["finding"] == finding]
        error = (of["value"] - of["truth"]).abs()
        if kind == "relative":
            error = error / of["truth"].abs()
        table.append({
            "finding": finding, "cases": len(of), "limit": limit, "kind": kind,
            "median error": error.median(), "largest error": error.max(),
            "within": int((error <= limit).sum()), "passed": bool((error <= limit).all()),
        })
    return pd.DataFrame(table)


def real_table(rows: pd.DataFrame) -> pd.DataFrame:
    """With real instruments: hit rate, share that got a value, and width of the intervals."""
    table = []
    rows = one_a_run(rows)
    rows = rows.assign(bound=np.where(rows["value"].notna(), "value", "bound"))
    for (finding, bound), of in rows.groupby(["finding", "bound"], sort=True):
        table.append(_row(finding, bound, of, rows[rows["finding"] == finding]))
    return pd.DataFrame([*table, *_never_valued(rows)])


def _never_valued(rows: pd.DataFrame) -> Iterator[dict[str, object]]:
    """A failed row for each finding that was due and got no value at all."""
    for finding, of in rows.groupby("finding", sort=True):
        due = int(of["should"].sum())
        if due and of["value"].isna().all():
            yield {"finding": finding, "kind": "value", "cases": 0, "hits": 0,
                   "valued when due": 0.0, "passed": "few" if due < FEWEST else "no"}


def one_a_run(rows: pd.DataFrame) -> pd.DataFrame:
    """One row a run and finding, drawn by a fixed seed.

    Rows of one run at several targets share the run's hidden constants, so that they hit or miss
    together; a binomial interval needs cases that are independent.
    """
    shuffled = rows.sample(frac=1.0, random_state=SEED % 2**31)
    valued = shuffled["value"].notna()
    return shuffled[~shuffled.assign(v=valued).duplicated(["campaign", "run", "finding", "v"])]


def _row(finding: str, bound: str, of: pd.DataFrame, every: pd.DataFrame) -> dict[str, object]:
    hits, cases = int(of["hit"].sum()), len(of)
    low, high = binomial_interval(hits, cases)
    due = every[every["should"]]
    valued = float(due["value"].notna().mean()) if len(due) else np.nan
    both_ends = of[np.isfinite(of["low"]) & np.isfinite(of["high"]) & (of["implied"] > 0)]
    ratio = (both_ends["high"] - both_ends["low"]) / both_ends["implied"]
    median = float(ratio.median()) if len(ratio) and bound == "value" else np.nan
    if bound == "value":
        touches = low <= HIT_HIGH and high >= HIT_LOW
        passed = touches and not valued < VALUED_LEAST and not median > WIDTH_MOST
    else:
        passed = high >= HIT_BOUNDED
    return {
        "finding": finding, "kind": bound, "cases": cases, "hits": hits,
        "hit rate": hits / cases, "99 % low": low, "99 % high": high,
        "valued when due": valued if bound == "value" else np.nan,
        "width / implied": median,
        "passed": "few" if cases < FEWEST else "yes" if passed else "no",
    }


def binomial_interval(hits: int, cases: int) -> tuple[float, float]:
    """Clopper–Pearson 99 % interval of a rate.

    References
    ----------
    C. J. Clopper, E. S. Pearson, Biometrika 26 (1934) 404–413.
    """
    from scipy.special import betaincinv

    low = 0.0 if hits == 0 else float(betaincinv(hits, cases - hits + 1, 0.005))
    high = 1.0 if hits == cases else float(betaincinv(hits + 1, cases - hits, 0.995))
    return low, high


def misses(rows: pd.DataFrame, findings: Iterable[str]) -> pd.DataFrame:
    """Cases whose interval misses the truth, for a closer look."""
    return rows[~rows["hit"] & rows["finding"].isin(list(findings))]

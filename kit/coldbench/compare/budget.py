"""Uncertainty budgets: which hidden constant makes how much of a finding's variance."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from coldbench import draws
from coldbench.findings import Finding

LEAST = 0.01  # a smaller share is told among the others
REST = "others, and what only together make a difference"


@dataclass(frozen=True)
class Share:
    """One input of a budget: its name and its share of the variance. [-]"""

    name: str
    share: float


def budgets(
    findings: Sequence[Finding], names: Mapping[str, str]
) -> list[tuple[Finding, list[Share]]]:
    """Budget of each finding that has an interval by draws.

    Parameters
    ----------
    findings : sequence of Finding
        Rows of the campaign.
    names : mapping of str to str
        All constants that were drawn, as :func:`coldbench.draws.noted` keeps them.

    Returns
    -------
    list of (Finding, list of Share)
        Shares from the largest down, those under a hundredth together at the end, so that they
        make one. Findings without draws, or whose draws do not vary, are left out.

    Notes
    -----
    The constants are drawn apart from each other, so the share of one is the square of its
    correlation with the finding. What is curved or made by two of them together stays in the
    rest.

    References
    ----------
    .. [1] JCGM 100:2008, 5.1.2 and annex H.1: squares of (sensitivity × standard uncertainty).
    """
    chosen = [f for f in findings if f.draws is not None and np.isfinite(f.draws).all()
              and np.ptp(f.draws) > 0]
    if not chosen or not names:
        return []
    inputs = np.array([draws.standard(name, shape) for name, shape in names.items()])
    results = np.array([(f.draws - f.draws.mean()) / f.draws.std() for f in chosen])
    inputs -= inputs.mean(axis=1, keepdims=True)
    inputs /= inputs.std(axis=1, keepdims=True)
    shares = (results @ inputs.T / draws.DRAWS) ** 2
    return [(finding, _sorted(row, list(names)))
            for finding, row in zip(chosen, shares, strict=True)]


def _sorted(row: np.ndarray, names: Sequence[str]) -> list[Share]:
    order = np.argsort(-row, kind="stable")
    told = [Share(names[i], float(row[i])) for i in order if row[i] >= LEAST]
    return [*told, Share(REST, max(0.0, 1 - sum(one.share for one in told)))]

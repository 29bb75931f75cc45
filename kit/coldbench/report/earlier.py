"""Coolers of earlier campaigns that join a comparison, by the findings they left."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from coldbench import draws
from coldbench.errors import Fault, UserError
from coldbench.findings import KINDS, Finding
from coldbench.report.results import Results, read_results
from coldbench.sheets import Campaign


@dataclass(frozen=True)
class Earlier:
    """What earlier campaigns bring.

    Parameters
    ----------
    rows : tuple of Finding
        Of their coolers, under ids and run names of their own.
    names : dict of str to str
        Name of each cooler, with the date of its campaign, by id.
    protocols : dict of str to str
        Protocol of each of their runs.
    """

    rows: tuple[Finding, ...] = ()
    names: dict[str, str] = field(default_factory=dict)
    protocols: dict[str, str] = field(default_factory=dict)


def read_earlier(campaign: Campaign) -> Earlier:
    """Findings of the campaigns that ``[[earlier]]`` names.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.

    Returns
    -------
    Earlier
        Their errors are drawn apart from this campaign's: another day, perhaps other probes.

    Raises
    ------
    UserError
        A file is missing or holds something else; all such faults at once.
    """
    rows: list[Finding] = []
    names: dict[str, str] = {}
    protocols: dict[str, str] = {}
    faults: list[Fault] = []
    for number, sheet in enumerate(campaign.sheet.earlier, 1):
        try:
            told = read_results(campaign.folder / sheet.findings)
        except UserError as error:
            faults += [replace(f, what=f"earlier findings {sheet.findings}: {f.what}")
                       for f in error.faults]
            continue
        when = told.date or f"earlier {number}"
        ids = _ids(told, {*campaign.coolers, *names})
        names |= {ids[c]: f"{name} ({when})" for c, name in told.coolers.items()}
        protocols |= {f"{when} {run}": protocol for run, protocol in told.protocols.items()}
        rows += [_taken(f, ids, when) for f in told.findings
                 if f.cooler in ids and f.finding in KINDS]
    if faults:
        raise UserError(faults)
    return Earlier(tuple(rows), names, protocols)


def _ids(told: Results, taken: set[str]) -> dict[str, str]:
    """An id of its own for each earlier cooler."""
    ids: dict[str, str] = {}
    for cooler in told.coolers:
        free, n = cooler, 2
        while free in taken:
            free, n = f"{cooler}-{n}", n + 1
        ids[cooler] = free
        taken.add(free)
    return ids


def _taken(finding: Finding, ids: dict[str, str], when: str) -> Finding:
    cooler = ids[finding.cooler]
    name = f"earlier {when} {cooler} {finding.finding} {finding.at}"
    return replace(finding, cooler=cooler, runs=tuple(f"{when} {run}" for run in finding.runs),
                   draws=_drawn(finding, name))


def _drawn(finding: Finding, name: str) -> np.ndarray | None:
    """Two half normals that meet in the value and have its interval; None without one."""
    if None in (finding.value, finding.low, finding.high):
        return None
    standard = draws.normal(name, 1 / 1.96)
    down, up = finding.value - finding.low, finding.high - finding.value
    return finding.value + standard * np.where(standard < 0, down, up)

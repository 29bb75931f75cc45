"""Logs of one probe that follow each other become one trace; what does not fit is a fault."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from coldbench.errors import Fault, UserError, gathered
from coldbench.findings import Notice
from coldbench.logs.cumulative import is_straight
from coldbench.logs.files import LogFile
from coldbench.logs.record import Trace, steps_of
from coldbench.logs.words import many
from coldbench.sheets import Campaign

# What two logs of one probe must agree in, and how a message calls it.
ALIKE = {
    "error": "limit of error", "power": "way of logging power", "label": "label",
    "metered_at": "metering point",
}


def by_role(
    campaign: Campaign, run: str, files: list[tuple[int, LogFile]]
) -> tuple[dict[str, Trace], list[Notice]]:
    """One trace a role.

    Parameters
    ----------
    campaign : Campaign
        Sheets.
    run : str
        Id of the run.
    files : list of (int, LogFile)
        Logs with their number in the run sheet.

    Returns
    -------
    traces : dict of str to Trace
        By role.
    notices : list of Notice
        Rows that stood in two files.

    Raises
    ------
    UserError
        Two probes in one role, or logs of one probe that differ where they should not.
    """
    traces: dict[str, Trace] = {}
    notices: list[Notice] = []
    faults: list[Fault] = []
    for number, file in files:
        twice = 0
        where = campaign.where(f"runs/{run}.toml", "log", number, "columns")
        for trace in file.traces:
            if trace.role not in traces:
                traces[trace.role] = trace
                continue
            with gathered(faults):
                traces[trace.role], same = joined(traces[trace.role], trace, where)
                twice = max(twice, same)
        if twice:
            stood = "stands" if twice == 1 else "stand"
            notices.append(Notice(
                "LOG-TWICE", "note", file.echo.file,
                f"{many(twice, 'row')} of this log {stood} in an earlier one too, with the same "
                "values, and counted once.", campaign.runs[run].cooler,
            ))
    if faults:
        raise UserError(faults)
    return traces, notices


def joined(one: Trace, other: Trace, where: str) -> tuple[Trace, int]:
    """Two traces of one probe as one, and how many samples both had.

    Parameters
    ----------
    one, other : Trace
        Of one role.
    where : str
        File and line of the second log's columns.

    Returns
    -------
    trace : Trace
        In order of time; samples that both have, once.
    same : int
        Number of those.

    Raises
    ------
    UserError
        Other probe, other ways of logging, or samples that contradict each other.
    """
    before, after = sorted([one, other], key=lambda trace: trace.t[0])
    _refuse_unlike(before, after, where)
    t, first = np.unique(np.concatenate([before.t, after.t]), return_index=True)
    y = np.concatenate([before.y, after.y])[first]
    cuts = [np.zeros(len(x.t), bool) if x.cut is None else x.cut for x in (before, after)]
    cut = np.concatenate(cuts)[first]
    _, i, j = np.intersect1d(before.t, after.t, assume_unique=True, return_indices=True)
    begin, end = after.t[0], min(before.t[-1], after.t[-1])
    inside = [int(((x.t >= begin) & (x.t <= end)).sum()) for x in (before, after)]
    if set(inside) != {len(i)} or not np.array_equal(before.y[i], after.y[j]):
        raise UserError(Fault(
            f"two logs overlap and say different things of {one.role}", where,
            found=f"{before.file} and {after.file}",
            do="take the overlap out of a copy of one of them; if they are two probes, number "
               f'the places ("{one.role}_2")',
        ))
    return replace(
        before, t=t, y=y, cut=cut if cut.any() else None, step=steps_of(t)[2],
        gap=max(before.gap, after.gap), resolution=max(before.resolution, after.resolution),
        counter_step=max(before.counter_step, after.counter_step),
        file=f"{before.file} {after.file}",
    ), len(i)


def _refuse_unlike(before: Trace, after: Trace, where: str) -> None:
    files = f"{before.file} and {after.file}"
    if before.probe != after.probe:
        raise UserError(Fault(
            f'two logs give the role "{before.role}"', where, found=files,
            do=f'number the places ("{before.role}_2"), or name one probe in both where '
               "the second log goes on after the first",
        ))
    alike = {"error": ALIKE["error"]} if is_straight(before) else ALIKE
    differs = [word for name, word in alike.items()
               if getattr(before, name) != getattr(after, name)]
    # A silence of the faster log must not pass for a step of the slower one.
    if max(before.step, after.step) > min(before.gap, after.gap) > 0:
        differs.append("gap limit")
    if differs:
        raise UserError(Fault(
            f"two logs of probe {before.probe} differ in their {' and '.join(differs)}", where,
            found=files, do="declare the same in both [[log]] blocks, or name two probes",
        ))

"""All that was logged and read in a run, on one clock, with its time zero."""

from __future__ import annotations

from coldbench.errors import Fault, UserError, gathered
from coldbench.logs.files import read_files
from coldbench.logs.joining import by_role
from coldbench.logs.notices import log_notices
from coldbench.logs.quality import quality
from coldbench.logs.readings import instant, read_by_hand
from coldbench.logs.record import Mark, Record
from coldbench.logs.sync import clock_notices
from coldbench.logs.zero import away_notices, time_zero, zero_notice
from coldbench.sheets import Campaign


def read_runs(campaign: Campaign) -> dict[str, Record]:
    """Read the logs of all runs.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.

    Returns
    -------
    dict of str to Record
        By run, in the order of the campaign.

    Raises
    ------
    UserError
        The faults of all logs of all runs.
    """
    records: dict[str, Record] = {}
    faults: list[Fault] = []
    for run in campaign.runs:
        with gathered(faults):
            records[run] = read_run(campaign, run)
    if faults:
        raise UserError(dict.fromkeys(faults))
    return records


def read_run(campaign: Campaign, run: str) -> Record:
    """Read the logs and typed readings of one run.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.
    run : str
        Id of the run.

    Returns
    -------
    Record

    Raises
    ------
    UserError
        All faults of its logs.
    """
    sheet = campaign.runs[run]
    faults: list[Fault] = []
    files, by_hand, traces, twice = [], [], {}, []
    for number in range(len(sheet.log)):
        with gathered(faults):
            files += [(number, file) for file in read_files(campaign, run, number)]
    with gathered(faults):
        by_hand = read_by_hand(campaign, run)
    with gathered(faults):
        traces, twice = by_role(campaign, run, files)
    if faults:
        raise UserError(faults)
    for trace in by_hand:
        name = trace.role if trace.role not in traces else f"{trace.role} by hand"
        traces[name] = trace
    start = campaign.seconds(sheet.start) if sheet.start else None
    marks = tuple(sorted(
        (Mark(instant(campaign, start, m.at), m.what, m.note or "") for m in sheet.mark),
        key=lambda mark: mark.t,
    ))
    zero, rule = time_zero(traces, marks, start)
    traces, doubts = quality(campaign, run, traces, zero)
    echoes = tuple(file.echo for _, file in files)
    notices = (*zero_notice(rule, run, sheet.cooler),
               *away_notices(traces.values(), zero, sheet.cooler, campaign.tz),
               *clock_notices(run, sheet.cooler, traces.values()),
               *log_notices(campaign, run, echoes, traces), *twice, *doubts)
    end = max(float(trace.t[-1]) for trace in traces.values())
    return Record(run, sheet.cooler, traces, zero, rule, end, marks, notices, echoes)

"""What the reader of a report must know about the logs of a run."""

from __future__ import annotations

from collections.abc import Iterator

from coldbench.findings import Notice
from coldbench.logs.record import FileEcho, Trace
from coldbench.logs.words import listed, told_time
from coldbench.sheets import Campaign


def log_notices(
    campaign: Campaign, run: str, files: tuple[FileEcho, ...], traces: dict[str, Trace]
) -> list[Notice]:
    """Silences and repairs.

    Parameters
    ----------
    campaign : Campaign
        Sheets.
    run : str
        Id of the run.
    files : tuple of FileEcho
        What was understood of each file.
    traces : dict of str to Trace
        By role.

    Returns
    -------
    list of Notice
        In order of files.
    """
    cooler = campaign.runs[run].cooler
    notices = []
    for file in files:
        if file.gaps:
            notices.append(Notice(
                "LOG-GAP", "doubt", file.file,
                _capital(_silence(campaign, list(file.gaps), file.gap_limit)), cooler,
            ))
        notices += [Notice("LOG-REPAIR", "note", file.file, f"{_capital(r)}.", cooler)
                    for r in file.repairs]
    between = dict(_between(files, traces))
    notices += [
        Notice("LOG-GAP", "doubt", where, _capital(_silence(campaign, [gap], limit)), cooler)
        for (where, limit), gap in between.items()
    ]
    told = {gap for file in files for gap in file.gaps} | set(between.values())
    for trace in traces.values():
        if not trace.by_hand and (gaps := [gap for gap in _silences(trace) if gap not in told]):
            notices.append(Notice(
                "LOG-GAP", "doubt", trace.file,
                f"Blank cells of {trace.role}: {_silence(campaign, gaps, trace.gap)}", cooler,
            ))
    return notices


def _silence(campaign: Campaign, gaps: list[tuple[float, float]], limit: float) -> str:
    total = sum(end - begin for begin, end in gaps) / 60
    times = listed(f"{told_time(a, campaign.tz)} to {told_time(b, campaign.tz)}" for a, b in gaps)
    count = "one silence" if len(gaps) == 1 else f"{len(gaps)} silences"
    return (f"{count} longer than {limit / 60:.1f} min, {total:.0f} min in all: {times}. "
            "Nothing was filled.")


def _silences(trace: Trace) -> list[tuple[float, float]]:
    if trace.even:
        return []
    silent = ~trace.covered
    return list(zip(trace.t[:-1][silent].tolist(), trace.t[1:][silent].tolist(), strict=True))


def _between(
    files: tuple[FileEcho, ...], traces: dict[str, Trace]
) -> Iterator[tuple[tuple[str, float], tuple[float, float]]]:
    """Silences from the last sample of one file to the first of the next."""
    for trace in traces.values():
        parts = sorted((f for f in files if f.file in trace.file.split()), key=lambda f: f.start)
        for before, after in zip(parts, parts[1:], strict=False):
            if after.start - before.end > trace.gap:
                where = f"{before.file} and {after.file}"
                yield (where, trace.gap), (before.end, after.start)


def _capital(sentence: str) -> str:
    return sentence[0].upper() + sentence[1:]

"""The echo card: what was understood of a run, for the eye to compare with what was done."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from coldbench.logs.record import Channel, FileEcho, Record
from coldbench.logs.words import told_time
from coldbench.quantities import number
from coldbench.sheets.roles import ROLE_UNITS, base_role

WIDTH = 100


def echo_text(record: Record, tz: ZoneInfo) -> str:
    """Echo cards of a run as plain text, at most 100 characters wide.

    Parameters
    ----------
    record : Record
        The run, read.
    tz : ZoneInfo
        Zone in which times are shown.
    """
    lines = [
        f"{record.run}  (cooler {record.cooler})",
        f"  time zero   {told_time(record.zero, tz)}, from {record.zero_from}",
    ]
    for file in record.files:
        lines += _file(file, tz)
    by_hand = [t for t in record.traces.values() if t.by_hand]
    if by_hand:
        roles = ", ".join(f"{t.role} ({len(t.t)})" for t in by_hand)
        lines.append(f"  by hand     {roles}")
    lines += _wrapped("marks", [f"{m.what} at {told_time(m.t, tz)}" for m in record.marks])
    several = len(record.files) > 1
    for n in record.notices:
        where = f"{n.where}: " if several and n.where != record.run else ""
        lines += _wrapped(n.severity, [f"{where}{n.message}"])
    return "\n".join(lines)


def span(seconds: float) -> str:
    """A time in the unit in which it reads best.

    Examples
    --------
    >>> span(2.5), span(300), span(7200)
    ('2.5 s', '5 min', '2 h')
    """
    for unit, scale in (("h", 3600.0), ("min", 60.0)):
        if seconds >= 2 * scale:
            return f"{number(seconds / scale, 1).removesuffix('.0')} {unit}"
    return f"{number(seconds, 1).removesuffix('.0')} s"


def _file(file: FileEcho, tz: ZoneInfo) -> list[str]:
    hours = (file.end - file.start) / 3600
    gaps = "none"
    if file.gaps:
        gaps = f"{len(file.gaps)}, {span(sum(b - a for a, b in file.gaps))} in all"
    lines = [
        f"  {file.file}",
        f"    form      {file.form}",
        f"    rows      {file.rows}, one each {span(file.step)}",
        f"    span      {told_time(file.start, tz)} to {told_time(file.end, tz)}, "
        f"{number(hours, 1)} h",
        f"    gaps      {gaps} (longer than {span(file.gap_limit)})",
    ]
    lines += [_channel(channel) for channel in file.channels]
    lines += _wrapped("  unused", list(file.unused))
    lines += [line for r in file.repairs for line in _wrapped("  repair", [r])]
    lines += [line for q in file.questions for line in _wrapped("  question", [q])]
    return lines


def _channel(channel: Channel) -> str:
    low, high = (number(v, 2) if v is not None else "–" for v in (channel.low, channel.high))
    blanks = f", {channel.blanks} blank" if channel.blanks else ""
    unit = ROLE_UNITS[base_role(channel.role)]
    text = (f"    column    {channel.column} → {channel.role}, written in {channel.unit or '-'}, "
            f"{low} to {high} {unit}{blanks}, probe {channel.probe}")
    return text if len(text) <= WIDTH else text[: WIDTH - 1] + "…"


def _wrapped(label: str, parts: list[str]) -> list[str]:
    import textwrap

    if not parts:
        return []
    return textwrap.wrap(", ".join(parts), WIDTH, initial_indent=f"  {label:<10}  ",
                         subsequent_indent=" " * 14)

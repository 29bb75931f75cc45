"""The lines above a table: what they say of it, and whether they are rows that lost theirs."""

from __future__ import annotations

import re

from coldbench.logs.layout import Layout
from coldbench.logs.sorting import begins_like_a_row
from coldbench.logs.source import Source
from coldbench.logs.words import many

# How exports call the number of their rows. Common practice, no source.
COUNT = re.compile(
    r"(?i)\b(?:count|samples|records|readings|points|rows|anzahl|messwerte|nombre|lecturas)\b"
    r"[^\d\n]{0,20}?[:=;,\t ]\s*(\d{1,9})\s*$")


def stated_count(source: Source, layout: Layout, rows: int) -> list[str]:
    """What to say where the lines above the headings state another number of rows.

    Parameters
    ----------
    source : Source
        The log as text.
    layout : Layout
        Where its headings are.
    rows : int
        That were read.

    Returns
    -------
    list of str
        One sentence, or none.
    """
    for line in _above(source, layout):
        found = COUNT.search(line.strip())
        if found and int(found.group(1)) != rows:
            return [f"the file states {found.group(1)} readings, and {rows} were read"]
    return []


def rows_above(source: Source, layout: Layout, times: list[str]) -> list[str]:
    """What to say where rows stand above the headings.

    Headings that come again after a restart are taken for the first ones if those were lost.

    Parameters
    ----------
    source : Source
        The log as text.
    layout : Layout
        Where its headings are.
    times : list of str
        Headings of the columns that tell the time.

    Returns
    -------
    list of str
        One sentence, or none.
    """
    first = min((layout.headings.index(time) for time in times), default=0)
    above = [layout.split(line) for line in _above(source, layout)]
    rows = [cells for cells in above
            if len(cells) == layout.width > 1 and begins_like_a_row(cells, first)]
    if not rows:
        return []
    return [f"{many(len(rows), 'line')} above the headings on line {layout.heading} could be rows "
            "and were not read: have they lost their own headings?"]


def _above(source: Source, layout: Layout) -> list[str]:
    return source.head(layout.heading - 1) if layout.heading > 1 else []

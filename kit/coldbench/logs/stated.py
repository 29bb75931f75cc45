"""What the lines above a table say of it, checked against the table."""

from __future__ import annotations

import re

from coldbench.logs.layout import Layout
from coldbench.logs.source import Source

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
    for line in source.head(layout.heading - 1):
        found = COUNT.search(line.strip())
        if found and int(found.group(1)) != rows:
            return [f"the file states {found.group(1)} readings, and {rows} were read"]
    return []

"""The key of the whole class: all groups' keys and points, and who stands apart from the rest."""

from __future__ import annotations

import csv
import statistics
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path

from coldbench.course.deliver import Places
from coldbench.course.roster import Roster

KEY, MARKS, OUTLIERS = "key.csv", "marks.csv", "outliers.csv"
MARKED = ("group", "card", "points", "of")
COLUMNS = ("card", "asked", "title", "unit", "group", "what", "value", "middle", "score")
# What stands apart: what the group's own data give, or what it answered.
WHAT = {"expected": "its own data", "number": "its answer"}
FAR, FEWEST = 3.5, 5  # score from which a group stands apart; groups from which it is worked out
NORMAL = 0.6745  # of a median absolute deviation in standard deviations


def write_class_key(roster: Roster, places: Places) -> list[Path]:
    """Write ``key.csv``, ``marks.csv`` and ``outliers.csv`` into the key's folder.

    Parameters
    ----------
    roster : Roster
        The class.
    places : Places
        The key of each group is in its place.

    Returns
    -------
    list of Path
        The files.
    """
    rows, columns = [], ["group"]
    for group in roster.groups:
        file = places.key_of(group) / KEY
        if file.is_file():
            with file.open(encoding="utf-8", newline="") as text:
                table = csv.DictReader(text)
                rows += list(table)
                columns = list(table.fieldnames or columns)
    return [_written(places.key / KEY, columns, rows),
            _written(places.key / MARKS, MARKED, list(marks(rows))),
            _written(places.key / OUTLIERS, COLUMNS, list(outliers(rows)))]


def marks(rows: Iterable[Mapping[str, str]]) -> Iterator[dict[str, str]]:
    """Points that the kit gave each group for each card; people mark the rest of the rubric.

    Parameters
    ----------
    rows : iterable of mapping
        Of all groups' keys.

    Yields
    ------
    dict
        With the keys ``MARKED``.
    """
    sums: dict[tuple[str, str], list[float]] = {}
    for row in rows:
        points = sums.setdefault((row["group"], row["card"]), [0.0, 0.0])
        points[0] += float(row["points"] or 0)
        points[1] += float(row["of"] or 0)
    for (group, card), (points, most) in sums.items():
        yield {"group": group, "card": card, "points": f"{points:.1f}", "of": f"{most:.1f}"}


def outliers(rows: Iterable[Mapping[str, str]]) -> Iterator[dict[str, str]]:
    """Groups whose number stands apart from those of the class.

    Parameters
    ----------
    rows : iterable of mapping
        Of all groups' keys.

    Yields
    ------
    dict
        With the keys ``COLUMNS``.
    """
    rows = list(rows)
    asked = dict.fromkeys((row["card"], row["asked"]) for row in rows)
    for card, name in asked:
        same = [row for row in rows if (row["card"], row["asked"]) == (card, name)]
        for column, what in WHAT.items():
            known = {row["group"]: float(row[column]) for row in same if row[column]}
            middle = statistics.median(known.values()) if known else 0.0
            for group, score in scores(known).items():
                if abs(score) > FAR:
                    yield {"card": card, "asked": name, "title": same[0]["title"],
                           "unit": same[0]["unit"], "group": group, "what": what,
                           "value": f"{known[group]:.6g}", "middle": f"{middle:.6g}",
                           "score": f"{score:.1f}"}


def scores(values: Mapping[str, float]) -> dict[str, float]:
    """How far each group stands from the middle, in robust standard deviations.

    Parameters
    ----------
    values : mapping of str to float
        By group. [any]

    Returns
    -------
    dict of str to float
        Modified z-scores; none where there are fewer than five groups or more than half of them
        agree to the last digit. [-]

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17: 0.6745 times the distance
       from the median over the median absolute deviation; beyond 3.5 a potential outlier.

    Examples
    --------
    >>> scores(dict(a=1.0, b=1.1, c=0.9, d=1.2, e=3.0))["e"]
    12.8155
    """
    if len(values) < FEWEST:
        return {}
    middle = statistics.median(values.values())
    spread = statistics.median(abs(value - middle) for value in values.values())
    return {g: NORMAL * (v - middle) / spread for g, v in values.items()} if spread else {}


def _written(file: Path, columns: Sequence[str], rows: Sequence[Mapping[str, str]]) -> Path:
    fresh = file.with_name(f"{file.name}.new")
    with fresh.open("w", encoding="utf-8", newline="") as text:
        table = csv.DictWriter(text, columns, lineterminator="\n")
        table.writeheader()
        table.writerows(rows)
    return fresh.replace(file)

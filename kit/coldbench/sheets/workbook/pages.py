"""Which pages the workbook has, and what stands in their rows and columns."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from coldbench.sheets.campaign import CampaignSheet
from coldbench.sheets.cooler import CoolerSheet
from coldbench.sheets.roles import ROLE_KINDS, base_role
from coldbench.sheets.run import RunSheet
from coldbench.sheets.types import Sheet
from coldbench.sheets.workbook.keys import Key, fields_of, keys_of, outer, table_in

REMARK = "#"  # a page, row or column headed so is not read
TABLE, KEY, VALUE = "table", "key", "value"
CAMPAIGN, COOLERS, RUNS = "Campaign", "Coolers", "Runs"
PAGE_NAMES = {"board": "Boards", "hot_side": "Hot sides", "load": "Loads", "log": "Logs",
              "reading": "Readings", "mark": "Marks"}


@dataclass(frozen=True)
class Across:
    """A page with keys down and things across: one column a cooler, or a run.

    Parameters
    ----------
    name : str
        Name of the page.
    model : type
        Model of one thing.
    root : str
        What the ``table`` column says of keys that stand in no table.
    """

    name: str
    model: type[Sheet]
    root: str

    @property
    def keys(self) -> tuple[Key, ...]:
        """Its rows."""
        return _keys(self.model)

    def table_of(self, key: Key) -> str:
        """What the ``table`` column says of a key."""
        return ".".join(key.path[:-1]) or self.root


@dataclass(frozen=True)
class Rows:
    """A page with one row a thing and keys across.

    Parameters
    ----------
    name : str
        Name of the page.
    model : type
        Model of one row.
    owners : dict of str to str
        Leading headings, which say what a row belongs to: what they mean.
    holder : tuple of str
        Steps that lead from the owner's sheet to these rows.
    """

    name: str
    model: type[Sheet]
    owners: dict[str, str]
    holder: tuple[str, ...]

    @property
    def keys(self) -> tuple[Key, ...]:
        """Its columns."""
        return _keys(self.model)

    def key_of(self, heading: str) -> Key | None:
        """Key of a heading; a role may carry a number."""
        known = {key.name: key for key in self.keys}
        base = base_role(heading)
        if heading in known or base not in known or base not in ROLE_KINDS:
            return known.get(heading)
        like = known[base]
        return Key((heading,), like.types, like.words, like.hint, like.example)


@cache
def _keys(model: type[Sheet]) -> tuple[Key, ...]:
    return tuple(keys_of(model))


@cache
def across_pages() -> tuple[Across, ...]:
    """Pages with keys down."""
    return (Across(CAMPAIGN, CampaignSheet, "campaign"), Across(COOLERS, CoolerSheet, "cooler"),
            Across(RUNS, RunSheet, "run"))


@cache
def row_pages() -> tuple[Rows, ...]:
    """Pages with one row a thing: every list or map of tables that a sheet holds.

    Examples
    --------
    >>> [page.name for page in row_pages()]
    ['Instruments', 'Earlier', 'Boards', 'Hot sides', 'Loads', 'Logs', 'Columns', 'Readings',
     'Marks']
    """
    return (*_rows_in(CampaignSheet, {}), *_rows_in(RunSheet, {"run": "Id of the run."}))


def _rows_in(model: type[Sheet], owners: dict[str, str],
             above: tuple[str, ...] = ()) -> Iterator[Rows]:
    for name, field in fields_of(model).items():
        inner, many = table_in(field.annotation), outer(field.annotation)
        if inner is None or many is None:
            continue
        own = dict(owners)
        if above:
            own["log"] = "File as in Logs; or its number among the run's logs: 1, 2 …"
        if many is dict:
            own["heading" if above else "id"] = (
                "Heading of the column, or name of the channel." if above else
                "An id of your own.")
        page = PAGE_NAMES.get(name, name.capitalize())
        yield Rows(page, inner, own, (*above, name))
        yield from _rows_in(inner, owners, (*above, name))

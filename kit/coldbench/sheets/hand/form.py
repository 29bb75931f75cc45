"""What stands on a data sheet: its fields, its columns and the times at which to read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from coldbench.errors import Fault, UserError, nearest
from coldbench.quantities import QuantityError, parse
from coldbench.sheets.raw import ID
from coldbench.sheets.roles import ROLE_KINDS, base_role
from coldbench.sheets.run import METERING_POINTS, RUN_KINDS, LoadSheet, RunSheet
from coldbench.sheets.types import Sheet
from coldbench.sheets.workbook.keys import Key, keys_of

RUN, LOADS, READINGS, MARKS = "Run", "Loads", "Readings", "Marks"  # blocks of a page
TIME, NOTE = "time", "note"  # first and last column of the readings
# Rows between the head of a column of readings and its first value.
INSTRUMENT, SORT, ERROR, RESOLUTION, CHECKED = (
    "instrument", "kind", "error", "resolution", "checked")
METERED = "metered at"
ELECTRICAL = {"power", "energy"}  # kinds of which the metering point has to be said
LOAD_ROWS = 2
LOAD_KEYS = ("count", "water", "container.material", "container.mass", "start")
COMMON = ("cooler", "kind", "start", "setting", "machine", "ambient", "protocol", "repeat_of")
# Units in which people read at the bench: SI, US. A number written without one has this.
ROLE_UNITS = {"temperature": ("°C", "°F"), "power": ("W", "W"), "energy": ("kWh", "kWh"),
              "voltage": ("V", "V"), "current": ("A", "A"), "sound": ("dB", "dB"),
              "mass": ("g", "oz"), "humidity": ("%", "%"), "pressure": ("kPa", "psi"),
              "count": ("", "")}
KEY_UNITS = {
    "display": ("°C", "°F"), "ambient": ("°C", "°F"), "water": ("mL", "fl oz"),
    "container.mass": ("g", "oz"), "freeze.drained": ("g", "oz"), "freeze.total": ("g", "oz"),
    "heater.power": ("W", "W"), "heater.fan": ("W", "W"), "ice.mass": ("kg", "lb"),
    "ice.start": ("°C", "°F"), "ice.drained": ("kg", "lb"), "sound.distance": ("m", "ft"),
    "sound.background": ("dB", "dB"), "openings.length": ("s", "s"),
    **{f"window.{name}.{end}": ("min", "min") for name in ("ice", "air", "steady")
       for end in ("from", "to")},
}
LOAD_UNITS = {**KEY_UNITS, "start": ("°C", "°F")}  # a load's start is no time
UNITS = ("si", "us")
# For many columns: rounds of readings of what has become steady.
ROUNDS = ("5 min", "45 min")
MANY = 5  # columns up to which a kind's own plan holds


@dataclass(frozen=True)
class Plan:
    """What a page of one kind asks for, unless it is told otherwise.

    Parameters
    ----------
    roles : tuple of str
        What is read.
    step, length : str
        Time between readings, and from the first to the last.
    loads : int
        Rows for what was put in.
    extra : tuple of str
        Keys of the run sheet that this kind needs.
    """

    roles: tuple[str, ...]
    step: str
    length: str
    loads: int = 0
    extra: tuple[str, ...] = ()


PLANS: dict[str, Plan] = {
    "pull-down": Plan(("air", "load", "ambient", "power"), "10 min", "3 h", LOAD_ROWS,
                      ("display",)),
    "steady": Plan(("air", "load", "ambient", "energy"), "10 min", "3 h", LOAD_ROWS,
                   ("display",)),
    "freeze": Plan(("load", "air", "ambient", "energy"), "20 min", "6 h", LOAD_ROWS,
                   ("freeze.drained", "freeze.total")),
    "warm-up": Plan(("air", "load", "ambient"), "20 min", "6 h", LOAD_ROWS),
    "heater": Plan(("air", "ambient", "voltage", "current"), "20 min", "6 h", 0,
                   ("heater.power", "heater.fan")),
    "ice-melt": Plan(("air", "ambient", "mass"), "20 min", "6 h", 0,
                     ("ice.mass", "ice.start", "ice.drained")),
    "openings": Plan(("air", "load", "ambient", "energy"), "5 min", "90 min", LOAD_ROWS,
                     ("openings.count", "openings.length")),
    "supply-volts": Plan(("voltage", "current", "power"), "1 min", "20 min"),
    "sound": Plan(("sound",), "1 min", "10 min", 0,
                  ("sound.state", "sound.distance", "sound.background")),
    "same-place": Plan(("air", "load", "ambient"), "2 min", "40 min", 0,
                       ("window.ice.from", "window.ice.to", "window.air.from", "window.air.to")),
}


@dataclass(frozen=True)
class Field:
    """One box to fill in.

    Parameters
    ----------
    key : Key
        What is said there.
    label : str
        What is printed at it, without its unit.
    unit : str
        Unit of a number written without one; ``""`` where none is wanted.
    given : str
        What is printed in it.
    """

    key: Key
    label: str
    unit: str
    given: str = ""

    @property
    def head(self) -> str:
        """Label and unit: ``heater power [W]``."""
        return with_unit(self.label, self.unit)


@dataclass(frozen=True)
class DataSheet:
    """One page: one run.

    Parameters
    ----------
    run : str
        Id of the run; in a workbook the name of the page.
    kind : tuple of str
        What the run is good for.
    roles : tuple of str
        What is read.
    times : tuple of str
        When, counted from the start, in ``unit``.
    unit : str
        ``s``, ``min`` or ``h``.
    given : dict
        What is known beforehand, as in a run sheet: ``{"cooler": "box"}``.
    title, group : str
        Printed at the head.
    notes : tuple of str
        Lines printed below the head: what this group is to set, and the like.
    banner : str
        Printed in a frame at the head, ``SYNTHETIC`` for one.
    units : str
        ``si`` or ``us``.
    """

    run: str
    kind: tuple[str, ...]
    roles: tuple[str, ...]
    times: tuple[str, ...]
    unit: str
    given: Mapping[str, Any] = field(default_factory=dict)
    title: str = ""
    group: str = ""
    notes: tuple[str, ...] = ()
    banner: str = ""
    units: str = "si"

    @property
    def fields(self) -> tuple[Field, ...]:
        """Boxes of the block Run, the remark last."""
        extra = [name for kind in self.kind for name in PLANS[kind].extra]
        names = [name for name in dict.fromkeys((*COMMON, *extra, NOTE))
                 if name != "ambient" or "ambient" not in map(base_role, self.roles)]
        given = {**self.given, "kind": ", ".join(self.kind)}
        return tuple(self._field(run_keys()[name], given, KEY_UNITS) for name in names)

    @property
    def loads(self) -> tuple[tuple[Field, ...], ...]:
        """Rows of the block Loads."""
        given = list(self.given.get("load", ()))
        planned = (PLANS[kind].loads for kind in self.kind if len(self.roles) <= MANY)
        rows = max([len(given), *planned])
        given += [{}] * (rows - len(given))
        return tuple(tuple(self._field(load_keys()[name], row, LOAD_UNITS) for name in LOAD_KEYS)
                     for row in given)

    def head_of(self, role: str) -> str:
        """Head of a column of readings: ``pressure low [kPa]``."""
        return with_unit(label_of((role,)), self.unit_of(role))

    def unit_of(self, role: str) -> str:
        """Unit of a column of readings."""
        return ROLE_UNITS[ROLE_KINDS[base_role(role)]][UNITS.index(self.units)]

    def _field(self, key: Key, given: Mapping[str, Any],
               units: Mapping[str, tuple[str, str]]) -> Field:
        value: Any = given
        for step in key.path:
            value = value.get(step, "") if isinstance(value, Mapping) else ""
        unit = units.get(key.name, ("", ""))[UNITS.index(self.units)]
        return Field(key, label_of(key.path), unit, str(value))


def data_sheet(
    kind: str | Sequence[str], run: str = "", step: str = "", length: str = "",
    roles: Sequence[str] = (), **more: Any,
) -> DataSheet:
    """A data sheet, checked.

    Parameters
    ----------
    kind : str or sequence of str
        Kinds of run; the first one's plan says what is read and how often.
    run : str
        Id of the run; by default its kind.
    step, length : str
        Time between readings and of all of them, ``"5 min"``, ``"2 h"``; by default the kind's.
    roles : sequence of str
        What is read.
    **more
        Other parameters of :class:`DataSheet`.

    Raises
    ------
    UserError
        No such kind or role, an id that no file name can hold, or times that do not fit.

    Examples
    --------
    >>> sheet = data_sheet("warm-up", step="10 min", length="1 h")
    >>> sheet.times, sheet.unit, sheet.head_of("air")
    (('0', '10', '20', '30', '40', '50', '60'), 'min', 'air [°C]')
    """
    kinds = (kind,) if isinstance(kind, str) else tuple(kind)
    for one in kinds:
        _known(one, RUN_KINDS, "kind of run")
    for role in roles:
        _known(base_role(role), tuple(ROLE_KINDS), "role", role)
    if len(set(roles)) < len(roles):
        raise UserError(Fault("a role stands twice", found=", ".join(roles),
                              do="number it: load, load_2"))
    run = run or kinds[0]
    if not ID.fullmatch(run):
        raise UserError(Fault("the id of a run has to be safe in every file name", found=run,
                              allowed="letters A to Z, digits, - and _, no spaces"))
    plan = PLANS[kinds[0]]
    roles = tuple(roles) or plan.roles
    usual = ROUNDS if len(roles) > MANY else (plan.step, plan.length)
    times, unit = _times(step or usual[0], length or usual[1])
    return DataSheet(run, kinds, roles, times, unit, **more)


def label_of(path: Sequence[str]) -> str:
    """What is printed at a key.

    Examples
    --------
    >>> label_of(("heater", "power")), label_of(("load_2",))
    ('heater power', 'load 2')
    """
    return " ".join(path).replace("_", " ")


def with_unit(label: str, unit: str) -> str:
    """A label, and its unit in brackets."""
    return f"{label} [{unit}]" if unit else label


def is_metered(role: str) -> bool:
    """Whether it matters for a role where it was metered; a heater's own power apart."""
    return ROLE_KINDS[base_role(role)] in ELECTRICAL and base_role(role) != "heater"


def is_pressure(role: str) -> bool:
    """Whether a role is a pressure, of which has to be said what it counts from."""
    return ROLE_KINDS[base_role(role)] == "pressure"


def choices_above(role: str) -> dict[str, tuple[str, ...]]:
    """What may be chosen above the values of a role, by row."""
    sort = {SORT: ("absolute", "gauge")} if is_pressure(role) else {}
    return sort | ({METERED: METERING_POINTS} if is_metered(role) else {})


def rows_above(sheet: DataSheet) -> list[str]:
    """Names of the rows between the heads of the readings and the first time."""
    sort = [SORT] * any(map(is_pressure, sheet.roles))
    metered = [METERED] * any(map(is_metered, sheet.roles))
    return [INSTRUMENT, *sort, ERROR, RESOLUTION, CHECKED, *metered]


@cache
def run_keys() -> dict[str, Key]:
    """Keys of a run sheet that take one cell, by name."""
    return _by_name(RunSheet)


@cache
def load_keys() -> dict[str, Key]:
    """Keys of a load, by name."""
    return _by_name(LoadSheet)


def _by_name(model: type[Sheet]) -> dict[str, Key]:
    return {key.name: key for key in keys_of(model)}


def _times(step: str, length: str) -> tuple[tuple[str, ...], str]:
    try:
        every, whole = parse(step, "duration").value, parse(length, "duration").value
    except QuantityError as fault:
        raise UserError(Fault(fault.what, "the times of the data sheet", fault.found,
                              fault.allowed, fault.do)) from None
    if not 0 < every <= whole:
        raise UserError(Fault("the readings do not fit into the time", found=f"every {step}",
                              allowed=f"more than 0, at most {length}"))
    size, unit = next((size, unit) for size, unit in ((3600, "h"), (60, "min"), (1, "s"))
                      if every % size == 0 or size == 1)
    count = int(whole / every + 1e-9) + 1
    return tuple(f"{i * every / size:g}" for i in range(count)), unit


def _known(word: str, allowed: tuple[str, ...], what: str, found: str = "") -> None:
    if word not in allowed:
        near = nearest(word, allowed)
        raise UserError(Fault(f"no {what} of that name", found=found or word,
                              allowed=", ".join(allowed), do=f"write {near}" if near else ""))

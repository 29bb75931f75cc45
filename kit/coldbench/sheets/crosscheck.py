"""What no sheet can know alone: ids, currencies, files and clocks that have to fit together."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Iterator
from pathlib import Path, PureWindowsPath
from typing import TYPE_CHECKING

from coldbench.errors import Fault, nearest
from coldbench.quantities import KINDS, Quantity, QuantityError, unit_kind
from coldbench.quantities.units import factors
from coldbench.sheets.campaign import CampaignSheet, DesignSheet
from coldbench.sheets.clock import check_local, zone
from coldbench.sheets.containers import container_faults
from coldbench.sheets.cooler import InsideSheet
from coldbench.sheets.faults import from_quantity, label
from coldbench.sheets.patterns import files_of
from coldbench.sheets.roles import ROLE_KINDS, base_role
from coldbench.sheets.run import ColumnSheet, LogSheet, RunSheet, SpanSheet
from coldbench.sheets.types import Sheet

if TYPE_CHECKING:
    from coldbench.sheets.reading import Draft

# A meter's limit of error in watts also bounds its counter.
ELECTRICAL = {"power", "energy"}


def cross_faults(draft: Draft) -> Iterator[Fault]:
    """Faults between sheets, as far as the sheets could be read.

    Parameters
    ----------
    draft : Draft
        All sheets that their models accept, and the ids of all files.

    Yields
    ------
    Fault
    """
    if draft.sheet is not None:
        yield from _campaign(draft, draft.sheet)
    for cooler, sheet in draft.coolers.items():
        file = f"coolers/{cooler}.toml"
        if sheet.design_of is not None:
            yield from _known(draft, file, ("design_of",), sheet.design_of, draft.cooler_ids,
                              "cooler")
        if sheet.hot_side is not None and draft.sheet is not None:
            yield from _known(draft, file, ("hot_side",), sheet.hot_side,
                              {one.name for one in draft.sheet.hot_side}, "[[hot_side]]")
        if sheet.inside is not None and sheet.inside.step is not None:
            yield from _step(draft, file, sheet.inside)
    yield from _currencies(draft)
    for run, sheet in draft.runs.items():
        yield from _run(draft, run, sheet)


def _step(draft: Draft, file: str, inside: InsideSheet) -> Iterator[Fault]:
    for side in ("width", "depth", "height"):
        room, step = getattr(inside, side), getattr(inside.step, side)
        if room is None or step.value > room.value:
            path = ("inside", "step", side)
            yield Fault(f"{label(path)}: a step is a part of the room inside",
                        draft.where(file, *path), found=step.text,
                        allowed=f"at most {room.text}" if room else f"with inside {side}",
                        do="measure both from liner to liner")


def _campaign(draft: Draft, sheet: CampaignSheet) -> Iterator[Fault]:
    file = "campaign.toml"
    try:
        zone(sheet.timezone)
    except QuantityError as error:
        yield from_quantity(error, draft.where(file, "timezone"), ("timezone",))
    for i, cooler in enumerate(sheet.order):
        yield from _known(draft, file, ("order", i), cooler, draft.cooler_ids, "cooler")
    yield from _design(draft, sheet.design)
    if sheet.disclosure and sheet.disclosure.photo:
        yield from _file(draft, file, ("disclosure", "photo", "file"),
                         sheet.disclosure.photo.file, "picture")
    for i, earlier in enumerate(sheet.earlier):
        # The one file that may lie outside: another campaign's results.
        if not os.path.isfile(draft.folder / earlier.findings):  # noqa: PTH113 - as below
            yield Fault("no such file of findings", draft.where(file, "earlier", i, "findings"),
                        found=earlier.findings, do="run `coldbench report` on that campaign first")


def _design(draft: Draft, design: DesignSheet | None) -> Iterator[Fault]:
    for name in ("cooler", "donor") if design else ():
        cooler, path = getattr(design, name), ("design", name)
        if cooler is None:
            continue
        yield from _known(draft, "campaign.toml", path, cooler, draft.cooler_ids, "cooler")
        told = draft.coolers.get(cooler)
        if name == "donor" and told and told.technology != "compressor":
            yield Fault(f"{label(path)}: only a compressor unit is moved whole",
                        draft.where("campaign.toml", *path), found=f"{cooler}, {told.technology}",
                        do="name a compressor cooler, or leave donor out")


def _currencies(draft: Draft) -> Iterator[Fault]:
    money = draft.sheet.money if draft.sheet else None
    sheets: list[tuple[str, Sheet]] = [("campaign.toml", draft.sheet)] if draft.sheet else []
    sheets += [(f"coolers/{cooler}.toml", sheet) for cooler, sheet in draft.coolers.items()]
    prices = [(file, path, q) for file, sheet in sheets for path, q in _prices(sheet, ())]
    if not prices:
        return
    wanted = money.currency if money else prices[0][2].currency
    said = "[money] currency" if money else f"the first price, in {prices[0][0]}"
    for file, path, price in prices:
        if price.currency != wanted:
            yield Fault(
                f"{label(path)}: currency differs from the campaign's", draft.where(file, *path),
                found=price.text, allowed=f"{wanted} ({said})",
                do=f"convert it to {wanted}; the kit knows no exchange rates",
            )


def _prices(
    sheet: Sheet, path: tuple[str | int, ...]
) -> Iterator[tuple[tuple[str | int, ...], Quantity]]:
    for name, field in type(sheet).model_fields.items():
        value, here = getattr(sheet, name), (*path, field.alias or name)
        if isinstance(value, Quantity) and value.currency:
            yield here, value
        elif isinstance(value, Sheet):
            yield from _prices(value, here)
        elif isinstance(value, list):
            for i, item in enumerate(value):
                if isinstance(item, Sheet):
                    yield from _prices(item, (*here, i))


def _run(draft: Draft, run: str, sheet: RunSheet) -> Iterator[Fault]:
    file = f"runs/{run}.toml"
    yield from _known(draft, file, ("cooler",), sheet.cooler, draft.cooler_ids, "cooler")
    if sheet.repeat_of is not None:
        yield from _repeat(draft, run, sheet)
    if not sheet.log and not sheet.reading:
        yield Fault("the run has neither a log nor a reading", draft.where(file),
                    do="add [[log]] or [[reading]]; until it is made, keep the sheet elsewhere")
    if sheet.freeze and sheet.freeze.drained.value > sheet.freeze.total.value:
        yield Fault("freeze: more water was poured off than there was",
                    draft.where(file, "freeze", "drained"), found=sheet.freeze.drained.text,
                    allowed=f"at most {sheet.freeze.total.text}, the total")
    for i, item in enumerate(sheet.load):
        if item.container is not None:
            path = ("load", i, "container")
            yield from container_faults(item, label(path), draft.where(file, *path))
    for name in ("steady", "ice", "air") if sheet.window else ():
        yield from _span(draft, file, name, getattr(sheet.window, name))
    for i, log in enumerate(sheet.log):
        yield from _log(draft, file, i, log)
    for i, reading in enumerate(sheet.reading):
        path = ("reading", i)
        if not reading.values:
            yield Fault(f"{label(path)}: nothing was read", draft.where(file, *path),
                        do='add a role and its value: air = "24.1 °C"')
        for role in reading.values if reading.instrument else ():
            yield from _instrument(draft, file, (*path, "instrument"), reading.instrument, role)
    yield from _times(draft, file, sheet)


def _span(draft: Draft, file: str, name: str, span: SpanSheet | None) -> Iterator[Fault]:
    if span and span.to.value <= span.from_.value:
        yield Fault(f"window, {name}: it ends before it begins",
                    draft.where(file, "window", name, "to"), found=span.to.text,
                    allowed=f"after {span.from_.text}")


def _repeat(draft: Draft, run: str, sheet: RunSheet) -> Iterator[Fault]:
    file, path = f"runs/{run}.toml", ("repeat_of",)
    yield from _known(draft, file, path, sheet.repeat_of, draft.run_ids - {run}, "other run")
    first = draft.runs.get(sheet.repeat_of)
    if first and sheet.cooler in draft.cooler_ids and first.cooler != sheet.cooler:
        yield Fault("repeat_of: the run it repeats is of another cooler", draft.where(file, *path),
                    found=f"{sheet.repeat_of}, a run of {first.cooler}",
                    allowed=f"a run of {sheet.cooler}")


def _log(draft: Draft, file: str, i: int, log: LogSheet) -> Iterator[Fault]:
    path: tuple[str | int, ...] = ("log", i)
    for name in files_of(draft.folder, log.file):
        yield from _file(draft, file, (*path, "file"), name, "log")
    if not files_of(draft.folder, log.file):
        yield Fault(f"{label(path)}: no file fits the pattern", draft.where(file, *path, "file"),
                    found=log.file, do="mend the pattern, or put the logs there")
    if log.timezone is not None:
        try:
            zone(log.timezone)
        except QuantityError as error:
            yield from_quantity(error, draft.where(file, *path, "timezone"), (*path, "timezone"))
    yield from _time(draft, file, path, log)
    if not log.columns:
        yield Fault(f"{label(path)}: no column has a role", draft.where(file, *path, "columns"),
                    do='name at least one: columns = { "CH1" = "air" }')
    first: dict[str, str] = {}
    for name, column in log.columns.items():
        here = (*path, "columns", name)
        if first.setdefault(column.role, name) != name:
            yield Fault(f"{label(here)}: two columns have the role {column.role}",
                        draft.where(file, *here), found=f"{first[column.role]} and {name}",
                        do=f'number it: role = "{base_role(column.role)}_2"')
        wanted = ROLE_KINDS[base_role(column.role)]
        if column.unit is not None and factors(column.unit, wanted) is None:
            other = unit_kind(column.unit)
            found = f"{column.unit} ({KINDS[other].words})" if other else column.unit
            yield Fault(f"{label(here)}: the unit does not fit the role {column.role}",
                        draft.where(file, *here), found=found,
                        allowed=KINDS[wanted].units, do="mend the unit or the role")
        if column.bucket is not None:
            yield from _bucket(draft, file, here, log, column)
        user = column.instrument or log.instrument
        if user is not None:
            place = here if column.instrument else (*path, "instrument")
            yield from _instrument(draft, file, place, user, column.role)
    metered = [c.role for c in log.columns.values() if ROLE_KINDS[base_role(c.role)] in ELECTRICAL
               and base_role(c.role) != "heater"]
    if metered and log.metered_at is None:
        yield Fault(f"{label(path)}: where {metered[0]} was metered is not said",
                    draft.where(file, *path), allowed="dc (at the cooler), wall, battery",
                    do='add a line: metered_at = "dc"')


def _time(
    draft: Draft, file: str, path: tuple[str | int, ...], log: LogSheet
) -> Iterator[Fault]:
    """Each row's time is told in one way: written, counted, or by the step between rows."""
    time, where = log.time, draft.where(file, *path, "time")
    ways = [name for name, there in (("format", time.format), ("elapsed", time.elapsed),
                                     ("every", time.every)) if there is not None]
    if len(ways) > 1:
        yield Fault(f"{label(path)}: time is told in two ways", where, found=" and ".join(ways),
                    allowed="a format, or elapsed, or every", do="remove one of them")
    if (time.column is None) == (time.every is None):
        yield Fault(f"{label(path)}: a time column is wanted, or the step between rows", where,
                    found="neither" if time.column is None else "column and every",
                    do='write time = { column = "…" }, or time = { every = "1 min", from = … }')
    if time.with_ is not None and time.format is None:
        yield Fault(f"{label(path)}: a date and a clock that stand apart need their format", where,
                    found=f"with = {time.with_}", allowed="both, parted by a blank",
                    do='add format = "%d.%m.%Y %H:%M:%S"')
    if time.from_ is not None and time.elapsed is None and time.every is None:
        yield Fault(f"{label(path)}: time has a `from` but does not count from it", where,
                    do='add elapsed = "s" or every = "1 min", or remove `from`')


def _bucket(
    draft: Draft, file: str, path: tuple[str | int, ...], log: LogSheet, column: ColumnSheet
) -> Iterator[Fault]:
    where = draft.where(file, *path)
    if base_role(column.role) != "energy":
        yield Fault(f"{label(path)}: only energy comes in intervals", where,
                    found=f"role {column.role}", allowed='role = "energy"')
    if log.label is None:
        yield Fault(
            f"{label(path)}: does a row's time stand at the start or at the end of its interval?",
            where, found=f"an interval of {column.bucket.text}",
            do='add to the [[log]] block: label = "start"  or  label = "end"')


def _instrument(
    draft: Draft, file: str, path: tuple[str | int, ...], name: str, role: str
) -> Iterator[Fault]:
    if draft.sheet is None:
        return
    known = draft.sheet.instruments
    if name not in known:
        yield from _known(draft, file, path, name, set(known), "instrument")
        return
    measures, wanted = known[name].measures, ROLE_KINDS[base_role(role)]
    if wanted != "count" and measures != wanted and not {measures, wanted} <= ELECTRICAL:
        yield Fault(f"{label(path)}: instrument {name} does not measure {role}",
                    draft.where(file, *path), found=f'measures = "{measures}"',
                    allowed=f'an instrument with measures = "{wanted}"',
                    do="name its own instrument at the column")


def _times(draft: Draft, file: str, sheet: RunSheet) -> Iterator[Fault]:
    instants = [(("reading", i, "at"), r.at) for i, r in enumerate(sheet.reading)]
    instants += [(("mark", i, "at"), m.at) for i, m in enumerate(sheet.mark)]
    counted = [path for path, at in instants if isinstance(at, Quantity)]
    counted += [("log", i, "time") for i, log in enumerate(sheet.log)
                if (log.time.elapsed or log.time.every) and log.time.from_ is None]
    counted += [("log", i, name) for i, log in enumerate(sheet.log)
                for name, at in (("from", log.from_), ("to", log.to)) if isinstance(at, Quantity)]
    if counted and sheet.start is None:
        yield Fault(f"{label(counted[0])}: counts from the start, which is not said",
                    draft.where(file, *counted[0]),
                    do="add above the first table: start = 2031-06-14T09:00:00")
    if draft.sheet is None:
        return
    try:
        tz = zone(draft.sheet.timezone)
    except QuantityError:
        return  # told at the campaign sheet
    for path, when in [(("start",), sheet.start), *instants]:
        try:
            if isinstance(when, dt.datetime):
                check_local(when, tz)
        except QuantityError as error:
            yield from_quantity(error, draft.where(file, *path), path)


def _file(
    draft: Draft, file: str, path: tuple[str | int, ...], name: str, what: str
) -> Iterator[Fault]:
    where = draft.where(file, *path)
    if Path(name).is_absolute() or PureWindowsPath(name).drive or name.startswith(("\\", "~")):
        yield Fault(f"{label(path)}: the {what} has to lie in the campaign folder", where,
                    found=name, do=f'copy it there and write "logs/{PureWindowsPath(name).name}"')
        return
    target = Path(os.path.realpath(draft.folder / name))
    if not target.is_relative_to(os.path.realpath(draft.folder)):
        yield Fault(f"{label(path)}: the {what} lies outside the campaign folder", where,
                    found=name, do="copy it into the campaign; a report has to keep its sources")
    elif os.path.isdir(target):  # noqa: PTH112 - as below
        yield Fault(f"{label(path)}: this is a folder, not a file", where, found=name,
                    do=f"name the {what} in it")
    elif not os.path.isfile(target):  # noqa: PTH113 - Path.is_file raises on a name too long
        slashes = "write / between folders" if "\\" in name else ""
        near = nearest(target.name, _names_in(target.parent))
        do = slashes or (f"did you mean {near}?" if near else f"put the {what} there")
        yield Fault(f"{label(path)}: no such file", where, found=name, do=do)


def _names_in(folder: Path) -> list[str]:
    try:
        return sorted(path.name for path in folder.iterdir())
    except OSError:
        return []


def _known(
    draft: Draft, file: str, path: tuple[str | int, ...], name: str, known: set[str], what: str
) -> Iterator[Fault]:
    if name in known:
        return
    near = nearest(name, sorted(known))
    yield Fault(
        f"{label(path)}: there is no {what} {name!r}", draft.where(file, *path), found=name,
        allowed=", ".join(sorted(known)) or "none yet", do=f'write "{near}"' if near else "",
    )

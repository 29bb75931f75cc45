"""What a group wrote down and logged, for its notebook: as it was read, nothing worked out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from coldbench.course.card import Card
from coldbench.course.work import Work
from coldbench.figures import Drawn, raw_curves
from coldbench.logs.record import Record, Trace
from coldbench.logs.words import told_time
from coldbench.quantities import KINDS, number
from coldbench.report.display import KeyValue, Table, Text
from coldbench.sheets import CoolerSheet, RunSheet
from coldbench.sheets.campaign import InstrumentSheet

HOUR, MINUTE = 3600.0, 60.0
BOX = {"air", "load"}  # roles of cards that are about a box
BESIDE, MOST_BESIDE = 12, 5  # longer tables of so few columns are set in two halves
ROWS = 24  # of a table of readings, at most
STEPS = (5, 10, 15, 30, 60, 120, 180, 360, 720, 1440)  # [min]


def data_sheet(work: Work) -> list[object]:
    """What the group was given, what it wrote down, and with which instruments it measured."""
    run = work.run()
    sheet = work.book.campaign.runs[run.record.run]
    cooler = work.book.campaign.coolers[run.record.cooler]
    given = [(name.replace("_", " ").capitalize(), str(value))
             for name, value in work.parameters.items() if name not in ("group", "seed")]
    shown: list[object] = [Text("Given to this group"), KeyValue(given)] if given else []
    return [
        *shown, Text("What was measured"), KeyValue(_cooler_facts(cooler, work.card)),
        Text("The run"), KeyValue(_run_facts(work, run.record, sheet)),
        *_by_eye(sheet), *_instruments(work, run.record), *_spans(work),
    ]


def _cooler_facts(cooler: CoolerSheet, card: Card) -> list[tuple[str, object]]:
    named = [("Name", cooler.name), ("Technology", cooler.technology)]
    if not BOX & set(card.roles):
        return named
    inside, foam, liner = cooler.inside, cooler.insulation, cooler.liner
    sides = (inside.width, inside.depth, inside.height) if inside is not None else (None,)
    across = None if None in sides else " × ".join(f"{side}" for side in sides)
    return [
        *named, ("Inside w × d × h", across),
        ("Usable volume", _text(inside.usable if inside else None)),
        ("Insulation", f"{foam.material}, {_text(foam.thickness) or 'thickness not stated'}"
         if foam is not None else None),
        ("Liner", f"{liner.material or ''} {_text(liner.mass) or ''}".strip()
         if liner is not None else None),
    ]


def _text(quantity: object) -> str | None:
    return None if quantity is None else str(quantity)


def _run_facts(work: Work, record: Record, sheet: RunSheet) -> list[tuple[str, object]]:
    zone = work.book.campaign.tz
    facts = [
        ("Run", record.run), ("Time zero", f"{told_time(record.zero, zone)}, {record.zero_from}")]
    if sheet.setting:
        facts.append(("Setting", sheet.setting))
    if "load" in work.card.roles or sheet.load:
        facts.append(("Load", _load(sheet)))
    if "heater" in sheet.kind and sheet.heater is not None:
        facts.append(("Heater, fan included", str(sheet.heater.power)))
    if sheet.ambient is not None and record.trace("ambient") is None:
        facts.append(("Ambient, typed", str(sheet.ambient)))
    marks = [f"{mark.what} at {number((mark.t - record.zero) / HOUR, 2)} h"
             for mark in record.marks]
    return [*facts, ("Marks", "; ".join(marks) or "none"), ("Note", sheet.note)]


def _load(sheet: RunSheet) -> str | None:
    parts = []
    for item in sheet.load:
        box = item.container
        around = f" in {box.material} of {box.mass}" if box is not None else ""
        parts.append(f"{item.count} × {item.water}{around}")
    return "; ".join(parts) or None


def _by_eye(sheet: RunSheet) -> list[object]:
    """Readings as they were typed, a row an instant, whichever instruments were read at it."""
    roles = list(dict.fromkeys(role for row in sheet.reading for role in row.values))
    at: dict[str, dict[str, object]] = {}
    notes: dict[str, list[str]] = {}
    for row in sheet.reading:
        at.setdefault(str(row.at), {}).update(row.values)
        notes.setdefault(str(row.at), []).extend([row.note] if row.note else [])
    noted = any(notes.values())
    rows = [[when, *(_text(values.get(role)) for role in roles),
             *(["; ".join(notes[when]) or None] if noted else [])] for when, values in at.items()]
    heads = ["At", *(_word(role) for role in roles), *(["Note"] if noted else [])]
    return [Table(heads, rows, caption="Read by eye")] if rows else []


def _instruments(work: Work, record: Record) -> list[object]:
    """Those that the run's readings come from."""
    sheet = work.book.campaign.runs[record.run]
    used = {row.instrument for row in sheet.reading}
    used |= {column.instrument or log.instrument for log in sheet.log
             for column in log.columns.values()}
    rows = [[name, one.measures, one.kind, _limit(one), _text(one.resolution),
             str(one.checked) if one.checked is not None else None]
            for name, one in work.book.campaign.sheet.instruments.items() if name in used]
    heads = ["Instrument", "Measures", "Kind", "Limit of error", "Resolution", "Checked"]
    return [Table(heads, rows, caption="Instruments", align="llllll")] if rows else []


def _limit(sheet: InstrumentSheet) -> str | None:
    error = sheet.error
    if error is None:
        return "not stated"
    unit = "K" if sheet.measures == "temperature" else KINDS[sheet.measures].unit
    parts = [f"{100 * error.relative:g} %"] if error.relative else []
    parts += [f"{error.absolute:g} {unit}"] if error.absolute else []
    return " + ".join(parts) or f"0 {unit}"


def _spans(work: Work) -> list[object]:
    """The stretches to be worked on, by the run's own time and by the clock."""
    if work.card.windows is None:
        return []
    zero, zone = work.run().record.zero, work.book.campaign.tz
    rows = [[what, number(a, 2), number(b, 2), told_time(zero + a * HOUR, zone),
             told_time(zero + b * HOUR, zone)]
            for what, (a, b) in work.card.windows(work).items()]
    heads = ["Work on this stretch for", "From [h]", "To [h]", "By the clock, from", "To"]
    note = "Hours count from time zero of the run."
    return [Table(heads, rows, caption="Stretches of the run", note=note)] if rows else []


def readings(work: Work) -> list[object]:
    """Readings of the card's roles at even instants, as they stand."""
    record = work.run().record
    traces = {role: trace for role in work.card.roles
              if (trace := record.trace(role)) is not None and not trace.by_hand}
    if not traces:
        return []
    last = max(trace.t[-1] for trace in traces.values()) - record.zero
    last = min(last, HOUR * _until(work))
    step = next((s for s in STEPS if last <= (ROWS - 1) * s * MINUTE), STEPS[-1]) * MINUTE
    rows = [[number(t / HOUR, 2), *(_at(trace, record.zero + t) for trace in traces.values())]
            for t in np.arange(0.0, last + 1.0, step)]
    heads = ["Time [h]", *(f"{_word(role)} [{trace.unit}]" for role, trace in traces.items())]
    if len(rows) > BESIDE and len(heads) <= MOST_BESIDE:
        half = (len(rows) + 1) // 2
        lower = [*rows[half:], [""] * len(heads)]
        rows = [[*row, "", *lower[n]] for n, row in enumerate(rows[:half])]
        heads = [*heads, "", *heads]
    return [Table(heads, rows, caption="Readings now and then, as they stand",
                  align="".join("r" if head else "l" for head in heads),
                  note="The log itself holds all of them; – where nothing was read.")]


def _word(role: str) -> str:
    return role.replace("_", " ").capitalize()


def _until(work: Work) -> float:
    """How much of the card's run is drawn and listed. [h]"""
    return work.card.until(work) if work.card.until is not None else np.inf


def _at(trace: Trace, when: float) -> str | None:
    """The reading next to an instant, if there is one within the gap limit."""
    near = int(np.argmin(np.abs(trace.t - when)))
    if abs(trace.t[near] - when) > trace.gap:
        return None
    return number(float(trace.y[near]), 2)


def plots(work: Work) -> list[object]:
    """Raw curves of the card's runs, with the stretches to be worked on, and what else it has."""
    book, card = work.book, work.card
    spans = card.windows(work) if card.windows is not None else {}
    shown: list[object] = []
    for kind in card.runs:
        record, first = work.run(kind).record, kind == card.runs[0]
        shown += book.figure(_of_card(card, raw_curves(
            record, spans if first else {}, style=book.styles[record.cooler],
            name=book.names[record.cooler], until=_until(work) if first else np.inf)))
    for drawn in card.plots(work) if card.plots is not None else []:
        shown += book.figure(_of_card(card, drawn))
    return shown


def _of_card(card: Card, drawn: Drawn | None) -> Drawn | None:
    """A group's cards share a folder of figures, and two may draw the same run."""
    return drawn and replace(drawn, name=f"{card.name}-{drawn.name}")

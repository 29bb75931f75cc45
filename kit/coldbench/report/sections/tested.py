"""What was tested, by whom, and under which conditions, side by side."""

from __future__ import annotations

from coldbench.analysis.campaign import RunResult
from coldbench.analysis.check import KIND
from coldbench.figures.words import listed
from coldbench.logs.cumulative import cumulative
from coldbench.quantities import number
from coldbench.report.book import Book
from coldbench.report.display import Cell, Heading, KeyValue, Table, Text, photo
from coldbench.report.sections.checks import checks

NOT_STATED = "not stated"
JOINED = "\u00a0"  # a blank at which no line ends


def tested(book: Book) -> list[object]:
    """Who, when and with what sample; a row a cooler."""
    sheet = book.campaign.sheet
    told = sheet.disclosure
    facts = [
        ("Question", sheet.question), ("Author", sheet.author), ("Date", str(sheet.date or "")),
        ("Paid by", told.paid_by if told else None), ("Sample", told.sample if told else None),
        ("Units of each cooler", "one; the spread between units of a kind is not covered"),
    ]
    columns = ["Cooler", "Technology", "Origin", "Supply", "Mass [kg]", "Outside [mm]",
               "Usable [L]", "Insulation", "Refrigerant"]
    rows = [_cooler_row(book, cooler) for cooler in book.coolers]
    shown = [KeyValue(facts), Table(columns, rows, caption="Coolers, as their sheets state them")]
    if book.earlier.names:
        shown.append(Text(
            f"From earlier campaigns, in tables of results and in differences: "
            f"{listed(book.earlier.names.values())}. They were measured on other days; where the "
            "protocol is not the same they are not compared."))
    return [*shown, *_photo(book)]


def _photo(book: Book) -> list[object]:
    """Picture of the set-up, where the campaign has one."""
    told = book.campaign.sheet.disclosure
    if told is None or told.photo is None:
        return [Text("No picture of the set-up was given.", style="small")]
    file, alt = told.photo.file, told.photo.alt
    return [photo(book.campaign.folder / file, f"The set-up: {alt}", alt)]


def _cooler_row(book: Book, cooler: str) -> list[object]:
    sheet = book.campaign.coolers[cooler]
    box, inside = sheet.outside, sheet.inside
    sides = [box.width, box.depth, box.height] if box else []
    size = NOT_STATED
    if sides and all(sides):
        size = f"{JOINED}×{JOINED}".join(number(q.value, 0) for q in sides)
    insulation = sheet.insulation
    return [
        Cell(sheet.name, mark=book.mark(cooler)), sheet.technology, sheet.origin,
        sheet.supply.text if sheet.supply else "none" if sheet.technology == "passive" else
        NOT_STATED,
        sheet.mass.text.replace(" kg", "") if sheet.mass else NOT_STATED, size,
        number(inside.usable.value, 1) if inside and inside.usable else NOT_STATED,
        _insulation(insulation), _refrigerant(sheet),
    ]


def _insulation(insulation: object) -> str:
    if insulation is None:
        return NOT_STATED
    parts = [insulation.material, insulation.thickness.text if insulation.thickness else None]
    return " ".join(p for p in parts if p)


def _refrigerant(sheet: object) -> str:
    if sheet.refrigerant is None:
        return NOT_STATED if sheet.technology == "compressor" else "none"
    charge = sheet.refrigerant.charge
    said = f", {charge.text.replace(' ', JOINED)}" if charge else ""
    return f"{sheet.refrigerant.name}{said}"


def conditions(book: Book) -> list[object]:
    """A row a run: how it was set up and what the room did."""
    columns = ["Run", "Tests", "Setting", "Ambient mean [°C]", "Ambient range [°C]",
               "Start [°C]", "Load [kg]", "Length [h]", "Metered", "Protocol"]
    rows = [_run_row(book, r) for c in book.coolers for r in book.result.of(c)
            if set(r.kinds) != {KIND}]
    steady = [
        [Cell(r.record.run, mark=book.mark(r.record.cooler)),
         "passed" if r.steady.passed else Cell("not steady", "bad"), r.steady.text]
        for c in book.coolers for r in book.result.of(c) if r.steady is not None
    ]
    shown: list[object] = [
        Heading(2, "3 Conditions side by side"),
        Table(columns, rows, caption="Runs and their conditions"),
    ]
    if steady:
        shown.append(Table(["Run", "Result", "Window and test values"], steady,
                           caption="The steadiness rule and its result in each run"))
    shown.append(Text("Time zero: " + "; ".join(_zeros(book)) + ".", style="small"))
    return [*shown, *checks(book)]


def _zeros(book: Book) -> list[str]:
    """Runs by the rule that gave their time zero."""
    by_rule: dict[str, list[str]] = {}
    for result in book.result.results.values():
        if set(result.kinds) == {KIND}:
            continue
        by_rule.setdefault(result.record.zero_from, []).append(result.record.run)
    return [f"{rule} in {listed(runs)}" for rule, runs in by_rule.items()]


def _run_row(book: Book, result: RunResult) -> list[object]:
    record, run = result.record, book.campaign.runs[result.record.run]
    ambient, mean, span = record.trace("ambient"), "not stated", "–"
    if ambient is not None:
        total = cumulative(ambient)
        inside = (ambient.t >= record.zero) & (ambient.t <= record.end)
        mean = number(float(total.mean(record.zero, record.end)), 1)
        low, high = (number(y, 1) for y in (ambient.y[inside].min(), ambient.y[inside].max()))
        span = f"{low}{JOINED}to{JOINED}{high}"
    elif run.ambient is not None:
        mean, span = f"{number(run.ambient.value, 1)} (typed)", "not logged"
    air = record.trace("air") or next(iter(record.loads()), None)
    start = "not logged"
    if air is not None:
        near = abs(air.t - record.zero).argmin()
        start = number(float(air.y[near]), 1)
    load = sum(i.count * i.water.value for i in run.load)
    electrical = record.trace("power") or record.trace("energy") or record.trace("energy by hand")
    kinds = ", ".join(run.kind) + (f" (repeats {run.repeat_of})" if run.repeat_of else "")
    return [
        Cell(record.run, mark=book.mark(record.cooler)), kinds,
        run.setting or NOT_STATED, mean, span, start, number(load, 2) if load else "none",
        number((record.end - record.zero) / 3600, 1),
        electrical.metered_at if electrical else "–", run.protocol or NOT_STATED,
    ]

"""One cooler on its own sheet."""

from __future__ import annotations

from coldbench.figures import freeze_curve, one_cycle, pull_down_sheet, steady_stack
from coldbench.quantities import Quantity
from coldbench.report.book import Book
from coldbench.report.display import KeyNumbers, KeyValue, ReportHead, Table, Text
from coldbench.report.sections.heat import heat_of, warm_ups_of
from coldbench.report.sections.missing import SEVERITY
from coldbench.report.sections.space import drawing
from coldbench.report.sections.summary import card, invented, targets
from coldbench.report.sections.tables import all_of
from coldbench.sheets import CoolerSheet


def cooler_head(book: Book, cooler: str) -> ReportHead:
    """Title of the sheet, and the campaign it belongs to."""
    sheet = book.campaign.sheet
    return ReportHead(
        title=book.names[cooler], subtitle=f"Cooler sheet — {sheet.title}",
        author=sheet.author or "", date=str(sheet.date or ""), paper=book.paper,
        banner=invented(book), report_id=f"{book.campaign.folder.name}/{cooler}",
    )


def cooler_numbers(book: Book, cooler: str) -> list[object]:
    """Headlines as on page one of the comparison, and how it stands in its space."""
    return [KeyNumbers([card(book, cooler)]), *drawing(book, cooler)]


def cooler_facts(book: Book, cooler: str) -> list[object]:
    """What the cooler's sheet states."""
    sheet = book.campaign.coolers[cooler]
    box, inside = sheet.outside, sheet.inside
    price = sheet.price
    facts = [
        ("Technology", sheet.technology), ("Origin", sheet.origin),
        ("Supply", _supply(sheet)), ("Mass", _text(sheet.mass)),
        ("Outside w × d × h", _sides(box)), ("Inside w × d × h", _sides(inside)),
        ("Usable volume", _text(inside.usable) if inside else None),
        ("Lid", sheet.lid), ("Insulation", _material(sheet.insulation)),
        ("Price paid", _text(price.paid) if price else None),
        ("List price", _text(price.list_price) if price else None),
        ("Note", sheet.note),
    ]
    return [KeyValue(facts)]


def _supply(sheet: CoolerSheet) -> str | None:
    return _text(sheet.supply) or ("none" if sheet.technology == "passive" else None)


def _text(quantity: Quantity | None) -> str | None:
    return quantity.text if quantity is not None else None


def _sides(box: object) -> str | None:
    if box is None:
        return None
    sides = [_text(q) for q in (box.width, box.depth, box.height)]
    return " × ".join(sides) if all(sides) else _text(box.volume)


def _material(insulation: object) -> str | None:
    if insulation is None:
        return None
    return " ".join(p for p in (insulation.material, _text(insulation.thickness)) if p)


def cooler_cooling(book: Book, cooler: str) -> list[object]:
    """Pull-down curve and cooling findings."""
    run = book.main_run(cooler, "pull-down")
    drawn = pull_down_sheet(run.record, run.findings, targets(book), style=book.styles[cooler],
                            name=book.names[cooler]) if run else None
    shown = [*book.figure(drawn), *all_of(book, cooler, "cold")]
    return shown or [Text("Not measured: needs a run of kind “pull-down”.")]


def cooler_energy(book: Book, cooler: str) -> list[object]:
    """Energy findings; then the steady window and one cycle of each steady run."""
    if book.campaign.coolers[cooler].technology == "passive":
        return [Text("A passive box draws nothing: not applicable.")]
    shown: list[object] = []
    for run in book.result.of(cooler, "steady"):
        if run.steady is None:
            continue
        style, name = book.styles[cooler], book.names[cooler]
        shown += book.figure(steady_stack(run.record, run.steady, style=style, name=name))
        shown += book.figure(one_cycle(run.record, run.steady, run.findings, style=style,
                                       name=name))
        shown.append(Text(f"{run.record.run}: {run.steady.text}.", style="small"))
    return [*all_of(book, cooler, "energy"), *shown] or [
        Text("Not measured: needs a run of kind “steady” with power or a counter.")
    ]


def cooler_freezing(book: Book, cooler: str) -> list[object]:
    """Freezing curve and findings."""
    shown: list[object] = []
    for run in book.result.of(cooler, "freeze"):
        if run.freezing is not None:
            shown += book.figure(freeze_curve(
                run.record, run.freezing, run.findings, style=book.styles[cooler],
                name=book.names[cooler],
            ))
    return [*shown, *all_of(book, cooler, "freeze")] or [
        Text("Not measured: needs a run of kind “freeze” with a load probe at the centre.")
    ]


def cooler_box(book: Book, cooler: str) -> list[object]:
    """Hold time, heat leak by each way, and what the machine makes of it."""
    found = all_of(book, cooler, "box") or [
        Text("Not measured: needs a run of kind “warm-up”, “heater” or “ice-melt”.")
    ]
    return [*found, *warm_ups_of(book, cooler), *heat_of(book, cooler),
            *all_of(book, cooler, "machine")]


def cooler_size(book: Book, cooler: str) -> list[object]:
    """Sizes, fit, sound, supply and cost with their intervals."""
    groups = ("size", "sound", "supply", "money")
    tables = [table for group in groups for table in all_of(book, cooler, group)]
    return tables


def cooler_doubts(book: Book, cooler: str) -> list[object]:
    """Notices of this cooler's runs."""
    rows = [[SEVERITY[n.severity], n.where, n.message] for r in book.result.of(cooler)
            for n in (*r.record.notices, *r.notices)]
    if not rows:
        return [Text("No gaps, repairs or doubts were noticed in this cooler's logs.")]
    return [Table(["Weight", "Where", "What"], rows, caption="Notices")]

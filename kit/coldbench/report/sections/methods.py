"""How each number was computed, with one worked number from this campaign, and its doubt."""

from __future__ import annotations

from coldbench.analysis.limits import LIMITS
from coldbench.findings import KINDS
from coldbench.quantities import number
from coldbench.report.book import Book
from coldbench.report.display import Cell, Heading, Table, Text
from coldbench.report.sections.budgets import budget_table
from coldbench.report.sections.method_texts import METHODS
from coldbench.report.sections.summary import assumed_spread
from coldbench.report.sections.worked import worked


def methods(book: Book) -> list[object]:
    """Method and a worked number of each finding in this report; then where intervals come from."""
    rows = []
    for name, text in METHODS.items():
        found = next((f for f in book.rows if f.finding == name and f.value is not None), None)
        if found is not None:
            rows.append([KINDS[name].title, text, worked(book, found)])
    return [
        Table(["Finding", "Method", "Worked number"], rows,
              caption="Methods, each with a number from this campaign",
              note="Definitions are this kit's own unless a source is named. The steadiness rule "
                   "follows the block idea of IEC 62552-3 with limits of its own."),
    ]


def doubt(book: Book) -> list[object]:
    """Instruments and what is assumed where no sheet states a limit."""
    sheet = book.campaign.sheet
    rows = [
        [name, i.measures, i.kind or "not stated", _limit(i), _step(i),
         book.checked_on(name) or Cell("not checked", "muted")]
        for name, i in sheet.instruments.items()
    ]
    columns = ["Instrument", "Measures", "Kind", "Limit of error", "Resolution or step",
               "Checked"]
    said_of_doubt = [
        "A stated error is a limit: one hidden constant for each probe, drawn 4 000 times from "
        "the rectangle within it and kept for the whole campaign (JCGM 101:2008). Resolution and "
        "seen scatter come on top. The interval holds the middle 95 % of the draws; a difference "
        "subtracts them draw by draw.",
        *_of_checks(book),
        f"Assumed where a sheet states nothing: tape {LIMITS.tape:g} mm, scale "
        f"{100 * LIMITS.scale:g} %, nominal filling {100 * LIMITS.filling:g} %, typed ambient "
        f"{LIMITS.ambient_typed:g} K. Assumed from run to run, in differences only: "
        f"{assumed_spread()}.",
    ]
    shown: list[object] = [Heading(2, "8 Uncertainty"), Text(*said_of_doubt)]
    if rows:
        shown.append(Table(columns, rows, caption="Instruments as their sheets state them"))
    seen = [
        [KINDS[name].title, show_spread(s.pooled, s.relative), str(s.freedom)]
        for name, s in book.spreads.items() if s.pooled is not None
    ]
    if seen:
        shown.append(Table(["Finding", "Seen between repeats", "Degrees of freedom"], seen,
                           caption="Run-to-run spread, pooled over all coolers' repeats"))
    return [*shown, *budget_table(book)]


def _of_checks(book: Book) -> list[str]:
    if not any(check.offsets for check in book.result.checks):
        return []
    return [
        "The offset of a probe that was in a same-place check is the check's, with its scatter by "
        "blocks, its rounding and its place in the bath; what the bath itself was off is one "
        "constant that all probes of the check share, so differences between them gain most. "
        f"Assumed (common practice, no source): stirred ice water is 0 °C within "
        f"{LIMITS.ice_bath:g} K, places in it differ by less than {LIMITS.ice_places:g} K, in "
        f"still air by {LIMITS.air_places:g} K. Still air alone tells no absolute offset: there "
        "the shared constant lies where all stated errors hold.",
    ]


def show_spread(pooled: float, relative: bool) -> str:
    """A spread as text: per cent where relative, else kelvin."""
    return f"{number(100 * pooled, 1)} %" if relative else f"{number(pooled, 2)} K"


def _limit(instrument: object) -> str:
    error = instrument.error
    if error is None:
        return "not stated: no interval"
    unit = "K" if instrument.measures == "temperature" else _unit(instrument.measures)
    parts = [f"{number(100 * error.relative, 1)} %"] if error.relative else []
    if error.absolute:
        parts.append(f"{error.absolute:g} {unit}".strip())
    return "±(" + " + ".join(parts) + ")" if len(parts) > 1 else "±" + "".join(parts)


def _unit(measures: str) -> str:
    return {"power": "W", "energy": "Wh", "voltage": "V", "current": "A", "mass": "kg",
            "sound": "dB"}.get(measures, "")


def _step(instrument: object) -> str:
    parts = [q.text for q in (instrument.resolution, instrument.counter_step) if q is not None]
    return ", ".join(parts) or "not stated"

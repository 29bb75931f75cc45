"""Battery and panel for each cooler, its year from the sun, and the way the power takes."""

from __future__ import annotations

import numpy as np

from coldbench.compare.supply import energy_at_cooler
from coldbench.compare.supply_place import needed_for_year
from coldbench.compare.supply_year import STATED, Case, SupplyYear, supply_years
from coldbench.figures import supply_map, supply_months
from coldbench.figures.supply_map import MONTHS, pair_words
from coldbench.figures.words import listed, printed
from coldbench.quantities import number
from coldbench.report.book import Book
from coldbench.report.display import Bullets, Cell, Heading, Table, Text
from coldbench.report.sections.sound import connection
from coldbench.report.sections.tables import side_by_side

SIZES = ["daily_charge", "battery_needed", "panel_needed"]
AN_ESTIMATE = (
    "Estimates of energy: they choose neither a wire nor a fuse nor a charger (see the cautions). "
    "How deep a battery may be used, and how cold it may be charged, its maker says."
)
NOT_WARM = (
    "The power of each hour follows ambient − inside by the footing's power law, at most up to the "
    "running power. Hours without power are not hours of warm food: how long a box holds then "
    "stands with the hold times. The charge stands for the volts at which a cooler cuts out and "
    "starts again, and the extra energy to cool down afterwards is not counted. Factors beside a "
    "pair hold the interval of the daily energy and the scatter of the years drawn, not what was "
    "assumed of them: real weather has darker days than two kinds of days, and shade, snow and "
    "dust besides."
)


def supplied(book: Book) -> list[object]:
    """The same under a heading of its own."""
    return [Heading(3, "Battery, panel and cable"), *supply(book)]


def supply(book: Book) -> list[object]:
    """Sizes by the sheet's arithmetic, years by the hour, then cable, cut-out and adapter."""
    if book.campaign.sheet.supply is None:
        return [Text("Battery and panel: needs [supply] in campaign.toml.", style="small"),
                *connection(book)]
    shown = side_by_side(book, SIZES, "Charge a day, battery and panel at the footing",
                         note=AN_ESTIMATE)
    missing = needed_for_year(book.campaign)
    years = supply_years(book.result, book.rows)
    if years:
        shown += _years(book, years)
    elif missing:
        shown.append(Text(f"Hours without power through a year: needs {listed(missing)} in "
                          "[supply].", style="small"))
    else:
        shown.append(Text("Hours without power through a year: needs a cooler whose daily energy "
                          "at the footing, metered at the cooler, has a value.", style="small"))
    return [*shown, *connection(book)]


def _years(book: Book, years: list[SupplyYear]) -> list[object]:
    look = {"styles": book.styles, "names": book.names}
    return [
        *book.figure(supply_map(years, **look)),
        Bullets([_sentence(book, year) for year in years]),
        *_left_out(book, years),
        *book.figure(supply_months(years, **look)),
        _by_month(book, years),
        Text(NOT_WARM, style="small"),
    ]


def _left_out(book: Book, years: list[SupplyYear]) -> list[object]:
    """Powered coolers without a year, and why."""
    told = {year.cooler for year in years}
    parts = []
    for cooler in book.coolers:
        if cooler not in told and book.campaign.coolers[cooler].technology != "passive":
            energy = energy_at_cooler(book.rows, cooler)
            parts.append(f"{book.names[cooler]} ({printed(energy.note) or energy.basis})")
    return [Text(f"No year is told for {listed(parts)}.", style="small")] if parts else []


def _sentence(book: Book, year: SupplyYear) -> str:
    parts = []
    for case in year.cases:
        if case.what == STATED:
            text = (f"{pair_words(case)} ({STATED}) give power for "
                    f"{number(100 * case.share, 1)} % of the hours of a year, charge down to "
                    f"{number(100 * case.lowest, 0)} %")
            if case.worst is not None:
                lacks = float(case.without.mean(axis=0)[case.worst])
                text += f"; {MONTHS[case.worst]} lacks most, {number(lacks, 0)} h"
            parts.append(text)
        else:
            parts.append(f"smallest pair for {case.what}: {pair_words(case)}{_band(case)}")
    text = "; ".join(parts) or "no battery and panel that were tried give 95 % of the hours"
    return f"{book.names[year.cooler]}: {text}. {_seasons(year)}"


def _band(case: Case) -> str:
    high = "more than 1.6" if case.high is None else number(case.high, 2)
    return f" (both × {number(case.low, 2)} to {high})"


def _seasons(year: SupplyYear) -> str:
    """The sunniest and the darkest month beside each other."""
    told = []
    for month in (int(np.argmax(year.sun)), int(np.argmin(year.sun))):
        text = (f"{MONTHS[month]}: {number(float(year.demand[month]), 0)} Wh a day under "
                f"{number(float(year.sun[month]), 1)} h of full sun")
        if year.shown is not None:
            lacks = float(year.shown.without.mean(axis=0)[month])
            text += f", {number(lacks, 0)} h without power"
        told.append(text)
    return "; ".join(told) + "."


def _by_month(book: Book, years: list[SupplyYear]) -> Table:
    """A row a month: sun, ambient, and for each cooler what it draws and lacks."""
    columns: list[object] = ["Month", "Full sun [h/d]", "Ambient [°C]"]
    for year in years:
        name = book.names[year.cooler]
        columns += [Cell(f"{name}: draws [Wh/d]", mark=book.mark(year.cooler)),
                    f"{name}: without power [h]"]
    rows = []
    for month, name in enumerate(MONTHS):
        row: list[object] = [name, number(float(years[0].sun[month]), 1),
                             number(float(years[0].air[month]), 1)]
        for year in years:
            lacks = None if year.shown is None else number(
                float(year.shown.without.mean(axis=0)[month]), 0)
            row += [number(float(year.demand[month]), 0), lacks]
        rows.append(row)
    pairs = "; ".join(f"{book.names[year.cooler]}: {pair_words(year.shown)} ({year.shown.what})"
                      for year in years if year.shown is not None)
    return Table(columns, rows, caption="By month: sun, what is drawn, hours without power",
                 note=f"Means of the years drawn. {pairs}." if pairs else "Means of the years "
                      "drawn.")

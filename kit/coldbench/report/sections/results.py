"""Results by group: tables of coolers side by side, with their figures."""

from __future__ import annotations

from dataclasses import replace

from coldbench.compare.freezing_beside import beside_measured
from coldbench.compare.label_style import LabelStyle, label_style
from coldbench.figures import (
    cumulative_energy,
    dot_plot,
    freeze_curve,
    pull_down_overlay,
    size_against_energy,
    steady_stack,
)
from coldbench.figures.words import listed, printed, said
from coldbench.physics.regulation import SCOPE
from coldbench.quantities import number, show
from coldbench.report.book import Book
from coldbench.report.display import Cell, Table, Text
from coldbench.report.sections.summary import daily_energy, main_target, targets
from coldbench.report.sections.tables import side_by_side

COLD = ["coldest_air", "below_ambient", "warmest_load", "hours_above_limit", "air_swing",
        "spread", "display_error"]
HEAT = ["load_heat", "load_heat_ratio"]
ENERGY = ["daily_energy", "mean_power", "running_power", "idle_power", "peak_power", "duty",
          "cycle_time"]
FOOTING = ["daily_energy_footing", "daily_energy_per_litre", "ice_needed", "ice_energy"]
FREEZE = ["freeze_start", "plateau_time", "freeze_time", "freeze_energy", "freeze_energy_per_kg",
          "ice_fraction", "freezing_capacity", "freezing_capacity_eu"]
PREDICTED = ["freeze_time_predicted"]
BOX = ["heat_leak", "structure_heat"]
SIZE = ["outside_volume", "inside_volume", "usable_volume", "volume_ratio", "mass"]
MONEY = ["price", "price_per_litre"]


def cold(book: Book) -> list[object]:
    """How cold, how fast, with how much energy."""
    runs = {c: r for c in book.coolers if (r := book.main_run(c, "pull-down"))}
    on_load = pull_down_overlay(
        {c: r.record for c, r in runs.items() if r.record.loads()},
        [f for r in runs.values() for f in r.findings], targets(book), role="load",
        styles=book.styles, names=book.names,
    ) if any(r.record.loads() for r in runs.values()) else None
    target, place = main_target(book)
    keys = [("coldest_air", ""), ("pull_down_time", f"{place}<={target:g} °C")]
    shown = [
        *side_by_side(book, COLD, "How cold, and how evenly"),
        *side_by_side(book, ["pull_down_time"], "Pull-down time from power on [h]", by_at=True),
        *book.figure(on_load),
        *side_by_side(book, ["pull_down_energy"], "Energy from power on to the target [Wh]",
                      by_at=True),
        *side_by_side(book, HEAT, "Heat taken from the load and its containers",
                      note="Load heat per electrical energy is not a COP: what leaked in is not "
                           "counted. At 0 °C no ice is counted, below it all of the load."),
        *book.figure(_dots(book, keys, "cooling-compared")),
    ]
    return shown or [Text("Not measured: needs a run of kind “pull-down” or “steady” with the "
                          "inside logged.")]


def energy(book: Book) -> list[object]:
    """Power, duty and energy of a day at the steady state, each with its window."""
    powered = [c for c in book.coolers if book.campaign.coolers[c].technology != "passive"]
    runs = {c: r for c in powered if (r := book.main_run(c, "pull-down"))}
    shown = side_by_side(book, ENERGY, "Power and energy at the steady state",
                         note="Each at the metering point and setting named. The largest power "
                              "seen is a bound: a start peak between samples may be higher.")
    shown += at_footing(book)
    without = [book.names[c] for c in book.coolers if c not in powered]
    if without:
        shown.append(Text(f"Not applicable to {listed(without)}: a passive box draws nothing."))
    shown += book.figure(cumulative_energy(
        {c: r.record for c, r in runs.items()}, [f for r in runs.values() for f in r.findings],
        styles=book.styles, names=book.names,
    ))
    keys = [*_keys_of(book, "daily_energy_footing"), *_keys_of(book, "daily_energy")]
    shown += book.figure(_dots(book, keys, "energy-compared"))
    for cooler in powered:
        run = _steady_run(book, cooler)
        if run is not None:
            shown += book.figure(steady_stack(run.record, run.steady, style=book.styles[cooler],
                                              name=book.names[cooler]))
    return shown


def _steady_run(book: Book, cooler: str):
    """The run whose daily energy page one prints."""
    finding = daily_energy(book, cooler)
    if finding is None or not finding.runs:
        return None
    return book.result.results.get(finding.runs[0])


def at_footing(book: Book) -> list[object]:
    """Daily energy of all at one ambient and inside, the raw figures beside it in the table above.

    Parameters
    ----------
    book : Book
        Campaign.
    """
    sheet = book.campaign.sheet.footing
    if sheet is None:
        return [Text("Not moved to one ambient: needs [footing] in campaign.toml.")]
    inside, ambient = number(sheet.inside.value, 0), number(sheet.ambient.value, 0)
    shown = side_by_side(
        book, FOOTING, f"At the footing: {inside} °C inside at {ambient} °C ambient",
        note="Only what a cooler draws above idle and always-on auxiliaries is moved; how stands "
             "below. Who cannot hold the footing has no energy there. A passive box is judged by "
             "the ice it needs.")
    rows = [_label_row(book, one) for one in label_style(book.result, book.rows)]
    if rows:
        shown.append(Table(
            ["", "At 16 °C [Wh/d]", "At 32 °C [Wh/d]", "Index [%]", "Litres"], rows,
            caption="The European label's arithmetic, as if each were a fresh-food appliance",
            note=f"{SCOPE} 4 °C inside at both ambients, moved like the footing."))
    return shown


def _label_row(book: Book, one: LabelStyle) -> list[object]:
    name = Cell(book.names[one.cooler], mark=book.mark(one.cooler))
    if one.note:
        return [name, Cell("–", "none"), Cell(printed(one.note), "muted"), Cell("–", "none"),
                Cell("–", "none")]
    cells = [show(value, low, high, "", 0) for low, value, high in one.daily]
    low, value, high = one.index if one.index is not None else (None, None, None)
    index = Cell("–", "none") if value is None else show(value, low, high, "", 0)
    return [name, *cells, index, said(one.litres) if one.litres is not None else "not stated"]


def freezing(book: Book) -> list[object]:
    """Freezing a load of water: start, plateau, end and energy."""
    shown = side_by_side(book, FREEZE, "Freezing water")
    if not shown:
        return [Text("Not measured: needs a run of kind “freeze” with a load probe at the "
                     "centre.")]
    shown += side_by_side(
        book, PREDICTED, "Freezing time as film and shape allow it [h]", by_at=True,
        note="Plank: from 0 °C to the frozen centre, beside the measured plateau; Pham: from the "
             "start, beside the measured freezing time. The air is taken at its mean, though it "
             "was warmer at first. What is measured outside of it points at the probe's place, a "
             "fan or a cold plate.")
    shown += [Text(f"{book.names[b.measured.cooler]}: {b.words}.")
              for b in beside_measured(book.rows)]
    for result in book.result.results.values():
        if result.freezing is not None:
            cooler = result.record.cooler
            shown += book.figure(freeze_curve(
                result.record, result.freezing, result.findings, style=book.styles[cooler],
                name=book.names[cooler],
            ))
    return shown


def box(book: Book) -> list[object]:
    """How well each box keeps the heat out, by whichever way it was measured."""
    shown = side_by_side(
        book, ["hold_time"], "Hold time without power [h]", by_at=True,
        note="From the passing of the first temperature on the way up to that of the second; load "
             "and ambient stand in the conditions of the run. Modelled: all at the footing's "
             "ambient with one and the same load.", all_notes=False)
    shown += side_by_side(
        book, ["heat_leak"], "Heat leak [W/K]", by_at=True,
        note="Walls: without what an unpowered thermoelectric machine lets back in; off: with it. "
             "Foam conducts about 0.4 % more for each kelvin that it is warmer: each value holds "
             "at its own wall temperature, which findings.csv gives.", all_notes=False)
    shown += side_by_side(
        book, ["heat_leak_geometry"], "Heat leak of the walls alone, by their sizes [W/K]",
        note="Walls, edges and corners only, to compare a measured heat leak with and for nothing "
             "else: seal, hinges, drain and machine come on top.")
    shown += side_by_side(book, ["structure_heat"], "Heat that liner and inner foam hold [kJ/K]",
                          by_at=True)
    return shown or [Text("Not measured: needs a run of kind “heater”, “warm-up” or “ice-melt”.")]


def size_and_money(book: Book) -> list[object]:
    """Litres for the outside size, price, and litres against energy."""
    chosen = []
    for cooler in book.coolers:
        finding = daily_energy(book, cooler)
        if finding is not None:
            chosen.append(replace(finding, at="nearest the wanted inside"))
    target, _ = main_target(book)
    tradeoff = size_against_energy(
        [*book.find(finding="usable_volume"), *chosen],
        energy=("daily_energy", "nearest the wanted inside"), coolers=book.coolers,
        styles=book.styles, names=book.names,
    )
    said = [
        Text(f"Daily energy in the figure is each cooler's own, measured nearest {target:g} °C "
             "inside; insides differ, and section 5 says which may be compared.", style="small")
    ] if tradeoff else []
    return [
        *side_by_side(book, SIZE, "Sizes from tape, fill count and scale"),
        *book.figure(tradeoff), *said,
        *side_by_side(book, MONEY, "Prices as their sheets state them"),
    ]


def _keys_of(book: Book, name: str) -> list[tuple[str, str]]:
    return list(dict.fromkeys(f.key for f in book.compared_rows
                              if f.finding == name and f.basis != "not applicable"
                              and not f.at.endswith(")")))


def _dots(book: Book, keys: list[tuple[str, str]], name: str):
    # What does not apply to a cooler at all does not apply at any metering point or setting.
    rows = book.compared_rows
    never = [replace(f, at=at) for f in rows if f.basis == "not applicable" and not f.at
             for finding, at in keys if finding == f.finding]
    return dot_plot(
        [*rows, *never], keys, coolers=book.compared, styles=book.styles, names=book.names,
        name=name,
        ties={key: ties for key in keys if (ties := book.ties(key))},
    )

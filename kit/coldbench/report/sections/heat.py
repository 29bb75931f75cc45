"""Box or machine: where the heat comes from, where the electricity goes, and what to blame."""

from __future__ import annotations

from collections.abc import Sequence

from coldbench.analysis.context import Context
from coldbench.analysis.masses import fit_masses
from coldbench.compare.capacity_curve import CapacityCurve, capacity_curve
from coldbench.compare.flows import BEYOND, FANS, IDLE, LEAST, STORED, WALLS, Flows, Part
from coldbench.compare.leaks import Agreement, agreements, leak_of
from coldbench.figures import capacity_against_inside, heat_and_electricity, warm_up_fit
from coldbench.figures.words import said, spoken
from coldbench.quantities import number, show
from coldbench.report.book import Book
from coldbench.report.display import Bullets, Text
from coldbench.report.sections.tables import side_by_side

MACHINE = ["cooling_capacity", "running_capacity", "cop", "carnot_cop", "carnot_fraction",
           "hot_side_resistance"]
LEAKS_MORE = 1.3  # measured over walls by their sizes, from which seal and openings are looked at
NOT_A_COP = (
    "COP is all heat that the machine takes from the inside, leak included, over all that the "
    "cooler draws; load heat per electrical energy (above) leaves the leak out and is no COP. "
    "Fraction of the ideal: COP over T_in / (T_amb − T_in) in kelvin."
)


def heat(book: Book) -> list[object]:
    """Flows in a figure and a sentence each, whether ways agree, and the machine's findings."""
    shown: list[object] = list(book.figure(heat_and_electricity(book.flows, names=book.names)))
    if book.flows:
        shown.append(Bullets([flow_sentence(book, one) for one in book.flows]))
    told = {one.cooler for one in book.flows}
    without = [book.names[c] for c in book.coolers if c not in told]
    if without:
        shown.append(Text(f"Not told for {', '.join(without)}: needs a heat leak (a heater, "
                          "warm-up or ice-melt run) and a steady run.", style="small"))
    ways = agreement_sentences(book)
    if ways:
        shown.append(Bullets(ways))
    shown += book.figure(capacity_against_inside(
        _curves(book, book.coolers), styles=book.styles, names=book.names))
    return [*shown, *side_by_side(book, MACHINE, "Machine at the steady state", note=NOT_A_COP,
                                  all_notes=False)]


def _curves(book: Book, coolers: Sequence[str]) -> dict[str, CapacityCurve]:
    """Capacity through the pull-down of each cooler whose heat leak is known."""
    found = {}
    for cooler in coolers:
        run, leak = book.main_run(cooler, "pull-down"), leak_of(book.rows, cooler)
        if run is not None and leak is not None:
            curve = capacity_curve(book.result, run.record.run, leak)
            if curve is not None:
                found[cooler] = curve
    return found


def heat_of(book: Book, cooler: str) -> list[object]:
    """The same of one cooler: its figure and its sentence."""
    found = [one for one in book.flows if one.cooler == cooler]
    if not found:
        return []
    drawn = heat_and_electricity(found, names=book.names, name=f"heat-and-electricity-{cooler}")
    return [*book.figure(drawn), Text(flow_sentence(book, found[0]))]


def warm_ups_of(book: Book, cooler: str) -> list[object]:
    """Each warm-up of one cooler with two masses fitted, and what that can tell apart."""
    shown: list[object] = []
    for run in book.result.of(cooler, "warm-up"):
        fit = fit_masses(Context(run.record, book.campaign), run.balance)
        shown += book.figure(warm_up_fit(fit, style=book.styles[cooler], name=book.names[cooler]))
    return shown


# --- one sentence a cooler ----------------------------------------------------------------------


def flow_sentence(book: Book, one: Flows) -> str:
    """Where the heat of a cooler comes from, what taking it out costs, and what weighs more."""
    parts = [_heat(book, one)]
    if one.electricity:
        parts += [_electricity(one), _blame(book, one)]
    else:
        parts.append("Ice and load take it up; it draws nothing.")
    return " ".join(part for part in parts if part)


def _heat(book: Book, one: Flows) -> str:
    by = {part.what: part for part in one.heat}
    text = (f"{book.names[one.cooler]}, {number(one.inside, 1)} °C inside at "
            f"{number(one.ambient, 1)} °C: {number(one.heat_in, 1)} W of heat come in")
    if WALLS in by and BEYOND in by:
        text += (f", {number(by[WALLS].watts, 1)} W of it through the walls by their sizes and "
                 f"{number(by[BEYOND].watts, 1)} W by seal, lid and openings")
    else:
        text += " through walls, seal and lid, which cannot be told apart"
    if STORED in by:
        text += f"; load and structure give {number(by[STORED].watts, 1)} W of it"
    return text + "."


def _electricity(one: Flows) -> str:
    by = {part.what: part for part in one.electricity}
    text = f"Taking it out costs {number(one.power, 1)} W of electricity"
    if one.cop is not None and one.cop.value is not None:
        text += f", COP {said(one.cop)}"
    beside = by.get(FANS) or by.get(IDLE)
    pieces = []
    if beside is not None:
        pieces.append(f"{number(beside.watts, 1)} W go to {beside.what}")
    if LEAST in by:
        pieces.append(f"{number(by[LEAST].watts, 1)} W are the least that any machine needs for it")
    rest = _rest(one.electricity)
    pieces.append(f"{number(rest, 1)} W are lost in the machine" if LEAST in by
                  else f"{number(rest, 1)} W to the machine")
    return f"{text}: {', '.join(pieces)}."


def _rest(parts: Sequence[Part]) -> float:
    return sum(part.watts for part in parts if part.what not in (FANS, IDLE, LEAST))


def _blame(book: Book, one: Flows) -> str:
    """What a machine as good as the best here would save, and a box without leaks at its seal."""
    if one.carnot_fraction is None or not one.carnot_fraction.value or one.heat_in <= 0:
        return ""
    best = max((o for o in book.flows if o.carnot_fraction is not None and o.carnot_fraction.value),
               key=lambda o: o.carnot_fraction.value)
    share = 1 - one.carnot_fraction.value / best.carnot_fraction.value
    machine = share * one.power
    beyond = sum(part.watts for part in one.heat if part.what == BEYOND)
    each = one.power / one.heat_in
    text = f"Each watt of heat kept out saves {number(each, 1)} W"
    if beyond:
        text += f", all that passes seal and openings {number(beyond * each, 1)} W"
    if best is one:
        return f"{text}; its machine is the nearest to the ideal here."
    return (f"{text}; a machine as near to the ideal as that of {book.names[best.cooler]} "
            f"would save {number(machine, 1)} W.")


# --- ways to one heat leak ----------------------------------------------------------------------


def agreement_sentences(book: Book) -> list[str]:
    """Whether two measured ways agree, and how measured stands to the walls' sizes."""
    return [*[_agreement(book, one) for one in agreements(book.rows)], *_beyond_sizes(book)]


def _agreement(book: Book, one: Agreement) -> str:
    cooler = book.names[one.first.cooler]
    ways = (f"{spoken(one.first.at)} {said(one.first)} and "
            f"{spoken(one.second.at)} {said(one.second)}")
    if one.agree is None:
        return f"{cooler}: {ways}; whether they agree cannot be told without stated errors."
    apart = show(100 * one.apart, 100 * one.low, 100 * one.high, "%")
    word = "agree" if one.agree else "disagree"
    more = "" if one.agree else (" Look for what changed between the runs: lid, seal, leads, wet "
                                 "foam, a probe that was moved.")
    return f"{cooler}: {ways} {word}; the second is {apart} off at the same wall temperature.{more}"


def _beyond_sizes(book: Book) -> list[str]:
    found = []
    for one in book.flows:
        by = {part.what: part for part in one.heat}
        if WALLS not in by or BEYOND not in by or by[WALLS].watts <= 0:
            continue
        ratio = (by[WALLS].watts + by[BEYOND].watts) / by[WALLS].watts
        if ratio > LEAKS_MORE:
            found.append(
                f"{book.names[one.cooler]} leaks {number(ratio, 1)} times what its walls let in by "
                "their sizes: look at seal, lid, drain, lead-throughs, fasteners and wet foam.")
    return found

"""Which differences are real: each pair of coolers, with its own interval and a verdict."""

from __future__ import annotations

from coldbench.compare.differences import AMBIENT_MOST, INSIDE_MOST, Difference
from coldbench.figures.words import axis_title, said, spoken
from coldbench.quantities import show
from coldbench.report.book import Book
from coldbench.report.display import Cell, Table, Text
from coldbench.report.sections.summary import assumed_spread, main_target

LESS = {
    "pull_down_time": "takes less time", "freeze_time": "takes less time",
    "daily_energy": "uses less", "mean_power": "uses less", "pull_down_energy": "uses less",
    "freeze_energy": "uses less", "coldest_air": "gets colder", "price": "costs less",
    "price_per_litre": "costs less", "mass": "weighs less", "outside_volume": "is smaller",
    "usable_volume": "holds less", "inside_volume": "holds less",
}
MORE = {
    "usable_volume": "holds more", "inside_volume": "holds more", "price": "costs more",
    "daily_energy": "uses more", "coldest_air": "stays warmer", "mass": "weighs more",
    "pull_down_time": "takes more time", "freeze_time": "takes more time",
    "outside_volume": "is larger", "price_per_litre": "costs more",
    "pull_down_energy": "uses more", "freeze_energy": "uses more", "mean_power": "uses more",
}
HEADLINES = ("coldest_air", "below_ambient", "warmest_load", "pull_down_time",
             "pull_down_energy", "daily_energy", "freeze_time", "freeze_energy",
             "usable_volume", "price", "price_per_litre")


def differences(book: Book) -> list[object]:
    """A row a pair and headline finding; what may not be compared says why."""
    if len(book.coolers) < 2:
        return [Text("One cooler: nothing to compare it with.")]
    target, _ = main_target(book)
    wanted = [d for d in book.differences if _is_headline(d, target)]
    if not wanted:
        return [Text("The coolers have no finding in common; nothing can be compared.")]
    columns = ["Finding", "First", "Second", "First − second", "Verdict", "Why"]
    rows = [_row(book, d) for d in wanted]
    return [
        Table(columns, rows, caption="Differences of pairs of coolers",
              note="The interval is that of the difference: errors of a shared probe or meter "
                   "cancel in it, and the run-to-run spread enters it."),
        Text(
            f"The assumed run-to-run spread is {assumed_spread()}. Insides further apart than "
            f"{INSIDE_MOST:g} K or ambients further apart than {AMBIENT_MOST:g} K are not "
            "compared on energy. With many pairs, one in twenty intervals misses by chance.",
            style="small",
        ),
    ]


def _is_headline(d: Difference, target: float) -> bool:
    name, at = d.first.key
    if name not in HEADLINES or at.endswith(("from footing start", ")")):
        return False
    if name in ("pull_down_time", "pull_down_energy"):
        return f"<={target:g} °C" in at
    return True


def _row(book: Book, d: Difference) -> list[object]:
    name, at = d.first.key
    unit = d.first.unit or d.second.unit
    title = axis_title(name, unit) + (f", {spoken(at)}" if at else "")
    gap = "" if unit in ("", "-") else unit
    if d.value is None:
        value = "–"
    else:
        value = show(d.value, d.low, d.high, "K" if gap == "°C" else gap)
    return [
        title, _named(book, d.first.cooler), _named(book, d.second.cooler), value,
        _verdict(book, d), _why(book, d),
    ]


def _named(book: Book, cooler: str) -> Cell:
    return Cell(book.names[cooler], mark=book.mark(cooler))


def _verdict(book: Book, d: Difference) -> Cell:
    if d.verdict == "not comparable":
        return Cell("not comparable", "none")
    if d.verdict == "cannot tell apart":
        return Cell("cannot tell apart", "muted")
    words = (LESS if d.verdict == "less" else MORE).get(d.first.finding, d.verdict)
    return Cell(f"{book.names[d.first.cooler]} {words}", "strong")


def _why(book: Book, d: Difference) -> str:
    if d.value is not None:
        return d.why
    parts = [f"{book.names[f.cooler]}: {said(f)}" for f in (d.first, d.second)
             if f.value is None]
    return "; ".join([d.why, *parts] if d.verdict == "not comparable" else parts or [d.why])

"""Which differences are real: each pair of coolers, with its own interval and a verdict."""

from __future__ import annotations

from coldbench.analysis.limits import LIMITS
from coldbench.compare.differences import Difference
from coldbench.figures.words import axis_title, said, spoken
from coldbench.quantities import number, show
from coldbench.report.book import Book
from coldbench.report.display import Cell, Table, Text
from coldbench.report.sections.summary import assumed_spread, main_target

LESS = {
    "coldest_air": "gets colder", "pull_down_time": "takes less time",
    "pull_down_energy": "uses less", "daily_energy": "uses less",
    "daily_energy_footing": "uses less", "heat_leak": "leaks less",
    "freeze_time": "takes less time", "freeze_energy": "uses less", "usable_volume": "holds less",
}
MORE = {
    "coldest_air": "stays warmer", "pull_down_time": "takes more time",
    "pull_down_energy": "uses more", "daily_energy": "uses more",
    "daily_energy_footing": "uses more", "heat_leak": "leaks more",
    "freeze_time": "takes more time", "freeze_energy": "uses more", "usable_volume": "holds more",
}
HEADLINES = ("coldest_air", "pull_down_time", "pull_down_energy", "daily_energy_footing",
             "daily_energy", "heat_leak", "freeze_time", "freeze_energy", "usable_volume")


def differences(book: Book) -> list[object]:
    """A row a pair and headline finding; what may not be compared says why."""
    if len(book.coolers) < 2:
        return [Text("One cooler: nothing to compare it with.")]
    at = "{1}<={0:g} °C".format(*main_target(book))
    wanted = sorted((d for d in book.differences if _is_headline(d, at)),
                    key=lambda d: HEADLINES.index(d.first.finding))
    if not wanted:
        return [Text("The coolers have no finding in common; nothing can be compared.")]
    columns = ["Finding", "First", "Second", "First − second", "Verdict", "Rests on"]
    rows = [_row(book, d) for d in wanted]
    return [
        Table(columns, rows, caption="Differences of pairs of coolers",
              widths=[22, 24, 24, 26, 30, 34],
              note="The interval is that of the difference: errors of a shared probe or meter "
                   "cancel in it, and the run-to-run spread enters it."),
        Text(
            f"The assumed run-to-run spread is {assumed_spread()}. Insides further apart than "
            f"{LIMITS.inside_apart:g} K or ambients further apart than {LIMITS.ambient_apart:g} K "
            "are not compared on energy. Of more than three coolers all pairs of a finding are "
            "judged together, so that in one campaign of twenty at most a difference is claimed "
            "by chance (Holm 1979); the intervals are those of single pairs.",
            style="small",
        ),
    ]


def _is_headline(d: Difference, main_at: str) -> bool:
    name, at = d.first.key
    if name not in HEADLINES or at.endswith(("from footing start", ")")):
        return False
    return at.startswith(main_at) if name in ("pull_down_time", "pull_down_energy") else True


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
    words = (LESS if d.verdict == "less" else MORE)[d.first.finding]
    return Cell(f"{book.names[d.first.cooler]} {words}", "strong")


def worth(book: Book, d: Difference) -> str:
    """What a difference in daily energy is worth in a year of use, where a tariff is stated.

    Parameters
    ----------
    book : Book
        Campaign.
    d : Difference
        Of two daily energies. [Wh/d]
    """
    money, use = book.campaign.sheet.money, book.campaign.sheet.use
    if d.value is None or d.first.unit != "Wh/d" or money is None or money.tariff is None:
        return ""
    days = use.days_per_year if use and use.days_per_year else 365
    share = use.hours_per_day.value / 86400 if use and use.hours_per_day else 1.0
    each = days * share * money.tariff.value / 1000
    low, high = (None if end is None else abs(end) * each for end in sorted(
        (d.low, d.high), key=lambda x: abs(x or 0)))
    text = show(abs(d.value) * each, low, high, money.currency or "")
    hours = f"{number(24 * share, 0)} h on {number(days, 0)} days"
    return f"worth {text} a year ({hours})"


def _why(book: Book, d: Difference) -> str:
    if d.value is not None:
        told = worth(book, d) if d.verdict in ("less", "more") else ""
        return "; ".join(part for part in (d.why, told) if part)
    parts = [f"{book.names[f.cooler]}: {said(f)}" for f in (d.first, d.second)
             if f.value is None]
    return "; ".join([d.why, *parts] if d.verdict == "not comparable" else parts or [d.why])

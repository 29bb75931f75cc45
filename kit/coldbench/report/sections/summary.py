"""Page one: headlines of each cooler, a verdict by rule, and what the trust rests on."""

from __future__ import annotations

from coldbench.analysis.limits import LIMITS
from coldbench.compare.differences import Difference
from coldbench.figures import pull_down_overlay
from coldbench.figures.words import listed, said, spoken
from coldbench.findings import CONDITION_UNITS, Finding
from coldbench.quantities import number
from coldbench.report.book import Book
from coldbench.report.display import Card, KeyNumbers, KeyRow, ReportHead, Text

MOST_WORDS = 40
MOST_ROWS = 8
FOOTING_ROW, SPACE_ROW = "A day at the footing", "Fits the space"
NO_TARGET = "needs temperatures in [targets] of campaign.toml"
TECHNOLOGY = {"compressor": "compressor", "thermoelectric": "thermoelectric",
              "absorption": "absorption", "passive": "passive box"}


def head(book: Book, subtitle: str = "Comparison report") -> ReportHead:
    """Title, author, date and question of the campaign; the banner of an invented one."""
    sheet = book.campaign.sheet
    return ReportHead(
        title=sheet.title, subtitle=subtitle, author=sheet.author or "", date=str(sheet.date or ""),
        question=sheet.question or "", paper=book.paper, banner=invented(book),
        report_id=book.campaign.folder.name,
    )


def invented(book: Book) -> str:
    """Line for every page of a campaign whose data are made up, or ``""``."""
    told = book.campaign.sheet.disclosure
    return (told.invented or "") if told else ""


def summary(book: Book) -> list[object]:
    """A card a cooler, and the pull-down curves of all."""
    cards = [card(book, cooler) for cooler in book.coolers]
    caption = ("95 % intervals from the instruments' stated errors, for these runs of these single "
               "samples.")
    return [KeyNumbers(cards, caption=caption), *lead_figure(book)]


def lead_figure(book: Book) -> list[object]:
    """Pull-down curves of all coolers on one axis."""
    runs = {c: r for c in book.coolers if (r := book.main_run(c, "pull-down"))}
    if not runs:
        return [Text("No pull-down run was made.")]
    return list(book.figure(pull_down_overlay(
        {c: r.record for c, r in runs.items()}, [f for r in runs.values() for f in r.findings],
        targets(book), styles=book.styles, names=book.names,
    )))


def targets(book: Book) -> list[float]:
    """Targets of the campaign. [°C]"""
    sheet = book.campaign.sheet.targets
    return [q.value for q in sheet.temperatures] if sheet else []


def card(book: Book, cooler: str) -> Card:
    """Headlines of one cooler."""
    sheet = book.campaign.coolers[cooler]
    rows = [_row(label, finding, _needs(book, label))
            for label, finding in headlines(book, cooler)]
    return Card(
        book.names[cooler], rows, mark=book.mark(cooler), verdict=verdict(book, cooler),
        trust=trust(book, cooler), facts=f"{TECHNOLOGY[sheet.technology]}, {sheet.origin}",
    )


def headlines(book: Book, cooler: str) -> list[tuple[str, Finding | None]]:
    """Six to eight findings that page one prints, missing ones included.

    Parameters
    ----------
    book : Book
        Campaign.
    cooler : str
        Id.
    """
    target, place = main_target(book)
    at = f"{place}<={target:g} °C"
    sheet = book.campaign.sheet
    passive = book.campaign.coolers[cooler].technology == "passive"
    found = [
        ("Coldest air", book.one(cooler, "coldest_air")),
        (f"Time to {spoken(at)}", book.one(cooler, "pull_down_time", at)),
        (FOOTING_ROW, book.one(cooler, "ice_needed")) if passive
        else _energy_headline(book, cooler),
    ]
    if sheet.space is not None:
        found.append((SPACE_ROW, book.one(cooler, "fits_space", "shut")))
    found += [
        ("Usable volume", book.one(cooler, "usable_volume")),
        ("Price", book.one(cooler, "price")),
    ]
    if sheet.money is not None:
        found.append(("Running cost", _first(book, cooler, "running_cost")))
    if sheet.supply is not None:
        found.append(("Battery needed", _first(book, cooler, "battery_needed")))
    if book.find(finding="sound_level"):
        found.append(("Sound", _first(book, cooler, "sound_level")))
    if any("freeze" in run.kind for run in book.campaign.runs.values()) and not passive:
        found.append(("Freezing time", book.one(cooler, "freeze_time")))
    if not passive:
        found.append((f"Energy to {spoken(at)}", _starting(book, cooler, "pull_down_energy", at)))
    return found[:MOST_ROWS]


def _first(book: Book, cooler: str, name: str) -> Finding | None:
    """First row of a finding that says something, else the first at all."""
    found = book.find(cooler=cooler, finding=name)
    return next((f for f in found if f.basis != "not measured"), next(iter(found), None))


def main_target(book: Book) -> tuple[float, str]:
    """Target of page one: the footing's inside, on the load where any load was logged. [°C]"""
    footing, levels = book.campaign.sheet.footing, targets(book)
    wanted = footing.inside.value if footing and footing.inside else 4.0
    target = min(levels, key=lambda t: abs(t - wanted)) if levels else wanted
    on_load = any(f.finding == "pull_down_time" and f.at.startswith("load") for f in book.rows)
    return target, "load" if on_load else "air"


def _starting(book: Book, cooler: str, name: str, at: str) -> Finding | None:
    return next((f for f in book.find(cooler=cooler, finding=name) if f.at.startswith(at)), None)


def daily_energy(book: Book, cooler: str) -> Finding | None:
    """Daily energy measured nearest the inside temperature that the campaign asks for."""
    found = book.find(cooler=cooler, finding="daily_energy")
    wanted, _ = main_target(book)
    return min(
        found, default=None,
        key=lambda f: (f.value is None, abs(float(f.conditions.get("inside", 99.0)) - wanted)),
    )


def at_footing(book: Book, cooler: str) -> Finding | None:
    """Daily energy at the footing where it was found out, or that it cannot be held there."""
    found = book.find(cooler=cooler, finding="daily_energy_footing")
    return next((f for f in found if f.basis not in ("not measured", "not applicable")), None)


def _energy_headline(book: Book, cooler: str) -> tuple[str, Finding | None]:
    moved = at_footing(book, cooler)
    if moved is None:
        return "Daily energy", daily_energy(book, cooler)
    return FOOTING_ROW, moved


def _row(label: str, finding: Finding | None, needs: str = "") -> KeyRow:
    if finding is None:
        return KeyRow(label, "not measured", needs, "not tested")
    if finding.basis == "not measured":
        return KeyRow(label, "not measured", finding.note, "not tested")
    if label == SPACE_ROW:
        return KeyRow(label, _fit(finding))
    if finding.basis == "not applicable":
        return KeyRow(label, "not applicable")
    if finding.basis == "not reached" and finding.note.startswith("cannot hold"):
        # Said once in full, in the row of the energy: what follows from it has no number.
        told = finding.note if label == FOOTING_ROW else ""
        return KeyRow(label, "cannot hold it" if told else "–", told)
    what = " of ice" if finding.finding == "ice_needed" else ""
    return KeyRow(label, f"{said(finding)}{what}", _short(finding))


def _fit(finding: Finding) -> str:
    """Whether it fits, and by how much, as the note begins."""
    margin = finding.note.partition(";")[0]
    return f"fits, {margin}" if finding.value == 1 else margin


def _needs(book: Book, label: str) -> str:
    to_target = label.startswith(("Time to", "Energy to"))
    return NO_TARGET if to_target and not targets(book) else ""


SHORT = {
    "coldest_air": ("ambient", "ice"), "pull_down_time": ("ambient", "start", "load", "ice"),
    "pull_down_energy": (), "daily_energy": ("ambient", "inside"),
    "freeze_time": ("ambient", "start", "load"), "daily_energy_footing": ("ambient", "inside"),
    "ice_needed": ("ambient", "inside"),
}
"""Conditions that page one prints beside a headline; the cooler's sheet has them all."""


def _short(finding: Finding) -> str:
    if finding.finding == "price":
        return finding.note
    parts = []
    for name in SHORT.get(finding.finding, ()):
        value = finding.conditions.get(name)
        if isinstance(value, float):
            unit = CONDITION_UNITS[name]
            parts.append(f"{name} {number(value, 2 if unit == 'kg' else 1)} {unit}")
    return ", ".join(parts)


# --- the verdict --------------------------------------------------------------------------------


def verdict(book: Book, cooler: str) -> str:
    """At most 60 words, composed from findings and differences; no adjective of its own."""
    parts = [_reach(book, cooler), _energy_words(book, cooler), _time_words(book, cooler)]
    words = ""
    for part in parts:
        longer = f"{words} {part}".strip()
        if part and len(longer.split()) <= MOST_WORDS:
            words = longer
    return words


def _reach(book: Book, cooler: str) -> str:
    target, _ = main_target(book)
    coldest = book.one(cooler, "coldest_air")
    if coldest is None or coldest.basis == "not measured":
        return "How cold it gets was not measured."
    ambient = coldest.conditions.get("ambient")
    where = f" at {number(float(ambient), 1)} °C ambient" if ambient is not None else ""
    wanted = f"{number(target, 0)} °C"
    low, high = coldest.low, coldest.high
    if high is not None and high <= target:
        return f"Its air reaches {wanted}{where}."
    if low is not None and low > target:
        return f"Its air does not reach {wanted}{where}: coldest {number(coldest.value, 1)} °C."
    return f"Whether its air reaches {wanted}{where} cannot be told."


def _energy_words(book: Book, cooler: str) -> str:
    if book.campaign.coolers[cooler].technology == "passive":
        return _ice_words(book, cooler)
    daily = at_footing(book, cooler)
    if daily is not None and daily.basis == "not reached":
        note = daily.note.partition("; ")[0]
        return f"It {note}." if note.startswith("cannot hold") else ""
    daily = daily or daily_energy(book, cooler)
    if daily is None or daily.value is None:
        return "Its daily energy was not measured at a steady state."
    inside, ambient = daily.conditions.get("inside"), daily.conditions.get("ambient")
    held = f" with {number(float(inside), 1)} °C inside" if inside is not None else ""
    if daily.finding == "daily_energy_footing":
        held = (f" at the footing ({number(float(inside), 0)} °C inside, "
                f"{number(float(ambient), 0)} °C)")
    text = f"Uses {number(daily.value, 0)} Wh a day{held}"
    return f"{text}{_against(book, cooler, daily, 'less than', 'more than')}."


def _ice_words(book: Book, cooler: str) -> str:
    ice = book.one(cooler, "ice_needed")
    if ice is None or ice.value is None:
        return "It draws no electricity."
    ambient, inside = (number(float(ice.conditions[name]), 0) for name in ("ambient", "inside"))
    return (f"It draws no electricity, but needs {number(ice.value, 1)} kg of ice a day for "
            f"{inside} °C inside at {ambient} °C.")


def _time_words(book: Book, cooler: str) -> str:
    target, place = main_target(book)
    at = f"{place}<={target:g} °C"
    time = book.one(cooler, "pull_down_time", at)
    if time is None or time.value is None:
        return ""
    text = f"Its {place} takes {number(time.value, 1)} h to {number(target, 0)} °C"
    return f"{text}{_against(book, cooler, time, 'sooner than', 'later than')}."


def _against(book: Book, cooler: str, finding: Finding, less: str, more: str) -> str:
    """What its difference from each other cooler says, in words."""
    told: dict[str, list[str]] = {less: [], more: [], "not told apart from": []}
    for d in book.differences:
        if d.first.key != finding.key or cooler not in (d.first.cooler, d.second.cooler):
            continue
        other, is_less = _seen_from(d, cooler)
        if d.verdict == "cannot tell apart":
            told["not told apart from"].append(book.names[other])
        elif d.verdict in ("less", "more"):
            told[less if is_less else more].append(book.names[other])
    parts = [f"{words} {listed(names)}" for words, names in told.items() if names]
    return f": {', '.join(parts)}" if parts else ""


def _seen_from(d: Difference, cooler: str) -> tuple[str, bool]:
    first = d.first.cooler == cooler
    other = d.second.cooler if first else d.first.cooler
    return other, (d.verdict == "less") == first


# --- the trust line -----------------------------------------------------------------------------


def trust(book: Book, cooler: str) -> str:
    """Coverage, steadiness, repeats, checked probes; one sample only."""
    runs = book.result.of(cooler)
    coverage = [f.coverage for r in runs for f in r.findings if f.coverage is not None]
    parts = []
    if coverage:
        least = number(min(coverage), 0)
        parts.append(f"coverage {least} %" + (" or more" if least != "100" else ""))
    windows = [r.steady for r in runs if r.steady is not None]
    if windows:
        passed = sum(w.passed for w in windows)
        parts.append(f"steady in {passed} of {len(windows)} runs")
    repeats = sum(bool(book.campaign.runs[r.record.run].repeat_of) for r in runs)
    parts.append(f"{repeats} repeat{'s' if repeats != 1 else ''}" if repeats
                 else "repeat runs not made")
    parts.append(_checked(book, cooler))
    moved = at_footing(book, cooler)
    if moved is not None and moved.note:
        parts.append(_footing_words(moved.note))
    parts.append("one sample")
    text = ", ".join(parts)
    return text[0].upper() + text[1:] + "."


def _footing_words(note: str) -> str:
    """How the energy came to the footing, shortly."""
    if note.startswith("machine curve"):
        return "footing by machine curve"
    if note.startswith("between"):
        return "footing between two measured ambients"
    if note.startswith("power law"):
        kelvins = note.partition("moved ")[2].partition(";")[0]
        return f"footing {kelvins} away, by a power law"
    return "footing not held"


def _checked(book: Book, cooler: str) -> str:
    runs = [run for run in book.campaign.runs.values() if run.cooler == cooler]
    used = {column.instrument or log.instrument for run in runs for log in run.log
            for column in log.columns.values()}
    used |= {reading.instrument for run in runs for reading in run.reading}
    used.discard(None)
    if not used:
        return "instruments not named"
    checked = sum(bool(book.checked_on(instrument)) for instrument in used)
    return f"{checked} of {len(used)} instruments checked"


def assumed_spread() -> str:
    """The assumed run-to-run spread, in words."""
    return (
        f"energy {100 * LIMITS.spread_energy:g} %, temperature {LIMITS.spread_temperature:g} K, "
        f"time {100 * LIMITS.spread_time:g} % (standard uncertainties)"
    )

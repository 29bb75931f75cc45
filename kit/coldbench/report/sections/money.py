"""Money: what a year costs, what all of it costs over the years, and when a dearer one pays."""

from __future__ import annotations

from coldbench.analysis.limits import LIMITS
from coldbench.compare.outlay import by_case, case_words, outlays
from coldbench.compare.payback import MONTHS, Payback, paybacks
from coldbench.compare.use import ALL_DAYS, use_of
from coldbench.figures import cost_over_time
from coldbench.figures.words import listed, printed
from coldbench.findings import Finding
from coldbench.quantities import number, show
from coldbench.report.book import Book
from coldbench.report.display import Bullets, Heading, Text
from coldbench.report.sections.tables import side_by_side
from coldbench.sheets.campaign import MoneySheet

COSTS = ["running_cost", "supply_cost", "life_cost"]
CHARGED = (
    "On the mains a cooler costs its price and its electricity; from a battery charged there, the "
    "battery too; from battery and panel no electricity."
)


def costs(book: Book) -> list[object]:
    """The same under a heading of its own."""
    return [Heading(3, "Cost"), *money(book)]


def money(book: Book) -> list[object]:
    """Costs side by side, a chart of cost over time a case, and a sentence for each pair."""
    sheet = book.campaign.sheet.money
    if sheet is None:
        return [Text("Running cost was not counted: needs [money] with currency and tariff in the "
                     "campaign sheet.")]
    prices = [q.text for q in (sheet.tariff, sheet.ice_price, sheet.battery_price,
                               sheet.panel_price) if q is not None]
    said = f"Use: {use_of(book.campaign.sheet.use).text}."
    said += f" Prices: {listed(prices)}." if prices else ""
    shown = side_by_side(book, COSTS, "What the coolers cost to run, and altogether",
                         note=f"{said} {CHARGED} {_later(sheet)}", all_notes=False)
    told = paybacks(book.rows)
    years = sheet.years or LIMITS.cost_years
    for case, group in by_case(outlays(book.rows)).items():
        pairs = [one for one in told if one.case == case]
        shown += book.figure(cost_over_time(group, pairs, case=case, years=years,
                                            styles=book.styles, names=book.names))
        if pairs:
            shown += [Text(f"Payback {case_words(case)}:"),
                      Bullets([payback_sentence(book, one) for one in pairs])]
    without = [f"{book.names[f.cooler]} ({printed(f.note)})" for f in _uncosted(book)]
    if without:
        shown.append(Text(f"Without a cost here: {'; '.join(without)}.", style="small"))
    return shown


def _later(sheet: MoneySheet) -> str:
    """What life cost counts of later years beside running."""
    parts = []
    if sheet.battery_years is not None:
        parts.append(f"a battery anew every {sheet.battery_years} years")
    if sheet.resale is not None:
        parts.append(f"{100 * sheet.resale.value:g} % of the price back in the end")
    return f"Life cost holds {listed(parts)}." if parts else (
        "Nothing is replaced, repaired or sold.")


def _uncosted(book: Book) -> list[Finding]:
    """First row of each cooler that has no running cost at all."""
    rows = {c: book.find(cooler=c, finding="running_cost") for c in book.coolers}
    return [found[0] for found in rows.values()
            if found and all(f.value is None and f.high is None for f in found)]


def payback_sentence(book: Book, one: Payback) -> str:
    """How long until the dearer of two has paid back, or why it does not.

    Parameters
    ----------
    book : Book
        Campaign: names, use, years.
    one : Payback
        A pair.
    """
    dearer, cheaper = (book.names[o.cooler] for o in (one.dearer, one.cheaper))
    start = f"{dearer} {_more(one)} than {cheaper} at first"
    if one.verdict == "never":
        return f"{start} and no less to run: it never pays back."
    if one.verdict == "cannot tell":
        soonest = "" if one.low is None else f", at the soonest after {_months(one.low)}"
        return f"{start}; whether it ever pays back cannot be told{soonest}."
    if one.value == 0 and not one.high:
        return f"{start} and less to run: it is the cheaper one at once."
    saved = _saved(one)
    time = show(one.value, one.low, one.high, "months", 0)
    return (f"{start}{f' and {saved} less to run' if saved else ' and less to run'}: it has paid "
            f"back after {time}{_days(book, one)}{_beyond(book, one)}{_why(one)}.")


def _more(one: Payback) -> str:
    first, other = one.dearer.first, one.cheaper.first
    if first.value is None or other.value is None:
        return "costs more"
    if first.value == other.value:
        return "costs no more"
    return f"costs {number(first.value - other.value, 0)} {first.unit} more"


def _saved(one: Payback) -> str:
    less, more = one.dearer.yearly, one.cheaper.yearly
    if less.value is None or more.value is None:
        return ""
    return f"{show(more.value - less.value, None, None, '')} {less.unit.partition('/')[0]} a year"


def _months(value: float) -> str:
    return f"{number(value, 0)} months"


def _days(book: Book, one: Payback) -> str:
    """The same in days of use, where they are not all days."""
    use = use_of(book.campaign.sheet.use)
    if one.value is None or use.days >= ALL_DAYS:
        return ""
    return f", about {number(one.value / MONTHS * use.days, 0)} days of use"


def _beyond(book: Book, one: Payback) -> str:
    """Whether that lies past the years that life cost counts."""
    years = book.campaign.sheet.money.years
    soonest = one.low if one.low is not None else one.value
    latest = one.high if one.high is not None else one.value
    if years is None or latest is None or latest <= MONTHS * years:
        return ""
    word = "past" if soonest > MONTHS * years else "perhaps past"
    return f", {word} the {years:g} years counted"


def _why(one: Payback) -> str:
    return f" ({one.why})" if one.why else ""

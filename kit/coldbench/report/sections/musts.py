"""Musts and shortlist: who meets what, by how much, and what those that are left trade."""

from __future__ import annotations

from coldbench.compare.musts import MET, MISSED, Verdict
from coldbench.compare.musts import musts as judged
from coldbench.compare.shortlist import Shortlist, shortlist, trade
from coldbench.compare.weights import Move, Ranking, ranking
from coldbench.figures.words import listed, printed
from coldbench.findings import KINDS
from coldbench.quantities import number, show
from coldbench.report.book import Book
from coldbench.report.display import Bullets, Cell, Table, Text
from coldbench.report.sections.tables import ABREAST

SHAPES = {MET: ("✓", "good"), MISSED: ("✗", "bad")}
RULE = (
    "Met and missed hold with the whole 95 % interval, run-to-run spread included; below it the "
    "margin to spare (minus: missing) and, in brackets, how many of its standard uncertainties u "
    "it is."
)


def musts(book: Book) -> list[object]:
    """Musts by coolers, what each verdict rests on, the shortlist, and a ranking if asked for."""
    verdicts = judged(book.campaign, book.rows, book.spreads)
    short = shortlist(book.campaign, book.rows, verdicts, book.spreads)
    shown: list[object] = []
    if verdicts:
        shown += [*_tables(book, verdicts), Bullets(_whys(book, verdicts))]
    else:
        shown.append(Text("The campaign states no must: all coolers are on the list."))
    shown.append(Bullets([*members(book, short), *front(book, short)]))
    ranked = ranking(book.campaign, book.rows, short.meets, book.spreads)
    return shown + ([] if ranked is None else _ranking(book, ranked))


def _tables(book: Book, verdicts: list[Verdict]) -> list[object]:
    on = {(v.must, v.cooler): v for v in verdicts}
    texts = {v.must: v.text for v in verdicts}
    found: list[object] = []
    for band in (book.coolers[i:i + ABREAST] for i in range(0, len(book.coolers), ABREAST)):
        columns = ["Must", *[Cell(book.names[c], mark=book.mark(c)) for c in band]]
        rows = [[printed(text), *[_cell(on[must, c]) for c in band]]
                for must, text in texts.items()]
        found.append(Table(columns, rows, caption="Musts of the campaign, cooler by cooler",
                           align="l" * len(columns), note=RULE))
    return found


def _cell(v: Verdict) -> Cell:
    shape, style = SHAPES.get(v.verdict, ("?", "muted"))
    return Cell(" ".join(part for part in (f"{shape} {v.verdict}", margin(v)) if part), style)


def margin(v: Verdict) -> str:
    """The margin in print: in its unit and in standard uncertainties.

    Examples
    --------
    >>> margin(Verdict("price_at_most", "", "a", None, "met", 20.0, None, "", 20.0, 20.0, "EUR"))
    '20 EUR'
    """
    if (v.margin, v.low, v.high) == (None, None, None):
        return ""
    text = show(v.margin, v.low, v.high, v.unit)
    return text if v.margin_u is None else f"{text} ({number(v.margin_u, 1)} u)"


def _whys(book: Book, verdicts: list[Verdict]) -> list[str]:
    """What verdicts rest on, must by must."""
    told: dict[str, dict[str, list[str]]] = {}
    for v in verdicts:
        told.setdefault(v.text, {}).setdefault(v.why, []).append(book.names[v.cooler])
    return [
        printed(f"{text} – " + " ".join(
            f"{listed(coolers)}: {why}." for why, coolers in parts.items()))
        for text, parts in told.items()
    ]


def members(book: Book, short: Shortlist) -> list[str]:
    """Who is on the list and who is not, a sentence each.

    Parameters
    ----------
    book : Book
        Campaign.
    short : Shortlist
        Of it.
    """
    if not short.meets:
        told = ["No cooler is known to meet all musts."]
    else:
        told = [f"On the shortlist, for all musts are met: "
                f"{listed(book.names[c] for c in short.meets)}."]
    for group, word in ((short.open, "may still join it; not told"), (short.missed, "misses")):
        told += [f"{book.names[cooler]} {word}: {'; '.join(_lower(v.text) for v in why)}."
                 for cooler, why in group.items()]
    return [printed(line) for line in told]


def front(book: Book, short: Shortlist) -> list[str]:
    """Which of the list no other beats on everything, and what each trades.

    Parameters
    ----------
    book : Book
        Campaign.
    short : Shortlist
        Of it.
    """
    told = [f"{book.names[c]} is beaten on everything by {listed(book.names[b] for b in by)}."
            for c, by in short.beaten.items()]
    if len(short.meets) > 1:
        told += [trade(short, c, book.names) for c in short.front]
        on = listed(_title(axis) for axis in short.axes) or "nothing"
        told.append(f"Compared on {on}.{_ice_said(book, short)}")
        told += [f"Not compared on {_title(axis)}: {why}."
                 for axis, why in short.left_out.items()]
    return [printed(line) for line in told]


def _ice_said(book: Book, short: Shortlist) -> str:
    passive = [book.names[c] for c in short.meets
               if book.campaign.coolers[c].technology == "passive"]
    if "daily_energy_footing" not in short.axes or not passive:
        return ""
    return f" The energy of {listed(passive)} is that which makes its ice."


def _title(axis: str) -> str:
    return KINDS[axis].title.lower()


def _lower(text: str) -> str:
    return text[0].lower() + text[1:]


def _ranking(book: Book, ranked: Ranking) -> list[object]:
    """Scores and chances by the user's weights, and what would change the first place."""
    told = [f"{book.names[c]} has no score: {why}." for c, why in ranked.left_out.items()]
    if not ranked.order:
        return [Bullets(told)] if told else []
    weights = ", ".join(f"{_title(m.axis)} {m.weight:g}" for m in ranked.moves)
    rows = [
        [Cell(book.names[c], mark=book.mark(c)), number(ranked.scores[c], 2),
         f"{number(100 * ranked.chances[c], 0)} %"] for c in ranked.order
    ]
    note = (f"Weights as the campaign states them: {weights}. Each finding counts from 0 at the "
            "worst to 1 at the best of those ranked; the chance is the share of draws of all "
            "instrument errors and run-to-run spreads.")
    table = Table(["Cooler", "Score [-]", "Chance of first place"], rows, note=note,
                  caption="Ranking by your weights")
    if len(ranked.order) > 1:
        told += [move_words(book, m, ranked.order[0]) for m in ranked.moves]
    return [table, Bullets(told)] if told else [table]


def move_words(book: Book, move: Move, first: str) -> str:
    """How far a weight must move to change the first place, as a sentence.

    Parameters
    ----------
    book : Book
        Campaign.
    move : Move
        Of one weight.
    first : str
        Id of the cooler that comes first.
    """
    ways = [f"{way} {number(at, 2)} {book.names[by]} comes first"
            for way, at, by in (("below", move.below, move.below_first),
                                ("above", move.above, move.above_first)) if at is not None]
    told = listed(ways) or f"{book.names[first]} stays first at any weight"
    return f"Weight of {_title(move.axis)}, {move.weight:g} as written: {told}."

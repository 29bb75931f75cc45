"""Page one: what each cooler does, in a few numbers with their intervals and conditions."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from coldbench.quantities import us
from coldbench.report.marks import Mark
from coldbench.report.markup import html_text, one_line, typst_string, typst_tuple
from coldbench.report.shown import Shown

STATUSES = ("", "pass", "limited", "fail", "not tested")
_JOINT = re.compile(r"(?<=[\d±]) (?=[±%°]|[\d]|[A-Za-z]{1,3}(?:/|\b))")
ABREAST = 4  # cards beside each other on paper


def _in_units(shown: object, *names: str) -> None:
    """Texts of page one in the units chosen: two numbers for each would not fit it."""
    for name in names:
        object.__setattr__(shown, name, us.instead(getattr(shown, name)))


@dataclass(frozen=True)
class KeyRow:
    """One headline number.

    Parameters
    ----------
    label : str
        What it is: ``"Daily energy"``. Rows of the same label stand on one line.
    value : str
        ``"412 ± 18 Wh/d"``, ``"not measured"``.
    conditions : str
        ``"ambient 24.6 °C, inside 3.9 °C"``.
    status : str
        ``pass``, ``limited``, ``fail``, ``not tested`` or ``""``; printed as word and shape.

    Raises
    ------
    ValueError
        Unknown status.
    """

    label: str
    value: str
    conditions: str = ""
    status: str = ""

    def __post_init__(self) -> None:
        if self.status not in STATUSES:
            raise ValueError(f"status {self.status!r} is not one of {STATUSES}")
        _in_units(self, "label", "value", "conditions")


@dataclass(frozen=True)
class Card:
    """One cooler on page one.

    Parameters
    ----------
    name : str
        The cooler's name.
    rows : sequence of KeyRow
        Its headline numbers.
    mark : Mark, optional
        Its sign in all figures.
    verdict : str
        One sentence by rule.
    trust : str
        Coverage, steadiness, repeats, checked probes.
    facts : str
        Technology, price, origin: what it is.
    """

    name: str
    rows: Sequence[KeyRow]
    mark: Mark | None = None
    verdict: str = ""
    trust: str = ""
    facts: str = ""

    def __post_init__(self) -> None:
        _in_units(self, "verdict", "trust", "facts")


@dataclass(frozen=True)
class KeyNumbers(Shown):
    """Cards side by side; see :mod:`coldbench.report.display`.

    Raises
    ------
    ValueError
        No card.
    """

    cards: Sequence[Card]
    caption: str = ""

    def __post_init__(self) -> None:
        if not self.cards:
            raise ValueError("key numbers need at least one card")

    @property
    def labels(self) -> list[str]:
        """Labels of all cards in order of first appearance."""
        return list(dict.fromkeys(row.label for card in self.cards for row in card.rows))

    def html(self) -> str:
        """A section a card; rows of the same label stand level where the page is wide."""
        cards = "".join(_card_html(card, self.labels) for card in self.cards)
        alone = " alone" if len(self.cards) == 1 else ""
        caption = f'<p class="small">{html_text(self.caption)}</p>' if self.caption else ""
        return f'<div class="cards{alone}">{cards}</div>{caption}'

    def typst(self) -> str:
        """Tiles for a single cooler, else tables of at most four coolers each."""
        caption = typst_string(self.caption)
        if len(self.cards) == 1:
            return f"#key-tiles({_card_typst(self.cards[0], self.labels)}, caption: {caption});"
        bands = -(-len(self.cards) // ABREAST)
        size = -(-len(self.cards) // bands)
        calls = []
        for start in range(0, len(self.cards), size):
            band = [_card_typst(card, self.labels) for card in self.cards[start : start + size]]
            labels = typst_tuple([typst_string(label) for label in self.labels])
            last = start + size >= len(self.cards)
            calls.append(
                f"#key-table({labels}, {typst_tuple(band)}, "
                f"caption: {caption if last else typst_string('')});"
            )
        return "\n".join(calls)

    def plain(self) -> str:
        """A block of lines a card."""
        return "\n\n".join(_card_plain(card) for card in self.cards)


def _row(card: Card, label: str) -> KeyRow:
    found = next((row for row in card.rows if row.label == label), KeyRow(label, "–"))
    return replace(
        found, value=_together(found.value), conditions=_together(found.conditions)
    )


def _together(text: str) -> str:
    """Numbers kept on one line with what belongs to them."""
    return _JOINT.sub("\u00a0", text)


def _card_html(card: Card, labels: Sequence[str]) -> str:
    colour = f"border-top-color:{card.mark.colour};" if card.mark else ""
    sign = card.mark.html() if card.mark else ""
    rows = "".join(_row_html(_row(card, label)) for label in labels)
    return (
        f'<section class="card" style="{colour}--rows:{len(labels)}">'
        f'<p class="card-name">{sign}{html_text(card.name)}</p>'
        f'<p class="card-facts">{html_text(card.facts)}</p>'
        f'<p class="verdict">{html_text(_together(card.verdict))}</p><dl>{rows}</dl>'
        f'<p class="trust">{html_text(_together(card.trust))}</p></section>'
    )


def _row_html(row: KeyRow) -> str:
    conditions = f"<small>{html_text(row.conditions)}</small>" if row.conditions else ""
    status = ""
    if row.status:
        status = f'<span class="status {row.status.replace(" ", "-")}">{row.status}</span>'
    return (
        f"<div><dt>{html_text(row.label)}</dt>"
        f"<dd><b>{html_text(row.value)}</b>{status}{conditions}</dd></div>"
    )


def _card_typst(card: Card, labels: Sequence[str]) -> str:
    rows = typst_tuple([_row_typst(_row(card, label)) for label in labels])
    sign = card.mark.typst() if card.mark else "none"
    colour = f'rgb("{card.mark.colour}")' if card.mark else "accent"
    return (
        f"(name: {typst_string(card.name)}, sign: {sign}, colour: {colour}, "
        f"verdict: {typst_string(_together(card.verdict))}, "
        f"trust: {typst_string(_together(card.trust))}, "
        f"facts: {typst_string(card.facts)}, rows: {rows})"
    )


def _row_typst(row: KeyRow) -> str:
    return (
        f"(label: {typst_string(row.label)}, value: {typst_string(row.value)}, "
        f'conditions: {typst_string(row.conditions)}, status: "{row.status}")'
    )


def _card_plain(card: Card) -> str:
    lines = [card.name, card.verdict]
    lines += [" ".join((f"{row.label}: {row.value}", row.conditions)).strip() for row in card.rows]
    return "\n".join(one_line(line) for line in [*lines, card.trust] if line)

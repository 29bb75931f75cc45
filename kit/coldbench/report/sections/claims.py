"""What the maker claims, beside what was measured; like with like, and where it is not, said."""

from __future__ import annotations

from coldbench.compare.claims import (
    BORNE_OUT,
    NOT_BORNE_OUT,
    NOT_COMPARABLE,
    ClaimVerdict,
)
from coldbench.compare.claims import claims as judged
from coldbench.figures.words import printed, said
from coldbench.quantities import show
from coldbench.report.book import Book
from coldbench.report.display import Cell, Heading, Table, Text

TITLES = {"coldest": "Coldest", "power": "Power", "volume": "Volume",
          "daily_energy": "Daily energy", "sound": "Sound"}
SHAPES = {BORNE_OUT: ("✓", "good"), NOT_BORNE_OUT: ("✗", "bad"), NOT_COMPARABLE: ("–", "none")}
RULE = (
    "Borne out: at least as good as claimed, to the last digit in which the claim is printed, with "
    "the whole 95 % interval, run-to-run spread included; not borne out: worse with all of it. One "
    "sample was tested, under the conditions that stand beside it."
)


def claims(book: Book) -> list[object]:
    """A row a claim; no verdict where claim and finding are of different kinds."""
    rows = [_row(book, one) for one in judged(book.campaign, book.rows, book.spreads)]
    heading = Heading(2, "9 Claims against measured")
    if not rows:
        return [heading, Text("No sheet states a claim.")]
    columns = ["Cooler", "Claim", "Claimed", "Measured here", "Verdict", "Measured − claimed",
               "Conditions, and what the claim leaves open"]
    return [heading, Table(columns, rows, caption="Claims of makers, as the sheets state them",
                           align="l" * 7, widths=[24, 16, 16, 34, 22, 26, 40], note=RULE)]


def _row(book: Book, one: ClaimVerdict) -> list[object]:
    shape, style = SHAPES.get(one.verdict, ("?", "muted"))
    return [
        Cell(book.names[one.cooler], mark=book.mark(one.cooler)), TITLES[one.claim],
        printed(one.claimed.text), _beside(book, one), Cell(f"{shape} {one.verdict}", style),
        _difference(one), printed(one.why),
    ]


def _difference(one: ClaimVerdict) -> str | None:
    if (one.difference, one.low, one.high) == (None, None, None):
        return None
    return show(one.difference, one.low, one.high, one.unit)


def _beside(book: Book, one: ClaimVerdict) -> str | Cell:
    if one.claim == "sound" and any(f.basis != "not measured" for f in book.find(
            cooler=one.cooler, finding="sound_level")):
        return Cell("read at a place, see sound", "none")
    told = [f"{f.kind.title.lower()} {said(f)}" for f in one.rows]
    return "; ".join(told) if told else Cell("not measured", "none")

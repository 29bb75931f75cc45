"""What the maker claims, beside what was measured; like with like, and where it is not, said."""

from __future__ import annotations

from coldbench.figures.words import printed, said
from coldbench.findings import Finding
from coldbench.report.book import Book
from coldbench.report.display import Cell, Heading, Table, Text
from coldbench.report.sections.summary import daily_energy

KINDS_OF_CLAIM = {
    "coldest": ("Coldest", "the claim states no ambient"),
    "power": ("Power", "a rated power is no mean over a day"),
    "volume": ("Volume", "the claim does not say which volume"),
    "daily_energy": ("Daily energy", "the claim states no ambient and no inside temperature"),
    "sound": ("Sound", "power or pressure, and at what distance, is not said: not compared"),
}


def claims(book: Book) -> list[object]:
    """A row a claim; no verdict where claim and finding are of different kinds."""
    rows = [row for cooler in book.coolers for row in _rows(book, cooler)]
    heading = Heading(2, "9 Claims against measured")
    if not rows:
        return [heading, Text("No sheet states a claim.")]
    columns = ["Cooler", "Claim", "Claimed", "Measured here", "How alike"]
    return [heading, Table(columns, rows, caption="Claims of makers, as the sheets state them")]


def _rows(book: Book, cooler: str) -> list[list[object]]:
    claimed = book.campaign.coolers[cooler].claims
    if claimed is None:
        return []
    return [
        [Cell(book.names[cooler], mark=book.mark(cooler)), title, printed(quantity.text),
         _beside(book, cooler, name), alike]
        for name, (title, alike) in KINDS_OF_CLAIM.items()
        if (quantity := getattr(claimed, name)) is not None
    ]


def _beside(book: Book, cooler: str, claim: str) -> str | Cell:
    if claim == "sound" and any(f.basis != "not measured"
                                for f in book.find(cooler=cooler, finding="sound_level")):
        return Cell("read at a place, see sound", "none")
    found: list[Finding | None] = {
        "coldest": lambda: [book.one(cooler, "coldest_air")],
        "power": lambda: [book.one(cooler, "running_power"), book.one(cooler, "mean_power")],
        "volume": lambda: [book.one(cooler, "inside_volume"), book.one(cooler, "usable_volume")],
        "daily_energy": lambda: [daily_energy(book, cooler)],
        "sound": lambda: [],
    }[claim]()
    told = [f"{f.kind.title.lower()} {said(f)}" for f in found
            if f is not None and f.basis != "not measured"]
    return "; ".join(told) if told else Cell("not measured", "none")

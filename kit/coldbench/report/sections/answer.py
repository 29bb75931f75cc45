"""The line on page one that answers the campaign's musts."""

from __future__ import annotations

from coldbench.compare.musts import musts
from coldbench.compare.shortlist import shortlist
from coldbench.figures.words import listed, printed
from coldbench.report.book import Book
from coldbench.report.display import Text


def answer(book: Book) -> list[object]:
    """Who meets all musts, who misses which, and of whom it cannot be told.

    Parameters
    ----------
    book : Book
        Campaign; nothing is said where it states no must.
    """
    verdicts = musts(book.campaign, book.rows, book.spreads)
    if not verdicts:
        return []
    short = shortlist(book.campaign, book.rows, verdicts, book.spreads)
    meets = listed(book.names[c] for c in short.meets)
    told = f"Meets all musts: {meets}." if short.meets else "None is known to meet all musts."
    for word, group in (("Cannot be told", short.open), ("Missed", short.missed)):
        if group:
            each = ", ".join(
                f"{book.names[c]} ({'; '.join(_lower(v.text) for v in why)})"
                for c, why in group.items())
            told += f" {word}: {each}."
    if len(short.front) < len(short.meets):
        front = listed(book.names[c] for c in short.front)
        told += f" No other beats on everything: {front}."
    return [Text(printed(told))]


def _lower(must: str) -> str:
    return must[:1].lower() + must[1:]

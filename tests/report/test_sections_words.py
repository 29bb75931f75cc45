"""Sentences of the report: verdicts, trust lines, notes and claims, on the demo."""

from __future__ import annotations

from dataclasses import replace

import pytest

from coldbench.report.book import Book, open_campaign
from coldbench.report.display import Bullets, Table
from coldbench.report.sections import claims, differences, missing, summary, tables


@pytest.fixture(scope="module")
def demo() -> Book:
    return open_campaign("demo")


def but(book: Book, **rows) -> Book:
    """The book with some findings of a name changed by functions."""
    changed = [rows[f.finding](f) if f.finding in rows else f for f in book.rows]
    return Book(book.result, tuple(changed), book.spreads)


def test_verdicts_say_what_the_rows_say_in_at_most_sixty_words(demo):
    words = {c: summary.verdict(demo, c) for c in demo.coolers}
    assert all(len(text.split()) <= 60 for text in words.values())
    assert words["chest"].startswith("Its air reaches 4 °C at 25.4 °C ambient.")
    assert words["small-te"].startswith("Its air does not reach 4 °C at 25.4 °C ambient: coldest")
    assert "It draws no electricity, but needs 2.5 kg of ice a day" in words["ice-box"]
    assert "less than Self-built, liquid-cooled" in words["chest"]
    assert "more than Compressor chest" in words["self-built"]


def test_a_target_within_the_interval_cannot_be_told(demo):
    near = but(demo, coldest_air=lambda f: replace(f, value=4.1, low=3.9, high=4.3, draws=None))
    assert "Whether its air reaches 4 °C" in summary.verdict(near, "small-te")
    unknown = but(demo, coldest_air=lambda f: replace(f, value=4.1, low=None, high=None,
                                                      draws=None))
    assert "cannot be told" in summary.verdict(unknown, "small-te")


def test_trust_lines(demo):
    assert summary.trust(demo, "ice-box") == (
        "Coverage 100 %, repeat runs not made, 1 of 1 instruments checked, one sample."
    )
    assert "steady in 4 of 4 runs, 1 repeat, 3 of 3 instruments" in summary.trust(demo, "chest")


def test_headlines_of_all_coolers_are_there_even_where_nothing_was_measured(demo):
    for cooler in demo.coolers:
        card = summary.card(demo, cooler)
        assert 4 <= len(card.rows) <= 8
        assert all(row.value for row in card.rows)
    of = {r.label: r for r in summary.card(demo, "small-te").rows}
    day = of["A day at the footing"]
    assert day.value == "cannot hold it" and "coldest" in day.conditions
    assert of["Running cost"].value == of["Battery needed"].value == "–"


def test_notes_of_one_finding_are_told_together(demo):
    noted = but(demo, pull_down_time=lambda f: replace(f, note="odd probe"))
    shown = tables.side_by_side(noted, ["pull_down_time"], "Times", by_at=True)
    (notes,) = [item for item in shown if isinstance(item, Bullets)]
    told = next(note for note in notes.items if note.startswith("Compressor chest"))
    assert told.count("pull-down time") == 1
    assert "(air ≤ 10 °C, air ≤ 4 °C," in told and told.endswith(": odd probe.")


def test_more_than_five_coolers_make_a_second_table(demo, monkeypatch):
    monkeypatch.setattr(tables, "ABREAST", 3)
    shown = [t for t in tables.side_by_side(demo, ["usable_volume"], "Sizes")
             if isinstance(t, Table)]
    assert [len(table.columns) for table in shown] == [4, 2]


def test_differences_have_a_verdict_and_a_reason(demo):
    (table, _) = differences.differences(demo)
    volumes = [row for row in table.rows if row[0].startswith("Usable volume")]
    assert len(volumes) == 6
    verdicts = {(row[1].text, row[2].text): row[4].text for row in volumes}
    assert verdicts["Compressor chest", "Passive ice box"] == "cannot tell apart"
    incomparable = [row for row in table.rows if row[4].text == "not comparable"]
    assert incomparable and all(row[5] for row in incomparable)


def test_claims_stand_beside_what_was_measured(demo):
    table = claims.claims(demo)[1]
    coldest = next(row for row in table.rows
                   if row[0].text == "Compressor chest" and row[1] == "Coldest")
    assert coldest[2] == "−20 °C" and "−21.16 ± 0.13 °C" in coldest[3]


def test_what_is_missing_names_what_it_needs(demo):
    shown = [item for item in missing.missing(demo) if isinstance(item, Table)]
    absent = next(t for t in shown if t.caption == "Not measured")
    rows = {(row[0].text, row[1]): row[2] for row in absent.rows}
    assert "freeze" in rows["Small thermoelectric box", "Freezing time"]

"""Musts, shortlist and ranking as the report shows them, on the demo and on less of it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from coldbench.compare.musts import Verdict
from coldbench.report.book import Book, open_campaign
from coldbench.report.display import Bullets, Table, Text
from coldbench.report.sections import claims
from coldbench.report.sections.musts import margin, musts
from coldbench.sheets.campaign import WeightsSheet


@pytest.fixture(scope="module")
def demo() -> Book:
    return open_campaign("demo")


def but(book: Book, rows=None, **keys) -> Book:
    """The book with other keys in its campaign sheet, and other rows."""
    sheet = book.campaign.sheet.model_copy(update=keys)
    result = replace(book.result, campaign=replace(book.campaign, sheet=sheet))
    return Book(result, book.rows if rows is None else tuple(rows), book.spreads)


def lines(shown) -> str:
    return "\n".join(part.plain() for part in shown)


def test_a_row_a_must_a_column_a_cooler_in_words_and_shapes(demo):
    table = next(part for part in musts(demo) if isinstance(part, Table))
    assert [cell.text for cell in table.columns[1:]] == [demo.names[c] for c in demo.coolers]
    cells = {(row[0], demo.coolers[n]): cell for row in table.rows
             for n, cell in enumerate(row[1:])}
    small = cells["Gets to 5 °C or colder", "small-te"]
    assert small.text.startswith("✗ missed −2.8") and small.style == "bad"
    chest = cells["Costs 300 EUR at most", "chest"]
    assert (chest.text, chest.style) == ("✓ met 41 EUR", "good")
    assert " u)" in cells["Holds 10 L at least", "chest"].text


def test_the_shortlist_names_who_is_on_it_who_is_not_and_what_each_trades(demo):
    text = lines(musts(demo))
    assert "On the shortlist, for all musts are met: Compressor chest" in text
    assert "Small thermoelectric box misses: gets to 5 °C or colder" in text
    assert "Compressor chest costs more than Passive ice box (by 217 EUR)" in text
    assert "The energy of Passive ice box is that which makes its ice." in text
    assert "Ranking" not in text


def test_what_is_not_measured_keeps_a_cooler_off_but_does_not_make_it_miss(demo):
    rows = [f for f in demo.rows if (f.cooler, f.finding) != ("chest", "coldest_air")]
    text = lines(musts(but(demo, rows)))
    assert "Compressor chest may still join it; not told: gets to 5 °C or colder." in text
    assert "? cannot tell" in text and "needs a run at the coldest setting" in text


def test_no_musts_and_nothing_measured(demo):
    shown = musts(but(demo, [], musts=None))
    assert isinstance(shown[0], Text) and "no must" in shown[0].plain()
    nobody = lines(musts(but(demo, [])))
    assert "No cooler is known to meet all musts." in nobody


def test_more_than_five_coolers_make_a_second_table(demo, monkeypatch):
    monkeypatch.setattr("coldbench.report.sections.musts.ABREAST", 3)
    tables = [part for part in musts(demo) if isinstance(part, Table)]
    assert [len(table.columns) for table in tables] == [4, 2]


def test_a_ranking_only_by_weights_that_the_user_wrote(demo):
    weights = WeightsSheet.model_validate({"price": 2.0, "usable_volume": 1.0})
    shown = musts(but(demo, musts=None, weights=weights))
    table = next(part for part in shown if isinstance(part, Table))
    assert table.caption == "Ranking by your weights"
    assert table.rows[0][0].text == "Passive ice box"
    chances = [float(row[2].rstrip(" %")) for row in table.rows]
    assert sum(chances) == pytest.approx(100.0, abs=2.0)
    assert "price 2, usable volume 1" in table.note
    said = shown[-1]
    assert isinstance(said, Bullets) and "Weight of price, 2 as written" in said.plain()
    assert "comes first" in said.plain() or "stays first" in said.plain()


def test_a_margin_without_an_interval_has_no_standard_uncertainties():
    told = Verdict("price_at_most", "", "a", None, "met", -20.0, None, "", -20.0, -20.0, "EUR")
    assert margin(told) == "−20 EUR"
    assert margin(replace(told, margin=None, low=None, high=None)) == ""


def test_claims_have_a_verdict_with_its_difference_and_what_they_leave_open(demo):
    table = claims.claims(demo)[1]
    rows = {(row[0].text, row[1]): row for row in table.rows}
    chest = rows["Compressor chest", "Coldest"]
    assert (chest[4].text, chest[4].style) == ("✓ borne out", "good")
    assert chest[5].startswith("−1.16 ±") and "the claim states none" in chest[6]
    small = rows["Small thermoelectric box", "Coldest"]
    assert (small[4].text, small[4].style) == ("✗ not borne out", "bad")

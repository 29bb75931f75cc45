"""Money in the report: tables, chart and a sentence for each pair, on the demo."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest

from coldbench.compare.payback import paybacks
from coldbench.report.book import Book, open_campaign
from coldbench.report.display import Bullets, Figure, Table, Text
from coldbench.report.sections.money import money, payback_sentence


@pytest.fixture(scope="module")
def demo() -> Book:
    return open_campaign("demo")


def but(book: Book, **rows) -> Book:
    """The book with some findings of a name changed by functions."""
    changed = [rows[f.finding](f) if f.finding in rows else f for f in book.rows]
    return Book(book.result, tuple(changed), book.spreads)


def sentences(book: Book) -> list[str]:
    return [payback_sentence(book, one) for one in paybacks(book.rows)]


def test_the_section_has_a_table_charts_and_sentences(demo):
    shown = money(demo)
    kinds = [type(item) for item in shown]
    assert kinds[0] is Table and Figure in kinds and Bullets in kinds
    assert "52 d of 8 h a year, each from warm" in shown[0].note
    assert "0.32 EUR/kWh" in shown[0].note


def test_a_cooler_that_cannot_hold_the_footing_is_named_without_a_cost(demo):
    last = money(demo)[-1]
    assert isinstance(last, Text) and "cannot hold 4 °C" in last.html()
    assert not any(demo.names["small-te"] in sentence for sentence in sentences(demo))


def test_the_dear_one_is_the_cheap_one_after_so_many_market_days(demo):
    chest, built = demo.names["chest"], demo.names["self-built"]
    told = next(s for s in sentences(demo) if s.startswith(f"{chest} costs 21 EUR more than"))
    assert f"than {built} at first and" in told and "months" in told and "days of use" in told


def test_never_at_once_and_not_to_be_told(demo):
    dear = but(demo, running_cost=lambda f: f if f.cooler != "chest" else replace(
        f, value=90.0, low=89.0, high=91.0, draws=f.draws - f.value + 90.0))
    assert any("it never pays back" in s for s in sentences(dear))
    even = but(demo, running_cost=lambda f: f if f.cooler != "chest" else replace(
        f, value=8.3, draws=f.draws - f.value + 8.3))
    assert any("cannot be told" in s for s in sentences(even))
    free = but(demo, price=lambda f: replace(f, value=40.0, draws=f.draws * 0 + 40.0))
    assert any("the cheaper one at once" in s for s in sentences(free))


def test_bounds_and_unstated_errors_are_said(demo):
    bare = but(demo, running_cost=lambda f: replace(f, low=None, high=None, draws=None))
    assert all("(error not stated)" in s for s in sentences(bare) if "months" in s)
    bound = but(demo, running_cost=lambda f: f if f.value is None else replace(
        f, value=None, draws=None, basis="bounded"))
    told = [s for s in sentences(bound) if "months" in s]
    assert told and all("between" in s and "(by bounds)" in s for s in told)


def test_without_money_one_line_says_what_is_needed():
    book = SimpleNamespace(campaign=SimpleNamespace(sheet=SimpleNamespace(money=None)))
    shown, = money(book)
    assert "needs [money]" in shown.html()

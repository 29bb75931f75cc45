"""Widths of printed columns."""

from __future__ import annotations

import pytest

from coldbench.report import columns


@pytest.mark.parametrize(
    "text", ["6.2", "−18.0 °C", "412 ± 18", "412 ± 18 Wh/d", "≤ 4 °C", "1 180"]
)
def test_numbers_with_unit_and_interval_are_numbers(text):
    assert columns.is_number(text)


@pytest.mark.parametrize(
    "text", ["2031-06-14", "not reached", "a 4", "4 to 8 h", "", "12 V, bought"]
)
def test_words_and_dates_are_not(text):
    assert not columns.is_number(text)


def test_a_column_goes_right_when_half_of_what_it_has_is_numbers():
    body = [["a", "1.0", "–"], ["b", "not measured", "x"], ["c", "–", "y"]]
    assert columns.alignment(body, 3) == "lrl"


def test_a_small_table_keeps_its_own_widths():
    plan = columns.plan([["a", "b"], ["1", "2"]])
    assert plan == columns.Plan(((0, 1),), ("auto", "auto"), 1.0)


def test_a_long_text_wraps_and_short_columns_keep_theirs():
    plan = columns.plan([["name", "value", "note"], ["x", "1.0", "word " * 60]])
    assert plan.widths[:2] == ("auto", "auto")
    assert plan.widths[2].endswith("fr")
    assert plan.scale == 1.0


def test_many_columns_shrink_before_the_table_is_cut():
    def parts_and_scale(count: int) -> tuple[int, float]:
        plan = columns.plan([["name", *["9999.9"] * count]])
        return len(plan.parts), plan.scale

    assert parts_and_scale(6) == (1, 1.0)
    parts, scale = parts_and_scale(11)
    assert parts == 1 and columns.SMALLEST <= scale < 1.0
    assert parts_and_scale(40)[0] > 1


def test_each_part_of_a_cut_table_repeats_the_first_column_and_none_is_lost():
    plan = columns.plan([["name", *[f"{i} ± 1000.0" for i in range(30)]]])
    assert all(part[0] == 0 for part in plan.parts)
    assert sorted(i for part in plan.parts for i in part[1:]) == list(range(1, 31))


def test_stated_shares_are_kept():
    assert columns.plan([["a", "b"]], [3, 1]).widths == ("3fr", "1fr")


def test_a_wide_screen_keeps_short_columns_on_one_line_if_all_have_room():
    assert columns.unwrapped([["name", "note"], ["short", "word " * 40]]) == {0}
    assert columns.unwrapped([["a name of some length"] * 12]) == set()

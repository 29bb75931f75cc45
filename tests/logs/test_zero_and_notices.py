"""Time zero by its rules, and what the reader must know of a log."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from coldbench.logs import echo_text
from coldbench.logs.levels import first_above_idle

PARIS = ZoneInfo("Europe/Paris")
LOG = """
[[log]]
file = "logs/a.csv"
time = { column = "time" }
metered_at = "dc"
columns = { air_C = "air", power_W = "power" }
"""
MARK = '\n[[mark]]\nat = 2031-06-14T09:02:00\nwhat = "power on"\n'


def rows(*power: float | None, skip: tuple[int, ...] = ()) -> str:
    lines = [f"2031-06-14 09:{m:02d},24.5,{'' if p is None else p}\n"
             for m, p in enumerate(power) if m not in skip]
    return "time,air_C,power_W\n" + "".join(lines)


def minute(record) -> float:
    return (record.zero - dt.datetime(2031, 6, 14, 9, tzinfo=PARIS).timestamp()) / 60


ZERO = {
    "a mark": ("start = 2031-06-14T09:01:00\n" + LOG + MARK, [2, 2, 2, 50, 50], 2, "mark"),
    "the start": ("start = 2031-06-14T09:01:00\n" + LOG, [2, 2, 2, 50, 50], 1, "start"),
    "power above an idle of 2 W": (LOG, [2.1, 1.9, 2, 50, 48, 2, 51], 3, "first power above idle"),
    "power that then falls slowly": (LOG, [0, 0, 60, 55, 50, 48, 47], 2, "first power above idle"),
    "a start peak": (LOG, [1, 1, 180, 50, 50, 51, 50, 1, 1, 50] + [50, 1] * 10, 2, "first power"),
    "idle all the time": (LOG, [2, 2.2, 1.9, 2], 0, "first sample"),
    "running from the first sample": (LOG, [50, 50, 2, 2, 50], 0, "first sample"),
    "one power all the time": (LOG, [50, 50, 50], 0, "first sample"),
}


@pytest.mark.parametrize("name", ZERO)
def test_time_zero(bench, name):
    sheet, power, wanted, rule = ZERO[name]
    record = bench.record({"a.csv": rows(*power)}, sheet)
    assert minute(record) == wanted
    assert rule in record.zero_from
    assert [n.code for n in record.notices] == ["LOG-ZERO"] * (record.zero_from == "first sample")


def test_power_read_by_eye_does_not_tell_when_it_began(bench):
    sheet = "".join(f'\n[[reading]]\nat = 2031-06-14T09:0{m}:00\npower = "{p} W"\n'
                    'metered_at = "dc"\n' for m, p in enumerate([0, 0, 50, 50]))
    record = bench.record({}, sheet)
    assert (minute(record), record.zero_from) == (0, "first sample")


@pytest.mark.parametrize(("start", "words"), [
    ("2031-06-27T09:00:00", "It ends at 2031-06-14 09:04, before the run's time zero, 2031-06-27"),
    ("2031-06-12T09:00:00", "begins at 2031-06-14 09:00, more than a day after the run's time"),
])
def test_a_log_of_another_day_is_told(bench, start, words):
    record = bench.record({"a.csv": rows(*[50] * 5)}, f"start = {start}\n" + LOG)
    (notice,) = record.notices
    assert (notice.code, notice.severity) == ("LOG-AWAY", "doubt")
    assert words in notice.message


def test_a_log_that_begins_before_switching_on_or_within_a_day_is_this_runs(bench):
    for start in ("2031-06-14T09:03:00", "2031-06-13T12:00:00"):
        record = bench.record({"a.csv": rows(*[50] * 5)}, f"start = {start}\n" + LOG)
        assert not record.notices


def test_the_last_of_daily_files_is_no_log_of_another_day(bench):
    days = {f"box-{day}.csv": rows(*[50] * 50).replace("2031-06-14", f"2031-06-{day}")
            for day in (14, 15, 16)}
    record = bench.record(days, "start = 2031-06-14T09:00:00\n"
                          + LOG.replace("logs/a.csv", "logs/box-*.csv"))
    assert "LOG-AWAY" not in [n.code for n in record.notices]


def test_levels_need_two_watts_and_more():
    assert first_above_idle(np.array([1.0, 3.9])) is None
    assert first_above_idle(np.array([1.0, 4.1])) == 1
    assert first_above_idle(np.array([50.0, 61.0])) is None
    assert first_above_idle(np.array([50.0])) is None


def test_silences_are_told_and_not_filled(bench):
    power = [50] * 30
    record = bench.record({"a.csv": rows(*power, skip=(5, 6, 7))}, "start = 2031-06-14T09:00:00\n"
                          + LOG)
    (notice,) = record.notices
    assert notice.message == ("One silence longer than 2.5 min, 4 min in all: 2031-06-14 09:04 to "
                              "2031-06-14 09:08. Nothing was filled.")
    record = bench.record({"a.csv": rows(*power, skip=(5, 6, 7, 15, 16, 17))}, MARK[1:] + LOG)
    assert record.notices[0].message.startswith("2 silences longer than 2.5 min, 8 min in all")
    assert [(b - a) / 60 for a, b in record.files[0].gaps] == [4.0, 4.0]


def test_blank_cells_of_one_column_are_a_silence_of_it(bench):
    power = [50, 1] * 4 + [None] * 5 + [50, 1] * 4
    (notice,) = bench.record({"a.csv": rows(*power)}, MARK[1:] + LOG).notices
    assert notice.message == (
        "Blank cells of power: one silence longer than 2.5 min, 6 min in all: "
        "2031-06-14 09:07 to 2031-06-14 09:13. Nothing was filled.")


def test_rows_of_blanks_are_a_silence_of_the_file(bench):
    text = rows(*[50] * 8, *[None] * 5, *[50] * 8).replace("24.5,\n", ",\n")
    (notice,) = bench.record({"a.csv": text}, MARK[1:] + LOG).notices
    assert notice.message.startswith("One silence longer than 2.5 min, 6 min in all")


@pytest.mark.parametrize(
    ("doubled", "words"), [([3], "1 row stood twice and was counted once"),
                           ([1, 3], "2 rows stood twice and were counted once")])
def test_a_row_that_stands_twice_counts_once(bench, doubled, words):
    lines = rows(50, None, 50, 50).splitlines()
    for row in reversed(doubled):
        lines.insert(row + 1, lines[row])
    record = bench.record({"a.csv": "\n".join(lines) + "\n"}, MARK[1:] + LOG)
    assert record.files[0].repairs == (words,)
    assert [n.message for n in record.notices] == [f"{words}."]
    assert record.files[0].rows == 4


CARD = """\
one  (cooler box)
  time zero   2031-06-14 09:02, from mark “power on”
  logs/a.csv
    form      utf-8, parted by commas, headings on line 1
    rows      6, one each 60 s
    span      2031-06-14 09:00 to 2031-06-14 09:08, 0.1 h
    gaps      1, 4 min in all (longer than 2.5 min)
    column    air_C → air, written in °C, 24.50 to 24.50 °C, probe logs/a.csv:air_C
    column    power_W → power, written in W, 0.00 to 52.00 W, 1 blank, probe logs/a.csv:power_W
    unused    humidity
    repair    1 row stood twice and was counted once
  by hand     ambient (1)
  marks       power on at 2031-06-14 09:02
  doubt       One silence longer than 2.5 min, 4 min in all: 2031-06-14 09:04 to 2031-06-14 09:08.
              Nothing was filled.
  note        1 row stood twice and was counted once."""


def test_the_echo_card_as_it_is_printed(bench):
    text = rows(0, None, 50, 52, 50, 1, 1, 1, 50, skip=(5, 6, 7))
    lines = [f"{line},{'humidity' if n == 0 else 55}" for n, line in enumerate(text.splitlines())]
    lines.append(lines[-1])
    reading = '\n[[reading]]\nat = 2031-06-14T09:00:00\nambient = "25 °C"\n'
    record = bench.record({"a.csv": "\n".join(lines) + "\n"}, LOG + reading + MARK)
    assert echo_text(record, PARIS) == CARD
    (file,) = record.files
    assert (file.rows, file.step, file.gap_limit, file.unused) == (6, 60.0, 150.0, ("humidity",))
    assert file.end - file.start == 480.0


def test_questions_stand_on_the_card(bench):
    text = "time,air_K,power_W\n2031-06-14 09:00,24.15,50\n2031-06-14 09:01,24.15,50\n"
    record = bench.record({"a.csv": text}, MARK[1:] + LOG.replace("air_C", "air_K"))
    assert "question  Column \"air_K\" goes from −249.0 to −249.0 °C" in echo_text(record, PARIS)

"""One clock: shared marks, counts that wrap, parts of a log, rows without a time."""

from __future__ import annotations

import numpy as np
import pytest

START = 1_939_194_000.0 - 2 * 3600  # 2031-06-14 09:00 in Paris
HEAD = "start = 2031-06-14T09:00:00\n"


def log(time: str, columns: str = 'air_C = "air"', more: str = "", file: str = "a.csv") -> str:
    return (f'\n[[log]]\nfile = "logs/{file}"\ntime = {{ {time} }}\n{more}\n'
            f"[log.columns]\n{columns}\n")


def rows(times, values=None) -> str:
    values = range(len(times)) if values is None else values
    return "time,air_C\n" + "".join(f"{t},{v}\n" for t, v in zip(times, values, strict=True))


MARKS = '\n[[mark]]\nat = "{}"\nwhat = "sync"\n'


def test_a_shared_mark_shifts_a_log(bench):
    times = [f"2031-06-14 09:{m:02d}:30" for m in range(10, 20)]
    more = "sync = [2031-06-14T09:12:30]"
    record = bench.record(
        {"a.csv": rows(times)}, HEAD + log('column = "time"', more=more) + MARKS.format("10 min"))
    assert record.traces["air"].t[0] - START == pytest.approx(10.5 * 60 - 150)
    assert any("shifted by −150 s" in notice.message for notice in record.notices)


def test_two_shared_marks_take_out_a_drift(bench):
    """A clock that loses 6 s an hour: its hour is shown as 3594 s."""
    shown = START + np.arange(0, 3594 * 4 + 1, 599)
    times = [str(np.datetime64(int(t + 7200), "s")).replace("T", " ") for t in shown]
    more = "sync = [2031-06-14T09:00:00, 2031-06-14T12:59:36]"
    sheet = HEAD + log('column = "time"', more=more) + MARKS.format("0 h") + MARKS.format("4 h")
    record = bench.record({"a.csv": rows(times)}, sheet)
    np.testing.assert_allclose(
        record.traces["air"].t - START, (shown - START) * 3600 / 3594, atol=1e-3)
    (told,) = [n.message for n in record.notices if "drifted" in n.message]
    assert "drifted by 24 s" in told
    assert "144" in told  # seconds a day


def test_more_instants_than_marks_are_refused(bench):
    (fault,) = bench.faults(
        {"a.csv": rows(["2031-06-14 09:00", "2031-06-14 09:01"])},
        HEAD + log('column = "time"', more="sync = [2031-06-14T09:00:00]"))
    assert fault.where == "runs/one.toml:8"
    assert 'what = "sync"' in fault.do


def test_loggers_that_were_never_compared_are_told(bench):
    two = log('column = "time"') + log('column = "time"', 'room_C = "ambient"', file="b.csv")
    text = rows([f"2031-06-14 09:{m:02d}" for m in range(9)])
    record = bench.record({"a.csv": text, "b.csv": text.replace("air", "room")}, HEAD + two)
    assert [n.code for n in record.notices] == ["LOG-CLOCKS"]


@pytest.mark.parametrize(("form", "first", "step"), [
    ("h:min:s", "0:00:00", 60), ("min:s", "0:00", 60), ("h:min", "0:00", 60),
])
def test_hours_and_minutes_since_the_start(bench, form, first, step):
    s = np.arange(0, 90 * 60, step)
    parts = {"h:min:s": [f"{t // 3600}:{t // 60 % 60:02d}:{t % 60:02d}" for t in s],
             "min:s": [f"{t // 60}:{t % 60:02d}" for t in s],
             "h:min": [f"{t // 3600}:{t // 60 % 60:02d}" for t in s]}[form]
    record = bench.record(
        {"a.csv": rows(parts)}, HEAD + log(f'column = "time", elapsed = "{form}"'))
    assert parts[0] == first
    np.testing.assert_allclose(record.traces["air"].t - START, s)


def test_a_count_that_wraps_at_a_day_goes_on(bench):
    s = np.arange(0, 30 * 3600, 600)
    parts = [f"{t // 3600 % 24:02d}:{t // 60 % 60:02d}:00" for t in s]
    record = bench.record(
        {"a.csv": rows(parts)}, HEAD + log('column = "time", elapsed = "h:min:s"'))
    np.testing.assert_allclose(record.traces["air"].t - START, s)
    assert "range of 24 h" in record.files[0].repairs[0]


def test_a_count_that_starts_again_anywhere_else_is_asked_about(bench):
    (fault,) = bench.faults({"a.csv": rows([0, 60, 120, 180, 0, 60, 120])},
                            HEAD + log('column = "time", elapsed = "s"'))
    assert (fault.what, fault.where) == ("the time count starts again", "logs/a.csv:6")
    assert "from = " in fault.do


def test_a_count_with_a_zero_of_its_own(bench):
    time = 'column = "time", elapsed = "s", from = 2031-06-14T08:30:00'
    record = bench.record({"a.csv": rows([0, 60])}, HEAD + log(time))
    assert record.traces["air"].t[0] == START - 1800


@pytest.mark.parametrize(("form", "first", "step"), [
    ("epoch s", START, 60.0), ("epoch ms", START * 1000, 60_000.0),
    ("spreadsheet days", (START + 7200) / 86400 + 25569, 60 / 86400),
])
def test_counts_since_an_epoch(bench, form, first, step):
    times = [f"{first + i * step:.10f}" if form.startswith("spread") else f"{first + i * step:.0f}"
             for i in range(5)]
    record = bench.record({"a.csv": rows(times)}, log(f'column = "time", format = "{form}"'))
    np.testing.assert_allclose(record.traces["air"].t - START, 60 * np.arange(5), atol=2e-3)


def test_rows_without_a_time(bench):
    text = "air_C\n" + "".join(f"{v}\n" for v in range(5))
    record = bench.record(
        {"a.csv": text}, log('every = "30 s", from = 2031-06-14T09:00:00', more='delimiter = ","'))
    np.testing.assert_allclose(record.traces["air"].t - START, 30 * np.arange(5))


def test_a_date_that_holds_for_many_rows(bench):
    text = ("day,clock,air_C\n14.06.2031,09:00,1\n,09:01,2\n,09:02,3\n"
            "15.06.2031,09:00,4\n")
    time = 'column = "day", with = "clock", format = "%d.%m.%Y %H:%M"'
    air = bench.record({"a.csv": text}, log(time, more='gap = "2 d"')).traces["air"]
    np.testing.assert_allclose(air.t - START, [0, 60, 120, 86400])


def test_a_part_of_a_log_belongs_to_the_run(bench):
    text = rows([f"2031-06-14 {h:02d}:00" for h in range(24)])
    more = 'from = "1 h"\nto = 2031-06-14T12:00:00'
    air = bench.record({"a.csv": text}, HEAD + log('column = "time"', more=more)).traces["air"]
    np.testing.assert_allclose((air.t - START) / 3600, [1, 2, 3])
    (fault,) = bench.faults({}, HEAD + log('column = "time"', more='from = "2 d"'))
    assert "no row of the log lies in this part" in fault.what


def test_a_clock_that_stands_still(bench):
    (fault,) = bench.faults(
        {"a.csv": rows(["2031-06-14 09:00"] * 5)}, HEAD + log('column = "time"'))
    assert fault.what == "the clock stands still while the log goes on"
    assert "every = " in fault.do


def test_rows_before_the_clock_was_set_are_left_out(bench):
    times = ["1970-01-01 00:00:05", "1970-01-01 00:00:10", "2031-06-14 09:00", "2031-06-14 09:01"]
    record = bench.record({"a.csv": rows(times)}, HEAD + log('column = "time"'))
    assert record.traces["air"].y.tolist() == [2, 3]
    assert record.files[0].repairs == ("2 rows from before the clock was set left out",)


def test_an_old_log_is_not_taken_for_an_unset_clock(bench):
    times = [f"2000-01-02 09:0{m}" for m in range(4)]
    record = bench.record({"a.csv": rows(times)}, log('column = "time"'))
    assert len(record.traces["air"].t) == 4

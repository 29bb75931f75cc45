"""Logs of one probe that follow each other, and typed readings beside them."""

from __future__ import annotations

import pytest

INSTRUMENTS = """
[instruments.good]
measures = "temperature"
error = "0.2 K"
[instruments.poor]
measures = "temperature"
error = "1 K"
"""
TOP = "start = 2031-06-14T09:00:00\n"
HEAD = "time,air_C,power_W\n"


def log(file: str, more: str = "", air: str = 'role = "air", probe = "P1"',
        power: str = 'role = "power", probe = "M"', metered: str = "dc") -> str:
    return (f'\n[[log]]\nfile = "logs/{file}"\ntime = {{ column = "time" }}\n'
            f'metered_at = "{metered}"\n{more}\n'
            f"columns = {{ air_C = {{ {air} }}, power_W = {{ {power} }} }}\n")


def rows(first: int, last: int, air: float = 24.0) -> str:
    return HEAD + "".join(
        f"2031-06-14 {9 + m // 60:02d}:{m % 60:02d},{air - m / 100},{m % 2 * 50}\n"
        for m in range(first, last)
    )


def test_a_log_goes_on_in_another_file(bench):
    record = bench.record({"a.csv": rows(0, 5), "b.csv": rows(5, 9)},
                          TOP + log("b.csv") + log("a.csv"))
    air = record.traces["air"]
    assert ((air.t - air.t[0]) / 60).tolist() == list(range(9))
    assert air.y[5] == pytest.approx(23.95)
    assert air.file == "logs/a.csv logs/b.csv"
    assert record.notices == ()


def test_rows_that_stand_in_both_files_count_once_and_are_told(bench):
    record = bench.record({"a.csv": rows(0, 5), "b.csv": rows(3, 9)},
                          TOP + log("a.csv") + log("b.csv"))
    assert len(record.traces["air"].t) == len(record.traces["power"].t) == 9
    (notice,) = record.notices
    assert (notice.code, notice.where) == ("LOG-TWICE", "logs/b.csv")
    assert notice.message.startswith("2 rows of this log stand in an earlier one too")


def test_one_row_in_both_files(bench):
    record = bench.record({"a.csv": rows(0, 5), "b.csv": rows(4, 9)},
                          TOP + log("a.csv") + log("b.csv"))
    assert record.notices[0].message.startswith("1 row of this log stands in")


def test_a_silence_between_two_files_is_a_gap_and_is_told(bench):
    record = bench.record({"a.csv": rows(0, 5), "b.csv": rows(25, 30)},
                          TOP + log("a.csv") + log("b.csv"))
    (notice,) = record.notices
    assert (notice.code, notice.where) == ("LOG-GAP", "logs/a.csv and logs/b.csv")
    assert "One silence longer than 2.5 min, 21 min in all" in notice.message
    assert "2031-06-14 09:04 to 2031-06-14 09:25" in notice.message


UNLIKE = {
    "other probe": (dict(air='role = "air", probe = "P2"'), 'two logs give the role "air"',
                    '"air_2"'),
    "other instrument": (dict(air='role = "air", probe = "P1", instrument = "poor"'),
                         "limit of error", "[[log]]"),
    "other metering point": (dict(metered="wall"), "metering point", "[[log]]"),
    "other way of logging": (dict(more='power = "mean"'), "way of logging power", "[[log]]"),
    "other label": (dict(more='label = "end"'), "differ in their label", "[[log]]"),
}


@pytest.mark.parametrize("name", UNLIKE)
def test_logs_of_one_probe_have_to_agree(bench, name):
    other, what, do = UNLIKE[name]
    good = 'role = "air", probe = "P1", instrument = "good"'
    second = log("b.csv", **({"air": good} | other))
    faults = bench.faults({"a.csv": rows(0, 5), "b.csv": rows(5, 9)},
                          TOP + log("a.csv", air=good) + second, INSTRUMENTS)
    assert {fault.where for fault in faults} == {"runs/one.toml:17"}
    assert len(faults) == 1
    assert what in faults[0].what
    assert faults[0].found == "logs/a.csv and logs/b.csv"
    assert do in faults[0].do


@pytest.mark.parametrize("second", [rows(3, 9, air=25.0), rows(3, 4) + rows(7, 9)[len(HEAD):]],
                         ids=["other values", "other times"])
def test_an_overlap_that_contradicts_is_a_fault(bench, second):
    faults = bench.faults({"a.csv": rows(0, 6), "b.csv": second},
                          TOP + log("a.csv") + log("b.csv"))
    assert all("overlap and say different things" in fault.what for fault in faults)
    assert "of air" in faults[0].what


def test_logs_of_other_pace_have_to_state_their_gap(bench):
    slow = HEAD + "".join(f"2031-06-14 1{h}:{m}0,24,0\n" for h in range(2) for m in range(6))
    files = {"a.csv": rows(0, 9), "b.csv": slow}
    faults = bench.faults(files, TOP + log("a.csv") + log("b.csv"))
    assert "gap limit" in faults[0].what
    stated = 'gap = "15 min"'
    record = bench.record(files, TOP + log("a.csv", stated) + log("b.csv", stated))
    assert record.traces["air"].gap == 900.0


def test_the_coarser_of_two_logs_sets_gap_limit_and_resolution(bench):
    slower = HEAD + "".join(f"2031-06-14 09:{m},24,0.5\n" for m in range(10, 30, 2))
    for order in (("a.csv", "b.csv"), ("b.csv", "a.csv")):
        air = bench.record({"a.csv": rows(0, 9), "b.csv": slower},
                           TOP + "".join(log(file) for file in order)).traces["air"]
        assert (air.gap, air.resolution) == (300.0, 1.0)


def test_faults_of_joins_and_readings_come_together(bench):
    readings = ('\n[[reading]]\nat = "1 h"\nenergy = "2 Wh"\n')
    faults = bench.faults({"a.csv": rows(0, 6), "b.csv": rows(3, 9, air=25.0)},
                          TOP + log("a.csv") + log("b.csv") + readings)
    assert [fault.what for fault in faults] == [
        "where energy was metered is not said",
        "two logs overlap and say different things of air",
    ]


def reading(at: str, values: str) -> str:
    return f'\n[[reading]]\nat = "{at}"\n{values}\n'


def test_typed_readings_become_a_trace_of_their_own(bench):
    sheet = TOP + log("a.csv") + reading("0 min", 'air = "24.5 °C"') + reading(
        "8 min", 'air = "23.1 °C ± 0.5 K"\nenergy = "0.25 kWh"\nmetered_at = "wall"').replace(
        "air", "air")
    sheet = sheet.replace('air = "24.5 °C"', 'air = "24.5 °C"\nmetered_at = "wall"')
    record = bench.record({"a.csv": rows(0, 9)}, sheet)
    by_hand = record.traces["air by hand"]
    assert (by_hand.by_hand, by_hand.y.tolist()) == (True, [24.5, 23.1])
    assert by_hand.resolution == pytest.approx(0.1)
    energy = record.traces["energy"]
    assert (energy.y.tolist(), energy.metered_at) == ([250.0], "wall")
    assert energy.counter_step == pytest.approx(10.0)


BAD_READINGS = {
    "back in time": (reading("2 h", 'air = "4 °C"') + reading("1 h", 'air = "5 °C"'),
                     "do not go on in time"),
    "twice": (reading("2 h", 'air = "4 °C"') + reading("2 h", 'air = "5 °C"'),
              "do not go on in time"),
    "two metering points": (
        reading("1 h", 'energy = "4 Wh"\nmetered_at = "dc"')
        + reading("2 h", 'energy = "5 Wh"\nmetered_at = "wall"'), "two instruments or metering"),
    "two instruments": (reading("1 h", 'air = "4 °C"\ninstrument = "good"')
                        + reading("2 h", 'air = "5 °C"\ninstrument = "poor"'), "two instruments"),
    "no metering point": (reading("1 h", 'power = "4 W"'), "where power was metered"),
}


@pytest.mark.parametrize("name", BAD_READINGS)
def test_bad_readings(bench, name):
    text, what = BAD_READINGS[name]
    (fault,) = bench.faults({}, TOP + text, INSTRUMENTS)
    assert what in fault.what
    assert fault.where.startswith("runs/one.toml:")

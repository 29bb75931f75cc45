"""One tiny bad file a fault: where it is said to stand, and in which words."""

from __future__ import annotations

import codecs
from pathlib import Path

import pytest

from coldbench.logs import rows
from coldbench.logs.source import LONGEST_LINE

HEAD = "time,air_C,power_W\n"
ROWS = "".join(f"2031-06-14 09:{m:02d}:00,{24 - m / 10},{m % 2 * 50}\n" for m in range(1, 6))
GOOD = HEAD + ROWS


def sheet(time: str = 'column = "time"', columns: str = 'air_C = "air", power_W = "power"',
          more: str = "") -> str:
    return (f'start = 2031-06-14T09:00:00\n\n[[log]]\nfile = "logs/a.csv"\n'
            f"time = {{ {time} }}\nmetered_at = \"dc\"\ncolumns = {{ {columns} }}\n{more}\n")


BAD = {
    "too few cells": (HEAD + "2031-06-14 09:00,24\n" + ROWS, sheet(), "logs/a.csv:2",
                      ["too few cells", "2 cells", "3, one for each heading"]),
    "too many cells": (GOOD + "2031-06-14 09:10,24,5,6\n", sheet(), "logs/a.csv:7",
                       ["too many cells", "4 cells"]),
    "several wrong rows": (GOOD + "1,1\n" + ROWS + "1,1,2,3\n", sheet(), "logs/a.csv:7",
                           ["2 cells", "line 13: 4 cells", 'odd_rows = "leave out"']),
    "quoted and too few": (HEAD + '"2031-06-14, 09:00",24\n' + ROWS, sheet(), "logs/a.csv:2",
                           ["too few cells", "2 cells"]),
    "quote never ends": (HEAD + '2031-06-14 09:00,"24,5\n' + ROWS, sheet(), "logs/a.csv:2",
                         ["quote", "never ends"]),
    "quote opens the last cell": (
        HEAD + '2031-06-14 09:00,24,"5\n' + ROWS, sheet(), "logs/a.csv:2", ["never ends"]),
    "old line ends and too few cells": (
        (HEAD + "2031-06-14 09:00,24\n" + ROWS).replace("\n", "\r"), sheet(), "logs/a.csv:2",
        ["too few cells"]),
    "last line cut": (GOOD + "2031-06-14 09:10", sheet(), "logs/a.csv:7",
                      ["last line is cut off", "1 cell,", "export"]),
    "decimal commas between commas": (
        HEAD + "2031-06-14 09:00,24,5,50\n", sheet(), "logs/a.csv:2",
        ["too many cells", "decimal commas"]),
    "empty": ("", sheet(), "logs/a.csv", ["empty"]),
    "blank lines only": ("\n\n  \n", sheet(), "logs/a.csv", ["empty"]),
    "headings only": (HEAD, sheet(), "logs/a.csv", ["headings but no rows"]),
    "all blanks": (HEAD + ",,\n" * 5, sheet(), "logs/a.csv", ["headings but no rows"]),
    "a column of blanks": (HEAD + ROWS.replace(",0\n", ",\n").replace(",50\n", ",\n"), sheet(),
                           "logs/a.csv", ['nothing but blanks in column "power_W"']),
    "no such column": (GOOD, sheet(columns='air_c = "air"'), "runs/one.toml:9",
                       ['no column "air_c"', 'did you mean "air_C"', "logs/a.csv:1"]),
    "no such time column": (GOOD, sheet('column = "when"'), "runs/one.toml:7",
                            ['no column "when"', '"time", "air_C"']),
    "two columns of a name": (GOOD.replace("power_W", "air_C"), sheet(columns='air_C = "air"'),
                              "logs/a.csv:1", ['two columns are called "air_C"']),
    "no unit": (GOOD.replace("air_C", "CH1"), sheet(columns='CH1 = "air"'), "runs/one.toml:9",
                ['unit of column "CH1"', '"CH1" = { role = "air", unit = "°C" }']),
    "words": (GOOD + "2031-06-14 09:10,warm,5\n2031-06-14 09:11,cold,5\n", sheet(), "logs/a.csv:7",
              ["text where numbers belong", 'line 7: "warm"', 'line 8: "cold"', "blank"]),
    "a word of its own": (
        GOOD + "2031-06-14 09:10,fault,5\n", sheet(), "logs/a.csv:7",
        ["text where numbers belong", '"fault"', 'no_value = ["fault"]']),
    "digits of another script": (
        GOOD + "2031-06-14 09:10,\u0662\u0664,5\n", sheet(), "logs/a.csv:7",
        ["text where numbers belong"]),
    "endless": (GOOD + "2031-06-14 09:10,inf,5\n", sheet(), "logs/a.csv:7",
                ["text where numbers belong", '"inf"']),
    "yes and no": (HEAD + ROWS.replace(",0\n", ",FALSE\n").replace(",50\n", ",TRUE\n"), sheet(),
                   "logs/a.csv:2", ["text where numbers belong", '"TRUE"']),
    "decimal comma undeclared": (
        GOOD.replace(",", ";").replace(".", ","), sheet(), "logs/a.csv:2",
        ["text where numbers belong", 'decimal = ","']),
    "decimal point where a comma is declared": (
        GOOD.replace(",", ";"), sheet(more='decimal = ","'), "logs/a.csv:2",
        ["text where numbers belong", 'decimal = "."']),
    "colder than absolute zero": (
        GOOD + "2031-06-14 09:10,-400,5\n", sheet(), "logs/a.csv:7",
        ["absolute zero", "air_C", "-400"]),
    "row without a time": (HEAD + ROWS + ",24,5\n", sheet(), "logs/a.csv:7", ["without a time"]),
    "day first": (GOOD.replace("2031-06-14", "14.06.2031"), sheet(), "logs/a.csv:2",
                  ["not ISO 8601", 'format = "%d.%m.%Y %H:%M:%S"', "runs/one.toml:7"]),
    "day or month first": (GOOD.replace("2031-06-14", "06/07/2031"), sheet(), "logs/a.csv:2",
                           ['"%d/%m/%Y %H:%M:%S"', " or ", '"%m/%d/%Y %H:%M:%S"']),
    "elapsed undeclared": (HEAD + "60,24,5\n120,24,5\n", sheet(), "logs/a.csv:2",
                           ['elapsed = "s"', 'elapsed = "min"']),
    "no time at all": (HEAD + "noon,24,5\n", sheet(), "logs/a.csv:2", ["not ISO 8601", '"noon"']),
    "a bad time far down": (GOOD + ROWS.replace("09:", "10:") * 60 + "2031-06-14 9h,24,5\n",
                            sheet(), "logs/a.csv:307", ["cannot be read", '"2031-06-14 9h"']),
    "other format than declared": (
        GOOD, sheet('column = "time", format = "%d.%m.%Y %H:%M"'), "logs/a.csv:2",
        ["cannot be read", "and 4 more", '"%d.%m.%Y %H:%M"']),
    "a far year": (GOOD + "5031-06-14 09:10:00,24,5\n", sheet(), "logs/a.csv:7",
                   ["no clock shows", "5031.4", "2199"]),
    "a far year in a declared format": (
        GOOD + "0201-06-14 09:10:00,24,5\n", sheet('column = "time", format = "%Y-%m-%d %H:%M:%S"'),
        "logs/a.csv:7", ["no clock shows", "201.4"]),
    "elapsed without end": (
        HEAD + "60,24,5\n1e300,24,5\n", sheet('column = "time", elapsed = "s"'), "logs/a.csv:3",
        ["no clock shows"]),
    "a blank line between rows without a time": (
        "air_C,power_W\n24,5\n\n24,6\n", sheet('every = "60 s"'), "logs/a.csv:3",
        ["carry no time", "take the line out", "from ="]),
    "a restart between rows without a time": (
        "air_C,power_W\n24,5\nair_C,power_W\n24,6\n", sheet('every = "60 s"'), "logs/a.csv:3",
        ["carry no time"]),
    "a word for a time": (
        "time,air_C,power_W\n14.06.2021 09:00,24,5\nnow,24,5\n",
        sheet('column = "time", format = "%d.%m.%Y %H:%M"'), "logs/a.csv:3",
        ["cannot be read", '"now"']),
    "a word for a time far down": (
        HEAD + "".join(f"2021-06-14 {h:02d}:{m:02d},24,5\n" for h in range(5) for m in range(60))
        + '"today",24,5\n' * 301, sheet(), "logs/a.csv:302", ["cannot be read", '"today"']),
    "no format": (GOOD, sheet('column = "time", format = "dd.mm.yyyy"'), "runs/one.toml:7",
                  ["time format", '"dd.mm.yyyy"', "%d"]),
    "bad directive": (GOOD, sheet('column = "time", format = "%Q"'), "runs/one.toml:7",
                      ["time format", '"%Q"', "%d"]),
    "format without a date": (
        HEAD + "09:00,24,5\n", sheet('column = "time", format = "%H:%M"'), "runs/one.toml:7",
        ["time format", "no date", "elapsed"]),
    "elapsed in words": (
        HEAD + "60,24,5\n1:30,24,5\n", sheet('column = "time", elapsed = "s"'), "logs/a.csv:3",
        ["cannot be read", '"1:30"']),
    "elapsed endless": (
        HEAD + "60,24,5\ninf,24,5\n", sheet('column = "time", elapsed = "s"'), "logs/a.csv:3",
        ["cannot be read", '"inf"']),
    "mixed offsets": (
        HEAD + "2031-06-14 09:00+02:00,24,5\n2031-06-14 09:01,24,5\n", sheet(), "logs/a.csv:3",
        ["offset", '"2031-06-14 09:01"']),
    "offsets later on": (
        HEAD + "2031-06-14 09:00,24,5\n2031-06-14 09:01+02:00,24,5\n", sheet(), "logs/a.csv:3",
        ["offset", '"2031-06-14 09:01+02:00"']),
    "time backwards": (GOOD + "2031-06-14 09:04:00,24,0\n", sheet(), "logs/a.csv:7",
                       ["time goes backwards", "60 s back, once in the file"]),
    "one instant, two values": (GOOD + "2031-06-14 09:05:00,24,50\n", sheet(), "logs/a.csv:7",
                                ["two rows of one instant", "1 such row"]),
    "the hour that never was": (
        HEAD + "2031-03-30 01:50,24,5\n2031-03-30 02:20,24,5\n2031-03-30 03:20,24,5\n", sheet(),
        "logs/a.csv:3", ["clock", "2031-03-30 02:20", "Europe/Paris", 'timezone = "UTC"']),
    "the hour that came twice, once": (
        HEAD + "2031-10-26 01:50,24,5\n2031-10-26 02:20,24,5\n2031-10-26 03:20,24,5\n", sheet(),
        "logs/a.csv:3", ["clock", "2031-10-26 02:20", 'timezone = "UTC"']),
    "on change": (
        HEAD + "".join(f"2031-06-14 {9 + m // 60:02d}:{m % 60:02d}:00,24,{k % 2 * 50}\n"
                       for k, m in enumerate(sorted([*range(0, 300, 20), *range(3, 300, 20)]))),
        sheet(more="skip = 0"), "runs/one.toml:6",
        ['on change: "air_C", "power_W"', 'gap = "30 min"', "180 s to 1020 s"]),
    "headings not where said": (GOOD, sheet(more="skip = 9"), "logs/a.csv:10", ["no heading line"]),
    "no such encoding": (GOOD, sheet(more='encoding = "utf-99"'), "logs/a.csv",
                         ["no encoding of that name", '"cp1252"']),
    "a codec of bytes": (GOOD, sheet(more='encoding = "base64"'), "logs/a.csv",
                         ["no encoding of that name"]),
    "wrong encoding": (GOOD.replace("air_C", "T °C").encode("cp1252"), sheet(), "logs/a.csv:1",
                       ["not utf-8 text", "0xb0", 'encoding = "cp1252"']),
    "wrong encoding far down": (
        (GOOD + ROWS.replace("09:", "10:") * 5000).encode() + b"2031-06-14,\xb0,1\n", sheet(),
        "logs/a.csv:25007", ["not utf-8 text", "0xb0"]),
    "binary": (b"BZ\3\4\0\0\0\0" * 50, sheet(), "logs/a.csv", ["not a text file", "CSV"]),
    "no workbook": (b"PK\3\4\0\0\0\0" * 50, sheet(), "logs/a.csv",
                    ["neither text nor a workbook", "xlsx or ods"]),
    "binary far down": ((GOOD + "\n" * 99_999).encode() + b"\0" * 500, sheet(), "logs/a.csv:100006",
                        ["not a text file"]),
    "one giant line": ("time,air_C," + "x" * 50_000, sheet(), "logs/a.csv:1",
                       ["does not look like a table"]),
    "a giant line far down": (
        GOOD + "\n" * 99_999 + "y" * (LONGEST_LINE + 1) + "\n", sheet(), "logs/a.csv:100006",
        ["does not look like a table", f"{LONGEST_LINE} characters"]),
}


@pytest.mark.parametrize("name", BAD)
def test_a_bad_file_is_told_with_place_and_words(bench, name):
    content, run, place, words = BAD[name]
    faults = bench.faults({"a.csv": content}, run)
    assert [fault.where for fault in faults] == [place]
    assert [word for word in words if word not in str(faults[0])] == []


def test_a_log_on_change_reads_once_its_gap_is_stated(bench):
    text = BAD["on change"][0]
    record = bench.record({"a.csv": text}, sheet(more='gap = "30 min"'))
    assert record.traces["power"].gap == 1800.0


def test_the_good_file_is_good(bench):
    record = bench.record({"a.csv": GOOD}, sheet())
    assert [len(record.traces[role].t) for role in ("air", "power")] == [5, 5]
    assert record.files[0].repairs == record.files[0].questions == record.notices == ()


@pytest.mark.parametrize(
    ("file", "words"),
    [
        ("logs/b.csv", "no such file"),
        ("logs", "this is a folder, not a file"),
        ("../a.csv", "lies outside the campaign folder"),
        ("/etc/hosts", "has to lie in the campaign folder"),
    ],
)
def test_a_log_that_is_not_there(bench, file, words):
    (fault,) = bench.faults({"a.csv": GOOD}, sheet().replace("logs/a.csv", file))
    assert fault.where == "runs/one.toml:6"
    assert words in fault.what


@pytest.mark.parametrize("head", [b"", GOOD.encode()], ids=["from the start", "below good rows"])
def test_two_gigabytes_of_nothing_are_refused_at_once(bench, head):
    bench.write({"a.csv": head}, sheet())
    with Path(bench.folder / "logs/a.csv").open("r+b") as file:
        file.truncate(2_000_000_000)
    (fault,) = bench.faults({}, sheet())
    assert fault.what == "this is not a text file"


@pytest.mark.parametrize("encoding", ["utf-8", "latin-1", "cp1252", "utf-16"])
def test_random_bytes_are_refused_in_any_encoding(bench, encoding):
    import numpy as np

    noise = np.random.default_rng(7).bytes(300_000)
    for head in (b"", GOOD.encode() * 3000):
        mark = codecs.BOM_UTF16_LE if encoding == "utf-16" else b""
        run = sheet(more=f'encoding = "{encoding}"')
        faults = bench.faults({"a.csv": mark + head + noise}, run)
        assert len(faults) == 1


def test_a_log_without_an_end_is_refused(bench, monkeypatch):
    monkeypatch.setattr(rows, "MOST_ROWS", 4)
    (fault,) = bench.faults({"a.csv": GOOD}, sheet())
    assert (fault.what, fault.found) == ("the log is too long to be read whole",
                                         "more than 4 rows")


def test_all_faults_of_a_file_are_told_at_once(bench):
    text = "when,air,power_W\n14.06.2031,24,on\n15.06.2031,24,off\n"
    faults = bench.faults(
        {"a.csv": text}, sheet('column = "when"', 'air = "air", power_W = "power"'))
    assert [fault.where for fault in faults] == ["logs/a.csv:2", "runs/one.toml:9", "logs/a.csv:2"]


def test_all_faults_of_a_run_and_of_all_runs_are_told_at_once(bench):
    two_logs = sheet() + sheet().split("\n\n")[1].replace("a.csv", "b.csv")
    readings = '\n[[reading]]\nat = "2 h"\nair = "4 °C"\n\n[[reading]]\nat = "1 h"\nair = "5 °C"\n'
    faults = bench.faults(
        {"a.csv": "", "b.csv": GOOD + "1\n", "c.csv": HEAD}, two_logs + readings,
        two=sheet().replace("a.csv", "c.csv"),
    )
    assert [fault.where for fault in faults] == [
        "logs/a.csv", "logs/b.csv:7", "runs/one.toml:21", "logs/c.csv"]

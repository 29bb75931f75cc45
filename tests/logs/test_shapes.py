"""The plain shapes: encodings, delimiters, decimal signs, units, forms of time."""

from __future__ import annotations

import codecs
import hashlib

import numpy as np
import pytest

TRUE_AIR = [24.5, 20.25, -3.75]
TRUE_POWER = [0.0, 52.5, 50.0]
START = 1_939_194_000.0 - 2 * 3600  # 2031-06-14 09:00 in Paris
HEAD = "time,air_C,power_W\n"
ROWS = "2031-06-14 09:00,24.5,0\n2031-06-14 09:01,20.25,52.5\n2031-06-14 09:02,-3.75,50\n"


def sheet(time: str = 'column = "time"', columns: str = 'air_C = "air", power_W = "power"',
          more: str = "") -> str:
    return (f'start = 2031-06-14T09:00:00\n\n[[log]]\nfile = "logs/a.csv"\n'
            f"time = {{ {time} }}\nmetered_at = \"dc\"\ncolumns = {{ {columns} }}\n{more}\n")


def times(clock: str, *rows: str) -> str:
    """The good rows with other times."""
    cells = [row.split(",", 1)[1] for row in ROWS.splitlines()]
    lines = [f"{when},{rest}" for when, rest in zip(rows, cells, strict=True)]
    return f"{clock},air_C,power_W\n" + "\n".join(lines) + "\n"


SHAPES = {
    "plain": (HEAD + ROWS, sheet()),
    "no line end at the end": ((HEAD + ROWS).rstrip(), sheet()),
    "Windows line ends": ((HEAD + ROWS).replace("\n", "\r\n"), sheet()),
    "old line ends": ((HEAD + ROWS).replace("\n", "\r"), sheet()),
    "blank lines": (HEAD + ROWS.replace("\n", "\n\n  \n,,\n"), sheet()),
    "spaces around": ((HEAD + ROWS).replace(",", " , "), sheet()),
    "byte order mark": (codecs.BOM_UTF8 + (HEAD + ROWS).encode(), sheet()),
    "UTF-16": ((HEAD + ROWS).encode("utf-16"), sheet()),
    "UTF-16, other way round": (codecs.BOM_UTF16_BE + (HEAD + ROWS).encode("utf-16-be"), sheet()),
    "legacy encoding": (
        (HEAD + ROWS).replace("air_C", "T °C").encode("cp1252"),
        sheet(columns='"T °C" = "air", power_W = "power"', more='encoding = "cp1252"')),
    "tabs": ((HEAD + ROWS).replace(",", "\t"), sheet()),
    "bars": ((HEAD + ROWS).replace(",", "|"), sheet()),
    "semicolon and decimal comma": (
        (HEAD + ROWS).replace(",", ";").replace(".", ","), sheet(more='decimal = ","')),
    "quoted decimal commas between commas": (
        HEAD + ROWS.replace("24.5", '"24,5"').replace("20.25", '"20,25"').replace("52.5", '"52,5"')
        .replace("-3.75", '"-3,75"'), sheet(more='decimal = ","')),
    "a delimiter in quotes": (
        "note," + HEAD + "".join(f'"one, ""two""",{row}\n' for row in ROWS.splitlines()), sheet()),
    "an inch mark": (
        "note," + HEAD + "".join(f'5" probe,{row}\n' for row in ROWS.splitlines()), sheet()),
    "delimiter at each line's end": ((HEAD + ROWS).replace("\n", ",\n"), sheet()),
    "delimiter at the end of rows": (HEAD + ROWS.replace("\n", ",\n"), sheet()),
    "unused columns of one name": (
        "x,x," + HEAD + "".join(f"a,b,{row}\n" for row in ROWS.splitlines()), sheet()),
    "lines above": ("made by \f nobody\n;;;\"\n" + HEAD + ROWS, sheet(more="skip = 2")),
    "other order": (
        "power_W,time,air_C\n" + "".join(
            f"{p},{t},{a}\n" for t, a, p in (r.split(",") for r in ROWS.splitlines())), sheet()),
    "Fahrenheit in the heading": (
        "time,air (°F),power_W\n" + ROWS.replace("24.5", "76.1").replace("20.25", "68.45")
        .replace("-3.75", "25.25"), sheet(columns='"air (°F)" = "air", power_W = "power"')),
    "kelvin and kilowatt declared": (
        "time,a,p\n" + ROWS.replace("24.5", "297.65").replace("20.25", "293.4")
        .replace("-3.75", "269.4").replace("52.5", "0.0525").replace(",50\n", ",0.05\n"),
        sheet(columns='a = { role = "air", unit = "K" }, p = { role = "power", unit = "kW" }')),
    "with T and seconds": (
        times("time", "2031-06-14T09:00:00", "2031-06-14T09:01:00", "2031-06-14T09:02:00.000"),
        sheet()),
    "comma before the parts of a second": (
        times("time", *(f'"2031-06-14 09:0{m}:00,0"' for m in range(3))), sheet()),
    "with offset": (
        times("time", "2031-06-14 09:00+02:00", "2031-06-14 09:01+02:00", "2031-06-14 09:02+02:00"),
        sheet()),
    "with Z": (times("time", *(f"2031-06-14T07:0{m}:00Z" for m in range(3))), sheet()),
    "two offsets": (
        times("time", "2031-06-14 09:00+02:00", "2031-06-14 08:01+01:00", "2031-06-14 07:02Z"),
        sheet()),
    "own time zone": (times("time", *(f"2031-06-14 07:0{m}" for m in range(3))),
                      sheet(more='timezone = "UTC"')),
    "day first, declared": (times("time", *(f"14.06.2031 09:0{m}:00" for m in range(3))),
                            sheet('column = "time", format = "%d.%m.%Y %H:%M:%S"')),
    "month first and twelve hours": (
        times("time", *(f"6/14/2031 9:0{m} AM" for m in range(3))),
        sheet('column = "time", format = "%m/%d/%Y %I:%M %p"')),
    "declared with offset": (times("time", *(f"14.06.2031 09:0{m} +0200" for m in range(3))),
                             sheet('column = "time", format = "%d.%m.%Y %H:%M %z"')),
    "seconds since the start": (times("s", "0", "60", "120"), sheet('column = "s", elapsed = "s"')),
    "minutes since the start": (times("m", "0", "1", "2.0"),
                                sheet('column = "m", elapsed = "min"')),
    "hours since the start, decimal comma": (
        times("h", "0", "1", "2").replace(",", ";").replace(".", ",")
        .replace("\n1;", "\n0,016666666667;").replace("\n2;", "\n0,033333333333;"),
        sheet('column = "h", elapsed = "h"', more='decimal = ","')),
}


@pytest.mark.parametrize("name", SHAPES)
def test_the_same_truth_in_any_plain_shape(bench, name):
    content, run = SHAPES[name]
    record = bench.record({"a.csv": content}, run)
    air, power = record.traces["air"], record.traces["power"]
    np.testing.assert_allclose(air.t - START, [0, 60, 120], atol=1e-5)
    np.testing.assert_allclose(air.y, TRUE_AIR, atol=1e-9)
    np.testing.assert_allclose(power.y, TRUE_POWER, atol=1e-9)
    assert (air.unit, power.unit) == ("°C", "W")


def test_blanks_are_missing_and_never_zero(bench):
    text = HEAD + "2031-06-14 09:00,24,\n2031-06-14 09:01,,50\n2031-06-14 09:02,23,0\n"
    record = bench.record({"a.csv": text}, sheet())
    assert record.traces["air"].y.tolist() == [24, 23]
    assert record.traces["power"].y.tolist() == [50, 0]
    assert [(c.samples, c.blanks) for c in record.files[0].channels] == [(2, 1), (2, 1)]


def test_power_from_volts_and_amps_of_the_same_samples(bench):
    text = ("time,U_V,I_mA\n2031-06-14 09:00,12,500\n2031-06-14 09:01,12.5,\n"
            "2031-06-14 09:02,12,4000\n")
    record = bench.record({"a.csv": text}, sheet(columns='U_V = "voltage", I_mA = "current"'))
    power = record.traces["power"]
    assert (power.y.tolist(), (power.t - START).tolist()) == ([6.0, 48.0], [0, 120])
    assert power.metered_at == "dc"
    # A step of 0.1 V at 2.25 A and one of 1 mA at 12.2 V, means of all that was read.
    assert power.resolution == pytest.approx(0.1 * 2.25 + 0.001 * 36.5 / 3)
    assert record.files[0].repairs == ("power is volts × amps of the same samples",)


def test_volts_and_amps_that_never_meet_give_no_power(bench):
    text = "time,U_V,I_A\n2031-06-14 09:00,12,\n2031-06-14 09:01,,4\n2031-06-14 09:02,12,\n"
    record = bench.record({"a.csv": text}, sheet(columns='U_V = "voltage", I_A = "current"'))
    assert "power" not in record.traces
    assert record.files[0].questions == (
        "Volts and amps stand in no row together: power cannot be told from them.",)


@pytest.mark.parametrize(("unit", "factor"), [("Wh", 1.0), ("kWh", 1000.0)])
def test_a_counter(bench, unit, factor):
    text = f"time,E_{unit}\n2031-06-14 09:00,1.25\n2031-06-14 10:00,1.5\n"
    counter = bench.record(
        {"a.csv": text}, sheet(columns=f'E_{unit} = "energy"')).traces["energy"]
    np.testing.assert_allclose(counter.y, np.array([1.25, 1.5]) * factor)
    np.testing.assert_allclose([counter.counter_step, counter.resolution], 0.01 * factor)


@pytest.mark.parametrize(
    ("measures", "error", "absolute"),
    [("energy", "1 % + 2 Wh", 0.0), ("power", "1 % + 0.2 W", 0.2)])
def test_an_offset_of_a_counter_cancels_and_that_of_a_meter_adds_up(
    bench, measures, error, absolute
):
    text = "time,E_Wh\n2031-06-14 09:00,1\n2031-06-14 10:00,2\n"
    meter = f'[instruments.m]\nmeasures = "{measures}"\nerror = "{error}"\n'
    run = sheet(columns='E_Wh = { role = "energy", instrument = "m" }')
    limit = bench.record({"a.csv": text}, run, meter).traces["energy"].error
    assert (limit.absolute, limit.relative) == (absolute, pytest.approx(0.01))


def test_resolution_is_seen_where_it_is_not_stated(bench):
    record = bench.record({"a.csv": HEAD + ROWS}, sheet())
    assert record.traces["air"].resolution == pytest.approx(0.01)
    assert record.traces["power"].resolution == pytest.approx(0.1)


AUTUMN = ["01:30", "02:00", "02:30", "02:00", "02:30", "03:00"]


def test_the_hour_that_came_twice_is_told_by_its_order(bench):
    text = HEAD + "".join(f"2031-10-26 {t},{i},{i}\n" for i, t in enumerate(AUTUMN))
    air = bench.record({"a.csv": text}, sheet()).traces["air"]
    assert np.diff(air.t).tolist() == [1800.0] * 5


def test_a_year_of_days_keeps_its_clock(bench):
    days = np.arange("2031-01-01", "2031-12-31", dtype="datetime64[D]")
    text = "time,air_C\n" + "".join(f"{day} 12:00,4\n" for day in days)
    air = bench.record({"a.csv": text}, sheet(columns='air_C = "air"')).traces["air"]
    steps = np.diff(air.t) / 3600
    assert sorted(set(steps.tolist())) == [23.0, 24.0, 25.0]
    assert air.t[-1] - air.t[0] == (len(days) - 1) * 86400


def test_the_digest_is_of_the_bytes_as_received(bench):
    content = codecs.BOM_UTF8 + (HEAD + ROWS).replace("\n", "\r\n").encode()
    record = bench.record({"a.csv": content}, sheet())
    assert record.files[0].sha256 == hashlib.sha256(content).hexdigest()


def test_cells_are_counted_where_quotes_stand(bench):
    text = "note," + HEAD + "".join(f'"a, ä",{row}\n' for row in ROWS.splitlines())
    assert bench.record({"a.csv": text}, sheet()).traces["air"].y.tolist() == TRUE_AIR
    (fault,) = bench.faults({"a.csv": text.replace(",20.25", "")}, sheet())
    assert (fault.where, fault.found) == ("logs/a.csv:3", "3 cells")
    (fault,) = bench.faults({"a.csv": text.encode() + b"\xff"}, sheet())
    assert fault.where == "logs/a.csv:5"


def test_a_unit_that_gives_values_no_bench_has_is_asked_about(bench):
    text = (HEAD + ROWS).replace("air_C", "probe K").replace("-3.75", "3.75")
    text = text.replace("24.5", "24.15")
    record = bench.record({"a.csv": text}, sheet(columns='"probe K" = "air", power_W = "power"'))
    assert record.files[0].questions == (
        'Column "probe K" goes from −269.4 to −249.0 °C, read as K: is that its unit?',
    )


def test_a_file_without_a_last_line_end_is_asked_about(bench):
    """A last cell that was cut is a number too: only the one who logged can tell."""
    record = bench.record({"a.csv": HEAD + ROWS.rstrip()}, sheet())
    assert record.files[0].questions == (
        "The file stops without a line end: was its last line written whole?",)
    assert bench.record({"a.csv": HEAD + ROWS}, sheet()).files[0].questions == ()


def test_rows_above_the_first_headings_are_told(bench):
    """After a restart the headings come again; the first ones were lost."""
    later = ROWS.replace(" 09:", " 10:")
    (file,) = bench.record({"a.csv": "boot\n" + ROWS + HEAD + later}, sheet()).files
    assert file.rows == 3
    assert [text for text in file.repairs if text.startswith(
        "3 lines above the headings on line 5 could be rows and were not read")]


def test_lines_above_the_headings_that_are_skipped_on_purpose_are_not_told(bench):
    text = ROWS + HEAD + ROWS.replace(" 09:", " 10:")
    assert not bench.record({"a.csv": text}, sheet(more="skip = 3")).files[0].repairs


def test_a_clock_that_was_never_set_is_told(bench):
    text = (HEAD + ROWS).replace("2031-06-14 09", "1970-01-01 00")
    (said,) = bench.record({"a.csv": text}, sheet().replace("start", "# start")).files[0].repairs
    assert said.startswith("the clock was never set")


def test_values_without_the_name_of_a_channel_are_told(bench):
    text = ("time,channel,value\n2031-06-14 09:00,a,24.5\n2031-06-14 09:01,,20.25\n"
            "2031-06-14 09:02,a,-3.75\n")
    long = 'long = { channel = "channel", value = "value" }\ngap = "1 h"'
    block = sheet(columns='a = { role = "air", unit = "°C" }', more=long)
    record = bench.record({"a.csv": text}, block)
    assert record.traces["air"].y.tolist() == [24.5, -3.75]
    assert record.files[0].repairs == ("1 row without the name of a channel, left out",)


def test_a_unit_in_a_cell_is_of_that_cell_alone(bench):
    """The heading says what all others are in."""
    text = HEAD + ROWS.replace("20.25", "68.45 °F")
    near(bench.record({"a.csv": text}, sheet()).traces["air"].y, TRUE_AIR)


@pytest.mark.parametrize("cells", [("24.5", "68.45 °F"), ("24.5 °C", "20.25")])
def test_cells_without_a_unit_beside_cells_with_one_are_asked_about(bench, cells):
    first, second = cells
    text = HEAD.replace("air_C", "inside") + ROWS.replace("24.5", first).replace("20.25", second)
    (fault,) = bench.faults({"a.csv": text}, sheet(columns='inside = "air", power_W = "power"'))
    assert fault.what == 'the unit of column "inside" cannot be told'
    assert "others have none" in fault.found
    assert fault.do.startswith('"inside" = { role = "air", unit = ')


def test_units_in_all_cells_need_no_other(bench):
    text = HEAD.replace("air_C", "inside") + ROWS.replace("24.5,", "76.1 °F,").replace(
        "20.25", "20.25 °C").replace("-3.75", "-3.75 °C")
    record = bench.record({"a.csv": text}, sheet(columns='inside = "air", power_W = "power"'))
    near(record.traces["air"].y, TRUE_AIR)


def test_means_below_a_table_are_left_out_whatever_the_form_of_time(bench):
    block = sheet('column = "time", format = "%d.%m.%Y %H:%M"')
    text = HEAD + ROWS.replace("2031-06-14", "14.06.2031") + "Mean,13.7,34.2\n"
    record = bench.record({"a.csv": text}, block)
    near(record.traces["air"].y, TRUE_AIR)
    assert record.files[0].repairs == (
        "one line is no row and was left out: line 5 “Mean,13.7,34.2”",)


def near(values, truth) -> None:
    np.testing.assert_allclose(values, truth, rtol=0, atol=1e-9)

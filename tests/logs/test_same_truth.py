"""The same truth, written in any mix of shapes, reads back equal."""

from __future__ import annotations

import datetime as dt
import io
import re
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

PARIS = ZoneInfo("Europe/Paris")
# From the canonical unit to another; written with enough decimals to lose nothing that counts.
TEMPERATURES = {"°C": (1.0, 0.0), "°F": (1.8, 32.0), "K": (1.0, 273.15)}
POWERS = {"W": 1.0, "kW": 0.001}
ZONES = ("Europe/Paris", "UTC", "America/New_York", "Asia/Kolkata")
BLANKS = (" ", "  ")
DECLARED = {
    "declared": 'format = "%d/%m/%Y %H.%M.%S"', "apart": 'format = "%d.%m.%Y %H:%M:%S"',
    "epoch ms": 'format = "epoch ms"', "epoch s": 'format = "epoch s"',
    "spreadsheet days": 'format = "spreadsheet days"', "h:min:s": 'elapsed = "h:min:s"',
    "s": 'elapsed = "s"', "min": 'elapsed = "min"', "h": 'elapsed = "h"',
}
WITH_DECIMALS = ("min", "h", "spreadsheet days")
DAY_ZERO = dt.datetime(1899, 12, 30)


def clock_text(t: float, shape: dict, start: float) -> str:
    """An instant in one of the forms of time."""
    when = dt.datetime.fromtimestamp(t, ZoneInfo(shape["zone"]))
    since = int(t - start)
    text = {
        "local": when.strftime("%Y-%m-%d %H:%M:%S"),
        "joined": when.strftime("%Y-%m-%dT%H:%M:%S"),
        "offset": when.isoformat(),
        "declared": when.strftime("%d/%m/%Y %H.%M.%S"),
        "apart": when.strftime("%H:%M:%S"),
        "epoch ms": f"{t * 1000:.0f}",
        "epoch s": f"{t:.0f}",
        "spreadsheet days": f"{(when.replace(tzinfo=None) - DAY_ZERO) / dt.timedelta(days=1):.11f}",
        "h:min:s": f"{since // 3600}:{since // 60 % 60:02d}:{since % 60:02d}",
        "s": f"{since}",
        "min": f"{since / 60:.9f}",
        "h": f"{since / 3600:.11f}",
    }[shape["form"]]
    return text.replace(".", shape["decimal"]) if shape["form"] in WITH_DECIMALS else text


@st.composite
def shapes(draw):
    """One way to write it."""
    quotes = draw(st.booleans())
    decimal = draw(st.sampled_from(".,"))
    signs = ",;\t|" if decimal == "." or quotes else ";\t|"
    delimiter = draw(st.sampled_from([*signs, *(() if quotes else BLANKS)]))
    forms = ["joined", "offset", *(form for form in DECLARED if form != "declared")]
    long = draw(st.booleans())
    if delimiter != " ":
        forms += ["local", "declared"]
    if not long:
        forms.append("every")
    form = draw(st.sampled_from(forms))
    encodings = ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"]
    if delimiter == "\t" and not quotes and decimal == ".":
        encodings.append("workbook")
    encoding = draw(st.sampled_from(encodings))
    columns = {"every": [], "apart": ["day", "time"]}.get(form, ["time"])
    columns += ["channel", "value", "unit"] if long else ["a", "p"]
    return {
        "quotes": quotes, "decimal": decimal, "delimiter": delimiter, "long": long, "form": form,
        "temperature": draw(st.sampled_from(list(TEMPERATURES))),
        "power": draw(st.sampled_from(list(POWERS))),
        # What counts from the run's start knows no zone.
        "zone": draw(st.sampled_from(ZONES if form not in ("every", "h:min:s", "s", "min", "h")
                                     else ZONES[:1])),
        "order": draw(st.permutations([*columns, "spare"])),
        "units below": not long and draw(st.booleans()),
        "above": draw(st.lists(st.sampled_from(
            ["Report of a bench", "Start: 2031-06-14", "", "Interval: 60 s"]), max_size=3)),
        # In a workbook all lines are as wide as the table: then most have to be rows.
        "below": draw(st.lists(st.sampled_from(["", "end of table", "# end"]),
                               max_size=1 if encoding == "workbook" else 2))
        if form != "every" else [],
        "end": draw(st.sampled_from(["\n", "\r\n", "\r"])),
        "encoding": encoding,
    }


@st.composite
def truths(draw, shape):
    """Times and values of a short log."""
    count = draw(st.integers(2, 12))
    start = dt.datetime(2031, draw(st.integers(1, 12)), 15, 9, tzinfo=PARIS).timestamp()
    step = st.integers(1, 20_000)
    steps = [draw(step)] * (count - 1) if shape["form"] == "every" else draw(
        st.lists(step, min_size=count - 1, max_size=count - 1))
    number = st.integers(-2000, 4500).map(lambda n: (2 * n + 1) / 100)  # no instrument's codes
    cells = st.lists(st.one_of(st.none(), number), min_size=count, max_size=count)
    air, power = draw(cells), draw(cells)
    for i in range(count):  # a row has a value: one of blanks alone would be no row
        if air[i] is None and power[i] is None:
            air[i] = draw(number)
    if set(power) == {None}:
        power[0] = draw(number)
    if set(air) == {None}:
        air[0] = draw(number)
    return start + np.cumsum([0, *steps]), air, power


def written(truth, shape) -> bytes:
    """The log."""
    times, air, power = truth
    scale, offset = TEMPERATURES[shape["temperature"]]
    # Where blanks part the cells, a word has to stand for a value that is missing.
    nothing = "---" if shape["delimiter"] in BLANKS else ""

    def number(value: float | None, scale: float, offset: float = 0.0) -> str:
        return nothing if value is None else f"{value * scale + offset:.9f}".replace(
            ".", shape["decimal"])

    rows = []
    for t, a, p in zip(times, air, power, strict=True):
        cells = {"spare": "text"}
        if shape["form"] != "every":
            cells["time"] = clock_text(t, shape, times[0])
        if shape["form"] == "apart":
            cells["day"] = dt.datetime.fromtimestamp(t, ZoneInfo(shape["zone"])).strftime(
                "%d.%m.%Y")
        told = {"a": number(a, scale, offset), "p": number(p, POWERS[shape["power"]])}
        if not shape["long"]:
            rows.append(cells | told)
            continue
        units = {"a": shape["temperature"], "p": shape["power"]}
        rows += [cells | {"channel": name, "value": text, "unit": units[name]}
                 for name, text in told.items() if text != nothing]
    heads = [{name: name for name in shape["order"]}]
    if shape["units below"]:
        none = "-" if nothing else ""
        heads.append(dict.fromkeys(shape["order"], none)
                     | {"a": shape["temperature"], "p": shape["power"]})

    def line(cells: dict[str, str]) -> str:
        quote = '"' if shape["quotes"] else ""
        return shape["delimiter"].join(f"{quote}{cells[name]}{quote}" for name in shape["order"])

    lines = [*shape["above"], *map(line, heads + rows), *shape["below"]]
    if shape["encoding"] == "workbook":
        return workbook(lines)
    return "".join(f"{text}{shape['end']}" for text in lines).encode(shape["encoding"])


def workbook(lines: list[str]) -> bytes:
    """Cells as a workbook has them: local times as dates, numbers as numbers."""
    import xlsxwriter

    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    page = book.add_worksheet("bench")
    date = book.add_format({"num_format": "yyyy-mm-dd hh:mm:ss"})
    for row, line in enumerate(lines):
        for place, cell in enumerate(line.split("\t")):
            if re.fullmatch(r"\d{4}-\d\d-\d\d[ T]\d\d:\d\d:\d\d", cell):
                page.write_datetime(row, place, dt.datetime.fromisoformat(cell), date)
            elif re.fullmatch(r"-?\d+(\.\d+)?", cell):
                page.write_number(row, place, float(cell))
            elif cell:
                page.write_string(row, place, cell)
    book.close()
    return out.getvalue()


def sheet(truth, shape) -> str:
    """The block that says what it is."""
    start = dt.datetime.fromtimestamp(truth[0][0], PARIS).strftime("%Y-%m-%dT%H:%M:%S")
    time = ['column = "day", with = "time"' if shape["form"] == "apart" else 'column = "time"']
    time += [DECLARED[shape["form"]]] if shape["form"] in DECLARED else []
    if shape["form"] == "every":
        time = [f'every = "{truth[0][1] - truth[0][0]:.0f} s"']
    lines = [
        f"start = {start}", "[[log]]", 'file = "logs/a.csv"', f"time = {{ {', '.join(time)} }}",
        'gap = "1 d"', 'metered_at = "dc"', f'decimal = "{shape["decimal"]}"',
        f'timezone = "{shape["zone"]}"',
    ]
    if shape["delimiter"] == " ":
        lines.append('delimiter = " "')
    if shape["encoding"] == "cp1252":
        lines.append('encoding = "cp1252"')
    if shape["long"]:
        lines.append('long = { channel = "channel", value = "value", unit = "unit" }')
    told = shape["long"] or shape["units below"]
    units = ("", "") if told else (f', unit = "{shape["temperature"]}"',
                                   f', unit = "{shape["power"]}"')
    lines += ["[log.columns]", f'a = {{ role = "air"{units[0]} }}',
              f'p = {{ role = "power"{units[1]} }}']
    return "\n".join(lines) + "\n"


@settings(max_examples=150)
@given(data=st.data())
def test_any_shape_reads_back_the_same_truth(new_bench, data):
    shape = data.draw(shapes())
    truth = data.draw(truths(shape))
    record = new_bench().record({"a.csv": written(truth, shape)}, sheet(truth, shape))
    for role, values in (("air", truth[1]), ("power", truth[2])):
        there = np.array([v is not None for v in values])
        trace = record.traces[role]
        # A word that stands for a missing power ends what was held; it is no sample of its own.
        real = np.isin(np.round(trace.t, 2), np.round(truth[0][there], 2))
        assert real.all() or (role == "power" and trace.cut[~real].all())
        np.testing.assert_allclose(trace.t[real], truth[0][there], rtol=0, atol=1e-3)
        np.testing.assert_allclose(
            trace.y[real], [v for v in values if v is not None], rtol=0, atol=1e-5)


def plain(rows, order=("time", "a", "p")) -> tuple[dict[str, str], str]:
    """A plain log of some rows, its columns in some order, and its block."""
    cells = [dict(zip(("time", "a", "p"), row, strict=True)) for row in rows]
    lines = [",".join(order), *(",".join(f"{c[name]}" for name in order) for c in cells)]
    return {"a.csv": "\n".join(lines) + "\n"}, (
        'start = 2031-06-14T09:00:00\n\n[[log]]\nfile = "logs/a.csv"\ngap = "2 min"\n'
        'time = { column = "time", elapsed = "s" }\nmetered_at = "dc"\n[log.columns]\n'
        'a = { role = "air", unit = "°C" }\np = { role = "power", unit = "W" }\n')


rows_of_a_log = st.lists(
    st.tuples(st.integers(1, 200), st.integers(-300, 300), st.integers(0, 90)),
    min_size=2, max_size=12,
).map(lambda steps: [(sum(s[0] for s in steps[: i + 1]), (2 * a + 1) / 10, p)
                     for i, (_, a, p) in enumerate(steps)])


@settings(max_examples=40)
@given(rows=rows_of_a_log, order=st.permutations(["time", "a", "p"]))
def test_shuffled_columns_change_nothing(new_bench, rows, order):
    one, other = (new_bench().record(*plain(rows, by)) for by in (("time", "a", "p"), order))
    for role in ("air", "power"):
        for part in ("t", "y", "covered"):
            np.testing.assert_array_equal(getattr(one.traces[role], part),
                                          getattr(other.traces[role], part))


@settings(max_examples=40)
@given(rows=rows_of_a_log, more=st.integers(2, 5), cuts=st.tuples(*[st.floats(0, 1)] * 2))
def test_finer_sampling_changes_nothing(new_bench, rows, more, cuts):
    """Power is repeated in between, temperatures lie on the line; silences stay as they are."""
    from coldbench.logs.cumulative import Cumulative

    finer = []
    for (t, a, p), (t1, a1, _) in zip(rows, rows[1:], strict=False):
        pieces = range(more if t1 - t <= 120 else 1)
        finer += [(f"{t + (t1 - t) * k / more:.9f}", f"{a + (a1 - a) * k / more:.12f}", p)
                  for k in pieces]
    one, other = (new_bench().record(*plain(some)) for some in (rows, [*finer, rows[-1]]))
    for role in ("air", "power"):
        a, b = Cumulative(one.traces[role]), Cumulative(other.traces[role])
        begin, length = a.trace.t[0], a.trace.t[-1] - a.trace.t[0]
        t0, t1 = (begin + length * c for c in sorted(cuts))
        assert b.integral(t0, t1) == pytest.approx(float(a.integral(t0, t1)), rel=1e-6, abs=1e-3)
        assert b.covered(t0, t1) == pytest.approx(float(a.covered(t0, t1)), abs=1e-5)

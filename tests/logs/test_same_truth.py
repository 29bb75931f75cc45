"""The same truth, written in any mix of the plain shapes, reads back equal."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

PARIS = ZoneInfo("Europe/Paris")
# From a unit to the canonical one; written with enough decimals to lose nothing that counts.
TEMPERATURES = {"°C": (1.0, 0.0), "°F": (1.8, 32.0), "K": (1.0, 273.15)}
POWERS = {"W": 1.0, "kW": 0.001}


def clock_text(t: float, form: str, start: float) -> str:
    """An instant in one of the forms of time."""
    when = dt.datetime.fromtimestamp(t, PARIS)
    return {
        "local": when.strftime("%Y-%m-%d %H:%M:%S"),
        "offset": when.isoformat(),
        "declared": when.strftime("%d/%m/%Y %H.%M.%S"),
        "s": f"{t - start:.0f}",
        "min": f"{(t - start) / 60:.9f}",
        "h": f"{(t - start) / 3600:.11f}",
    }[form]


@st.composite
def truths(draw):
    """Times and values of a short log."""
    count = draw(st.integers(2, 15))
    start = dt.datetime(2031, draw(st.integers(1, 12)), 15, 9, tzinfo=PARIS).timestamp()
    steps = draw(st.lists(st.integers(1, 20_000), min_size=count - 1, max_size=count - 1))
    cells = st.one_of(st.none(), st.integers(-4000, 9000).map(lambda n: n / 100))
    some = st.lists(cells, min_size=count, max_size=count).filter(lambda c: set(c) != {None})
    return start + np.cumsum([0, *steps]), draw(some), draw(some)


@st.composite
def shapes(draw):
    """One way to write it."""
    decimal = draw(st.sampled_from(".,"))
    return {
        "decimal": decimal,
        "delimiter": draw(st.sampled_from(",;\t|" if decimal == "." else ";\t|")),
        "temperature": draw(st.sampled_from(list(TEMPERATURES))),
        "power": draw(st.sampled_from(list(POWERS))),
        "form": draw(st.sampled_from(["local", "offset", "declared", "s", "min", "h"])),
        "order": draw(st.permutations(["time", "a", "p", "spare"])),
        "end": draw(st.sampled_from(["\n", "\r\n"])),
        "encoding": draw(st.sampled_from(["utf-8", "utf-8-sig", "utf-16"])),
    }


def written(truth, shape) -> bytes:
    times, air, power = truth
    scale, offset = TEMPERATURES[shape["temperature"]]

    def number(value: float | None, scale: float, offset: float = 0.0) -> str:
        return "" if value is None else f"{value * scale + offset:.9f}".replace(
            ".", shape["decimal"])

    columns = {
        "time": ["time"] + [
            clock_text(t, shape["form"], times[0]).replace(
                ".", shape["decimal"] if shape["form"] in ("min", "h") else ".") for t in times],
        "a": ["a"] + [number(v, scale, offset) for v in air],
        "p": ["p"] + [number(v, POWERS[shape["power"]]) for v in power],
        "spare": ["spare"] + ["text"] * len(times),
    }
    rows = zip(*(columns[name] for name in shape["order"]), strict=True)
    text = "".join(shape["delimiter"].join(row) + shape["end"] for row in rows)
    return text.encode(shape["encoding"])


def sheet(truth, shape) -> str:
    form = shape["form"]
    time = {"local": "", "offset": "", "declared": ', format = "%d/%m/%Y %H.%M.%S"'}.get(
        form, f', elapsed = "{form}"')
    start = dt.datetime.fromtimestamp(truth[0][0], PARIS).strftime("%Y-%m-%dT%H:%M:%S")
    return (
        f'start = {start}\n\n[[log]]\nfile = "logs/a.csv"\ntime = {{ column = "time"{time} }}\n'
        f'gap = "1 d"\nmetered_at = "dc"\ndecimal = "{shape["decimal"]}"\n'
        f'[log.columns]\na = {{ role = "air", unit = "{shape["temperature"]}" }}\n'
        f'p = {{ role = "power", unit = "{shape["power"]}" }}\n'
    )


@settings(max_examples=60, deadline=None, derandomize=True, database=None)
@given(truth=truths(), shape=shapes())
def test_any_shape_reads_back_the_same_truth(new_bench, truth, shape):
    record = new_bench().record({"a.csv": written(truth, shape)}, sheet(truth, shape))
    for role, values in (("air", truth[1]), ("power", truth[2])):
        there = np.array([v is not None for v in values])
        trace = record.traces[role]
        np.testing.assert_allclose(trace.t, truth[0][there], rtol=0, atol=1e-3)
        np.testing.assert_allclose(trace.y, [v for v in values if v is not None], atol=1e-5)

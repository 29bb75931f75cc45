"""Copies of what was read: equal to the first reading, or noticed and made anew."""

from __future__ import annotations

import shutil
from dataclasses import fields

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coldbench.logs import cache, files
from coldbench.logs.record import Record
from coldbench.sheets import read_campaign

HEAD = "time,air_C,power_W,state\n"
SHEET = """start = 2031-06-14T09:00:00

[[log]]
file = "logs/a.csv"
time = { column = "time" }
metered_at = "dc"
gap = "1 h"
columns = { air_C = "air", power_W = "power" }
"""
LONG = """start = 2031-06-14T09:00:00

[[log]]
file = "logs/a.csv"
time = { column = "time" }
long = { channel = "channel", value = "value" }
metered_at = "dc"
gap = "1 h"
columns = { "a C" = "air", "p W" = "power" }
"""
cells = st.one_of(st.just(""), st.just("unavailable"),
                  st.integers(-399, 899).map(lambda n: f"{n / 10}"))
tables = st.lists(st.tuples(cells, cells), min_size=3, max_size=20).filter(
    lambda rows: all(any(row[k][-1:].isdigit() for row in rows) for k in (0, 1)))


@pytest.fixture(autouse=True)
def every_log_is_worth_it(monkeypatch):
    monkeypatch.setattr(cache, "WORTH_IT", 0)
    yield
    cache.wait()


@pytest.fixture
def parsed_anew(monkeypatch):
    """Names of the logs that were read line by line since it was last emptied."""
    anew = []
    parse = files.parse

    def told(campaign, run, number, source):
        anew.append(source.name)
        return parse(campaign, run, number, source)

    monkeypatch.setattr(files, "parse", told)
    return anew


def read(bench) -> Record:
    """The run, with its copies written to the end."""
    record = bench.read()
    cache.wait()
    return record


def same(one: Record, other: Record) -> None:
    """All that two readings say is equal to the last bit."""
    assert one.files == other.files
    assert [str(n) for n in one.notices] == [str(n) for n in other.notices]
    assert list(one.traces) == list(other.traces)
    for role, trace in one.traces.items():
        for part in fields(trace):
            a, b = getattr(trace, part.name), getattr(other.traces[role], part.name)
            if isinstance(a, np.ndarray):
                np.testing.assert_array_equal(a, b)
            else:
                assert a == b, part.name


def rows(table) -> str:
    return HEAD + "".join(f"2031-06-14 {9 + i // 60:02d}:{i % 60:02d},{a},{p},on\n"
                          for i, (a, p) in enumerate(table))


@settings(max_examples=25)
@given(table=tables, long=st.booleans())
def test_a_copy_reads_back_equal(new_bench, table, long):
    bench = new_bench()
    if long:
        lines = [f"2031-06-14 09:{i:02d},{name},{value}\n" for i, row in enumerate(table)
                 for name, value in zip(("a C", "p W"), row, strict=True)]
        bench.write({"a.csv": "time,channel,value\n" + "".join(lines)}, LONG)
    else:
        bench.write({"a.csv": rows(table)}, SHEET)
    first = read(bench)
    assert list((bench.folder / cache.FOLDER).glob("*.parquet"))
    read_from = cache.from_cache(read_campaign(bench.folder), "one", 0, "logs/a.csv")
    assert read_from is not None
    same(first, read(bench))


TABLE = [(f"{20 - i / 10:.1f}", f"{i % 3 * 10}") for i in range(15)]


@pytest.fixture
def kept(bench, parsed_anew):
    """A campaign of which a copy is kept and used."""
    bench.write({"a.csv": rows(TABLE)}, SHEET)
    read(bench)
    read(bench)
    assert parsed_anew == ["logs/a.csv"]
    parsed_anew.clear()
    return bench


def the_copy(bench):
    (path,) = (bench.folder / cache.FOLDER).glob("*.parquet")
    return path


def read_anew_and_kept_again(bench, parsed_anew) -> None:
    first = read(bench)
    assert parsed_anew == ["logs/a.csv"]
    same(first, read(bench))
    assert parsed_anew == ["logs/a.csv"]


@pytest.mark.parametrize("share", [0.0, 0.3, 0.9, 0.999])
def test_a_copy_that_is_cut_is_made_anew(kept, parsed_anew, share):
    whole = the_copy(kept).read_bytes()
    the_copy(kept).write_bytes(whole[: int(share * len(whole))])
    read_anew_and_kept_again(kept, parsed_anew)


def test_no_byte_of_a_copy_can_change_what_is_read(kept, parsed_anew):
    """Either the copy is seen to be harmed, or it says the same."""
    first, path = read(kept), the_copy(kept)
    whole, harmed = path.read_bytes(), 0
    for at in range(0, len(whole), 17):
        path.write_bytes(whole[:at] + bytes([whole[at] ^ 0x55]) + whole[at + 1 :])
        parsed_anew.clear()
        same(first, read(kept))
        harmed += len(parsed_anew)
    assert harmed > 10


def test_a_copy_of_another_log_is_made_anew(kept, parsed_anew):
    """Someone else's copy under the right name."""
    mine = the_copy(kept)
    held = mine.read_bytes()
    mine.unlink()
    kept.write({"a.csv": rows(TABLE[::-1])}, SHEET)
    read(kept)
    shutil.copy(the_copy(kept), mine)
    kept.write({"a.csv": rows(TABLE)}, SHEET)
    parsed_anew.clear()
    read(kept)
    assert parsed_anew == ["logs/a.csv"]
    assert mine.read_bytes()[:4] == held[:4]


def test_other_bytes_are_read_anew(kept, parsed_anew):
    kept.write({"a.csv": rows(TABLE).replace("20.0", "20.1")}, SHEET)
    assert read(kept).traces["air"].y[0] == 20.1
    assert parsed_anew == ["logs/a.csv"]


@pytest.mark.parametrize("other", [
    SHEET.replace('power_W = "power"', 'power_W = "heater"'),
    SHEET.replace('air_C = "air"', 'air_C = { role = "air", unit = "°F" }'),
    SHEET.replace('gap = "1 h"', 'gap = "1 h"\ntimezone = "UTC"'),
    SHEET.replace('gap = "1 h"', 'gap = "1 h"\nno_value = ["gone"]'),
], ids=["role", "unit", "zone", "words"])
def test_other_declarations_are_read_anew(kept, parsed_anew, other):
    kept.write({"a.csv": rows(TABLE)}, other)
    with_copies = read(kept)
    assert parsed_anew == ["logs/a.csv"]
    shutil.rmtree(kept.folder / cache.FOLDER)
    same(with_copies, read(kept))


def test_another_zone_of_the_campaign_is_read_anew(kept, parsed_anew):
    sheet = kept.folder / "campaign.toml"
    sheet.write_text(sheet.read_text("utf-8").replace("Europe/Paris", "UTC"), encoding="utf-8")
    read(kept)
    assert parsed_anew == ["logs/a.csv"]


def test_a_small_log_is_not_kept(bench, monkeypatch):
    monkeypatch.setattr(cache, "WORTH_IT", 10_000)
    bench.write({"a.csv": rows(TABLE)}, SHEET)
    read(bench)
    assert not (bench.folder / cache.FOLDER).exists()

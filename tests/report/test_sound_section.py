"""Sound, cable and adapter from sheets and readings to what the report says."""

from __future__ import annotations

import pytest

from coldbench.analysis.campaign import analyse_campaign
from coldbench.compare.adapter import adapter_loss
from coldbench.compare.cable import cable
from coldbench.compare.repeats import one_row_each
from coldbench.compare.sound import sound_over_time
from coldbench.findings import Finding
from coldbench.report.book import Book
from coldbench.report.display import Figure, Table
from coldbench.report.sections import cautions, claims
from coldbench.report.sections.sound import connection, sound
from coldbench.sheets import read_campaign

CAMPAIGN = """title = "Made"
timezone = "UTC"
[supply]
volts = "12 V"
cable_length = "4 m"
cable_area = "4 mm²"
[instruments.S]
measures = "sound"
error = "1.5 dB"
"""
COOLER = """name = "Chest"
technology = "compressor"
origin = "bought"
[claims]
sound = "38 dB"
"""
READING = '[[reading]]\nat = "{} min"\ninstrument = "S"\nsound = "{} dB"\n'
RUN = """cooler = "chest"
kind = ["sound"]
start = 2031-06-14T09:00:00
{}[sound]
state = "{}"
distance = "1 m"
background = "27 dB"
"""
LEVELS = {"running": (41.0, 42.0, 41.5), "idle": (28.0, 27.5, 28.5)}


@pytest.fixture
def book(tmp_path):
    files = {"campaign.toml": CAMPAIGN, "coolers/chest.toml": COOLER}
    for state, levels in LEVELS.items():
        readings = "".join(READING.format(n, level) for n, level in enumerate(levels))
        files[f"runs/{state}.toml"] = RUN.format(readings, state)
    for name, text in files.items():
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    result = analyse_campaign(read_campaign(tmp_path))
    rows, spreads = one_row_each(result.findings, result.campaign)
    rows += [
        Finding(cooler="chest", finding="duty", at="coldest", value=0.4, unit="-", runs=("s",)),
        Finding(cooler="chest", finding="cycle_time", at="coldest", value=20.0, unit="min"),
        Finding(cooler="chest", finding="running_power", at="dc coldest", value=48.0, unit="W"),
    ]
    rows += [*sound_over_time(rows), *adapter_loss(result.campaign, rows)]
    rows += cable(result.campaign, rows)
    return Book(result, tuple(rows), spreads)


def plain(shown):
    return "\n".join(part.plain() for part in shown if not isinstance(part, Figure))


def test_readings_typed_in_a_sheet_reach_the_report(book):
    row = book.one("chest", "sound_level", "running 1 m")
    assert row.low < row.value < row.high and 41.3 < row.value < 41.6
    idle = book.one("chest", "sound_level", "idle 1 m")
    assert idle.basis == "bounded" and idle.low is None
    mean = book.one("chest", "sound_level", "mean over the cycle 1 m")
    assert mean.basis == "bounded" and mean.high < row.value
    assert book.one("chest", "starts_per_hour").value == 3.0


def test_the_section_shows_a_chart_a_table_and_what_not_to_do(book):
    shown = sound(book)
    figure = next(part for part in shown if isinstance(part, Figure))
    assert figure.label == "sound-levels" and "Chest" in figure.alt
    assert sum(isinstance(part, Table) for part in shown) == 2
    text = plain(shown)
    for words in ("sound power", "falls by 6 dB", "at most this", "Starts an hour"):
        assert words in text


def test_a_claim_of_sound_gets_no_number_beside_it(book):
    text = plain(claims.claims(book)[1:])
    assert "38 dB" in text and "not compared" in text and "41" not in text


def test_the_cable_is_told_with_its_caution(book):
    text = plain(connection(book))
    assert "Volts lost in the cable" in text and "Plugs, fuses and switches take more" in text
    assert "neither a wire nor a fuse" in text
    assert any("neither a wire nor a fuse" in part.plain() for part in cautions.cautions(book))


def test_what_was_not_done_is_said_or_silent(book):
    bare = Book(book.result, (), {})
    assert "needs a run of kind “sound”" in plain(sound(bare))
    assert connection(bare) == []
    assert not any("wire nor a fuse" in part.plain() for part in cautions.cautions(bare))

"""What is said about a campaign before anything is computed."""

from __future__ import annotations

import pytest

from coldbench.errors import UserError
from coldbench.report.checking import check
from coldbench.sheets.new import new_campaign

HEAD = "time,air_C,ambient_C,power_W\n"
ROWS = "".join(f"2031-06-14 09:{m:02d}:00,{24 - m / 10},25.0,48.5\n" for m in range(30))


@pytest.fixture
def blank(tmp_path):
    """A fresh campaign; its example log is still to come."""
    return new_campaign(tmp_path / "mine")


def put(folder, name, text):
    (folder / "logs" / name).write_text(text, encoding="utf-8", newline="\n")


def test_a_card_of_each_run_and_a_count(blank):
    put(blank, "example-1.csv", HEAD + ROWS)
    told = check(blank)
    assert told.faults == ()
    assert "column    air_C → air, written in °C" in told.text
    assert told.text.endswith("1 cooler and 1 run read; nothing was computed.")


def test_a_log_that_no_run_names_gets_its_block(blank):
    put(blank, "example-1.csv", HEAD + ROWS)
    put(blank, "other.csv", HEAD.replace(",", ";") + ROWS.replace(",", ";"))
    told = check(blank)
    assert told.faults == ()
    assert "logs/other.csv  (no run names it)" in told.text
    assert '[[log]]\nfile = "logs/other.csv"' in told.text


def test_blocks_are_proposed_even_where_sheets_have_faults(blank):
    put(blank, "mine.csv", HEAD + ROWS)
    (blank / "campaign.toml").write_text('title = "x"\n', encoding="utf-8")
    told = check(blank)
    assert "timezone" in str(told.faults[0])
    assert '[[log]]\nfile = "logs/mine.csv"' in told.text


def test_a_log_that_cannot_be_read_yet_is_shown_as_it_looks(blank):
    put(blank, "example-1.csv", HEAD + ROWS.replace("2031-06-14", "06/07/2031"))
    told = check(blank)
    assert "logs/example-1.csv  (not read yet: see below)" in told.text
    assert "column    air_C: 24.0, 23.9, 23.8, 23.7 …" in told.text
    (fault,) = told.faults
    assert 'format = "%d/%m/%Y %H:%M:%S" }  or  time = {' in fault.do


def test_alike_daily_files_get_one_block(blank):
    put(blank, "example-1.csv", HEAD + ROWS)
    for day in (14, 15, 16):
        put(blank, f"box_2031-06-{day}.csv", HEAD + ROWS.replace("-14 ", f"-{day} "))
    assert 'file = "logs/box_2031-06-*.csv"' in check(blank).text


def test_a_file_alone_is_enough(tmp_path):
    log = tmp_path / "box.csv"
    log.write_text(HEAD + ROWS, encoding="utf-8")
    told = check(log)
    assert told.faults == ()
    assert 'file = "box.csv"' in told.text


def test_a_place_that_is_neither(tmp_path):
    with pytest.raises(UserError):
        raise UserError(check(tmp_path / "nowhere").faults)


def test_a_file_that_is_no_log(tmp_path):
    log = tmp_path / "box.jpg"
    log.write_bytes(b"\xff\xd8\xff\0\0" * 100)
    assert "not a text file" in check(log).text

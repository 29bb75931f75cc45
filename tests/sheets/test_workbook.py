"""A campaign as a workbook reads back to the same sheets."""

from __future__ import annotations

import datetime as dt
import json
import shutil
import sys
import tomllib
from pathlib import Path

import pytest

from coldbench.bench import draw_campaigns, simulate_campaigns, write_campaign
from coldbench.errors import UserError
from coldbench.report.checking import check
from coldbench.sheets import read_campaign

sys.path.insert(0, str(Path(__file__).parent))
from books import Changed, as_workbook, write_ods

FORMS = ("campaign.xlsx", "campaign.ods")


def same(one, other) -> bool:
    return (one.sheet, one.coolers, one.runs) == (other.sheet, other.coolers, other.runs) and (
        list(one.coolers), list(one.runs)) == (list(other.coolers), list(other.runs))


@pytest.mark.parametrize("name", FORMS)
def test_a_campaign_with_every_key_reads_back_equal(folder, name):
    texts = read_campaign(folder)
    as_workbook(folder, name)
    assert same(texts, read_campaign(folder))


@pytest.mark.parametrize("name", FORMS)
def test_random_campaigns_read_back_equal(tmp_path, name):
    for number, sim in enumerate(simulate_campaigns(draw_campaigns(6, seed=31))):
        folder = tmp_path / str(number)
        write_campaign(folder, sim)
        texts = read_campaign(folder)
        as_workbook(folder, name)
        assert same(texts, read_campaign(folder))


def test_what_cannot_be_seen_in_a_cell_or_looks_like_something_else(write, folder, change):
    change("runs/second.toml", 'delimiter = ";"', 'delimiter = "\\t"')
    change("runs/second.toml", "start = 2031-06-14T09:00:00\n",
           "start = 2031-06-14T09:00:00.25+02:00\n")
    change("runs/second.toml", '"window open until ten"', '"=1+1"')
    change("runs/second.toml", 'setting = "coldest"', 'setting = "4"')
    change("runs/second.toml", 'file = "logs/plug.xlsx"', 'file = "logs/hub.csv"')
    change("campaign.toml", "years = 8", "years = 8.123456789012345678")
    change("coolers/chest.toml", "the lid leans", "9.10 <&> “two\\nlines”, https://example.org")
    texts = read_campaign(folder)
    as_workbook(folder)
    assert same(texts, read_campaign(folder))


def test_the_same_campaign_gives_the_same_bytes(folder, tmp_path):
    shutil.copytree(folder, tmp_path / "again")
    one, other = as_workbook(folder), as_workbook(tmp_path / "again")
    assert one.read_bytes() == other.read_bytes()


def test_keys_stand_in_cells(folder):
    as_workbook(folder)
    campaign = read_campaign(folder)
    with Changed(folder / "campaign.xlsx") as book:
        pages = book.book
        for sheet, path, found in [
            ("coolers/peltier.toml", ("mass",), "11.5 kg"),
            ("runs/second.toml", ("log", 1, "long", "channel"), "sensor"),
            ("runs/second.toml", ("log", 0, "columns", "CH3", "unit"), "°F"),
            ("runs/second.toml", ("reading", 0, "load_2"), "76 °F"),
            ("campaign.toml", ("instruments", "E1", "error"), "1 % + 0.2 W"),
            ("campaign.toml", ("targets", "temperatures", 2), "0 °C"),
        ]:
            file, place = campaign.where(sheet, *path).split(": ")
            page, cell = place.split("!")
            assert (file, pages[page][cell].value) == ("campaign.xlsx", found)


def test_a_person_types_things_in_other_ways(folder):
    as_workbook(folder)
    texts = read_campaign(folder)
    with Changed(folder / "campaign.xlsx") as book:
        for page, row, heading, typed, form in [
            ("Campaign", ("campaign", "date"), "value", dt.datetime(2031, 6, 14), "d mmm yy"),
            ("Campaign", ("musts", "fits_space"), "value", "yes", ""),
            ("Campaign", ("supply", "days"), "value", "2", "@"),
            ("Coolers", ("modules", "count"), "chest", "4", "@"),
            ("Runs", ("run", "start"), "second", dt.datetime(2031, 6, 14, 9), "d.m.yy h:mm"),
            ("Runs", ("run", "protocol"), "second", " stall morning ", ""),
            ("Columns", ("second", "logs/x.csv", "CH1"), "log", 1, "0"),
        ]:
            book.fill(page, row, heading, typed, form)
        # Remarks: a column, a row, a page.
        book.put("Marks!F1", "# seen by")
        book.put("Marks!F4", "nobody")
        book.put("Marks!A5", "# nothing else")
        book.book.create_sheet("# sums")["A1"] = 4
        book.book.create_sheet("Sheet1")
    assert same(texts, read_campaign(folder))


def test_findings_are_the_same(tmp_path, clone):
    from coldbench.analysis.campaign import analyse_campaign
    from coldbench.report.provenance import provenance

    folder = shutil.copytree(clone / "templates/campaign-demo", tmp_path / "demo",
                             ignore=shutil.ignore_patterns("out"))
    found = []
    for step in (lambda: None, lambda: as_workbook(folder)):
        step()
        campaign = read_campaign(folder)
        found.append(analyse_campaign(campaign))
    assert found[0].findings == found[1].findings
    files = [one["file"] for one in provenance(campaign)["inputs"]]
    assert "campaign.xlsx" in files
    assert not [file for file in files if file.endswith(".toml")]
    assert "4 coolers and 22 runs read" in check(folder).text


def test_two_ways_of_keeping_sheets(folder):
    texts = {name: (folder / name).read_bytes() for name in ("campaign.toml", "runs/first.toml")}
    as_workbook(folder)
    for name, data in texts.items():
        (folder / name).write_bytes(data)
        with pytest.raises(UserError, match="kept in two ways"):
            read_campaign(folder)
        (folder / name).unlink()
    shutil.copy(folder / "campaign.xlsx", folder / "campaign.ods")
    with pytest.raises(UserError, match=r"campaign\.xlsx and campaign\.ods"):
        read_campaign(folder)


def test_a_text_too_long_for_a_cell(folder, change):
    change("coolers/chest.toml", "the lid leans", "x" * 40_000)
    with pytest.raises(UserError, match="too long for a cell"):
        as_workbook(folder)


@pytest.mark.parametrize("content", [b"", b"no workbook", b"PK\x03\x04 cut"])
def test_what_is_no_workbook(folder, content):
    path = as_workbook(folder)
    path.write_bytes(content)
    with pytest.raises(UserError, match=r"campaign\.xlsx: this is no workbook"):
        read_campaign(folder)


@pytest.mark.parametrize("name", FORMS)
def test_a_cell_far_out(folder, faults, name):
    path = as_workbook(folder)
    with Changed(path) as book:
        book.put("Marks!XFD1048576", "x")
    if name.endswith(".ods"):
        path.unlink()
        far = {"Marks": [["run", "at"], ["", ""], [*[""] * 1000, "x"]]}
        write_ods(far, folder / name, blank_rows=1_000_000)
    (fault,) = faults()
    assert (fault.where, fault.what) == (name, "something stands too far out to be read")


def test_its_tables_are_those_that_toml_gives(folder):
    text = (folder / "runs/second.toml").read_text(encoding="utf-8")
    as_workbook(folder)
    assert read_campaign(folder).raw.tables["runs/second.toml"] == tomllib.loads(text) | {
        "log": [log | {"columns": {name: {"role": one} if isinstance(one, str) else one
                                   for name, one in log["columns"].items()}}
                for log in tomllib.loads(text)["log"]]}


@pytest.mark.parametrize("name", FORMS)
def test_any_text_is_kept(folder, write, name):
    odd = ["_x0041_", "tab\there", "two\nlines", "=A1", "'quoted", "+1", "-", "1e5", "TRUE", "9.10",
           "00123", "𝄞 é ß Ω", "<b>&amp;</b>", "{=x}", "@me", "# not a remark", "a" * 5000]
    quoted = [json.dumps(text, ensure_ascii=False) for text in odd]
    marks = "".join(f'[[mark]]\nat = "{n} min"\nwhat = "note"\nnote = {text}\n'
                    for n, text in enumerate(quoted))
    head = 'cooler = "chest"\nkind = ["steady"]\nstart = 2031-06-14T09:00:00\n'
    write({"runs/first.toml": head + '[[log]]\nfile = "logs/first.csv"\ntime = { column = "t" }\n'
                              'columns = { "_x0041_ °C, =1" = "air" }\n' + marks})
    as_workbook(folder, name)
    run = read_campaign(folder).runs["first"]
    assert [mark.note for mark in run.mark] == odd
    assert list(run.log[0].columns) == ["_x0041_ °C, =1"]

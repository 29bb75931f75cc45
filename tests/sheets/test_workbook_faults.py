"""One spoilt workbook for each fault: its cell and its words."""

from __future__ import annotations

import datetime as dt
import re
import sys
from pathlib import Path

import openpyxl
import pytest

sys.path.insert(0, str(Path(__file__).parent))
from books import Changed, as_workbook, cell_at

DAY, DATE = "yyyy-mm-dd", dt.datetime(2031, 10, 9)
# What belongs to files of text.
OF_TEXT = re.compile(r'"|\[\[|\]|without quotes|add a line|= \{|^write \w+ = ')

# Where a fault is told, if it is not the cell that was spoilt.
ELSEWHERE = {
    ("Campaign", ("table", "key"), "value", "valeu"): "Campaign!C1",
    ("Campaign", ("table", "key"), "key", "kee"): "Campaign!A1",
    ("Campaign", ("footing", "inside"), "key", None): "Campaign!C16",
    ("Coolers", ("table", "key"), "chest", "Ice-Box"): "Coolers!F1",
    ("Coolers", ("table", "key"), "chest", None): "Runs!E3",
    ("Logs", ("second", "logs/x.csv"), "time.every", "1 min"): "Logs!F5",
    ("Logs", ("run", "file"), "gap", None): "Logs!V5",
    ("Columns", ("second", "logs/x.csv", "CH3"), "unit", "W"): "Columns!C7",
}
# Page, words that find a row, heading of the column, what is typed, its number format, words.
IN_CELLS = [
    ("Campaign", ("footing", "ambient"), "value", 25, "",
     ["footing, ambient: a unit is missing", "as text: 25 °C"]),
    ("Campaign", ("footing", "ambient"), "value", "25", "",
     ["unit is missing", "write 25 °C"]),
    ("Campaign", ("footing", "ambient"), "value", "25 C", "",
     ["write 25 °C"]),
    ("Campaign", ("footing", "ambient"), "value", DATE, DAY,
     ["made a date", "format the cell as text"]),
    ("Campaign", ("campaign", "title"), "value", DATE, DAY,
     ["text is wanted", "made a date"]),
    ("Campaign", ("campaign", "title"), "value", True, "",
     ["truth value"]),
    ("Campaign", ("campaign", "title"), "value", None, "",
     ["key 'title' is missing", "fill in title"]),
    ("Campaign", ("campaign", "date"), "value", "14.6.2031", "@",
     ["a date is wanted", "2031-06-14"]),
    ("Campaign", ("campaign", "date"), "value", "2031-02-31", "@",
     ["a date is wanted"]),
    ("Campaign", ("supply", "battery_efficiency"), "value", 0.95, "0%",
     ["as text: 80 %"]),
    ("Campaign", ("supply", "days"), "value", "2 d", "@",
     ["plain number"]),
    ("Campaign", ("musts", "fits_space"), "value", "maybe", "@",
     ["TRUE, FALSE"]),
    ("Campaign", ("targets", "hold"), "value", "4 °C", "@",
     ["hold 1", "too short"]),
    ("Campaign", ("money", "tariff"), "value", "0.32", "@",
     ["0.32 EUR/kWh"]),
    ("Campaign", ("footing", "inside"), "key", "insied", "",
     ["unknown key 'insied' in footing", "write inside"]),
    ("Campaign", ("footing", "inside"), "table", "foting", "",
     ["unknown table 'foting'", "write footing"]),
    ("Campaign", ("footing", "inside"), "key", "ambient", "",
     ["stands in two rows"]),
    ("Campaign", ("footing", "inside"), "key", None, "",
     ["a value stands in a row without a key"]),
    ("Campaign", ("table", "key"), "value", "valeu", "",
     ["unknown heading 'valeu'", "write value"]),
    ("Campaign", ("table", "key"), "key", "kee", "",
     ["no column “key”"]),
    ("Coolers", ("cooler", "technology"), "chest", "compresor", "@",
     ["no technology of that name", "write compressor"]),
    ("Coolers", ("cooler", "technology"), "chest", None, "",
     ["key 'technology' is missing", "fill in technology: compressor"]),
    ("Coolers", ("cooler", "mass"), "chest", "11,5 kg", "@",
     ["write 11.5 kg"]),
    ("Coolers", ("modules", "count"), "chest", 4.5, "",
     ["whole number"]),
    ("Coolers", ("table", "key"), "chest", "my chest", "",
     ["the head of a column is the id", "write my-chest"]),
    ("Coolers", ("table", "key"), "chest", DATE, DAY,
     ["no id", "made a date"]),
    ("Coolers", ("cooler", "name"), "chest", 9.1, "",
     ["text is wanted", "the cell holds a number"]),
    ("Coolers", ("table", "key"), "chest", "Ice-Box", "",
     ["two columns have the head"]),
    ("Coolers", ("table", "key"), "chest", None, "",
     ["there is no cooler 'chest'"]),
    ("Coolers", ("cooler", "design_of"), "chest", "icebox", "@",
     ["write ice-box"]),
    ("Runs", ("run", "start"), "second", DATE, DAY,
     ["a date with its time", "write date and time"]),
    ("Runs", ("run", "start"), "second", "2031-03-30 02:30", "@",
     ["never came", "+01:00"]),
    ("Runs", ("run", "start"), "second", "2031-06-31 09:00", "@",
     ["a date with its time"]),
    ("Runs", ("run", "kind"), "second", "stedy", "@",
     ["kind 1", "write steady"]),
    ("Runs", ("run", "repeat_of"), "second", "frist", "@",
     ["write first"]),
    ("Instruments", ("E1",), "measures", "powr", "@",
     ["write power"]),
    ("Instruments", ("E1",), "error", 0.2, "",
     ["with its unit"]),
    ("Instruments", ("E1",), "id", "T1", "",
     ["T1 stands in two rows"]),
    ("Instruments", ("E1",), "id", None, "",
     ["the row has no id"]),
    ("Earlier", ("../spring/out/findings.json",), "findings", "../sprung.json", "",
     ["no such file of findings"]),
    ("Loads", ("second",), "run", "secund", "",
     ["there is no run 'secund'", "write second"]),
    ("Loads", ("second",), "run", DATE, DAY,
     ["this is no run", "made a date"]),
    ("Loads", ("second",), "run", None, "",
     ["the row has no run"]),
    ("Loads", ("second",), "water", 330, "",
     ["load 1, water", "as text: 330 mL"]),
    ("Loads", ("second",), "count", None, "",
     ["key 'count' is missing in load 1"]),
    ("Logs", ("second", "logs/x.csv"), "time.column", None, "",
     ["a time column is wanted", "time.column = …"]),
    ("Logs", ("second", "logs/x.csv"), "time.every", "1 min", "",
     ["told in two ways"]),
    ("Logs", ("second", "logs/x.csv"), "delimiter", "semicolon", "",
     ["no delimiter of that name"]),
    ("Logs", ("second", "logs/x.csv"), "timezone", "Europe/Pariss", "",
     ["write Europe/Paris"]),
    ("Logs", ("run", "file"), "gap", "gaps", "",
     ["unknown heading 'gaps'", "write gap"]),
    ("Logs", ("run", "file"), "gap", "file", "",
     ["two columns have the heading file"]),
    ("Logs", ("run", "file"), "gap", None, "",
     ["a value stands in a column without a heading"]),
    ("Columns", ("second", "logs/x.csv", "CH2"), "role", "laod", "",
     ["log 1, columns, CH2, role", "write load"]),
    ("Columns", ("second", "logs/x.csv", "CH2"), "role", None, "",
     ["key 'role' is missing"]),
    ("Columns", ("second", "logs/x.csv", "CH2"), "log", "logs/y.csv", "",
     ["there is no log of this run", "write logs/x.csv"]),
    ("Columns", ("second", "logs/x.csv", "CH2"), "heading", "CH1", "",
     ["CH1 stands in two rows"]),
    ("Columns", ("second", "logs/x.csv", "CH3"), "unit", "W", "",
     ["does not fit the role ambient"]),
    ("Readings", ("second", "0 min"), "air", 24.1, "",
     ["reading 1, air", "as text: 24.1 °C"]),
    ("Readings", ("second", "0 min"), "at", dt.time(0, 30), "h:mm",
     ["reading 1, at", "made a date or time"]),
    ("Readings", ("run", "at"), "load_2", "lode_2", "",
     ["unknown heading 'lode_2'", "write load"]),
    ("Marks", ("second", "3 h"), "what", "lid open", "",
     ["no mark", "write lid opened"]),
]  # fmt: skip



@pytest.fixture(scope="module")
def whole(stall_in, tmp_path_factory):
    """The workbook of ``stall/``, loaded once."""
    return openpyxl.load_workbook(as_workbook(stall_in(tmp_path_factory.mktemp("book"))))


@pytest.fixture
def spoilt(whole, folder, faults):
    """Put something into one cell, save it as the campaign's workbook, and read that."""

    def spoil(page: str, row: tuple[str, ...], heading: str, typed: object, form: str):
        cell = cell_at(whole[page], row, heading)
        before = cell.value, cell.number_format
        cell.value, cell.number_format = typed, form or cell.number_format
        for sheet in folder.rglob("*.toml"):
            sheet.unlink()
        whole.save(folder / "campaign.xlsx")
        cell.value, cell.number_format = before
        return f"{page}!{cell.coordinate}", faults()

    return spoil


@pytest.mark.parametrize(("page", "row", "heading", "typed", "form", "words"), IN_CELLS)
def test_each_fault_has_its_cell_and_its_words(spoilt, page, row, heading, typed, form, words):
    cell, told = spoilt(page, row, heading, typed, form)
    found = [fault for fault in told if all(word in str(fault) for word in words)]
    place = ELSEWHERE.get((page, row, heading, typed), cell)
    assert f"campaign.xlsx: {place}" in [fault.where for fault in found], "\n".join(map(str, told))
    assert len(told) <= 8  # one slip is no flood
    for fault in told:
        assert fault.where.startswith("campaign.xlsx: ")
        assert not OF_TEXT.search(f"{fault.allowed}\n{fault.do}"), str(fault)


def told_of(folder, faults, spoil):
    as_workbook(folder)
    with Changed(folder / "campaign.xlsx") as book:
        spoil(book.book)
    return [(fault.where, fault.what) for fault in faults()]


def test_a_page_that_is_gone(folder, faults):
    assert ("campaign.xlsx", "the workbook has no page Campaign") in told_of(
        folder, faults, lambda book: book.remove(book["Campaign"]))


def test_a_page_under_another_name(folder, faults):
    def spoil(book):
        book["Marks"].title = "Mark"

    assert told_of(folder, faults, spoil) == [("campaign.xlsx: Mark!A1", "unknown page “Mark”")]
    assert "call it Marks" in faults()[0].do


def test_a_page_of_ones_own(folder, faults):
    def spoil(book):
        book.create_sheet("sums")["B2"] = 4

    assert told_of(folder, faults, spoil) == [("campaign.xlsx: sums!A1", "unknown page “sums”")]
    assert "“# sums”" in faults()[0].do


def test_a_page_without_its_first_column(folder, faults):
    assert ("campaign.xlsx: Loads!A1", "the page has no column “run”") in told_of(
        folder, faults, lambda book: book["Loads"].delete_cols(1))


def test_a_value_far_from_its_column(folder, faults):
    def spoil(book):
        book["Coolers"]["J7"] = book["Coolers"]["J8"] = "4 kg"

    assert told_of(folder, faults, spoil) == [
        ("campaign.xlsx: Coolers!J7", "a value stands in a column without an id")]


def test_a_file_that_one_run_reads_twice(folder, faults):
    def spoil(book):
        row = [*map(str, next(book["Logs"].iter_rows(min_row=4, values_only=True)))].index
        assert row("logs/first.csv") == 1
        book["Logs"]["B7"] = "logs/hub.csv"
        for number in range(4, 12):
            if book["Columns"].cell(number, 2).value == "logs/plug.xlsx":
                book["Columns"].cell(number, 2).value = "logs/hub.csv"

    found = told_of(folder, faults, spoil)
    assert ("campaign.xlsx: Columns!B9", "the run reads this file more than once") in found
    assert "the number of the log: 2, 3" in [fault.allowed for fault in faults()]


def test_faults_come_by_page_row_and_column(folder, faults):
    def spoil(book):
        book["Coolers"]["G12"] = book["Coolers"]["E4"] = book["Coolers"]["E10"] = "x"
        book["Campaign"]["C4"] = True

    places = [where for where, _ in told_of(folder, faults, spoil)]
    assert places == [f"campaign.xlsx: {cell}" for cell in
                      ("Campaign!C4", "Coolers!E4", "Coolers!E10", "Coolers!G12")]

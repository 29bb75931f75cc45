"""Typed data sheets: what was printed can be typed back, and every slip is named by its cell."""

from __future__ import annotations

import datetime as dt
import sys
from pathlib import Path

import openpyxl
import pytest

from coldbench.errors import UserError
from coldbench.report.checking import check
from coldbench.sheets import read_campaign
from coldbench.sheets.hand.form import LOAD_KEYS, PLANS, data_sheet, load_keys, run_keys
from coldbench.sheets.hand.writing import write_pages
from coldbench.sheets.run import RUN_KINDS

sys.path.insert(0, str(Path(__file__).parent))
from books import as_workbook, write_ods

CAMPAIGN = 'title = "Trial"\ntimezone = "UTC"\n'
BOX = 'name = "Box"\ntechnology = "thermoelectric"\norigin = "built"\n'
SHEETS = "runs/typed.xlsx"
START = "2031-06-14 09:00"
WARM_UP = data_sheet("warm-up", step="5 min", length="1 h", given={"cooler": "box"})


@pytest.fixture
def folder(tmp_path) -> Path:
    """A campaign without runs."""
    (tmp_path / "coolers").mkdir()
    (tmp_path / "runs").mkdir()
    (tmp_path / "campaign.toml").write_text(CAMPAIGN, encoding="utf-8", newline="\n")
    (tmp_path / "coolers" / "box.toml").write_text(BOX, encoding="utf-8", newline="\n")
    return tmp_path


class Page:
    """A page to type on, by what is printed there."""

    def __init__(self, page) -> None:
        self.page = page

    def cell(self, text: str, nth: int = 0):
        """The nth cell that holds a text."""
        found = [cell for row in self.page.iter_rows() for cell in row if cell.value == text]
        return found[nth]

    def fill(self, label: str, value: object) -> str:
        """Type right of a label of the block Run; where that is."""
        cell = self.cell(label).offset(column=1)
        cell.value = value
        return f"{SHEETS}: {self.page.title}!{cell.coordinate}"

    def below(self, head: str, down: int, value: object, nth: int = 0) -> str:
        """Type below a head; where that is."""
        cell = self.cell(head, nth).offset(row=down)
        cell.value = value
        return f"{SHEETS}: {self.page.title}!{cell.coordinate}"


@pytest.fixture
def type_in(folder):
    """Print data sheets as a workbook, and hand a page out to type on."""

    def typed(work, *sheets) -> None:
        write_pages(sheets or [WARM_UP], folder / SHEETS)
        book = openpyxl.load_workbook(folder / SHEETS)
        work(*map(Page, book))
        book.save(folder / SHEETS)

    return typed


def warm_up(page: Page) -> None:
    """A filled sheet: two instruments, three times, a load and a mark."""
    page.fill("start", START)
    page.fill("machine", "off")
    for head, value in (("count", 2), ("water [mL]", 500), ("container material", "PET"),
                        ("container mass [g]", "24"), ("start [°C]", "5.5")):
        page.below(head, 1, value)
    for head, instrument, values in (("air [°C]", "T1", ("6.0", "9.5", "12.0")),
                                     ("load [°C]", "T1", (5.5, 7.25, 9)),
                                     ("ambient [°C]", "T2", ("75 °F", "", "24.1"))):
        page.below(head, 1, instrument)
        for down, value in enumerate(values, 5):
            page.below(head, down, value)
    page.below("air [°C]", 2, 0.5)
    page.below("air [°C]", 3, "0.1")
    page.below("ambient [°C]", 4, "2031-06-01")
    page.below("note", 6, "stirred", nth=1)
    page.below("at [min]", 1, "0")
    page.below("what", 1, "power off")


def faults_of(folder: Path):
    with pytest.raises(UserError) as told:
        read_campaign(folder)
    return told.value.faults


def test_a_typed_sheet_is_a_run(folder, type_in):
    type_in(warm_up)
    campaign = read_campaign(folder)
    run = campaign.runs["warm-up"]
    assert (run.cooler, run.kind, run.machine) == ("box", ["warm-up"], "off")
    assert run.start == dt.datetime(2031, 6, 14, 9)
    (load,) = run.load
    assert (load.count, load.water.text, load.container.mass.text) == (2, "500 mL", "24 g")
    assert [(mark.at.text, mark.what) for mark in run.mark] == [("0 min", "power off")]


def test_readings_keep_their_instrument_decimals_and_units(folder, type_in):
    type_in(warm_up)
    read = [(one.at.text, one.instrument, {role: q.text for role, q in one.values.items()})
            for one in read_campaign(folder).runs["warm-up"].reading]
    assert read == [
        ("0 min", "T1", {"air": "6.0 °C", "load": "5.50 °C"}),
        ("0 min", "T2", {"ambient": "75 °F"}),
        ("5 min", "T1", {"air": "9.5 °C", "load": "7.25 °C"}),
        ("10 min", "T1", {"air": "12.0 °C", "load": "9.00 °C"}),
        ("10 min", "T2", {"ambient": "24.1 °C"}),
    ]
    assert read_campaign(folder).runs["warm-up"].reading[2].note == "stirred"


def test_instruments_of_a_sheet_become_the_campaigns(folder, type_in):
    type_in(warm_up)
    instruments = read_campaign(folder).sheet.instruments
    assert (instruments["T1"].measures, instruments["T1"].error.absolute) == ("temperature", 0.5)
    assert instruments["T1"].resolution.text == "0.1 K"
    assert instruments["T2"].checked == dt.date(2031, 6, 1)


def test_a_sheet_adds_what_the_campaign_does_not_say_of_an_instrument(folder, type_in):
    known = CAMPAIGN + '[instruments.T2]\nmeasures = "temperature"\nerror = "1 K"\n'
    (folder / "campaign.toml").write_text(known, encoding="utf-8", newline="\n")
    type_in(warm_up)
    room = read_campaign(folder).sheet.instruments["T2"]
    assert (room.error.absolute, room.checked) == (1.0, dt.date(2031, 6, 1))


def test_an_instrument_that_differs_from_the_campaigns_is_told(folder, type_in):
    known = CAMPAIGN + '[instruments.T1]\nmeasures = "temperature"\nerror = "1 K"\n'
    (folder / "campaign.toml").write_text(known, encoding="utf-8", newline="\n")
    type_in(warm_up)
    (fault,) = faults_of(folder)
    assert (fault.what, fault.allowed) == ("error of T1 differs from the campaign's", "1 K")
    assert fault.where == f"{SHEETS}: warm-up!B17"


def test_what_a_typed_sheet_says_reaches_the_record(folder, type_in):
    type_in(warm_up)
    checked = check(folder)
    assert not checked.faults
    assert "by hand     air (3), load (3), ambient (2)" in checked.text


def test_a_blank_page_is_left_out_and_said(folder, type_in):
    type_in(lambda first, _: warm_up(first), WARM_UP, data_sheet("heater", given={"cooler": "box"}))
    assert list(read_campaign(folder).runs) == ["warm-up"]
    assert f"{SHEETS}: heater: still blank, and left out" in check(folder).text


def test_blank_pages_alone_are_no_campaign(folder, type_in):
    type_in(lambda page: None)
    assert [fault.what for fault in faults_of(folder)] == ["the campaign has no runs"]


def test_the_workbook_is_among_the_inputs(folder, type_in):
    type_in(warm_up)
    assert read_campaign(folder).raw.files == ["campaign.toml", "coolers/box.toml", SHEETS]


def test_a_sheet_of_text_may_add_the_log(folder, type_in):
    (folder / "log.csv").write_text("time,x\n2031-06-14 09:00,1.0\n2031-06-14 09:10,2.0\n",
                                    encoding="utf-8", newline="\n")
    (folder / "runs" / "warm-up.toml").write_text(
        '[[log]]\nfile = "log.csv"\ntime = { column = "time" }\ncolumns = { x = "wall" }\n',
        encoding="utf-8", newline="\n")
    type_in(warm_up)
    run = read_campaign(folder).runs["warm-up"]
    assert run.log[0].file == "log.csv" and len(run.reading) == 5


def test_a_page_without_readings_asks_for_them_or_the_log(folder, type_in):
    type_in(lambda page: page.fill("start", START))
    (fault,) = faults_of(folder)
    assert fault.what == "the run has neither a log nor a reading"
    assert "[[log]], into runs/warm-up.toml" in fault.do


def test_what_is_said_on_both_is_refused(folder, type_in):
    (folder / "runs" / "warm-up.toml").write_text('setting = "coldest"\nmachine = "off"\n',
                                                  encoding="utf-8", newline="\n")
    type_in(warm_up)
    assert [(fault.what, fault.found) for fault in faults_of(folder)] == [
        ("machine is said twice of this run", "also in runs/warm-up.toml:2")]


@pytest.mark.parametrize(("written", "meant"), [
    ("9,5", 9.5), ("-9,25", -9.25), ("0,125", 0.125), ("-0,125", -0.125), (",5", 0.5), ("12,0", 12),
    ("−5,5", -5.5),
])
def test_a_decimal_comma_is_read_where_it_can_be_nothing_else(folder, type_in, written, meant):
    def work(page):
        warm_up(page)
        page.below("air [°C]", 6, written)

    type_in(work)
    assert read_campaign(folder).runs["warm-up"].reading[2].values["air"].value == meant


@pytest.mark.parametrize(("change", "what", "do"), [
    (lambda page: page.fill("machine", "of"), "machine: no state of the machine of that name",
     "write off"),
    (lambda page: page.below("air [°C]", 6, "12 kg"), "air", ""),
    (lambda page: page.below("air [°C]", 6, "9,500"), "the decimal sign is a point", "write 9.5"),
    (lambda page: page.below("time [min]", 6, ""), "the row has no time", "counted from"),
    (lambda page: page.below("time [min]", 6, dt.time(9, 5)), "time", "format the cell as text"),
    (lambda page: page.below("air [°C]", 0, "airr [°C]"), "no role of the name 'airr'",
     "write air"),
    (lambda page: page.below("setting", 0, "seting"), "unknown label 'seting'", "write setting"),
    (lambda page: page.below("what", 1, "power of"), "mark", "write power off"),
    (lambda page: page.below("load [°C]", 2, 1), "error of T1 is said twice", "the same"),
    (lambda page: page.below("air [°C]", 1, ""), "the error of which instrument is meant?",
     "write its id"),
])
def test_a_slip_is_named_by_its_cell(folder, type_in, change, what, do):
    where = []

    def work(page):
        warm_up(page)
        where.append(change(page))

    type_in(work)
    faults = faults_of(folder)
    assert any(what in fault.what and do in fault.do for fault in faults), faults
    assert all(fault.where.startswith(f"{SHEETS}: warm-up!") for fault in faults)


def test_a_slip_above_a_column_is_told_once(folder, type_in):
    known = CAMPAIGN + '[instruments.W]\nmeasures = "power"\n'
    (folder / "campaign.toml").write_text(known, encoding="utf-8", newline="\n")
    where = []

    def work(page):
        warm_up(page)
        where.append(page.below("ambient [°C]", 1, "W"))

    type_in(work)
    (fault,) = faults_of(folder)
    assert (fault.what, fault.where) == ("instrument: instrument W does not measure ambient",
                                         where[0])


def test_a_page_that_is_no_data_sheet_is_told(folder, type_in):
    type_in(warm_up)
    book = openpyxl.load_workbook(folder / SHEETS)
    book.create_sheet("notes")["A1"] = "call the lab"
    book.create_sheet("# mine")["A1"] = "not read"
    book.save(folder / SHEETS)
    (fault,) = faults_of(folder)
    assert (fault.what, fault.where) == ("the page has no block “Run”", f"{SHEETS}: notes!A1")


def test_what_a_page_has_in_it_comes_back(folder):
    given = {"cooler": "box", "setting": "coldest", "start": START, "machine": "running",
             "heater": {"power": "6.2 W ± 0.1 W"},
             "load": [{"count": "4", "water": "330 mL", "container": {"material": "aluminium",
                                                                      "mass": "13 g"}}]}
    write_pages([data_sheet(["pull-down", "heater"], "g-1", given=given)], folder / SHEETS)
    book = openpyxl.load_workbook(folder / SHEETS)
    page = Page(book["g-1"])
    page.below("air [°C]", 7, "24.0")
    book.save(folder / SHEETS)
    run = read_campaign(folder).runs["g-1"]
    assert (run.kind, run.setting) == (["pull-down", "heater"], "coldest")
    assert run.heater.power.text == "6.2 W ± 0.1 W"
    assert (run.load[0].count, run.load[0].container.mass.text) == (4, "13 g")


@pytest.mark.parametrize("kind", RUN_KINDS)
def test_every_field_is_a_key_of_the_run_sheet(kind):
    sheet = data_sheet(kind)
    assert all(field.key in run_keys().values() for field in sheet.fields)
    assert all(name in run_keys() for name in PLANS[kind].extra)
    assert all(name in load_keys() for name in LOAD_KEYS)
    assert sheet.times[0] == "0" and len(sheet.times) > 5


@pytest.mark.parametrize(("more", "what"), [
    ({"kind": "warmup"}, "no kind of run of that name"),
    ({"roles": ["airr"]}, "no role of that name"),
    ({"roles": ["air", "air"]}, "a role stands twice"),
    ({"run": "my run"}, "the id of a run has to be safe in every file name"),
    ({"step": "5"}, "a unit is missing"),
    ({"step": "2 h", "length": "1 h"}, "the readings do not fit into the time"),
])
def test_a_sheet_that_cannot_be_is_refused(more, what):
    with pytest.raises(UserError) as told:
        data_sheet(**{"kind": "warm-up", **more})
    assert told.value.faults[0].what.startswith(what)


def test_units_of_the_bench_in_the_us():
    sheet = data_sheet("warm-up", units="us")
    assert sheet.head_of("air") == "air [°F]"
    assert [field.head for field in sheet.loads[0]][1] == "water [fl oz]"


def test_typed_sheets_stand_beside_a_workbook_of_all_the_others(folder, type_in):
    type_in(warm_up)
    whole = read_campaign(folder)
    (folder / SHEETS).rename(folder / "kept.xlsx")
    (folder / "runs" / "other.toml").write_text(
        'cooler = "box"\nkind = ["steady"]\nstart = 2031-06-15T09:00:00\n'
        '[[reading]]\nat = "0 min"\nair = "4 °C"\n', encoding="utf-8", newline="\n")
    as_workbook(folder)
    (folder / "kept.xlsx").rename(folder / SHEETS)
    campaign = read_campaign(folder)
    assert list(campaign.runs) == ["other", "warm-up"]
    assert campaign.runs["warm-up"] == whole.runs["warm-up"]
    assert campaign.raw.files == ["campaign.xlsx", SHEETS]


def test_a_typed_sheet_may_be_saved_as_ods(folder, type_in):
    type_in(warm_up)
    whole = read_campaign(folder)
    pages = {page.title: list(page.iter_rows(values_only=True))
             for page in openpyxl.load_workbook(folder / SHEETS)}
    write_ods(pages, (folder / SHEETS).with_suffix(".ods"))
    (folder / SHEETS).unlink()
    campaign = read_campaign(folder)
    assert campaign.runs == whole.runs and campaign.sheet == whole.sheet

"""A new workbook: whole, easy to fill in, and what the check says to those who fill it in."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import openpyxl
import pytest

from coldbench import cli
from coldbench.errors import UserError
from coldbench.report.checking import check, understand
from coldbench.sheets import CampaignSheet, CoolerSheet, RunSheet, read_campaign
from coldbench.sheets.new import new_campaign
from coldbench.sheets.roles import ROLE_KINDS
from coldbench.sheets.run import MARKS, RUN_KINDS
from coldbench.sheets.workbook.keys import fields_of, table_in
from coldbench.sheets.workbook.pages import across_pages, row_pages
from coldbench.sheets.workbook.writing import write_workbook

sys.path.insert(0, str(Path(__file__).parent))
from books import Changed, cell_at

HEAD = "time,air_C,ambient_C,power_W\n"
ROWS = "".join(f"2031-06-14 09:{m:02d}:00,{24 - m / 10},25.0,48.5\n" for m in range(30))
# The rows that somebody fills in who owns one cooler and one logger.
FILLED = [
    ("Campaign", ("campaign", "title"), "value", "One box"),
    ("Campaign", ("campaign", "timezone"), "value", "Europe/Paris"),
    ("Coolers", ("table", "key"), 5, "box"),
    ("Coolers", ("cooler", "name"), 5, "Box"),
    ("Coolers", ("cooler", "technology"), 5, "compressor"),
    ("Coolers", ("cooler", "origin"), 5, "bought"),
    ("Runs", ("table", "key"), 5, "main"),
    ("Runs", ("run", "cooler"), 5, "box"),
    ("Runs", ("run", "kind"), 5, "pull-down"),
    ("Instruments", 4, "id", "probes"),
    ("Instruments", 4, "measures", "temperature"),
    ("Instruments", 4, "error", "0.5 K"),
    ("Logs", 4, "run", "main"),
    ("Logs", 4, "file", "logs/main.csv"),
    ("Logs", 4, "time.column", "time"),
    ("Columns", 4, "run", "main"),
    ("Columns", 4, "log", "logs/main.csv"),
    ("Columns", 4, "heading", "air_C"),
    ("Columns", 4, "role", "air"),
]  # fmt: skip


@pytest.fixture
def fresh(tmp_path):
    return new_campaign(tmp_path / "mine", workbook=True)


@pytest.fixture
def filled(fresh):
    with Changed(fresh / "campaign.xlsx") as book:
        for page, row, column, text in FILLED:
            sheet = book.book[page]
            number = row if isinstance(row, int) else cell_at(sheet, row, "key").row
            place = column if isinstance(column, int) else cell_at(sheet, (), column).column
            sheet.cell(number, place).value = text
    (fresh / "logs/main.csv").write_text(HEAD + ROWS, encoding="utf-8", newline="\n")
    return fresh


@pytest.fixture(scope="module")
def blank(tmp_path_factory):
    path = write_workbook(tmp_path_factory.mktemp("book") / "campaign.xlsx")
    return openpyxl.load_workbook(path)


def rule_of(sheet, cell):
    return next(rule for rule in sheet.data_validations.dataValidation if cell in rule.sqref)


def test_the_command_makes_it(tmp_path, capsys):
    assert cli.main(["new", str(tmp_path / "mine"), "--workbook"]) == 0
    made = sorted(p.relative_to(tmp_path).as_posix() for p in (tmp_path / "mine").rglob("*.*"))
    assert made == ["mine/campaign.xlsx", "mine/logs/README.txt"]


def test_a_blank_one_lacks_what_is_needed_and_no_more(fresh):
    with pytest.raises(UserError) as told:
        read_campaign(fresh)
    assert [(fault.where, fault.what) for fault in told.value.faults] == [
        ("campaign.xlsx: Campaign!C3", "key 'title' is missing"),
        ("campaign.xlsx: Campaign!C7", "key 'timezone' is missing"),
        ("campaign.xlsx: Coolers!E1", "the campaign has no coolers"),
        ("campaign.xlsx: Runs!E1", "the campaign has no runs"),
    ]


def test_few_cells_make_a_campaign(filled):
    campaign = read_campaign(filled)
    assert campaign.runs["main"].log[0].columns["air_C"].role == "air"
    told = check(filled)
    assert told.faults == ()
    assert told.text.endswith("1 cooler and 1 run read; nothing was computed.")
    assert check(filled / "campaign.xlsx") == told


def test_the_demo_as_a_workbook(tmp_path):
    folder = new_campaign(tmp_path / "demo", demo=True, workbook=True)
    assert len(read_campaign(folder).coolers) == 4
    assert not list(folder.rglob("*.toml"))


def test_every_key_of_every_model_has_its_cell():
    held = {CampaignSheet: across_pages()[0], CoolerSheet: across_pages()[1],
            RunSheet: across_pages()[2], **{page.model: page for page in row_pages()}}

    def unseen(model, page, above=()):
        for name, field in fields_of(model).items():
            inner = table_in(field.annotation)
            if inner in held:
                continue
            if inner is not None:
                yield from unseen(inner, page, (*above, name))
            elif not any(key.path == (*above, name) for key in page.keys):
                yield (*above, name)

    missing = [(model.__name__, path) for model, page in held.items()
               for path in unseen(model, page) if path != ("values",)]
    assert missing == []


def test_no_page_has_two_like_headings():
    for page in row_pages():
        names = [*page.owners, *(key.name for key in page.keys)]
        assert len(set(names)) == len(names)
    for page in across_pages():
        rows = [(page.table_of(key), key.path[-1]) for key in page.keys]
        assert len(set(rows)) == len(rows)


@pytest.mark.parametrize(("page", "row", "heading", "choices"), [
    ("Runs", ("run", "kind"), 5, RUN_KINDS),
    ("Coolers", ("cooler", "technology"), 5, ("compressor", "thermoelectric", "absorption",
                                              "passive")),
    ("Coolers", ("cooler", "upright_only"), 5, ("TRUE", "FALSE")),
    ("Columns", 4, "role", tuple(ROLE_KINDS)),
    ("Marks", 4, "what", MARKS),
    ("Logs", 4, "delimiter", (",", ";", "tab", "|", "one blank", "two blanks")),
])  # fmt: skip
def test_choices_drop_down(blank, page, row, heading, choices):
    sheet = blank[page]
    number = row if isinstance(row, int) else cell_at(sheet, row, "key").row
    column = heading if isinstance(heading, int) else cell_at(sheet, (), heading).column
    rule = rule_of(sheet, sheet.cell(number, column).coordinate)
    offered = rule.formula1.strip('"').split(",")
    if "!" in rule.formula1:
        place, cells = rule.formula1.replace("$", "").rsplit("!", 1)
        offered = [cell[0].value for cell in blank[place.strip("'")][cells]]
    assert (rule.type, tuple(offered)) == ("list", choices)


@pytest.mark.parametrize(("page", "heading", "source"), [
    ("Loads", "run", "Runs!$E$1:$L$1"),
    ("Columns", "log", "Logs!$B$4:$B$103"),
    ("Readings", "instrument", "Instruments!$A$4:$A$103"),
])
def test_ids_drop_down_from_where_they_are_given(blank, page, heading, source):
    sheet = blank[page]
    rule = rule_of(sheet, cell_at(sheet, (), heading).offset(row=3).coordinate)
    assert (rule.type, rule.formula1, rule.errorStyle) == ("list", source, "warning")


def test_cells_to_fill_in_keep_what_is_typed_and_say_their_units(blank):
    sheet = blank["Coolers"]
    mass, count, price = (sheet.cell(cell_at(sheet, row, "key").row, 5) for row in
                          [("cooler", "mass"), ("modules", "count"), ("price", "paid")])
    assert (mass.number_format, count.number_format) == ("@", "General")
    assert "units: g, kg, oz, lb" in rule_of(sheet, mass.coordinate).prompt
    assert len(rule_of(sheet, price.coordinate).prompt) <= 255
    assert blank["Runs"]["E13"].number_format == "yyyy-mm-dd hh:mm:ss"


def test_it_can_be_seen_and_printed(blank):
    for page in [*across_pages(), *row_pages()]:
        sheet = blank[page.name]
        assert sheet.freeze_panes is not None
        assert sheet.print_title_rows
        assert sheet.page_setup.orientation == "landscape"
        assert sheet.sheet_properties.pageSetUpPr.fitToPage  # one page wide, as many as needed
        assert sheet.page_setup.fitToHeight == 0
        for column in sheet.column_dimensions.values():
            assert 12 <= column.width <= 80


def test_hints_show_an_example_of_each_quantity(blank):
    sheet = blank["Campaign"]
    rows = [[str(cell.value or "") for cell in row] for row in sheet.iter_rows()]
    examples = {(row[0], row[1]): row[3] for row in reversed(rows) if row[1]}
    assert examples["footing", "ambient"] == "25 °C"
    assert examples["targets", "hold"] == "4 °C to 8 °C"
    assert [row[3] for row in rows if row[1] == "temperatures"] == ["10 °C", "4 °C", "0 °C"]
    assert not [text for row in rows for text in row if '"' in text]


def test_a_log_that_no_run_names_is_told_as_rows(filled):
    (filled / "logs/other.csv").write_text(
        (HEAD + ROWS).replace("2031-06-14", "06/07/2031"), encoding="utf-8", newline="\n")
    told = check(filled)
    assert told.faults == ()
    card = told.text[told.text.index("logs/other.csv  (no run names it)") :]
    assert "a row of the page Logs of campaign.xlsx" in card
    assert re.search(r"^    \?  metered_at: dc$", card, re.MULTILINE)
    assert "    log: logs/other.csv   heading: ambient_C   role: ambient" in card
    assert not re.search(r"\[|\]|^\w+ = |\.toml", card, re.MULTILINE)


def test_logs_that_a_spoilt_workbook_names_are_not_new(filled):
    with Changed(filled / "campaign.xlsx") as book:
        book.put("Coolers!E4", "magic")
    told = check(filled)
    assert [fault.where for fault in told.faults] == ["campaign.xlsx: Coolers!E4"]
    assert "no run names it" not in told.text


def test_a_fault_of_a_log_leads_to_its_cell(filled):
    (filled / "logs/main.csv").write_text(
        (HEAD + ROWS).replace("2031-06-14", "06/07/2031"), encoding="utf-8", newline="\n")
    with pytest.raises(UserError) as told:
        understand(filled)
    (fault,) = told.value.faults
    assert "time.format = %d/%m/%Y %H:%M:%S" in fault.do
    assert check(filled).faults == told.value.faults

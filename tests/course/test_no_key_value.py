"""No student's file holds a number of the key: neither what its data give nor what is carried.

Looked for in every output of the executed notebook, its metadata, the HTML and PDF made of it,
and the data behind its figures, to three figures or more, in whatever way it may be printed. A
number that the group itself read or wrote down is its own and gives nothing away.
"""

from __future__ import annotations

import io
import json
import re
import shutil
import sys
from collections.abc import Iterable
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from sample_group import write_group

from coldbench.course.cards import NAMES, card_named
from coldbench.course.key import marked
from coldbench.course.key_pages import write_key
from coldbench.course.work import Work, open_card
from coldbench.report import book
from coldbench.report.page_html import html_report

CLONE = Path(__file__).parents[2]
SAMPLE = ("heat_leak_heater", "heat_leak_warm_up", "pull_down_balance", "duty_and_meters")
NUMBER = re.compile(r"(?<![\w.#-])[-\u2212]?\d+(?:\.\d+)?(?:e[-+]?\d+)?(?![\w])")
# Coordinates, checksums and names of styles; what a reader or a program takes for numbers is in
# the text, the alternative text and the data.
DRAWING = re.compile(r"<svg.*?</svg>|<style.*?</style>|data:[^\"']+|base64,[^\"']+", re.DOTALL)


def figures(token: str) -> int:
    """Figures that a number is printed with; leading zeros do not count."""
    digits = re.sub(r"e.*", "", token).replace(".", "").replace("-", "").replace("\u2212", "")
    return len(digits.lstrip("0"))


def numbers(text: str) -> set[str]:
    """Numbers in a text that have three figures or more."""
    shown = {token.replace("\u2212", "-") for token in NUMBER.findall(text)}
    return {token for token in shown if figures(token) >= 3}


def told(
    text: str, values: Iterable[float], own: Iterable[float] = (), least: int = 3
) -> list[str]:
    """Numbers in a text that are one of some values, rounded to the figures shown, and not own."""
    own = set(own)
    shown = [token for token in sorted(numbers(text))
             if float(token) not in own and figures(token) >= least]
    return [f"{token} ({value:g})" for value in values for token in shown
            if float(f"{value:.{figures(token)}g}") == float(token)]


@pytest.mark.parametrize(("text", "value"), [
    ("so it is 0.448 W/K", 0.44821), ("20.13 K", 20.1299), ("9.022500", 9.0225),
    ("−0.0366", -0.036561), ("1160 Wh", 1159.6), ("<td>34.1</td>", 34.065), ("x=73.7,", 73.73),
    ('"value": 4.48e-01', 0.4482),
])
def test_a_planted_value_is_found(text, value):
    assert told(text, [value])


@pytest.mark.parametrize("text", ["0.45", "0.449", "20.14", "#0.448a", "0.4481x", "v1.0.448"])
def test_other_numbers_are_not(text):
    assert told(text, [0.44821, 20.1299]) == []


@pytest.fixture(scope="module")
def group(tmp_path_factory):
    """A function: a card to a group's folder with some answers, wrong in size or in unit."""
    made: dict[str, Path] = {}

    def folder(card: str) -> Path:
        key = "sample" if card in SAMPLE else card
        if key not in made:
            made[key] = tmp_path_factory.mktemp("group") / "g07"
            cards = SAMPLE if card in SAMPLE else (card,)
            if card in SAMPLE:
                write_group(made[key])
            else:
                shutil.copytree(CLONE / "templates" / "campaign-lab", made[key])
            text = "\n".join(line for name in cards for line in answers(name))
            (made[key] / "answers.toml").write_text(text, encoding="utf-8")
        return made[key]

    return folder


def answers(card: str) -> list[str]:
    """Lines of answers.toml: two of three are answered, far from what is right."""
    lines = [f"[{card}]"]
    for number, one in enumerate(card_named(card).asked):
        if number % 3 < 2:
            unit = "" if one.unit == "-" else one.unit
            lines.append(f'{one.name} = "{0.2917 * (number + 3):.4g} {unit}"')
    return [*lines, 'note_1 = "We looked at it twice."', ""]


def ran(card: str, folder: Path, out: Path, monkeypatch) -> dict:
    """A card's notebook, executed in this process."""
    path = CLONE / "notebooks" / "labs" / f"{card}.ipynb"
    notebook, shown, space = json.loads(path.read_text("utf-8")), [], {}
    monkeypatch.setattr(book, "show", lambda *items: shown.extend(book._flat(items)))
    for cell in notebook["cells"]:
        if cell["cell_type"] == "code":
            exec("".join(cell["source"]), space)
            if "parameters" in cell["metadata"].get("tags", []):
                space.update(campaign=str(folder), out=str(out), group="g07")
            cell["outputs"] = [{"output_type": "display_data", "metadata": {},
                                "data": item._repr_mimebundle_()} for item in shown]
            cell["execution_count"] = 1
            shown.clear()
    return notebook


def key_values(work: Work) -> tuple[set[float], set[float]]:
    """All that the key works out for a group: values, and ends of intervals and bands."""
    values, ends = set(), set()
    for one in marked(work):
        for expected in (one.expected, one.carried):
            if expected is not None:
                values.add(expected.value)
                ends |= {end for end in (expected.low, expected.high) if end is not None}
        ends |= set(one.band or [])
    return values - {0.0}, ends - {0.0}


def own_numbers(folder: Path) -> set[float]:
    """What the group read or wrote down, and when."""
    texts = [path.read_text("utf-8") for path in folder.rglob("*") if path.is_file()]
    even = {n / 4 for n in range(400)}  # hours at which a table of readings has its rows
    return {float(token) for text in texts for token in numbers(text)} | even


def readings(path: Path) -> str:
    """The data behind a figure without its first columns and its hours."""
    return "\n".join(line.rsplit(",", 2)[1] for line in path.read_text("utf-8").splitlines())


@pytest.mark.pdf
@pytest.mark.parametrize("card", NAMES)
def test_no_student_file_holds_a_key_value(card, group, tmp_path, monkeypatch):
    from pypdf import PdfReader

    from coldbench.report.page_typst import pdf_report

    folder = group(card)
    notebook = ran(card, folder, tmp_path / "out", monkeypatch)
    pdf = PdfReader(io.BytesIO(pdf_report(notebook)))
    texts = {
        "notebook": DRAWING.sub("", "\n".join(
            str(text) for cell in notebook["cells"] for output in cell.get("outputs", [])
            for text in output["data"].values())),
        "metadata": json.dumps([notebook["metadata"],
                                *(cell["metadata"] for cell in notebook["cells"])]),
        "HTML": DRAWING.sub("", html_report(notebook)),
        "PDF": "\n".join(page.extract_text() for page in pdf.pages) + str(pdf.metadata),
        **{path.name: readings(path) for path in (tmp_path / "out").rglob("*.csv")},
    }
    assert any(name.endswith(".csv") for name in texts)
    values, ends = key_values(open_card(card, str(folder)))
    assert len(values) >= len(card_named(card).asked) / 2
    own = own_numbers(folder)
    # Of the many ends one may look like an hour or a mark on an axis by chance: a figure more.
    found = {name: told(text, values, own) + told(text, ends, own, least=4)
             for name, text in texts.items()}
    assert {name: what for name, what in found.items() if what} == {}


@pytest.mark.parametrize("card", NAMES)
def test_the_search_finds_the_key_where_it_is(card, group, tmp_path):
    """The page for whoever teaches holds what a student's must not: the same search finds it."""
    folder = group(card)
    work = open_card(card, str(folder))
    page = write_key(tmp_path, [work], formats=["html"])[1].read_text("utf-8")
    expected = [one.expected.value for one in marked(work) if one.expected is not None]
    found = told(DRAWING.sub("", page), expected, own_numbers(folder))
    # The others are the group's own readings too, or have two figures.
    assert len(found) >= len(expected) / 3


def test_pictures_hold_no_words(group, tmp_path, monkeypatch):
    """Text in figures is drawn as outlines, so the search may leave the drawings out."""
    ran("duty_and_meters", group("duty_and_meters"), tmp_path / "out", monkeypatch)
    for path in (tmp_path / "out").rglob("*.svg"):
        assert "<text" not in path.read_text("utf-8")

"""The design page of the demo from the command to HTML and PDF, once."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest

from coldbench.cli import main

pytestmark = [pytest.mark.notebooks, pytest.mark.pdf]


@pytest.fixture(scope="module")
def made(tmp_path_factory, clone) -> Path:
    folder = tmp_path_factory.mktemp("design") / "käse stand"
    shutil.copytree(clone / "templates" / "campaign-demo", folder)
    assert main(["design", str(folder)]) == 0
    return folder


def test_all_is_there_and_the_campaign_is_as_it_was(made, clone):
    out = made / "design"
    names = {path.relative_to(out).as_posix() for path in out.rglob("*") if path.is_file()}
    assert {"design.html", "design.pdf", "design.json", "provenance.json",
            "notebooks/design.ipynb", "figures/drive-map.svg", "figures/section-roomiest.svg",
            "figures/capacity-and-leak.csv"} <= names
    demo = clone / "templates" / "campaign-demo"
    for path in demo.rglob("*.toml"):
        assert (made / path.relative_to(demo)).read_bytes() == path.read_bytes()


def test_the_page_says_how_to_make_it_again(made):
    told = json.loads((made / "design" / "provenance.json").read_text(encoding="utf-8"))
    assert told["again"] == 'coldbench design "käse stand"'


def test_every_figure_has_words_for_those_who_cannot_see_it(made):
    page = (made / "design" / "design.html").read_text(encoding="utf-8")
    figures = re.findall(r"<figure.*?</figure>", page, flags=re.S)
    assert len(figures) >= 7
    assert all(re.search(r'(alt|aria-label)="[^"]{60,}"', one) for one in figures)


def test_no_file_names_this_machine(made):
    for path in (made / "design").rglob("*"):
        if path.suffix in (".html", ".json", ".ipynb", ".csv", ".svg"):
            assert str(made.parent) not in path.read_text(encoding="utf-8"), path.name


def test_a_misspelt_cooler_is_told_before_anything_runs(made, capsys):
    sheet = made / "campaign.toml"
    text = sheet.read_text(encoding="utf-8")
    sheet.write_text(text.replace('donor = "chest"', 'donor = "chset"'), encoding="utf-8",
                     newline="\n")
    before = (made / "design" / "design.html").read_bytes()
    assert main(["design", str(made)]) == 1
    assert "there is no cooler 'chset'" in capsys.readouterr().err.replace("\n", " ")
    assert (made / "design" / "design.html").read_bytes() == before
    sheet.write_text(text, encoding="utf-8", newline="\n")

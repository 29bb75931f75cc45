"""Files written, and nbconvert's way in."""

from __future__ import annotations

import json
from importlib.metadata import entry_points

import pytest

from coldbench.report.display import ReportHead, Text
from coldbench.report.export import export


@pytest.fixture
def file(make_notebook, tmp_path):
    folder = tmp_path / "é {x} y"
    folder.mkdir()
    path = folder / "run.ipynb"
    notebook = make_notebook(ReportHead("From a file", date="2031-06-14"), Text("hello"))
    path.write_text(json.dumps(notebook), encoding="utf-8")
    return path


@pytest.mark.pdf
def test_both_files_are_written_where_asked(file):
    out = file.parent / "out" / "deep"
    export(file, out / "a.html", out / "b.pdf", "letter")
    assert "<h1>From a file</h1>" in (out / "a.html").read_text(encoding="utf-8")
    assert (out / "b.pdf").read_bytes().startswith(b"%PDF")


def test_only_what_is_asked_is_written(file):
    export(json.loads(file.read_text(encoding="utf-8")), file.parent / "a.html")
    assert sorted(p.name for p in file.parent.iterdir()) == ["a.html", "run.ipynb"]


@pytest.mark.pdf
def test_the_exporters_give_the_same_as_export(file):
    from coldbench.report.export_html import ReportHTML
    from coldbench.report.export_typst import ReportPDF

    export(file, file.parent / "a.html", file.parent / "b.pdf")
    page, resources = ReportHTML().from_filename(str(file))
    assert page == (file.parent / "a.html").read_text(encoding="utf-8")
    assert resources["output_extension"] == ".html"
    pdf, resources = ReportPDF().from_filename(str(file))
    assert pdf == (file.parent / "b.pdf").read_bytes()
    assert resources["output_extension"] == ".pdf"


@pytest.mark.pdf
@pytest.mark.parametrize("name", ["coldbench-html", "coldbench-pdf"])
def test_nbconvert_knows_the_exporters(file, name):
    if name not in entry_points(group="nbconvert.exporters").names:
        pytest.skip("the package is not installed here, only its source is on the path")
    from nbconvert.nbconvertapp import NbConvertApp

    app = NbConvertApp()
    app.initialize(["--to", name, "--log-level=ERROR", str(file)])
    app.start()
    assert file.with_suffix("." + name.partition("-")[2]).stat().st_size > 1000

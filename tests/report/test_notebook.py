"""What of a notebook goes into a report."""

from __future__ import annotations

import pytest

from coldbench.report.display import InventedBanner, ReportHead
from coldbench.report.notebook import from_html, head, pieces


def output(**data: str) -> dict:
    names = {name.replace("__", "/"): value for name, value in data.items()}
    return {"output_type": "display_data", "data": names, "metadata": {}}


def test_the_last_head_wins_and_empty_words_do_not_count(make_notebook):
    notebook = make_notebook(
        ReportHead("One", author="A", banner="old"), InventedBanner("new"), ReportHead("Two")
    )
    facts = head(notebook)
    assert (facts["title"], facts["author"], facts["banner"]) == ("Two", "A", "new")


def test_metadata_is_a_head_too(make_notebook):
    notebook = make_notebook("text")
    notebook["metadata"]["coldbench"] = {"title": "From metadata"}
    assert head(notebook)["title"] == "From metadata"


def test_stderr_code_and_tracebacks_stay_out(make_notebook):
    notebook = make_notebook(
        {"output_type": "stream", "name": "stderr", "text": "/home/me/x.py: warning"},
        {"output_type": "stream", "name": "stdout", "text": "\x1b[31mred\x1b[0m"},
        {"output_type": "error", "ename": "UserError", "evalue": "a.toml:3: wrong\n  do: y",
         "traceback": ["/home/me/secret.py"]},
    )
    code, error = pieces(notebook)
    assert (code.kind, code.content) == ("code", "red")
    assert "a.toml:3: wrong" in error.content.plain()
    assert "secret" not in error.content.plain()


def test_a_tagged_cell_stays_out(make_notebook):
    notebook = make_notebook("kept", "dropped")
    notebook["cells"][1]["metadata"]["tags"] = ["not-in-report"]
    assert [piece.content for piece in pieces(notebook)] == ["kept"]


def test_a_bare_frame_becomes_a_table(make_notebook):
    pandas = pytest.importorskip("pandas")
    columns = pandas.MultiIndex.from_product([["one", "two"], ["p", "q"]])
    index = pandas.Index(["<x>"], name="key")
    frame = pandas.DataFrame([[1, 2, 3, 4]], columns=columns, index=index)
    (table,) = from_html(frame.to_html())
    assert table.plain().split("\n") == [
        "\tone\t\ttwo\t", "\tp\tq\tp\tq", "key\t\t\t\t", "<x>\t1\t2\t3\t4",
    ]
    assert table.header_rows == 3


def test_a_long_bare_frame_is_cut_and_says_so():
    rows = "".join(f"<tr><td>{i}</td></tr>" for i in range(2500))
    (table,) = from_html(f"<table><thead><tr><th>n</th></tr></thead>{rows}</table>")
    assert len(table.rows) == 2000
    assert "first 2000 of 2500" in table.note


def test_scripts_of_foreign_html_go_and_its_text_stays():
    (text,) = from_html("<style>x{}</style><script>evil()</script><p>Hello</p><iframe src='y'>")
    assert text.plain() == "Hello"


def test_an_empty_table_is_no_fault():
    assert from_html("<table></table>")[0].plain() == ""


def test_the_richest_form_is_taken(make_notebook):
    svg = "<svg viewBox='0 0 2 1'></svg>"
    both = output(image__svg_dummy="", text__plain="p")
    both["data"] = {"image/svg+xml": svg, "image/png": "no", "text/plain": "p"}
    both["metadata"] = {"alt": "told", "caption": "said"}
    (piece,) = pieces(make_notebook(both))
    assert (piece.content.svg, piece.content.alt, piece.content.caption) == (svg, "told", "said")
    (plain,) = pieces(make_notebook(output(text__plain="only")))
    assert (plain.kind, plain.content) == ("code", "only")

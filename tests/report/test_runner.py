"""From a campaign folder to ``out/``, with tiny notebooks in place of the real ones."""

from __future__ import annotations

import json
import sys
import tempfile
from datetime import date
from pathlib import Path
from types import SimpleNamespace

import nbformat
import pytest
from nbformat.v4 import new_code_cell, new_markdown_cell, new_notebook

from coldbench.errors import Fault, UserError
from coldbench.report import runner
from coldbench.report.notebook_params import ParameterError
from coldbench.report.processes import NotebookFailed

WRITE = "from pathlib import Path\nPath(out, 'findings.{}').write_text('made of ' + campaign[:0])"
NOTEBOOKS = {
    "log_check": ({"campaign": "demo"}, ["print(campaign)"]),
    "cooler_sheet": (
        {"campaign": "demo", "cooler": "", "out": "", "paper": "a4", "units": "si"},
        ["print('sheet of', cooler, out)"],
    ),
    "comparison": (
        {"campaign": "demo", "out": "", "paper": "a4", "units": "si"},
        [WRITE.format("csv"), WRITE.format("json")],
    ),
}


def write_notebook(folder: Path, name: str, parameters: dict, sources: list[str]) -> None:
    lines = "\n".join(f"{key} = {value!r}" for key, value in parameters.items())
    cells = [new_markdown_cell(f"# {name}")]
    cells.append(new_code_cell(lines, metadata={"tags": ["parameters"]}))
    cells += [new_code_cell(source) for source in sources]
    nbformat.write(new_notebook(cells=cells), folder / f"{name}.ipynb")


@pytest.fixture
def notebooks(tmp_path, monkeypatch):
    """Folder of the tiny notebooks, in the place of those that ship with the kit."""
    folder = tmp_path / "notebooks {x}"
    folder.mkdir()
    for name, (parameters, sources) in NOTEBOOKS.items():
        write_notebook(folder, name, parameters, sources)
    monkeypatch.setattr(runner, "shipped", lambda name: folder)
    (tmp_path / "scratch").mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "scratch"))
    return folder


@pytest.fixture
def campaign(tmp_path, monkeypatch):
    """A campaign as read, in a folder that is awkward on purpose."""
    folder = tmp_path / "stall {1} für Käse"
    folder.mkdir()
    (folder / "campaign.toml").write_text("title = 'x'\n", encoding="utf-8", newline="\n")
    read = SimpleNamespace(
        folder=folder,
        sheet=SimpleNamespace(title="x", date=date(2031, 6, 14), earlier=[], disclosure=None),
        coolers={"zinc": None, "alu": None},
        runs={},
        raw=SimpleNamespace(files=["campaign.toml"]),
    )
    monkeypatch.setattr(runner, "understand", lambda folder: (read, {}))
    return read


@pytest.fixture
def nothing_runs(monkeypatch):
    def refuse(*_):
        raise AssertionError("a notebook was started")

    monkeypatch.setattr(runner, "run_jobs", refuse)


def tree(folder: Path) -> dict[str, bytes]:
    files = [path for path in folder.rglob("*") if path.is_file()]
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


@pytest.mark.notebooks
@pytest.mark.pdf
def test_a_whole_report_and_then_a_broken_one(
    campaign, notebooks, tmp_path, capsys, monkeypatch
):
    folder, out = campaign.folder, campaign.folder / "out"
    monkeypatch.chdir(folder)
    campaign.folder = Path()
    made = runner.report_campaign(Path(), jobs=2)
    assert [path.relative_to(out).as_posix() for path in made] == [
        "coolers/zinc.html", "coolers/zinc.pdf", "coolers/alu.html", "coolers/alu.pdf",
        "findings.csv", "report.html", "report.pdf",
    ]  # fmt: skip
    copies = [f"notebooks/{n}.ipynb" for n in ("comparison", "cooler_alu", "cooler_zinc")]
    whole = tree(out)
    assert set(whole) == {
        *(path.relative_to(out).as_posix() for path in made),
        *copies, "notebooks/log_check.ipynb", "findings.json", "provenance.json",
    }  # fmt: skip
    assert "sheet of alu out" in whole["notebooks/cooler_alu.ipynb"].decode("utf-8")
    for name, content in whole.items():
        for place in (str(tmp_path), sys.prefix, str(Path.home())):
            assert place.encode() not in content, name
    told = capsys.readouterr()
    assert told.out == "" and len(told.err.splitlines()) == 4
    assert list((tmp_path / "scratch").iterdir()) == []

    parameters, sources = NOTEBOOKS["comparison"]
    write_notebook(notebooks, "comparison", parameters, [sources[0], "1 / 0"])
    with pytest.raises(NotebookFailed, match="comparison: cell 4: ZeroDivisionError") as caught:
        runner.report_campaign(folder, jobs=2)
    assert tree(out) == whole
    assert sorted(path.name for path in folder.iterdir()) == ["campaign.toml", "out"]
    assert (caught.value.folder / "executed.ipynb").is_file()
    assert tmp_path / "scratch" in caught.value.folder.parents
    assert str(caught.value.folder) in capsys.readouterr().err


@pytest.mark.notebooks
def test_a_users_mistake_found_late_leaves_nothing(campaign, notebooks, tmp_path):
    source = "from coldbench.errors import *\nraise UserError(Fault('too short', 'runs/a.toml:1'))"
    write_notebook(notebooks, "comparison", NOTEBOOKS["comparison"][0], [source])
    with pytest.raises(UserError, match=r"^runs/a\.toml:1: too short$"):
        runner.report_campaign(campaign.folder, formats=("html",), jobs=1)
    assert [path.name for path in campaign.folder.iterdir()] == ["campaign.toml"]
    assert list((tmp_path / "scratch").iterdir()) == []


def test_a_users_mistake_in_sheets_or_logs_comes_first(
    campaign, notebooks, nothing_runs, monkeypatch
):
    def faulty(folder):
        raise UserError([Fault("one", "a.toml:1"), Fault("two", "b.toml:2")])

    monkeypatch.setattr(runner, "understand", faulty)
    with pytest.raises(UserError, match="one\nb.toml:2: two"):
        runner.report_campaign(campaign.folder)
    assert [path.name for path in campaign.folder.iterdir()] == ["campaign.toml"]


def test_a_foreign_out_is_told_before_anything_runs(campaign, notebooks, nothing_runs, tmp_path):
    with pytest.raises(UserError, match="--out"):
        runner.report_campaign(campaign.folder, out=tmp_path)


def test_a_misspelt_parameter_is_told_before_anything_runs(campaign, notebooks, nothing_runs):
    write_notebook(notebooks, "log_check", {"campain": ""}, [])
    with pytest.raises(ParameterError, match="'campaign' .perhaps 'campain'"):
        runner.report_campaign(campaign.folder)
    assert [path.name for path in campaign.folder.iterdir()] == ["campaign.toml"]


def test_plan(campaign, notebooks, tmp_path):
    jobs = {job.name: job for job in runner.plan(campaign, tmp_path / "o", ["pdf"], "letter")}
    assert list(jobs) == ["comparison", "cooler_zinc", "cooler_alu", "log_check"]
    zinc = jobs["cooler_zinc"]
    assert zinc.parameters == {
        "campaign": str(campaign.folder), "cooler": "zinc", "out": str(tmp_path / "o"),
        "paper": "letter", "units": "si",
    }  # fmt: skip
    assert zinc.shown == {
        "campaign": campaign.folder.name, "cooler": "zinc", "out": "",
        "paper": "letter", "units": "si",
    }  # fmt: skip
    assert (zinc.html, zinc.pdf) == ("", str(tmp_path / "o" / "coolers" / "zinc.pdf"))
    assert jobs["comparison"].pdf == str(tmp_path / "o" / "report.pdf")
    assert jobs["comparison"].proof == str(tmp_path / "o" / "findings.json")
    assert jobs["log_check"].parameters == {"campaign": str(campaign.folder)}
    assert jobs["log_check"].html == jobs["log_check"].pdf == ""
    json.dumps([vars(job) for job in jobs.values()])


def test_the_notebooks_that_ship_take_what_they_are_given(campaign, tmp_path):
    for job in runner.plan(campaign, tmp_path, ["html"], "a4"):
        runner.check_parameters(Path(job.notebook), job.parameters)

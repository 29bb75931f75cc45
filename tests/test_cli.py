"""The command: exit codes, messages and what each verb hands on."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from types import ModuleType, SimpleNamespace

import pytest

from coldbench import cli
from coldbench.errors import Fault, UserError


@pytest.fixture
def verb(monkeypatch, tmp_path):
    """Stand-ins for the functions behind the verbs: they note what they got, or fail."""
    monkeypatch.chdir(tmp_path)
    got = {}

    def stand_in(module: str, function: str, answer):
        def called(*args, **kwargs):
            got["args"], got["kwargs"] = args, kwargs
            if isinstance(got.get("raises"), BaseException):
                raise got["raises"]
            return answer

        fake = ModuleType(module)
        setattr(fake, function, called)
        monkeypatch.setitem(sys.modules, module, fake)

    stand_in("coldbench.sheets.new", "new_campaign", Path("made"))
    understood = SimpleNamespace(text="all understood", faults=())
    stand_in("coldbench.report.checking", "check", understood)
    stand_in(
        "coldbench.report.runner", "report_campaign", [Path("report.html"), Path("report.pdf")]
    )
    return got


def test_new_prints_the_folder_it_made(verb, capsys):
    assert cli.main(["new", "mine", "--demo"]) == 0
    assert (verb["args"], verb["kwargs"]) == ((Path("mine"),), {"demo": True, "workbook": False})
    assert capsys.readouterr().out == "made\n"


def test_check_prints_what_was_understood(verb, capsys):
    assert cli.main(["check", "mine"]) == 0
    assert capsys.readouterr().out == "all understood\n"


def test_report_hands_on_its_options_and_prints_the_files_last(verb, capsys):
    options = ["--out", "there", "--formats", "pdf", "--jobs", "3", "--paper", "letter",
               "--units", "us"]
    assert cli.main(["report", "mine", *options]) == 0
    assert verb["args"] == (Path("mine"),)
    assert verb["kwargs"] == {
        "out": Path("there"),
        "formats": ("pdf",),
        "jobs": 3,
        "paper": "letter",
        "units": "us",
    }
    assert capsys.readouterr().out.splitlines()[-2:] == ["report.html", "report.pdf"]


def test_demo_reports_the_campaign_that_ships_with_the_kit(verb):
    assert cli.main(["demo"]) == 0
    (folder,) = verb["args"]
    assert folder.name == "campaign-demo" and folder.is_absolute()
    assert verb["kwargs"]["out"] == Path("coldbench-demo")


def test_a_users_mistake_is_said_without_a_traceback(verb, capsys):
    verb["raises"] = UserError(Fault("temperature without a unit", "runs/a.toml:3", do="add °C"))
    assert cli.main(["check", "mine"]) == 1
    told = capsys.readouterr()
    assert "runs/a.toml:3: temperature without a unit" in told.err
    assert "add °C" in told.err
    assert "Traceback" not in told.err + told.out


def test_a_mistake_is_shown_as_it_is_written(verb, capsys):
    """Square brackets and markup of a sheet must not be taken for the terminal's own."""
    verb["raises"] = UserError(Fault("unknown key", "campaign.toml:1", found="[bold]title[/bold]"))
    cli.main(["check", "mine"])
    assert "[bold]title[/bold]" in capsys.readouterr().err


def test_our_fault_goes_to_a_log_that_is_named(verb, capsys, tmp_path):
    verb["raises"] = ZeroDivisionError("inside")
    assert cli.main(["check", "mine"]) == 3
    told = capsys.readouterr().err
    log = tmp_path / "coldbench-error.log"
    assert str(log) in told and "Traceback" not in told
    assert "ZeroDivisionError: inside" in log.read_text(encoding="utf-8")


def test_an_interrupt_is_said_shortly(verb, capsys):
    verb["raises"] = KeyboardInterrupt()
    assert cli.main(["check", "mine"]) == 130
    assert capsys.readouterr().err == "Interrupted.\n"


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["reprot", "mine"],
        ["report"],
        ["report", "mine", "--jobs", "0"],
        ["report", "mine", "--jobs", "two"],
        ["report", "mine", "--formats", "doc"],
        ["report", "mine", "--formats", ""],
        ["report", "mine", "--paper", "a5"],
    ],
)
def test_wrong_usage_is_told_from_a_users_data(verb, arguments, capsys):
    assert cli.main(arguments) == 2
    assert "usage: coldbench" in capsys.readouterr().err
    assert "args" not in verb


def test_module_and_command_are_the_same(clone):
    answers = [
        subprocess.run([*command, "--version"], capture_output=True, text=True, check=True).stdout
        for command in (
            [sys.executable, "-m", "coldbench"],
            [Path(sys.executable).parent / "coldbench"],
        )
    ]
    assert answers[0] == answers[1] == f"coldbench {cli.__version__}\n"


def test_notebooks_are_still_validated_without_the_slow_grammar():
    """The day this fails, or the import is quick, the line in cli.main can go."""
    script = """
import sys
from coldbench.cli import main
main(["--version"])
import nbformat
from nbformat.v4 import new_code_cell, new_notebook
notebook = new_notebook(cells=[new_code_cell("a = 1")])
nbformat.validate(notebook)
assert sys.modules["rfc3987_syntax"] is None
notebook.cells[0]["outputs"] = "none"
try:
    nbformat.validate(notebook)
except nbformat.ValidationError:
    print("refused")
"""
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True)
    assert done.stdout.splitlines()[-1:] == ["refused"], done.stderr


def test_lab_fills_a_new_folder_with_the_notebooks(monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    opened = []
    fake = ModuleType("jupyterlab.labapp")
    fake.LabApp = type(
        "LabApp", (), {"launch_instance": staticmethod(lambda argv: opened.append(argv))}
    )
    monkeypatch.setitem(sys.modules, "jupyterlab.labapp", fake)
    folder = tmp_path / "my notebooks"
    assert cli.main(["lab", str(folder)]) == 0
    assert opened == [[str(folder)]]
    assert list(folder.glob("*.ipynb"))
    assert cli.main(["lab"]) == 0
    assert opened[1] == [str(cli.shipped("notebooks"))]

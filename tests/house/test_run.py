"""run.py sets up a clone on its own, and says what to do when it cannot."""

from __future__ import annotations

import ast
import importlib.util
import subprocess
import sys
from types import SimpleNamespace

import pytest


@pytest.fixture
def run(clone, tmp_path, monkeypatch):
    """run.py as a module whose clone is an empty folder and whose programs only get noted."""
    spec = importlib.util.spec_from_file_location("run_of_the_clone", clone / "run.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    monkeypatch.setattr(module, "HOME", tmp_path)
    monkeypatch.setattr(module, "VENV", tmp_path / ".venv")
    monkeypatch.setattr(module, "LOG", tmp_path / ".venv" / "install.log")
    for name in ("requirements.lock", "requirements-data.lock", "pyproject.toml"):
        (tmp_path / name).write_text(f"{name}\n", encoding="utf-8", newline="\n")
    module.calls = []
    module.pip_fails = False

    def note(command, **options):
        module.calls.append([str(word) for word in command])
        if "venv" in module.calls[-1]:
            (tmp_path / ".venv").mkdir(exist_ok=True)
            (tmp_path / ".venv" / "pyvenv.cfg").touch()
        if "pip" in module.calls[-1] and module.pip_fails:
            options["stdout"].write("Collecting numpy\nERROR: no matching distribution\n")
            return SimpleNamespace(returncode=1, stdout="")
        return SimpleNamespace(returncode=0, stdout="3.12.1\n")

    fake = SimpleNamespace(
        run=note, call=lambda *a, **o: note(*a, **o).returncode, STDOUT=subprocess.STDOUT
    )
    monkeypatch.setattr(module, "subprocess", fake)
    return module


def venv_made(run) -> bool:
    return any("venv" in command for command in run.calls)


def test_needs_only_the_standard_library(clone):
    tree = ast.parse((clone / "run.py").read_text(encoding="utf-8"))
    names = {
        alias.name
        for node in ast.walk(tree)
        if isinstance(node, ast.Import)
        for alias in node.names
    }
    names |= {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    assert names and {name.split(".")[0] for name in names} <= sys.stdlib_module_names


def test_an_old_python_is_told_so(run, monkeypatch, capsys):
    version = "3.10.4 (main)"
    monkeypatch.setattr(run.sys, "version", version)
    monkeypatch.setattr(run.sys, "version_info", (3, 10, 4))
    assert run.main(["demo"]) == 2
    assert "needs Python 3.11 or later; this is 3.10.4" in capsys.readouterr().out


def test_no_verb_shows_the_help(run, capsys):
    assert run.main([]) == 2
    assert "python run.py demo" in capsys.readouterr().out


def test_first_run_installs_then_runs_and_second_only_runs(run, tmp_path):
    (tmp_path / ".venv").mkdir()
    assert run.main(["check", "my campaign"]) == 0
    installs = [command for command in run.calls if "install" in command]
    assert ["--require-hashes" in command for command in installs] == [True, False]
    assert run.calls[-1][1:] == ["-m", "coldbench", "check", "my campaign"]
    run.calls.clear()
    assert run.main(["check", "my campaign"]) == 0
    assert not [command for command in run.calls if "install" in command]


def test_a_changed_lock_installs_again(run, tmp_path):
    (tmp_path / ".venv").mkdir()
    run.main(["demo"])
    run.calls.clear()
    (tmp_path / "requirements.lock").write_text("changed\n", encoding="utf-8", newline="\n")
    run.main(["demo"])
    assert [command for command in run.calls if "install" in command]


def test_tests_also_get_their_data_sets(run, tmp_path):
    (tmp_path / ".venv").mkdir()
    assert run.main(["test", "-k", "water"]) == 0
    installs = [command for command in run.calls if "install" in command]
    assert str(tmp_path / "requirements-data.lock") in installs[-1]
    assert "--no-deps" in installs[-1]
    assert "pytest" in run.calls[-1] and run.calls[-1][-2:] == ["-k", "water"]


def test_a_missing_environment_is_made(run, monkeypatch):
    monkeypatch.setattr(run, "venv_version", lambda: None)
    run.make_venv()
    assert venv_made(run)


@pytest.mark.parametrize("version", [None, "3.10.2"])
def test_a_broken_or_old_environment_is_made_anew(run, tmp_path, monkeypatch, version):
    (tmp_path / ".venv").mkdir()
    (tmp_path / ".venv" / "pyvenv.cfg").touch()
    monkeypatch.setattr(run, "venv_version", lambda: version)
    run.make_venv()
    assert venv_made(run)
    assert "--clear" in run.calls[-1]


def test_a_folder_that_is_no_environment_is_left_alone(run, tmp_path, monkeypatch, capsys):
    (tmp_path / ".venv").mkdir()
    (tmp_path / ".venv" / "thesis.txt").touch()
    monkeypatch.setattr(run, "venv_version", lambda: None)
    assert run.main(["demo"]) == 3
    assert "is not a Python environment" in capsys.readouterr().err
    assert not venv_made(run)


def test_without_ensurepip_the_package_to_install_is_named(run, monkeypatch, capsys):
    def find_spec(name):
        return None if name == "ensurepip" else object()

    monkeypatch.setattr(run, "venv_version", lambda: None)
    monkeypatch.setattr(run.importlib.util, "find_spec", find_spec)
    assert run.main(["demo"]) == 3
    assert "apt install python3-venv" in capsys.readouterr().err
    assert not venv_made(run)


def test_a_failed_install_says_what_pip_said_and_is_not_taken_for_done(run, tmp_path, capsys):
    (tmp_path / ".venv").mkdir()
    run.pip_fails = True
    assert run.main(["demo"]) == 3
    told = capsys.readouterr().err
    assert "ERROR: no matching distribution" in told and "Is there a network" in told
    assert "Collecting" not in told
    assert not list((tmp_path / ".venv").glob("installed-*"))


def test_the_environment_it_runs_in_is_a_working_one(clone):
    answer = subprocess.run(
        [sys.executable, str(clone / "run.py"), "--help"], capture_output=True, cwd=clone.parent
    )
    assert answer.returncode == 0
    assert b"python run.py demo" in answer.stdout

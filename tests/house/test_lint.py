"""The linter's settings are in pyproject.toml; this runs it."""

from __future__ import annotations

import subprocess
import sys


def lint(*arguments: str, cwd) -> subprocess.CompletedProcess:
    command = [sys.executable, "-m", "ruff", "check", "--no-cache", "--quiet", *arguments]
    return subprocess.run(command, cwd=cwd, capture_output=True, text=True, encoding="utf-8")


def test_a_fault_is_seen(clone, tmp_path):
    bad = tmp_path / "bad.py"
    bad.write_text("import os\n", encoding="utf-8", newline="\n")
    settings = str(clone / "pyproject.toml")
    assert "F401" in lint("--config", settings, str(bad), cwd=tmp_path).stdout


def test_code_is_clean(clone):
    result = lint("--output-format=concise", ".", cwd=clone)
    assert result.returncode == 0, result.stdout

"""What is said while notebooks run."""

from __future__ import annotations

import io
import re

import pytest
from rich.console import Console

from coldbench.report.progress import Progress


@pytest.mark.parametrize("terminal", [False, True])
def test_a_line_as_each_notebook_ends(terminal):
    said = io.StringIO()
    console = Console(file=said, force_terminal=terminal, color_system=None, width=80)
    with Progress(console) as progress:
        progress.started("[bold]a[/bold]")
        progress.started("b")
        progress.ended("[bold]a[/bold]", 1.23, True)
        progress.ended("b", 22.0, False)
    moves = r"\x1b\[[?\d]*[A-Za-z]|\r"
    lines = [re.sub(moves, "", line).strip() for line in said.getvalue().splitlines()]
    assert "[bold]a[/bold]           done      1.2 s" in lines
    assert "b                        FAILED   22.0 s" in lines
    assert (len(lines) == 2) is not terminal


def test_stdout_stays_free(capsys):
    with Progress() as progress:
        progress.started("a")
        progress.ended("a", 1.0, True)
        progress.say("more")
    told = capsys.readouterr()
    assert told.out == "" and told.err.splitlines()[-1] == "more"

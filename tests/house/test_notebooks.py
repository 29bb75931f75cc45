"""Notebooks tell, the package computes: what a committed notebook may hold."""

from __future__ import annotations

import ast
import copy
import json
from pathlib import Path

import pytest

MOST_CODE_CELLS, MOST_LINES = 12, 8
NOTEBOOK_METADATA = {"kernelspec", "language_info"}
# All a code cell may be made of: imports, the assignment of a call, a call.
CALLS = (ast.Call, ast.Name, ast.Attribute, ast.Constant, ast.keyword, ast.Tuple, ast.List)
CONTEXTS = (ast.Load, ast.Store, ast.alias)
LITERALS = (ast.Constant, ast.List, ast.Tuple, ast.Dict, ast.UnaryOp, ast.USub)


def text(cell: dict) -> str:
    """Source of a cell; the file may hold it as one text or as lines."""
    source = cell["source"]
    return source if isinstance(source, str) else "".join(source)


def tags(cell: dict) -> list[str]:
    """Tags of a cell."""
    return cell["metadata"].get("tags", [])


def syntax_offences(source: str) -> list[str]:
    """What a code cell does beyond importing the package and calling it."""
    try:
        tree = ast.parse(source)
    except SyntaxError:
        return ["not plain Python (a magic or a shell line?)"]
    found = []
    for statement in tree.body:
        if isinstance(statement, ast.Import):
            names = [alias.name for alias in statement.names]
        elif isinstance(statement, ast.ImportFrom):
            names = ["." * statement.level + (statement.module or "")]
        else:
            names = []
            value = getattr(statement, "value", None)
            kind = isinstance(statement, ast.Expr | ast.Assign)
            if not (kind and isinstance(value, ast.Call)):
                found.append(f"neither an import nor a call: {ast.unparse(statement)!r}")
        found += [f"imports {one}" for one in names if one.split(".")[0] != "coldbench"]
        for node in ast.walk(statement):
            if node is not statement and not isinstance(node, CALLS + CONTEXTS):
                found.append(f"holds {type(node).__name__}")
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                found += [f"holds the path {node.value!r}"] if set("/\\") & set(node.value) else []
    return found


def parameter_offences(source: str) -> list[str]:
    """What the parameters cell holds beyond names set to literals."""
    found = []
    for statement in ast.parse(source).body:
        simple = isinstance(statement, ast.Assign) and isinstance(statement.targets[0], ast.Name)
        if not simple:
            found.append(f"parameters: {ast.unparse(statement)!r} sets no name")
            continue
        for node in ast.walk(statement.value):
            if not isinstance(node, LITERALS + CONTEXTS):
                found.append(f"parameters: {ast.unparse(statement)!r} is not a literal")
                break
    return found


def offences(notebook: dict) -> list[str]:
    """All rules a notebook breaks."""
    cells = notebook["cells"]
    code = [cell for cell in cells if cell["cell_type"] == "code"]
    found = []
    if notebook["metadata"].get("kernelspec", {}).get("name") != "python3":
        found.append("the kernel is not python3")
    if extra := set(notebook["metadata"]) - NOTEBOOK_METADATA:
        found.append(f"leftover metadata {sorted(extra)}")
    if cells[0]["cell_type"] != "markdown":
        found.append("the first cell is not prose")
    if len(code) > MOST_CODE_CELLS:
        found.append(f"{len(code)} code cells, at most {MOST_CODE_CELLS}")
    if sum("parameters" in tags(cell) for cell in code) != 1:
        found.append("not exactly one code cell tagged parameters")
    for before, cell in zip([{"cell_type": "none"}, *cells], cells, strict=False):
        if cell["cell_type"] == "code":
            found += cell_offences(cell, before)
        if extra := set(cell["metadata"]) - {"tags"}:
            found.append(f"leftover cell metadata {sorted(extra)}")
    return found


def cell_offences(cell: dict, before: dict) -> list[str]:
    """All rules a code cell breaks, given the cell before it."""
    source = text(cell)
    found = []
    if cell["outputs"] or cell["execution_count"] is not None:
        found.append("committed with outputs or an execution count")
    if len(source.splitlines()) > MOST_LINES:
        found.append(f"a code cell of more than {MOST_LINES} lines")
    if before["cell_type"] != "markdown":
        found.append(f"no prose before the cell {source.splitlines()[:1]}")
    rule = parameter_offences if "parameters" in tags(cell) else syntax_offences
    return found + rule(source)


def prose(source: str) -> dict:
    return {"cell_type": "markdown", "metadata": {}, "source": source}


def code(source: str, *tags: str) -> dict:
    metadata = {"tags": list(tags)} if tags else {}
    empty = {"outputs": [], "execution_count": None}
    return {"cell_type": "code", "metadata": metadata, "source": source, **empty}


GOOD = {
    "metadata": {"kernelspec": {"name": "python3"}, "language_info": {"name": "python"}},
    "cells": [
        prose("# Which cooler?"),
        code('campaign = "."\nlimits = [4, -18.0]\noptions = {"a": None}', "parameters"),
        prose("You will see a table."),
        code(
            "from coldbench import report\nstudy = report.read(campaign)\nreport.show(study, k=1)"
        ),
    ],
}


def test_the_good_sample_passes():
    assert offences(GOOD) == []


@pytest.mark.parametrize(
    "source",
    [
        "import pandas",
        "from os import path",
        "from . import helpers",
        "def f():\n    pass",
        "for a in b():\n    c()",
        "if a():\n    b()",
        "with a() as b:\n    c()",
        "x = 3",
        "x = a() + b()",
        "show(a + 1)",
        "show(lambda: 1)",
        "show([a for a in b])",
        "x += a()",
        "show(f'{a}')",
        "read('logs/a.csv')",
        "table",
        "%matplotlib inline",
        "!pip install something",
        "import coldbench, numpy",
    ],
)
def test_wrong_syntax_is_seen(source):
    assert syntax_offences(source)


@pytest.mark.parametrize("source", ["x = f()", "x = a.b", "import coldbench", "x = -y", "f()"])
def test_wrong_parameters_are_seen(source):
    assert parameter_offences(source)


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda nb: nb["metadata"].update(papermill={}), "leftover metadata"),
        (lambda nb: nb["metadata"]["kernelspec"].update(name="mine"), "kernel"),
        (lambda nb: nb["cells"][3].update(execution_count=1), "outputs or an execution count"),
        (lambda nb: nb["cells"][3].update(outputs=[{}]), "outputs or an execution count"),
        (lambda nb: nb["cells"][3].update(source="f()\n" * 9), "more than 8 lines"),
        (lambda nb: nb["cells"][3]["metadata"].update(execution={}), "leftover cell metadata"),
        (lambda nb: nb["cells"].pop(2), "no prose before"),
        (lambda nb: nb["cells"].pop(0), "the first cell is not prose"),
        (lambda nb: nb["cells"][1]["metadata"].clear(), "tagged parameters"),
        (lambda nb: nb["cells"].extend(nb["cells"][2:4] * 11), "13 code cells"),
    ],
)
def test_each_broken_rule_is_seen(change, told):
    notebook = copy.deepcopy(GOOD)
    change(notebook)
    assert told in " | ".join(offences(notebook))


def test_committed_notebooks_keep_the_rules(clone: Path):
    paths = sorted((clone / "notebooks").rglob("*.ipynb"))
    paths = [path for path in paths if ".ipynb_checkpoints" not in path.parts]
    assert paths, "no notebooks at all"
    found = [
        f"{path.name}: {one}"
        for path in paths
        for one in offences(json.loads(path.read_text(encoding="utf-8")))
    ]
    assert not found, "\n".join(found)

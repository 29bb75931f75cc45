"""Public functions say what they take and give: annotations, units, raises, sources."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

# Floors that hold formulas: each needs a source, each number its unit.
FORMULA_FLOORS = ("physics", "analysis")
NUMBER = re.compile(r"\b(float|ndarray|NDArray|ArrayLike|Array)\b")
UNIT = re.compile(r"\[[^\]]+\]")
SOURCE = re.compile(r"References\s*\n\s*-{3,}|own definition", re.IGNORECASE)

Function = ast.FunctionDef | ast.AsyncFunctionDef


def sections(docstring: str) -> dict[str, list[str]]:
    """Lines of each numpydoc section, by its heading; what comes before under ``""``."""
    lines = docstring.splitlines()
    found: dict[str, list[str]] = {"": []}
    heading = ""
    for number, line in enumerate(lines):
        following = lines[number + 1].strip() if number + 1 < len(lines) else ""
        if line.strip() and re.fullmatch(r"-{3,}", following):
            heading = line.strip()
            found[heading] = []
        elif not re.fullmatch(r"-{3,}", line.strip()):
            found[heading].append(line)
    return found


def entries(lines: list[str]) -> dict[str, str]:
    """What a Parameters section says of each name."""
    found: dict[str, str] = {}
    names: list[str] = []
    for line in lines:
        if line.strip() and not line.startswith(" "):
            names = [name.strip(" *") for name in line.split(":")[0].split(",")]
            found |= dict.fromkeys(names, line)
        else:
            for name in names:
                found[name] += f"\n{line}"
    return found


def public_functions(tree: ast.Module):
    """Public functions, and public methods of public classes: name, node, whether a method."""
    for node in tree.body:
        if isinstance(node, Function) and not node.name.startswith("_"):
            yield node.name, node, False
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            for inner in node.body:
                if isinstance(inner, Function) and not inner.name.startswith("_"):
                    yield f"{node.name}.{inner.name}", inner, True


def own_raises(function: Function) -> bool:
    """Whether the body raises something of its own, nested functions left out."""
    waiting: list[ast.AST] = list(function.body)
    while waiting:
        node = waiting.pop()
        if isinstance(node, ast.Raise) and node.exc is not None:
            return True
        if not isinstance(node, Function | ast.Lambda | ast.ClassDef):
            waiting += ast.iter_child_nodes(node)
    return False


def annotation_offences(name: str, function: Function, method: bool) -> list[str]:
    """Arguments and results without an annotation."""
    arguments = function.args
    every = [*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs]
    every += [one for one in (arguments.vararg, arguments.kwarg) if one]
    static = any(getattr(one, "id", "") == "staticmethod" for one in function.decorator_list)
    if method and not static:
        every = every[1:]
    found = [f"{name}: {one.arg} has no annotation" for one in every if one.annotation is None]
    if function.returns is None:
        found.append(f"{name}: no annotation of what it returns")
    return found


def formula_offences(name: str, function: Function, module_doc: str) -> list[str]:
    """Numbers without a unit, raises and sources not told."""
    docstring = ast.get_docstring(function) or ""
    parts = sections(docstring)
    told = entries(parts.get("Parameters", []))
    found = []
    arguments = function.args
    for one in [*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs]:
        if one.annotation is None or not NUMBER.search(ast.unparse(one.annotation)):
            continue
        if one.arg not in told:
            found.append(f"{name}: {one.arg} is not under Parameters")
        elif not UNIT.search(told[one.arg]):
            found.append(f"{name}: {one.arg} has no [unit]")
    returns = ast.unparse(function.returns) if function.returns else ""
    if NUMBER.search(returns) and not UNIT.search("\n".join(parts.get("Returns", []))):
        found.append(f"{name}: no Returns with its [unit]")
    if own_raises(function) and "Raises" not in parts:
        found.append(f"{name}: raises, but has no Raises")
    if not SOURCE.search(docstring) and not SOURCE.search(module_doc):
        found.append(f"{name}: neither References nor 'own definition'")
    return found


def offences(source: str, formulas: bool) -> list[str]:
    """All that a module leaves unsaid."""
    tree = ast.parse(source)
    module_doc = ast.get_docstring(tree) or ""
    found = [] if module_doc or not tree.body else ["the module has no docstring"]
    for node in tree.body:
        public = isinstance(node, ast.ClassDef) and not node.name.startswith("_")
        if public and not ast.get_docstring(node):
            found.append(f"{node.name}: no docstring")
    for name, function, method in public_functions(tree):
        found += annotation_offences(name, function, method)
        if not ast.get_docstring(function):
            found.append(f"{name}: no docstring")
        elif formulas and not method:
            found += formula_offences(name, function, module_doc)
    return found


GOOD = '''
"""Heat of water."""
def heat(mass: float, *, step: float = 1.0) -> float:
    """Heat to warm water by one step.

    Parameters
    ----------
    mass : float
        Mass of water. [kg]
    step : float
        Temperature step. [K]

    Returns
    -------
    float
        Heat. [J]

    Raises
    ------
    ValueError
        Mass below zero.

    References
    ----------
    .. [1] A standard, 2001, clause 1.
    """
    if mass < 0:
        raise ValueError(mass)
    return 4186.0 * mass * step
'''


def test_the_good_sample_passes():
    assert offences(GOOD, formulas=True) == []


@pytest.mark.parametrize(
    ("right", "wrong", "told"),
    [
        ("water. [kg]", "water.", "mass has no [unit]"),
        ("    step : float\n        Temperature step. [K]\n", "", "step is not under Parameters"),
        ("Heat. [J]", "Heat.", "no Returns with its [unit]"),
        ("    Raises\n    ------\n", "", "raises, but has no Raises"),
        ("    References\n    ----------\n", "", "neither References nor 'own definition'"),
        ("mass: float", "mass", "mass has no annotation"),
        ("-> float", "", "no annotation of what it returns"),
        ('"""Heat of water."""', "import math", "the module has no docstring"),
    ],
)
def test_each_bad_sample_is_seen(right, wrong, told):
    assert right in GOOD
    assert told in " | ".join(offences(GOOD.replace(right, wrong, 1), formulas=True))


def test_a_missing_docstring_is_seen_everywhere():
    source = (
        '"""A module."""\ndef f() -> None:\n    pass\nclass A:\n    def g(self) -> int:\n        1'
    )
    assert offences(source, formulas=False) == [
        "A: no docstring",
        "f: no docstring",
        "A.g: no docstring",
    ]


def test_public_code_says_what_it_takes_and_gives(clone: Path):
    root = clone / "kit" / "coldbench"
    found = []
    for path in sorted(root.rglob("*.py")):
        place = path.relative_to(root)
        formulas = place.parts[0] in FORMULA_FLOORS
        source = path.read_text(encoding="utf-8")
        found += [f"{place.as_posix()}: {one}" for one in offences(source, formulas)]
    assert not found, "\n".join(found)

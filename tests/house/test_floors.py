"""Data flows one way: a module imports only from its own floor and from floors before it."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

PACKAGE = "coldbench"
FLOORS = (
    "errors quantities draws findings physics bench sheets logs analysis compare design figures "
    "report course cli __main__"
).split()
# The simulator may not know the laws that the analyses use: it must not mark its own homework.
ONLY_THESE = {"bench": {"physics.water"}}


def imported_modules(source: str, module: str, is_folder: bool) -> set[str]:
    """Dotted names inside the package that a module imports, itself named without the package."""
    here = module.split(".") if is_folder else module.split(".")[:-1]
    names = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                above = here[: len(here) - node.level + 1]
                base = ".".join([PACKAGE, *above, *base.split(".")]).rstrip(".")
            names |= {f"{base}.{alias.name}" for alias in node.names}
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            # importlib.import_module("…"), entry points and the like.
            words = node.value.replace(":", ".").split()
            names |= {words[0]} if len(words) == 1 else set()
    inside = {name.removeprefix(f"{PACKAGE}.") for name in names if name.startswith(f"{PACKAGE}.")}
    return {name for name in inside if name.split(".")[0].isidentifier()}


def offences(source: str, module: str, is_folder: bool = False) -> list[str]:
    """What a module imports against the arrow."""
    own = module.split(".")[0]
    if own not in FLOORS:
        return [f"{module}: no floor of that name; give it a place in FLOORS"]
    found = []
    for name in sorted(imported_modules(source, module, is_folder)):
        floor = name.split(".")[0]
        if floor == own or floor not in FLOORS:
            continue
        if FLOORS.index(floor) > FLOORS.index(own):
            found.append(f"{module} imports {name}, which lies after it")
        allowed = ONLY_THESE.get(own)
        if allowed is not None and not any(f"{name}.".startswith(f"{one}.") for one in allowed):
            found.append(f"{module} imports {name}; only {sorted(allowed)} is allowed there")
    return found


def modules(clone: Path):
    """Every module below the package: name without the package, path."""
    root = clone / "kit" / PACKAGE
    for path in sorted(root.rglob("*.py")):
        parts = path.relative_to(root).with_suffix("").parts
        is_folder = parts[-1] == "__init__"
        name = ".".join(parts[:-1] if is_folder else parts)
        if name:
            yield name, is_folder, path


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("physics.water", "from coldbench.analysis import steady"),
        ("physics.water", "import coldbench.report"),
        ("physics.water", "from coldbench import sheets"),
        ("physics.water", "from ..logs import record"),
        ("logs.read", "def f():\n    from coldbench.analysis.steady import window"),
        ("logs.read", "importlib.import_module('coldbench.compare.rank')"),
        ("bench", "from coldbench.physics.cooling import lumped"),
        ("bench", "from coldbench.physics import cooling"),
        ("bench", "from coldbench.errors import UserError"),
        ("helpers", "import math"),
    ],
)
def test_a_wrong_import_is_seen(module, source):
    assert offences(source, module)


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("analysis.steady", "from coldbench.physics.water import heat\nimport numpy"),
        ("analysis.steady", "from . import power\nfrom ..findings import Finding"),
        ("analysis.steady", "from coldbench.analysis.power import levels"),
        ("bench", "from coldbench.physics.water import heat"),
        ("bench", "from coldbench.physics import water"),
        ("report.runner", "from coldbench import shipped, __version__"),
        ("cli", "'coldbench starts here'"),
    ],
)
def test_a_right_import_passes(module, source):
    assert offences(source, module) == []


def test_package_imports_one_way(clone):
    found = [
        offence
        for name, is_folder, path in modules(clone)
        for offence in offences(path.read_text(encoding="utf-8"), name, is_folder)
    ]
    assert not found, "\n".join(found)


def test_the_package_itself_imports_nothing_of_its_own(clone):
    source = (clone / "kit" / PACKAGE / "__init__.py").read_text(encoding="utf-8")
    assert imported_modules(source, PACKAGE, True) == set()


def test_the_command_starts_light():
    heavy = "numpy pandas scipy matplotlib pint pydantic nbformat papermill nbconvert rich typst"
    script = (
        "import sys, coldbench.cli\n"
        f"print(*(name for name in {heavy!r}.split() if name in sys.modules))"
    )
    loaded = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert loaded.stdout.split() == []


def test_scipy_stats_is_imported_nowhere(clone):
    """It alone costs 0.8 s, in each process a notebook runs in."""
    found = []
    for name, _, path in modules(clone):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom):
                names = [node.module or "", *(f"{node.module}.{a.name}" for a in node.names)]
            elif isinstance(node, ast.Import):
                names = [alias.name for alias in node.names]
            else:
                continue
            if any(one.startswith("scipy.stats") for one in names):
                found.append(f"{name}, line {node.lineno}")
    assert not found, "\n".join(found)

"""Proof that the packages of environment.yml, in an empty environment, are all that the kit needs.

Run as ``python run.py environment-proof``. Conda itself is not run: the packages are installed by
pip under pip's names, each in the newest version that its bounds allow, beside an editable clone.
Every module of the kit is then imported, JupyterLab and its kernel are found, and a notebook runs
in that kernel under plain papermill, started from an empty folder.
"""

from __future__ import annotations

import os
import sys
import tempfile
import venv
from collections.abc import Iterable
from pathlib import Path

import yaml
from wheel_proof import CLONE, call

# Conda splits matplotlib; the part without a window toolkit has this name.
PIP_NAMES = {"matplotlib-base": "matplotlib"}
NOT_FOR_PIP = {"python", "pip"}
IMPORT_ALL = """
import importlib, pkgutil, coldbench
for module in pkgutil.walk_packages(coldbench.__path__, "coldbench."):
    if not module.name.endswith("__main__"):
        importlib.import_module(module.name)
print(coldbench.__file__)
"""
KERNELS = "from jupyter_client.kernelspec import find_kernel_specs; print(*find_kernel_specs())"


def main() -> int:
    """0 if everything imports and runs; a step that fails says why."""
    asked = requirements((CLONE / "environment.yml").read_text(encoding="utf-8"))
    with tempfile.TemporaryDirectory(prefix="coldbench-proof-") as folder:
        empty = Path(folder).resolve()
        python = environment(empty / "venv", asked)
        place = call(python, "-c", IMPORT_ALL, cwd=empty, answer=True)
        if not Path(place).is_relative_to(CLONE):
            return fail(f"the package came from {place}, not from the clone")
        call(python, "-m", "jupyter", "lab", "--version", cwd=empty)
        kernels = call(python, "-c", KERNELS, cwd=empty, answer=True).split()
        if "python3" not in kernels:
            return fail(f"JupyterLab has no Python kernel, only {kernels}")
        call(python, "-m", "coldbench", "new", "demo", "--demo", cwd=empty)
        call(python, "-m", "papermill", "--no-progress-bar", "--kernel", "python3",
             "--parameters", "campaign", "demo", str(CLONE / "notebooks" / "log_check.ipynb"),
             "run.ipynb", cwd=empty)
        call(python, "-m", "jupyter", "nbconvert", "--to", "coldbench-pdf", "run.ipynb", cwd=empty)
        if not (empty / "run.pdf").read_bytes().startswith(b"%PDF"):
            return fail("the exporter wrote no PDF")
    print("environment-proof: all of the kit imports and runs with these packages")
    return 0


def requirements(environment: str) -> list[str]:
    """What pip installs for a conda environment, in its order."""
    found: list[str] = []
    for one in yaml.safe_load(environment)["dependencies"]:
        found += one["pip"] if isinstance(one, dict) else [pip_name(one)]
    return [one for one in found if one]


def pip_name(asked: str) -> str:
    """A package with its bounds as pip calls it; empty where pip has no part in it."""
    name = asked.partition(">")[0].partition("=")[0].strip()
    return "" if name in NOT_FOR_PIP else asked.replace(name, PIP_NAMES.get(name, name), 1)


def environment(folder: Path, asked: Iterable[str]) -> Path:
    """Python of a new environment that holds what is asked for, and the clone itself."""
    venv.create(folder, with_pip=True)
    python = folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    words = [word for one in asked for word in (one.split() if one.startswith("-") else [one])]
    call(python, "-m", "pip", "install", "-qq", "--disable-pip-version-check", *words, cwd=CLONE)
    return python


def fail(why: str) -> int:
    """Say what went wrong."""
    print(f"environment-proof: {why}")
    return 1


if __name__ == "__main__":
    sys.exit(main())

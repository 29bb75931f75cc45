"""What the environment proof hands to pip is what environment.yml says."""

from __future__ import annotations

import importlib.util

import pytest

LISTED = """
dependencies:
  - python>=3.11
  - jupyter_client>=8.6
  - matplotlib-base>=3.11
  - pip
  - pip:
      - typst>=0.15.2,<0.16
      - -e .
"""


@pytest.fixture
def proof(clone, monkeypatch):
    monkeypatch.syspath_prepend(clone / "tests" / "house")
    path = clone / "tests" / "house" / "environment_proof.py"
    spec = importlib.util.spec_from_file_location("environment_proof", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_names_and_bounds_are_those_of_the_file(proof):
    assert proof.requirements(LISTED) == [
        "jupyter_client>=8.6", "matplotlib>=3.11", "typst>=0.15.2,<0.16", "-e .",
    ]


def test_everything_of_the_clones_file_is_asked_for(proof, clone):
    asked = proof.requirements((clone / "environment.yml").read_text(encoding="utf-8"))
    assert asked[-1] == "-e ." and len(asked) > 20
    assert not [one for one in asked if "matplotlib-base" in one or one.startswith("python>")]

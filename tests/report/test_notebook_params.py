"""Parameters are checked by name before anything runs."""

from __future__ import annotations

import json

import pytest

from coldbench.report.notebook_params import ParameterError, check_parameters, parameter_names

NAMES = 'campaign = "a=b # no comment"\nout = ""\n'


def notebook(tmp_path, *tagged: str, prose: str = "x"):
    cells = [{"cell_type": "markdown", "metadata": {}, "source": [prose]}]
    for source in tagged:
        metadata = {"tags": ["parameters"]}
        cells.append(
            {"cell_type": "code", "metadata": metadata, "source": source.splitlines(keepends=True)}
        )
    cells.append({"cell_type": "code", "metadata": {}, "source": ["other = 1"]})
    file = tmp_path / "tiny.ipynb"
    file.write_text(json.dumps({"cells": cells}), encoding="utf-8", newline="\n")
    return file


def test_names_in_order(tmp_path):
    assert parameter_names(notebook(tmp_path, NAMES)) == ["campaign", "out"]


def test_right_names_pass(tmp_path):
    check_parameters(notebook(tmp_path, NAMES), {"out": "", "campaign": ""})


@pytest.mark.parametrize(
    ("given", "told"),
    [
        (["campain", "campaign", "out"], "no parameter 'campain' (perhaps 'campaign')"),
        (["campaign", "out", "zzz"], "no parameter 'zzz'"),
        (["campaign"], "not given its parameter 'out'"),
        (["other", "campaign", "out"], "no parameter 'other'"),
    ],
)
def test_wrong_names_are_refused(tmp_path, given, told):
    with pytest.raises(ParameterError) as caught:
        check_parameters(notebook(tmp_path, NAMES), given)
    assert told in str(caught.value) and "tiny.ipynb" in str(caught.value)


@pytest.mark.parametrize("tagged", [[], [NAMES, NAMES]])
def test_one_tagged_cell_is_wanted(tmp_path, tagged):
    with pytest.raises(ParameterError, match="cells tagged 'parameters', not one"):
        parameter_names(notebook(tmp_path, *tagged))


@pytest.mark.parametrize(
    "source", ["a = b", "a = f()", "a, b = 1, 2", "a = b = 1", "import os", "a[0] = 1", "a ="]
)
def test_only_literals_are_parameters(tmp_path, source):
    with pytest.raises(ParameterError, match="more than set names to literals"):
        parameter_names(notebook(tmp_path, source))

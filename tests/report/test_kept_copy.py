"""Kept copies of notebooks name no folder of the machine and no time."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

from coldbench.report.kept_copy import clean


def cleaned(text: object, folders: dict[str, str], shown: dict[str, str] | None = None) -> dict:
    run = {"papermill": {"start_time": "2031"}, "execution": {"shell.execute_reply": "2031"}}
    notebook = {
        "metadata": {"kernelspec": {"name": "python3"}, **run},
        "cells": [
            {"cell_type": "markdown", "metadata": dict(run), "source": "/data/stall"},
            {
                "cell_type": "code",
                "id": "3f9c",
                "metadata": {"tags": ["injected-parameters"], **run},
                "source": 'campaign = "/data/stall"',
                "outputs": [{"output_type": "stream", "name": "stderr", "text": text}],
            },
        ],
    }
    clean(notebook, shown or {}, folders)
    return notebook


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("/data/stall/logs/a.csv", "stall/logs/a.csv"),
        ("see '/data/stall'.", "see 'stall'."),
        ("file:///data/stall/a", "file://stall/a"),
        ("/data/stall2 and /data/stall_b", "/data/stall2 and /data/stall_b"),
        ("<td>1</data/stall>", "<td>1</data/stall>"),
        ("x/data/stall", "x/data/stall"),
        ("/data/stall/out/b.svg", "out/b.svg"),
        (["a\n", "/data/stall\n"], ["a\n", "stall\n"]),
        ({"text/html": "<p>/data/stall</p>"}, {"text/html": "<p>stall</p>"}),
        ({"n": 1, "none": None}, {"n": 1, "none": None}),
    ],
)
def test_folders_are_renamed(text, told):
    notebook = cleaned(text, {"/data/stall": "stall", "/data/stall/out": "out"})
    assert notebook["cells"][1]["outputs"][0]["text"] == told


@pytest.mark.parametrize(
    "form", [r"C:\bench\stall\a.csv", "C:/bench/stall/a.csv", repr(r"C:\bench\stall\a.csv")]
)
def test_windows_folders_are_renamed_however_written(form):
    text = cleaned(form, {r"C:\bench\stall": "stall"})["cells"][1]["outputs"][0]["text"]
    assert "bench" not in text and "stall" in text


def test_the_top_of_the_disk_is_not_a_name():
    assert cleaned("3 / 4", {"/": "home"})["cells"][1]["outputs"][0]["text"] == "3 / 4"


def test_modules_are_named_without_their_place():
    text = f"{Path(sys.prefix, 'lib', 'numpy')}: {Path(__file__).parents[2] / 'kit' / 'coldbench'}"
    text = cleaned(text, {})["cells"][1]["outputs"][0]["text"]
    assert text == f"{Path('python', 'lib', 'numpy')}: coldbench"


def test_times_are_dropped_and_parameters_told_again():
    notebook = cleaned("", {}, {"campaign": 'stall "für" C:\\x', "out": ""})
    assert "2031" not in json.dumps(notebook)
    assert notebook["metadata"] == {"kernelspec": {"name": "python3"}}
    told: dict[str, str] = {}
    exec(notebook["cells"][1]["source"], {}, told)
    assert told == {"campaign": 'stall "für" C:\\x', "out": ""}
    assert notebook["cells"][1]["id"] == "injected-parameters"

"""A fixed twentieth of the harmed logs: the suite's share of ``python run.py validate``."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from random import Random

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "validation"))

import fuzz
import mutations


@pytest.fixture(scope="module")
def harmed():
    return fuzz.read_in_children(list(range(0, fuzz.CASES, fuzz.TWENTIETH)))


def test_nothing_breaks_and_nothing_changes_without_a_word(harmed):
    cases, memory = harmed
    assert len(cases) == fuzz.CASES // fuzz.TWENTIETH
    assert not fuzz.failures(cases, memory)


def test_every_way_was_tried_and_many_files_were_read(harmed):
    rows = {row[0]: dict(zip(fuzz.table(harmed[0])[0], row, strict=True))
            for row in fuzz.table(harmed[0])[1:]}
    assert all(row["files"] >= 20 for row in rows.values())
    # A reader that refuses all would pass the test above.
    assert rows["all"]["same samples"] > 150
    assert rows["all"]["fewer, blank or said"] > 40


@pytest.fixture(scope="module")
def reader(tmp_path_factory):
    return fuzz.Reader(tmp_path_factory.mktemp("harmed"))


def judged(reader, name, lines, way):
    draft = replace(reader.drafts[name], lines=lines)
    return fuzz.judged(reader.whole[name], reader.read(name, draft.data()), [way])[0]


def test_the_judge_sees_what_the_reader_cannot(reader):
    """Harm that leaves a valid log: another value, a row away, two headings swapped."""
    lines = reader.drafts["01-plain.csv"].lines
    assert judged(reader, "01-plain.csv", lines, "nothing") == "same samples"
    other = [line.replace("24.1,25.0", "24.2,25.0") for line in lines]
    assert judged(reader, "01-plain.csv", other, "a value") == "other without a word"
    assert judged(reader, "01-plain.csv", other, "digit") == "digit, not seen"
    away = lines[:5] + lines[6:]
    assert judged(reader, "01-plain.csv", away, "a row") == "fewer without a word"
    swapped = [lines[0].replace("inside", "x").replace("ambient", "inside").replace("x", "ambient"),
               *lines[1:]]
    # Only where the cooler runs does a warm inside give it away.
    assert judged(reader, "01-plain.csv", swapped, "headings") == "other, and said"


def test_a_traceback_is_told(reader, monkeypatch):
    monkeypatch.setattr(reader, "read", lambda *_: 1 / 0)
    assert reader.case(0)["came"] == "traceback"
    assert "ZeroDivisionError" in fuzz.failures([reader.case(0)], 0)[0]


def test_memory_is_told():
    assert fuzz.failures([], fuzz.MOST_BYTES + 1) == ["1.00 GB of memory"]


@pytest.mark.parametrize("way", mutations.WAYS, ids=lambda way: way.__name__)
def test_each_way_harms(way):
    """Of ten tries on a plain log most change its bytes."""
    whole = mutations.drafts()["01-plain.csv"]
    changed = []
    for seed in range(10):
        draft = replace(whole, lines=list(whole.lines), put_in=[])
        way(draft, Random(seed))
        changed.append(draft.data() != whole.data())
    assert np.mean(changed) >= 0.5

"""A fixed tenth of the large proof: the suite's share of ``python run.py validate``."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

import study


@pytest.fixture(scope="module")
def ideal():
    return study.study("ideal", study.TENTH)


@pytest.fixture(scope="module")
def real():
    return study.study("real", study.TENTH)


def test_ideal_instruments_give_the_truth(ideal):
    table = study.ideal_table(ideal)
    assert (table["cases"] >= 8).all(), table.to_string()
    assert table["passed"].all(), table.to_string()


def test_intervals_hold_the_truth(real):
    table = study.real_table(real)
    judged = table[table["passed"] != "few"]
    assert len(judged) >= 8, table.to_string()
    # With a tenth of the cases the binomial interval is three times as wide; widths and shares
    # are judged as in the large proof.
    assert (judged["passed"] == "yes").all(), table.to_string()


def test_the_proof_can_fail(real):
    narrow = real.assign(hit=real["hit"] & (real.index % 4 != 0))
    assert (study.real_table(narrow)["passed"] == "no").any()


def test_bounds_in_place_of_values_fail(real):
    """What is due is decided by the truth alone: a kit that only ever gives bounds falls."""
    table = study.real_table(real.assign(basis="bounded", value=float("nan")))
    failed = table[(table["kind"] == "value") & (table["passed"] == "no")]
    assert {"pull_down_energy", "pull_down_time", "warmest_load"} <= set(failed["finding"])

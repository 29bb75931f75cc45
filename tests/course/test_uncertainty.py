"""The uncertainty card: the end gauge of JCGM 100, then a group's own ratio.

JCGM 100:2008, annex H.1: standard uncertainties [nm] and degrees of freedom read in the
documentation of an open-source uncertainty library; 16 and 93 nm from memory, recomputed.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))
from lab_group import made_up, opened, outside_its_magnitude, solved

from coldbench.course.cards.uncertainty import Term, budget_of, coverage_factor, ratio_steps
from coldbench.errors import UserError

END_GAUGE = {"standard": (25.0, 18), "repeats": (5.8, 24), "comparator, chance": (3.9, 5),
             "comparator, drift": (6.7, 8), "expansion": (2.9, 50), "temperature": (16.6, 2)}
TERMS = [Term(name, u, freedom=freedom) for name, (u, freedom) in END_GAUGE.items()]


def test_the_end_gauge():
    """32 nm with 16 degrees of freedom (truncated); 2.92 × 32 nm are 93 nm at 99 %."""
    budget = budget_of(TERMS)
    assert budget.combined == pytest.approx(32, abs=0.5)
    assert int(budget.freedom) == 16
    assert coverage_factor(budget.freedom, 0.99) == pytest.approx(2.92, abs=0.005)
    expanded = coverage_factor(budget.freedom, 0.99) * budget.combined
    assert expanded == pytest.approx(93, abs=0.6)
    assert budget.largest == "standard"
    assert budget.share == pytest.approx(625 / 1002.71, abs=0.001)


def test_sensitivities_count():
    scaled = [Term(t.name, t.standard / 10, 10.0, t.freedom) for t in TERMS]
    assert budget_of(scaled).combined == pytest.approx(budget_of(TERMS).combined)


def test_students_factors():
    """JCGM 100:2008, table G.2 (from memory): 2.228 for ten degrees of freedom, 1.960 for many."""
    assert coverage_factor(10) == pytest.approx(2.228, abs=0.001)
    assert coverage_factor(np.inf) == pytest.approx(1.960, abs=0.001)


def test_a_quotient():
    """UA = Q/ΔT with 2.0 % and 0.4 K of 30 K: 2.4 % (JCGM 100:2008, 5.1.6)."""
    each = 0.4 / np.sqrt(2) * np.sqrt(3)  # two probes that make 0.4 K together, as limits
    found = ratio_steps({}, 30.0, 50.0, 20.0, [0.6 * np.sqrt(3), each, each])
    assert found["power_per_kelvin"].value == pytest.approx(1.0)
    assert 100 * found["combined"].value == pytest.approx(2.4, abs=0.01)


def test_both_ways_agree():
    """By the budget and by chance: a normal's 1.96 lies near the half width of 4 000 draws."""
    found = ratio_steps({}, 9.0, 45.0, 25.0, [0.1, 0.3, 0.3])
    by_chance, budget = found["simulated"].value, found["combined"].value
    assert by_chance == pytest.approx(1.96 * budget, rel=0.08)
    assert found["expanded"].value == pytest.approx(2 * budget)


def test_a_limit_taken_for_a_standard_uncertainty_is_carried_forward():
    own = ratio_steps({}, 9.0, 45.0, 25.0, [0.1, 0.3, 0.3])
    slip = ratio_steps({"u_power": 0.1, "u_inside": 0.3, "u_ambient": 0.3}, 9.0, 45.0, 25.0,
                       [0.1, 0.3, 0.3])
    assert slip["combined"].value == pytest.approx(np.sqrt(3) * own["combined"].value)
    assert slip["u_inside"].value == own["u_inside"].value


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    """A made-up group with a steady run."""
    return made_up(tmp_path_factory.mktemp("group"), "uncertainty")


def test_a_made_up_group(folder):
    work = opened("uncertainty", folder)
    found = solved(work)
    assert set(found) == {one.name for one in work.card.asked}
    assert outside_its_magnitude(work) == []
    power = found["power"].value
    assert power == pytest.approx(work.book.one("box", "mean_power").value)
    assert found["u_power"].value == pytest.approx((0.01 * power + 0.2) / np.sqrt(3))
    assert found["u_inside"].value == pytest.approx(0.3 / np.sqrt(3))


def test_an_instrument_without_a_limit_is_refused(folder, tmp_path):
    import shutil

    copy = tmp_path / "copy"
    shutil.copytree(folder, copy)
    sheet = copy / "campaign.toml"
    text = sheet.read_text(encoding="utf-8").replace('error = "0.3 K"\n', "")
    sheet.write_text(text, encoding="utf-8", newline="\n")
    with pytest.raises(UserError, match="limit of error of the instrument for air"):
        solved(opened("uncertainty", copy))


@pytest.mark.parametrize(("stated", "limit"), [("24 °C ± 0.4 °C", 0.4), ("24 °C", 1.0)])
def test_an_ambient_that_was_typed(folder, tmp_path, stated, limit):
    """Its own limit counts, else the one that the kit assumes."""
    import shutil

    copy = tmp_path / "copy"
    shutil.copytree(folder, copy)
    sheet = copy / "runs" / "cold.toml"
    lines = sheet.read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if not line.startswith("ambient_C")]
    kept.insert(1, f'ambient = "{stated}"')
    sheet.write_text("\n".join(kept) + "\n", encoding="utf-8", newline="\n")
    found = solved(opened("uncertainty", copy))
    assert found["u_ambient"].value == pytest.approx(limit / np.sqrt(3))
    assert 15 < found["difference"].value < 25

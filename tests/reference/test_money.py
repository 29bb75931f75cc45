"""Present-value factors against published tables (``money.csv``); see there for sources."""

from __future__ import annotations

import pytest

from coldbench.physics.money import annuity_factor, present_value_factor

FACTORS = {"annuity": annuity_factor, "single": present_value_factor}


def test_present_value_factors_as_tabled(rows):
    tabled = rows("money")
    assert len(tabled) == 12
    for row in tabled:
        factor = FACTORS[row["factor"]](float(row["percent"]) / 100, float(row["years"]))
        assert factor == pytest.approx(float(row["value"]), abs=float(row["tolerance"])), row["id"]

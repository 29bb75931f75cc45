"""Published uncertainty arithmetic, done by the kit's own draws."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench import draws
from coldbench.analysis.doubt import true_of
from coldbench.logs.record import Trace
from coldbench.quantities import parse_error_limit

# JCGM 100:2008, annex H.1, end-gauge: standard uncertainties [nm] and degrees of freedom; the
# published results 32 nm and 16 from memory, recomputed.
END_GAUGE = ((25.0, 18), (5.8, 24), (3.9, 5), (6.7, 8), (2.9, 50), (16.6, 2))


def test_the_end_gauges_combined_uncertainty():
    """Root sum of squares 32 nm; draws of 4 000 have a relative scatter of 1.1 %."""
    whole = sum(draws.normal(f"end gauge {n}", u) for n, (u, _) in enumerate(END_GAUGE))
    assert np.std(whole) == pytest.approx(32, abs=1.2)


def test_the_end_gauges_expanded_uncertainty():
    """Welch-Satterthwaite gives 16 (truncated): 2.12 × 32 nm are 68 nm at 95 % and 2.92 × 32 nm
    are 93 nm at 99 %, as published (from memory)."""
    combined = sum(u**2 for u, _ in END_GAUGE)
    freedom = int(combined**2 / sum(u**4 / v for u, v in END_GAUGE))
    assert freedom == 16
    whole = draws.normal("end gauge", np.sqrt(combined)) * draws.student_scale("gauge", freedom)
    low, high = draws.interval(whole)
    assert (high - low) / 2 == pytest.approx(2.12 * 32, rel=0.06)
    assert np.quantile(np.abs(whole), 0.99) == pytest.approx(93, rel=0.10)


def test_students_factor():
    """t95 of 10 degrees of freedom, 2.228 (JCGM 100:2008, table G.2, from memory). The quantile of
    4 000 draws scatters by 0.06."""
    low, high = draws.interval(
        draws.normal("student", 1.0) * draws.student_scale("student seen", 10))
    assert (high - low) / 2 == pytest.approx(2.228, abs=3 * 0.06 / np.sqrt(2))


def test_a_resolution_as_standard_uncertainty():
    """0.1 °C: 0.05/√3 = 0.0289 °C (JCGM 100:2008, 4.3.7)."""
    assert np.std(draws.uniform("step", 0.05)) == pytest.approx(0.0289, rel=0.03)


def test_a_quotient_in_quadrature():
    """UA = Q/ΔT: 2.0 % and 0.4 K of 30 K are 2.4 % (JCGM 100:2008, 5.1.6)."""
    q = 1 + draws.normal("Q", 0.02)
    assert np.std(q / (30 + draws.normal("dT", 0.4)) * 30) == pytest.approx(0.024, rel=0.04)


@pytest.mark.parametrize(("error", "reading", "limit"), [
    ("0.15 K + 0.2 %", -18.0, 0.186),  # IEC 60751:2022, class A: 0.15 + 0.002 |t|
    ("0.30 K + 0.5 %", 5.0, 0.325),  # class B: 0.30 + 0.005 |t|
    ("0.5 K", 5.0, 0.5),  # IEC 60584-1:2013, type T class 1, -40 to 125 °C
    ("2.5 K", -20.0, 2.5),  # type K class 2, -40 to 333 °C
])
def test_tolerance_classes_of_sensors(error, reading, limit):
    """A class as it is written in a sheet reaches as far as its standard says."""
    t = np.arange(3.0)
    trace = Trace(role="air", t=t, y=np.full(3, reading), gap=3.0, step=1.0, probe=error,
                  error=parse_error_limit(error, "temperature"))
    far = np.abs(true_of(trace, reading) - reading).max()
    assert 0.97 * limit < far <= 1.006 * limit

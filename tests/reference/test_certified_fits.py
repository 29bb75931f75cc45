"""The kit's exponential fit against certified answers, and the trap beside them.

NIST Statistical Reference Datasets; sources in the headers of ``certified_fits.csv``,
``misra1a.csv`` and ``boxbod.csv``.
"""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.analysis.exponential import FitRefused, fit_decay, fit_rise, solve

SETS = ("misra1a", "boxbod")


@pytest.fixture
def data(rows):
    """A function: name of a set to its x and y."""

    def read(name: str) -> tuple[np.ndarray, np.ndarray]:
        lines = rows(name)
        return tuple(np.array([float(line[k]) for line in lines]) for k in "xy")

    return read


@pytest.fixture
def certified(rows):
    """A function: name of a set to certified values and standard deviations by parameter."""

    def read(name: str) -> tuple[dict[str, float], dict[str, float]]:
        lines = [line for line in rows("certified_fits") if line["set"] == name]
        values = {line["parameter"]: float(line["certified"]) for line in lines}
        return values, {line["parameter"]: float(line["sd"]) for line in lines if line["sd"]}

    return read


@pytest.mark.parametrize("name", SETS)
def test_certified_values_from_starts_in_the_data(name, data, certified):
    values, sd = certified(name)
    fit = fit_rise(*data(name))
    for parameter in ("b1", "b2"):
        assert fit.values[parameter] == pytest.approx(values[parameter], rel=1e-6)
        assert fit.sd[parameter] == pytest.approx(sd[parameter], rel=1e-5)
    assert fit.rmse**2 * fit.samples == pytest.approx(values["residual sum of squares"], rel=1e-6)


def test_the_certified_course_is_a_decay_to_its_end(data, certified):
    """``b1 − b1 exp(−b2 x)`` seen as a decay from its first sample to a free end."""
    values, _ = certified("boxbod")
    x, _ = data("boxbod")
    fit = fit_decay(x, values["b1"] * (1 - np.exp(-values["b2"] * x)))
    assert fit.values["end"] == pytest.approx(values["b1"], rel=1e-6)
    assert fit.values["time constant"] == pytest.approx(1 / values["b2"], rel=1e-6)


def test_a_bad_start_ends_in_a_false_minimum(data):
    """From (1, 1) plain Levenberg–Marquardt stops at a flat course through the mean of y."""
    from scipy.optimize import OptimizeWarning, curve_fit

    x, y = data("boxbod")
    with pytest.warns(OptimizeWarning):
        found, covariance = curve_fit(lambda x, a, b: a * (1 - np.exp(-b * x)), x, y, p0=(1, 1))
    assert found[0] == pytest.approx(172.5, abs=0.1)
    assert np.isinf(covariance).all()


def test_the_false_minimum_is_refused(data):
    x, y = data("boxbod")
    with pytest.raises(FitRefused, match="infinite covariance"):
        solve(lambda x, a, b: a * (1 - np.exp(-b * x)), x, y, (1.0, 1.0))

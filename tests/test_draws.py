"""Hidden constants: same name, same draws; shapes, limits and intervals as they should be."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest

from coldbench import draws


def test_the_name_alone_decides():
    assert np.array_equal(draws.uniform("P1 offset", 0.5), draws.uniform("P1 offset", 0.5))
    assert np.array_equal(2 * draws.uniform("P1 offset", 0.5), draws.uniform("P1 offset", 1.0))
    assert np.array_equal(2 * draws.normal("x", 0.5), draws.normal("x", 1.0))


def test_another_name_is_another_constant():
    """Of 4000 pairs the correlation scatters by 1/sqrt(4000) = 0.016; five of these."""
    a, b = draws.uniform("P1 offset", 1.0), draws.uniform("P2 offset", 1.0)
    assert abs(np.corrcoef(a, b)[0, 1]) < 0.08


def test_another_process_draws_the_same():
    script = "from coldbench import draws; print(*draws.uniform('P1 offset', 0.5)[:3].tolist())"
    command = [sys.executable, "-c", script]
    told = subprocess.run(command, capture_output=True, text=True, check=True)
    assert told.stdout.split() == [repr(x) for x in draws.uniform("P1 offset", 0.5)[:3].tolist()]


def test_a_limit_is_a_rectangle():
    """JCGM 101:2008, 6.4.2: standard deviation a/sqrt(3); that of 4000 draws is within 3 %."""
    drawn = draws.uniform("P1 offset", 0.5)
    assert drawn.shape == (draws.DRAWS,)
    assert np.abs(drawn).max() <= 0.5
    assert drawn.std() == pytest.approx(0.5 / 3**0.5, rel=0.03)
    assert drawn.mean() == pytest.approx(0, abs=5 * 0.5 / 3**0.5 / draws.DRAWS**0.5)


def test_scatter_is_gaussian():
    """Five standard deviations of the mean and of the deviation of 4000 draws."""
    drawn = draws.normal("scatter", 2.0)
    assert drawn.mean() == pytest.approx(0, abs=5 * 2.0 / draws.DRAWS**0.5)
    assert drawn.std() == pytest.approx(2.0, rel=5 / (2 * draws.DRAWS) ** 0.5)


def test_no_limit_no_doubt():
    assert not draws.uniform("P1 offset", 0.0).any()


def test_interval_of_a_known_distribution():
    """Quantiles of the standard normal: 1.960 (any table); of a rectangle: 0.95 a."""
    low, high = draws.interval(draws.normal("scatter", 1.0))
    # The 2.5 % quantile of 4000 draws scatters by sqrt(0.025*0.975/4000)/0.0584 = 0.042.
    assert low == pytest.approx(-1.960, abs=5 * 0.042)
    assert high == pytest.approx(1.960, abs=5 * 0.042)
    low, high = draws.interval(np.linspace(-1, 1, draws.DRAWS))
    assert (low, high) == (pytest.approx(-0.95, abs=1e-3), pytest.approx(0.95, abs=1e-3))


def test_the_interval_is_never_narrower_than_its_quantiles():
    drawn = draws.uniform("P1 offset", 1.0)
    low, high = draws.interval(drawn)
    assert low <= np.quantile(drawn, 0.025) and np.quantile(drawn, 0.975) <= high


def test_infinite_draws_leave_an_end_open():
    drawn = np.where(np.arange(draws.DRAWS) % 10 == 0, np.inf, 1.0)
    assert draws.interval(drawn) == (1.0, np.inf)
    assert draws.interval(-drawn) == (-np.inf, -1.0)


def test_common_errors_cancel_in_a_difference():
    probe = draws.uniform("P1 offset", 0.5)
    assert draws.interval((4.0 + probe) - (3.0 + probe)) == (pytest.approx(1), pytest.approx(1))

"""Intervals from blocks of residuals hold where those of the covariance do not."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.analysis.bootstrap import correlated, lag_one, parameter_draws

RECORDS, REPLICATES = 300, 1000


def wandering(rng, n, phi):
    """First-order autoregressive noise of standard deviation 1, stationary from the start."""
    from scipy.signal import lfilter

    return lfilter([1], [1, -phi], rng.normal(size=n + 300))[300:] * np.sqrt(1 - phi**2)


def decay_slopes(n):
    """Of ``end + amplitude exp(−x/tau)`` over three time constants."""
    x = np.linspace(0, 3, n)
    return np.column_stack([np.ones(n), np.exp(-x), 20 * x * np.exp(-x)])


def hits(n, phi):
    """How often intervals of blocks and of the covariance hold each true parameter, 0."""
    rng, slopes = np.random.default_rng([n, int(100 * phi)]), decay_slopes(n)
    covariance = np.diag(np.linalg.inv(slopes.T @ slopes))
    blocks, own = [], []
    for record in range(RECORDS):
        noise = wandering(rng, n, phi)
        fitted = np.linalg.pinv(slopes) @ noise
        residuals = noise - slopes @ fitted
        drawn = fitted[:, None] + parameter_draws(slopes, residuals, f"{n} {record}", REPLICATES)
        low, high = np.quantile(drawn, [0.025, 0.975], axis=1)
        blocks.append((low <= 0) & (high >= 0))
        sd = np.sqrt(covariance * (residuals @ residuals) / (n - 3))
        own.append(np.abs(fitted) <= 1.96 * sd)
    return np.mean(blocks, axis=0), np.mean(own, axis=0)


@pytest.mark.parametrize(("n", "phi"), [(200, 0.8), (400, 0.9), (120, 0.5)])
def test_blocks_hold_where_the_covariance_does_not(n, phi):
    """Of 300 records 95 % give 0.913 to 0.987 with all but 0.3 % of chance (3 binomial sd)."""
    blocks, own = hits(n, phi)
    assert blocks == pytest.approx(np.full(3, 0.95), abs=3 * np.sqrt(0.95 * 0.05 / RECORDS))
    assert (own < 0.8).all()


def test_independent_residuals_need_no_more_than_the_covariance():
    blocks, own = hits(150, 0.0)
    for rate in (blocks, own):
        assert rate == pytest.approx(np.full(3, 0.95), abs=3 * np.sqrt(0.95 * 0.05 / RECORDS))


def test_the_same_name_gives_the_same_draws():
    slopes, residuals = decay_slopes(50), wandering(np.random.default_rng(1), 50, 0.3)
    one, same, other = (parameter_draws(slopes, residuals, name) for name in ("a", "a", "b"))
    assert one.shape == (3, 4000)
    assert (one == same).all()
    assert not (one == other).all()


def test_a_record_worth_too_little_is_refused():
    slopes = decay_slopes(60)
    slow = np.cos(np.linspace(0, 2 * np.pi, 60))
    with pytest.raises(ValueError, match="independent ones"):
        parameter_draws(slopes, slow, "slow")


def test_what_the_fit_hid_is_put_back():
    """The mean correlation of 200 records of φ = 0.8 comes nearer to 0.8."""
    rng, slopes = np.random.default_rng(4), decay_slopes(100)
    hat = slopes @ np.linalg.pinv(slopes)
    left = [(noise := wandering(rng, 100, 0.8)) - hat @ noise for _ in range(200)]
    seen, mended = (np.mean([lag_one(r, m) for r in left]) for m in (0, 3))
    assert seen < 0.74
    assert mended == pytest.approx(0.8, abs=0.05)
    assert all(map(correlated, left))
    assert lag_one(np.zeros(5)) == 0.0

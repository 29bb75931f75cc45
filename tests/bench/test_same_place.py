"""Probes together in one bath on the bench."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.bench.same_place import SharedBath, shared_history


def test_probes_follow_the_bath_at_their_own_speed():
    bath = SharedBath(ice_error=0.1, room=20.0, moves=(300.0, 1200.0))
    history = shared_history(bath, {"quick": 10.0, "slow": 100.0})
    for probe, tau in (("quick", 10.0), ("slow", 100.0)):
        y = history.state(probe)
        assert y[:300] == pytest.approx(20.0)
        assert y[1199] == pytest.approx(0.1, abs=1e-3)
        # One time constant after it was taken out 1 − 1/e of the step is done.
        assert y[1200 + int(tau) - 1] == pytest.approx(0.1 + 19.9 * (1 - np.exp(-1)), abs=0.02)


def test_places_and_drift_reach_the_probe():
    bath = SharedBath(room=20.0, drift=0.6, places={"P": (0.02, -0.05)})
    y = shared_history(bath, {"P": 10.0}).state("P")
    assert y[1190] == pytest.approx(0.02, abs=1e-3)
    # It lags a drift by its time constant.
    assert y[2700] == pytest.approx(20.0 + 0.6 * (2700 - 10) / 3600 - 0.05, abs=1e-3)

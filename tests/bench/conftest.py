"""A run whose every answer is known on paper."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.bench import History

STEP = 10.0


@pytest.fixture
def paper_run() -> History:
    """Ten hours: air falls 2 K/h from 24 °C; 50 W for the first 10 min of each half hour, else 2 W.

    The load freezes: supercooled to −3 °C at 3 h, at 0 °C from then to 6 h, then falling 4 K/h.
    Its water gives up 100 W, its containers 10 W, throughout.
    """
    t = np.arange(-1200.0, 36000.0 + STEP, STEP)
    hours = np.maximum(t, 0.0) / 3600
    load = np.interp(hours, [0, 2, 3 - 1e-9, 3, 6, 10], [24, 0, -3, 0, 0, -16])
    begin = t[:-1]
    on = (begin >= 0) & (begin % 1800 < 600)
    power = np.where(on, 50.0, np.where(begin >= 0, 2.0, 0.0))
    zero = np.zeros_like(begin)
    return History(
        t=t,
        states={
            "air": 24.0 - 2.0 * hours,
            "ambient": np.full_like(t, 24.0),
            "load": load,
            "ice": np.interp(hours, [3, 6], [0.1, 0.9]),
        },
        flows={"power": power, "leak": zero + 7.0, "machine": zero, "inside": zero},
        on=on,
        taken=np.array([100.0 * (t - t[0])]),
        taken_container=np.array([10.0 * (t - t[0])]),
        stored=np.zeros_like(t),
        nucleated=np.array([3 * 3600.0]),
        water=np.array([1.0]),
    )

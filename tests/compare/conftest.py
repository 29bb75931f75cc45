"""Findings made in memory: a value, a probe whose hidden offset it carries, conditions."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from coldbench import draws
from coldbench.findings import Finding, measured


def finding(
    cooler: str, value: float | None, probe: str = "T1", limit: float | None = 0.5,
    name: str = "coldest_air", unit: str = "°C", at: str = "", run: str = "", **more: object,
) -> Finding:
    """A measured finding whose draws carry the probe's offset; no limit, no draws."""
    run = run or f"{cooler}-1"
    base = dict(cooler=cooler, finding=name, unit=unit, at=at, runs=(run,), conditions={})
    base |= more
    if value is None or limit is None:
        return Finding(**base, value=value)
    return Finding(**base, **measured(value - draws.uniform(f"{probe} offset", limit), value))


def campaign(**repeats: str | None) -> SimpleNamespace:
    """Runs, and which of them each repeats: all that repeats are told by."""
    return SimpleNamespace(runs={
        run: SimpleNamespace(repeat_of=of, setting="coldest") for run, of in repeats.items()
    })


@pytest.fixture
def made() -> SimpleNamespace:
    """Both of the above, and the half width of a sum of independent normals."""
    return SimpleNamespace(finding=finding, campaign=campaign,
                           half=lambda *sds: 1.96 * float(np.linalg.norm(sds)))

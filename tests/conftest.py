"""What every test may use."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

CLONE = Path(__file__).resolve().parents[1]

# As the command does: without it every process that touches a notebook loses a second.
sys.modules.setdefault("rfc3987_syntax", None)
# Figures are drawn to files, whatever screen the machine has; children inherit it.
os.environ["MPLBACKEND"] = "agg"


@pytest.fixture(scope="session")
def clone() -> Path:
    """Top folder of the clone."""
    return CLONE

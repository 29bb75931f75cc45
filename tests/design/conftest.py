"""What the tests of the search share."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
import made_designs


@pytest.fixture(scope="session")
def build():
    """Machines, boards, excess and wishes, all made up."""
    return made_designs.build()

"""What every test may use."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest
from hypothesis import settings

CLONE = Path(__file__).resolve().parents[1]

# As the command does: without it every process that touches a notebook loses a second.
sys.modules.setdefault("rfc3987_syntax", None)
# Figures are drawn to files, whatever screen the machine has; children inherit it.
os.environ["MPLBACKEND"] = "agg"
# The same examples in every run, so that a pass can be repeated. To hunt with new ones:
# python run.py test --hypothesis-profile=default
settings.register_profile("same examples", derandomize=True, deadline=None, print_blob=True)
settings.load_profile("same examples")


def pytest_ignore_collect(collection_path: Path) -> bool | None:
    """Doctests are the package's; helpers and scripts beside the tests are not collected."""
    helper = collection_path.suffix == ".py" and not collection_path.name.startswith("test_")
    return True if helper and CLONE / "tests" in collection_path.parents else None


@pytest.fixture(scope="session")
def clone() -> Path:
    """Top folder of the clone."""
    return CLONE

"""The invented group that comes with the kit, for lab cards that the demo has no runs for."""

from __future__ import annotations

from pathlib import Path

from coldbench.course.cards import NAMES, card_named
from coldbench.course.makeup import make_up

GROUP, SEED = "lab", 20310901
KINDS = ("steady", "freeze", "warm-up", "heater")


def build_lab(folder: Path) -> None:
    """Write ``templates/campaign-lab``: made-up runs and readings of one group.

    Parameters
    ----------
    folder : Path
        Made if missing.
    """
    roles = {role for name in NAMES for role in card_named(name).roles}
    make_up(folder, GROUP, SEED, KINDS, roles, {})

"""Cards of a group share a folder of figures: no two may write one file."""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
from lab_group import made_up, opened

from coldbench.course.sheet_shown import plots

CARDS = ("pull_down_balance", "duty_and_meters", "carnot_gap")


def test_cards_that_draw_the_same_run_name_their_figures_apart(tmp_path):
    folder = made_up(tmp_path / "g01", "pull_down_balance")
    names = []
    for card in CARDS:
        work = opened(card, folder)
        plots(work)
        names += work.book.drawn
    assert len(names) > len(CARDS) and max(Counter(names).values()) == 1

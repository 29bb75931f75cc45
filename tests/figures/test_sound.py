"""Charts of sound: rows by state, bounds as arrows, background, and a log with its levels."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from coldbench.figures import sound_levels, sound_log, svg_text


@pytest.fixture
def rows(made):
    def level(cooler, at, value=None, low=None, high=None, back=None):
        row = made.finding(cooler, "sound_level", value, low, high, unit="dB", at=at,
                           basis="measured" if value else "bounded")
        return row if back is None else replace(row, conditions={"background": back})
    return [
        level("small", "running 1 m", 38.0, 36.4, 39.7, 27.5),
        level("chest", "running 1 m", 41.2, 39.6, 42.9, 27.0),
        level("chest", "idle 1 m", high=28.4, back=27.0),
        level("chest", "running 0.3 m", 50.0, 48.0, 52.0),
        level("chest", "rattling 1 m", 52.0),
        level("chest", "running 1 m L10", 43.0, 41.0, 45.0),
    ]


def labelled(axes, label):
    return [line for line in axes.get_lines() if line.get_label() == label]


def test_levels_stand_by_distance_and_state_in_the_order_of_the_coolers(rows):
    drawn = sound_levels(rows, coolers=["chest", "small"])
    assert list(drawn.data["at"]) == ["running 0.3 m", "running 1 m", "running 1 m", "idle 1 m",
                                      "rattling 1 m"]
    assert list(drawn.data["cooler"]) == ["chest", "chest", "small", "chest", "chest"]
    axes, = drawn.figure.axes
    heads = [text.get_text() for text in axes.texts]
    assert heads == ["Running, 0.3 m away", "Running, 1 m away", "Idle, 1 m away",
                     "Rattling, 1 m away"]
    assert "[dB]" in axes.get_xlabel()


def test_bounds_are_arrows_and_the_background_a_grey_mark(rows):
    drawn = sound_levels(rows)
    axes, = drawn.figure.axes
    assert len(labelled(axes, "open end")) == 1
    backs = sorted(line.get_xdata()[0] for line in labelled(axes, "background"))
    assert backs == [27.0, 27.0, 27.5]
    assert len(labelled(axes, "dot")) == 4
    for word in ("an arrow", "Hollow dots", "Grey diamonds", "sound power of a label"):
        assert word in drawn.caption
    assert "≤ 29 dB, background 27.0 dB" in drawn.alt
    low, high = axes.get_xlim()
    assert low < 27.0 and high > 52.0


def test_one_kind_of_row_has_no_words_of_others(rows):
    drawn = sound_levels(rows[1:2])
    assert "arrow" not in drawn.caption and "Hollow" not in drawn.caption


def test_nothing_to_draw(made):
    assert sound_levels([]) is None
    assert sound_levels([made.finding("chest", "sound_level", basis="not measured")]) is None
    assert sound_log(made.record(), []) is None


@pytest.fixture
def log(made):
    hours = made.without(np.arange(1200) / 3600, (0.1, 0.15))
    level = np.where(hours % 0.1 < 0.04, 42.0, 30.0)
    record = made.record("chest", end=0.33, step=1.0, marks=[made.mark(0.05, "lid opened")])
    sound = made.trace("sound", hours, level, gap=5.0)
    return replace(record, run="r", traces={"sound": sound, "power": record.trace("power")})


def test_a_log_with_its_levels_background_and_marks(log, made, rows):
    levels = [replace(made.finding("chest", "sound_level", value, unit="dB", at=at), runs=("r",),
                      conditions={"background": 24.0})
              for at, value in (("running 1 m", 41.9), ("running 1 m L10", 42.5),
                                ("running 1 m L50", 42.0), ("running 1 m L90", 30.0))]
    drawn = sound_log(log, [*levels, *rows], name="Chest")
    top, power = drawn.figure.axes
    said = [text.get_text() for text in top.texts]
    assert said[:4] == ["L10 42.5 dB", "L50 42.0 dB", "L90 30.0 dB", "background 24.0 dB"]
    assert "lid opened" in said
    assert power.get_xlabel() == "Time since the first sample [min]"
    assert power.get_xlim()[1] == pytest.approx(1199 / 60, abs=0.01)
    # The gap is a gap: the line is broken and hatched.
    assert drawn.data.loc[drawn.data["role"] == "sound", "value"].isna().any()
    assert any(artist.get_label() == "gap" for artist in top.collections)
    assert "1 gap in the log" in drawn.alt and "exceeded for 10, 50 and 90 %" in drawn.caption
    assert svg_text(drawn) == svg_text(sound_log(log, [*levels, *rows], name="Chest"))


def test_two_states_are_named_at_their_lines(log, made):
    levels = [replace(made.finding("chest", "sound_level", value, unit="dB", at=at), runs=("r",))
              for at, value in (("running 1 m L50", 42.0), ("idle 1 m L50", 30.0))]
    drawn = sound_log(log, levels)
    said = [text.get_text() for text in drawn.figure.axes[0].texts]
    assert {"running L50 42.0 dB", "idle L50 30.0 dB"} <= set(said)


def test_readings_by_eye_are_no_log(log):
    sound = replace(log.trace("sound"), by_hand=True)
    assert sound_log(replace(log, traces={"sound": sound}), []) is None

"""SVG and CSV: the same bytes each time, nothing from outside, words for every figure."""

from __future__ import annotations

import io
import re
import subprocess
import sys
from xml.etree import ElementTree

import numpy as np
import pandas as pd
import pytest

from coldbench import figures
from coldbench.figures.look import house

TARGETS = [4.0, 0.0]


@pytest.fixture(scope="module")
def every(made):
    """One of each figure, with names that need care."""
    names = {"chest": "A $5 box & <b>$x_1$</b>", "small": "冷却箱\nnumber two"}
    records = {"chest": made.record("chest", gaps=[(5, 6)]), "small": made.record("small", floor=8)}
    found = [made.crossing("chest", 2.6, 2.4, 2.8),
             made.finding("chest", "daily_energy", 386, 370, 403, unit="Wh/d", at="dc"),
             made.finding("chest", "usable_volume", 12, 11, 13, unit="L")]
    run, freeze = made.freezing()
    return [
        figures.pull_down_overlay(records, found, TARGETS, names=names),
        figures.pull_down_sheet(records["chest"], found, TARGETS, name=names["chest"]),
        figures.steady_stack(records["chest"], made.steady(), name=names["chest"]),
        figures.one_cycle(records["chest"], made.steady(), found),
        figures.cumulative_energy(records, found, names=names),
        figures.freeze_curve(run, freeze, name=names["small"]),
        figures.dot_plot(found, [("daily_energy", "dc")], coolers=list(records), names=names),
        figures.size_against_energy(found, names=names),
    ]


def test_svg_is_the_same_each_time_and_carries_no_date(every):
    for drawn in every:
        svg = figures.svg_text(drawn)
        assert svg == figures.svg_text(drawn)
        assert "<metadata" not in svg and "<!--" not in svg
        assert not re.search(r"\d{4}-\d{2}-\d{2}T", svg)
        ElementTree.fromstring(svg)


def test_no_line_has_an_empty_dash_pattern(every):
    for drawn in every:
        assert not re.search(r"stroke-dasharray: *;", figures.svg_text(drawn))


def test_svg_needs_no_font(every):
    for drawn in every:
        assert "<text" not in figures.svg_text(drawn)


def test_svg_is_the_same_in_another_process():
    code = (
        "from coldbench import figures\n"
        "from coldbench.findings import Finding\n"
        "found = [Finding(cooler='a', finding='mass', value=9.0, low=8.0, high=10.0, unit='kg')]\n"
        "svg = figures.svg_text(figures.dot_plot(found, [('mass', '')]))\n"
    )
    here: dict[str, str] = {}
    exec(code, here)
    there = subprocess.run(
        [sys.executable, "-c", f"{code}import sys; sys.stdout.buffer.write(svg.encode())"],
        capture_output=True, check=True,
    ).stdout.decode("utf-8")
    assert there == here["svg"]


def test_two_figures_share_no_clip_names(every):
    names = [set(re.findall(r'<clipPath id="([^"]+)"', figures.svg_text(d))) for d in every[:2]]
    assert names[0] and names[1]
    assert not names[0] & names[1]


def test_every_figure_has_words_and_a_name(every):
    assert len({drawn.name for drawn in every}) == len(every)
    for drawn in every:
        assert re.fullmatch(r"[a-z0-9-]+", drawn.name)
        assert len(drawn.alt) > 60
        assert re.search(r"\d", drawn.alt)
        assert drawn.caption.endswith(".")
        assert "\n" not in drawn.alt


def test_csv_holds_what_is_drawn(every):
    for drawn in every:
        text = figures.csv_text(drawn)
        assert "\r" not in text
        back = pd.read_csv(io.StringIO(text))
        assert back.columns.tolist() == drawn.data.columns.tolist()
        assert len(back) == len(drawn.data) > 0
        number = drawn.data.select_dtypes("number").columns
        np.testing.assert_allclose(back[number], drawn.data[number], rtol=1e-6)


def test_words_stay_inside_the_figure(every):
    for drawn in every:
        with house():
            drawn.figure.canvas.draw()
        renderer, room = drawn.figure.canvas.get_renderer(), drawn.figure.bbox
        for axes in drawn.figure.axes:
            low, high = sorted(axes.get_ylim())
            ticks = [t for t in axes.get_yticklabels() if low <= t.get_position()[1] <= high]
            parts = [*axes.texts, axes.xaxis.label, axes.yaxis.label, *ticks]
            for text in (t for t in parts if t.get_visible() and t.get_text()):
                with house():
                    box = text.get_window_extent(renderer)
                assert box.x0 >= -0.5 and box.x1 <= room.x1 + 0.5, text.get_text()
                assert box.y0 >= -0.5 and box.y1 <= room.y1 + 0.5, text.get_text()

"""One style a cooler; colours that can be told apart in print; the house fonts."""

from __future__ import annotations

import itertools
import subprocess
import sys

import matplotlib
import numpy as np
import pytest

from coldbench.figures import look


def luminance(colour):
    """Relative luminance of a colour (WCAG 2.1, 'relative luminance')."""
    part = np.array([int(colour[i:i + 2], 16) / 255 for i in (1, 3, 5)])
    linear = np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)
    return float(linear @ [0.2126, 0.7152, 0.0722])


def lightness(colour):
    """CIE L* of a colour (CIE 15:2004, 8.2.1)."""
    y = luminance(colour)
    return 116 * np.cbrt(y) - 16 if y > 216 / 24389 else y * 24389 / 27


def test_lightness_against_published_ends():
    assert lightness("#ffffff") == pytest.approx(100, abs=0.01)
    assert lightness("#000000") == 0


@pytest.mark.parametrize("colour", [*look.COLOURS, look.GREY, look.INK])
def test_contrast_on_white_is_at_least_three(colour):
    assert 1.05 / (luminance(colour) + 0.05) >= 3


def test_colours_differ_in_grey():
    levels = [lightness(c) for c in look.COLOURS]
    assert all(abs(a - b) >= 10 for a, b in itertools.pairwise(levels))
    assert all(abs(a - b) >= 1.5 for a, b in itertools.combinations(levels, 2))


def test_each_cooler_has_marker_and_dash_of_its_own():
    styles = look.cooler_styles([f"c{n}" for n in range(20)])
    assert len(set(styles.values())) == 20
    first = list(styles.values())[:8]
    assert len({s.marker for s in first}) == len({s.dash for s in first}) == 8
    assert len({s.colour for s in first}) == 7


def test_styles_go_by_order_not_by_name():
    one, other = look.cooler_styles(["a", "b"]), look.cooler_styles(["x", "y", "z"])
    assert list(one.values()) == list(other.values())[:2]


def test_the_house_look_is_left_behind():
    before = dict(matplotlib.rcParams)
    with look.house():
        assert matplotlib.rcParams["svg.fonttype"] == "path"
        assert matplotlib.rcParams["axes.spines.top"] is False
        assert matplotlib.rcParams["font.family"][-1] == "DejaVu Sans"
    assert dict(matplotlib.rcParams) == before


def test_the_users_own_settings_do_not_show():
    with matplotlib.rc_context({"lines.linewidth": 9, "axes.facecolor": "red"}), look.house():
        assert matplotlib.rcParams["lines.linewidth"] == 1.3
        assert matplotlib.rcParams["axes.facecolor"] == "white"


def test_panels_are_placed_in_millimetres():
    figure, (upper, lower) = look.panels([40, 20], width=100, left=20, right=10, top=5, bottom=15,
                                         between=5)
    assert figure.get_size_inches() * 25.4 == pytest.approx([100, 85])
    assert np.array(upper.get_position().bounds) * [100, 85, 100, 85] == pytest.approx(
        [20, 40, 70, 40])
    assert lower.get_position().height * 85 == pytest.approx(20)


def test_text_is_wrapped_to_a_width():
    with look.house():
        figure = look.new_figure(100, 50)
        for text in ("a box with a very long name indeed", "w" * 60, "x", "two\nlines"):
            found = look.wrapped(figure, text, 20)
            assert all(look.text_width(figure, part) <= 20 for part in found)
            assert "".join(found).replace(" ", "") == text.replace(" ", "").replace("\n", "")


def test_the_import_is_light():
    code = ("import sys, coldbench.figures; "
            "print([m for m in ('matplotlib.pyplot', 'scipy', 'IPython') if m in sys.modules])")
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"

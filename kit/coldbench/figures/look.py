"""The house look: page widths, one style a cooler, fonts, panels measured in millimetres."""

from __future__ import annotations

import logging
import warnings
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache

import matplotlib
from matplotlib import font_manager
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from coldbench import shipped

FULL_WIDTH = 170.0  # A4 with margins of 20 mm [mm]
HALF_WIDTH = 82.0  # [mm]
MM = 1 / 25.4  # [in/mm]

INK = "#222222"
GREY = "#6b6b6b"  # thin lines and words that belong to no cooler
BAND = "#ececec"  # a shaded window
GAP = "#9a9a9a"  # hatch of a gap

# Paul Tol, Colour Schemes, SRON technical note SRON/EPS/TN/09-002, version 3.2, 2021: six of the
# "muted" scheme, without those under 3:1 against white, then black. Ordered so that neighbours
# differ in lightness. Values from memory.
COLOURS = ("#332288", "#CC6677", "#117733", "#999933", "#882255", "#AA4499", "#000000")
MARKERS = ("o", "s", "^", "D", "v", "P", "X", "p")
DASHES = (
    (0, ()), (0, (6, 2)), (0, (5, 1.5, 1, 1.5)), (0, (2, 1.2)), (0, (9, 2, 2, 2)),
    (0, (4, 1.2, 1, 1.2, 1, 1.2)), (0, (3, 3)), (0, (10, 3)),
)


@dataclass(frozen=True)
class Style:
    """How one cooler is drawn everywhere: colour, marker and dash pattern."""

    colour: str
    marker: str
    dash: tuple[float, tuple[float, ...]]


def cooler_styles(ids: Iterable[str]) -> dict[str, Style]:
    """One style a cooler, by order in the campaign.

    Past the seventh cooler colours come again, with other markers and dashes.

    Examples
    --------
    >>> styles = cooler_styles(["chest", "small"])
    >>> styles["chest"].marker, styles["small"].marker
    ('o', 's')
    """
    return {
        name: Style(
            COLOURS[n % len(COLOURS)], MARKERS[n % len(MARKERS)], DASHES[n % len(DASHES)]
        )
        for n, name in enumerate(ids)
    }


@cache
def _settings() -> dict[str, object]:
    # The kit's own fonts only: a figure must look the same on every machine. A fallback font that
    # lacks a weight takes its next one, which is no news to a reader.
    logging.getLogger("matplotlib.font_manager").setLevel(logging.ERROR)
    for font in sorted((shipped("templates") / "report" / "fonts").glob("*.[ot]tf")):
        font_manager.fontManager.addfont(font)
    kept = ("backend", "interactive", "toolbar", "timezone", "date.epoch")
    settings = {k: v for k, v in matplotlib.rcParamsDefault.items() if not k.startswith(kept)}
    house = matplotlib.rc_params_from_file(
        shipped("templates") / "report" / "report.mplstyle", use_default_template=False
    )
    settings.update(house)
    known = {entry.name for entry in font_manager.fontManager.ttflist}
    settings["font.family"] = [f for f in house["font.family"] if f in known]
    return settings


@contextmanager
def house() -> Iterator[None]:
    """Matplotlib under the house look, whatever the user's own settings are."""
    # A name in a script that no font has is drawn as boxes; that is no fault of the run.
    with warnings.catch_warnings(), matplotlib.rc_context(_settings()):
        warnings.filterwarnings("ignore", message="Glyph .* missing from")
        yield


def panels(
    heights: Sequence[float], *, width: float = FULL_WIDTH, left: float = 18.0,
    right: float = 4.0, top: float = 6.0, bottom: float = 12.0, between: float = 4.0,
) -> tuple[Figure, list[Axes]]:
    """Figure with panels one above the other that share the horizontal axis.

    Parameters
    ----------
    heights : sequence of float
        Height of each panel, from the top. [mm]
    width, left, right, top, bottom, between : float
        Width of the figure and the room around and between panels. [mm]
    """
    figure = new_figure(width, sum(heights) + top + bottom + between * (len(heights) - 1))
    axes: list[Axes] = []
    above = top
    for height in heights:
        axes.append(place(figure, left, above, width - left - right, height,
                          sharex=axes[0] if axes else None))
        above += height + between
    for upper in axes[:-1]:
        upper.tick_params(labelbottom=False)
    return figure, axes


def new_figure(width: float, height: float) -> Figure:
    """Empty figure of a size in millimetres, with a canvas of its own."""
    figure = Figure(figsize=(width * MM, height * MM))
    FigureCanvasAgg(figure)
    return figure


def place(
    figure: Figure, left: float, above: float, width: float, height: float,
    sharex: Axes | None = None,
) -> Axes:
    """Axes at a place counted in millimetres from the figure's top left corner."""
    across, tall = (side / MM for side in figure.get_size_inches())
    box = (left / across, 1 - (above + height) / tall, width / across, height / tall)
    return figure.add_axes(box, sharex=sharex)


def text_width(figure: Figure, text: str, size: float = 8.0) -> float:
    """Width of a line of text in the house font. [mm]"""
    font = font_manager.FontProperties(size=size)
    width, _, _ = figure.canvas.get_renderer().get_text_width_height_descent(text, font, False)
    return width / figure.dpi / MM


def wrapped(figure: Figure, text: str, room: float, size: float = 8.0) -> list[str]:
    """Lines of a text that fit a width; its own line ends are kept, too long words broken.

    Parameters
    ----------
    room : float
        Width to fit. [mm]
    size : float
        Size of the text. [pt]
    """
    if "\n" in text:
        return [line for part in text.split("\n") for line in wrapped(figure, part, room, size)]
    lines: list[str] = []
    for word in text.split(" "):
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(figure, joined, size) <= room:
            lines[-1] = joined
            continue
        while text_width(figure, word, size) > room and len(word) > 1:
            cut = next(
                n for n in range(len(word) - 1, 0, -1)
                if n == 1 or text_width(figure, word[:n], size) <= room
            )
            lines.append(word[:cut])
            word = word[cut:]
        lines.append(word)
    return lines or [""]

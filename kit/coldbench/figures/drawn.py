"""A drawn figure with the data behind it, its alternative text and caption."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass

import matplotlib
import pandas as pd
from matplotlib.figure import Figure
from matplotlib.text import Text

from coldbench.figures.look import house
from coldbench.quantities import us


@dataclass(frozen=True)
class Drawn:
    """What a figure function returns.

    Parameters
    ----------
    figure : Figure
        The drawing.
    data : DataFrame
        What is drawn, a row a point; an empty value is a break in a line.
    alt : str
        The figure in words, for those who cannot see it.
    caption : str
        Conditions, and what bars and bands are.
    name : str
        Stem of the file names.
    """

    figure: Figure
    data: pd.DataFrame
    alt: str
    caption: str
    name: str


def svg_text(drawn: Drawn) -> str:
    """The figure as SVG, the same bytes for the same input: no date, no chance names.

    Text is drawn as outlines, so that no font is needed where it is read.
    """
    _in_units(drawn.figure)
    buffer = io.StringIO()
    blank = {"Date": None, "Creator": None, "Format": None, "Type": None}
    with house():
        # The salt differs from figure to figure, so that two of them can share a page.
        matplotlib.rcParams["svg.hashsalt"] = drawn.name
        drawn.figure.savefig(buffer, format="svg", metadata=blank)
    svg = re.sub(r"\s*<metadata>.*?</metadata>", "", buffer.getvalue(), flags=re.DOTALL)
    return re.sub(r"<!--.*?-->\s*", "", svg, flags=re.DOTALL)


def _in_units(figure: Figure) -> None:
    """Words in a figure in the units chosen; drawings to scale keep the mm of their lengths."""
    if us.chosen() == "si":
        return
    for text in figure.findobj(Text):
        if "mm" not in text.get_text():
            text.set_text(us.instead(text.get_text()))


def csv_text(drawn: Drawn) -> str:
    """The data behind the figure as CSV, with full stops as decimal marks."""
    return drawn.data.to_csv(index=False, lineterminator="\n", float_format="%.7g")

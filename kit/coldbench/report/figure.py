"""Figures for both reports: the SVG as given, caption, alt text, and the name of the data file."""

from __future__ import annotations

import re
from base64 import b64encode
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import Literal

from coldbench.errors import Fault, UserError
from coldbench.report.markup import clean, html_text, one_line, typst_string
from coldbench.report.shown import Shown

TEXT_WIDTH = 170.0  # mm, on both papers
HALF_WIDTH = 82.0  # mm, two fit beside each other
MOST_PIXELS = 1600  # of the longer side; enough for 170 mm on paper
HALF_PIXELS = 700  # wider pictures go over the whole text width
TALLEST = 205.0  # mm; leaves room for the caption on either paper

_ATTRIBUTE = re.compile(r"""\b(width|height|viewBox)\s*=\s*["']([^"']*)["']""")


@dataclass(frozen=True)
class Figure(Shown):
    """A figure that is never cut in two; see :mod:`coldbench.report.display`.

    Parameters
    ----------
    svg : str
        The whole SVG document, text drawn as paths.
    caption : str
        What it shows, with what the bars or bands mean.
    alt : str
        The same for those who cannot see it, made from the data. Never empty.
    label : str
        Short name, unique in the report.
    width : str
        ``full`` (text width) or ``half``.
    csv : str
        The file with the data behind it, as the reader finds it: ``figures/pull_down.csv``.

    Raises
    ------
    ValueError
        No SVG, no alt text, or another width.
    """

    svg: str
    caption: str
    alt: str
    label: str = ""
    width: Literal["full", "half"] = "full"
    csv: str = ""

    def __post_init__(self) -> None:
        if "<svg" not in self.svg:
            raise ValueError("svg holds no <svg> element")
        if not one_line(self.alt):
            raise ValueError("a figure needs an alt text")
        if self.width not in ("full", "half"):
            raise ValueError(f"width {self.width!r} is neither full nor half")

    def html(self) -> str:
        """A ``<figure>`` with the image inside the page."""
        data = b64encode(clean(self.svg).encode("utf-8")).decode("ascii")
        name = f' id="fig-{html_text(self.label)}"' if self.label else ""
        source = f' <span class="source">Data: {html_text(self.csv)}</span>' if self.csv else ""
        caption = ""
        if self.caption or self.csv:
            caption = (
                f'<figcaption><span class="count">Figure</span>{html_text(self.caption)}'
                f"{source}</figcaption>"
            )
        return (
            f'<figure class="{self.width}"{name}>'
            f'<div class="scroll" role="group" tabindex="0" aria-label="Figure">'
            f'<img src="data:image/svg+xml;base64,{data}" alt="{html_text(self.alt)}">'
            f"</div>{caption}</figure>"
        )

    def typst(self) -> str:
        """A call of the template's ``svg-figure``."""
        wide = TEXT_WIDTH if self.width == "full" else HALF_WIDTH
        wide = min(wide, TALLEST / aspect(self.svg))
        return (
            f"#svg-figure({typst_string(self.svg, lines=True)}, width: {wide:.2f}mm, "
            f"caption: {typst_string(self.caption)}, alt: {typst_string(self.alt)}, "
            f"source: {typst_string(self.csv)});"
        )

    def plain(self) -> str:
        """Caption and alt text."""
        return f"{one_line(self.caption)}\n{one_line(self.alt)}"


@dataclass(frozen=True)
class Pair(Shown):
    """Two half-width figures side by side; one above the other on a phone."""

    left: Figure
    right: Figure

    def html(self) -> str:
        """Both in one row that wraps."""
        return f'<div class="pair">{self.left.html()}{self.right.html()}</div>'

    def typst(self) -> str:
        """A call of the template's ``pair``."""
        return f"#pair([{self.left.typst()}], [{self.right.typst()}]);"

    def plain(self) -> str:
        """One after the other."""
        return f"{self.left.plain()}\n\n{self.right.plain()}"


def aspect(svg: str) -> float:
    """Height over width of an SVG, from its view box or its size; 0.62 where it states none.

    Examples
    --------
    >>> aspect('<svg viewBox="0 0 200 100"/>')
    0.5
    """
    start = svg.index("<svg")
    stated = dict(_ATTRIBUTE.findall(svg[start : svg.index(">", start)]))
    numbers = re.findall(r"[\d.]+", stated.get("viewBox", ""))
    if len(numbers) != 4:
        numbers = [*re.findall(r"^[\d.]+", stated.get("width", "")),
                   *re.findall(r"^[\d.]+", stated.get("height", ""))]
    if len(numbers) < 2 or float(numbers[-2]) <= 0 or float(numbers[-1]) <= 0:
        return 0.62
    return float(numbers[-1]) / float(numbers[-2])


def from_raster(
    data: bytes, caption: str, alt: str, width: Literal["full", "half"] | None = None
) -> Figure:
    """Figure around a PNG or JPEG.

    The picture is written anew, so that nothing a camera put into the file (place, owner) goes
    into a report.

    Parameters
    ----------
    data : bytes
        Content of the image file.
    width : str, optional
        By default full for pictures wider than ``HALF_PIXELS``.

    Raises
    ------
    PIL.UnidentifiedImageError
        No picture.
    """
    from PIL import Image, ImageOps

    with Image.open(BytesIO(data)) as opened:
        kind = "JPEG" if opened.format in ("JPEG", "MPO") else "PNG"
        picture = ImageOps.exif_transpose(opened)
    picture.thumbnail((MOST_PIXELS, MOST_PIXELS))
    picture = picture.convert("RGB" if kind == "JPEG" else "RGBA")
    picture.info.clear()
    wide, high = picture.size
    file = BytesIO()
    picture.save(file, kind)
    inside = b64encode(file.getvalue()).decode("ascii")
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}">'
        f'<image width="{wide}" height="{high}" '
        f'href="data:image/{kind.lower()};base64,{inside}"/></svg>'
    )
    return Figure(svg, caption, alt, width=width or ("full" if wide > HALF_PIXELS else "half"))


def photo(
    file: Path | str, caption: str, alt: str, width: Literal["full", "half"] = "half"
) -> Figure:
    """Figure from a PNG or JPEG file, such as a photo of the set-up.

    Raises
    ------
    UserError
        The file is missing or is no picture.
    """
    from PIL import UnidentifiedImageError

    try:
        return from_raster(Path(file).read_bytes(), caption, alt, width)
    except FileNotFoundError:
        raise UserError(Fault("the photo is missing", found=str(file))) from None
    except UnidentifiedImageError:
        allowed = "a PNG or JPEG file"
        raise UserError(Fault("not a picture", found=str(file), allowed=allowed)) from None

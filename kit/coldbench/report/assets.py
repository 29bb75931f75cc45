"""Where the report's templates and fonts are, in a clone and in an installed wheel."""

from __future__ import annotations

from base64 import b64encode
from functools import cache
from importlib.util import find_spec
from pathlib import Path

from coldbench import shipped


def templates() -> Path:
    """Folder ``templates/``: inside the package in a wheel, beside ``kit/`` in a clone."""
    return shipped("templates")


def read(name: str) -> str:
    """Text of one file of ``templates/report``."""
    return (templates() / "report" / name).read_text(encoding="utf-8")


def fonts() -> Path:
    """Folder of the report's own fonts."""
    return templates() / "report" / "fonts"


def plotting_fonts() -> Path | None:
    """Fonts that come with matplotlib, found without importing it.

    Its last-resort font draws a frame for any sign that no other font has.
    """
    spec = find_spec("matplotlib")
    if spec is None or spec.origin is None:
        return None
    return Path(spec.origin).parent / "mpl-data" / "fonts" / "ttf"


@cache
def font_faces() -> str:
    """``@font-face`` rules with the fonts inside, so that the page needs no other file."""
    faces = (("Regular", 400, "normal"), ("Italic", 400, "italic"), ("SemiBold", 600, "normal"))
    return "\n".join(_face(*face) for face in faces)


def _face(name: str, weight: int, style: str) -> str:
    data = b64encode((fonts() / f"Inter-{name}-latin.woff").read_bytes()).decode("ascii")
    return (
        f"@font-face{{font-family:Inter;font-weight:{weight};font-style:{style};"
        f"src:url(data:font/woff;base64,{data}) format('woff')}}"
    )

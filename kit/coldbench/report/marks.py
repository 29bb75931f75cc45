"""The sign of a cooler: a shape and a colour, drawn, so that no font has to have it."""

from __future__ import annotations

import re
from dataclasses import dataclass

# Corners in a box of 10 x 10, y downwards. The keys are matplotlib's marker codes.
_CORNERS = {
    "s": "1.4,1.4 8.6,1.4 8.6,8.6 1.4,8.6",
    "^": "5,0.8 9.4,8.8 0.6,8.8",
    "v": "5,9.2 9.4,1.2 0.6,1.2",
    "<": "0.8,5 8.8,0.6 8.8,9.4",
    ">": "9.2,5 1.2,0.6 1.2,9.4",
    "D": "5,0.4 9.6,5 5,9.6 0.4,5",
    "d": "5,0.4 8.2,5 5,9.6 1.8,5",
    "P": "3.4,0.8 6.6,0.8 6.6,3.4 9.2,3.4 9.2,6.6 6.6,6.6 6.6,9.2 3.4,9.2 3.4,6.6 0.8,6.6 "
         "0.8,3.4 3.4,3.4",
    "X": "3,0.6 5,2.6 7,0.6 9.4,3 7.4,5 9.4,7 7,9.4 5,7.4 3,9.4 0.6,7 2.6,5 0.6,3",
    "h": "5,0.5 9,2.75 9,7.25 5,9.5 1,7.25 1,2.75",
    "p": "5,0.5 9.6,3.8 7.8,9.2 2.2,9.2 0.4,3.8",
    "*": "5,0.3 6.3,3.6 9.8,3.8 7.1,6 8,9.4 5,7.5 2,9.4 2.9,6 0.2,3.8 3.7,3.6",
}
SHAPES = ("o", *_CORNERS)


@dataclass(frozen=True)
class Mark:
    """Shape and colour of one cooler.

    Parameters
    ----------
    shape : str
        One of ``SHAPES`` (matplotlib's marker codes).
    colour : str
        ``"#rrggbb"``.

    Raises
    ------
    ValueError
        Unknown shape, or a colour in another form.
    """

    shape: str
    colour: str

    def __post_init__(self) -> None:
        if self.shape not in SHAPES:
            raise ValueError(f"shape {self.shape!r} is not one of {' '.join(SHAPES)}")
        if not re.fullmatch(r"#[0-9a-fA-F]{6}", self.colour):
            raise ValueError(f"colour {self.colour!r} is not of the form #rrggbb")

    def html(self) -> str:
        """Inline SVG, hidden from screen readers: the name stands beside it."""
        if self.shape == "o":
            drawn = f'<circle cx="5" cy="5" r="4.1" fill="{self.colour}"/>'
        else:
            drawn = f'<polygon points="{_CORNERS[self.shape]}" fill="{self.colour}"/>'
        return (
            '<svg class="mark" viewBox="0 0 10 10" width="11" height="11" aria-hidden="true">'
            f"{drawn}</svg>"
        )

    def typst(self) -> str:
        """Typst expression."""
        corners = "".join(f"({point})," for point in _CORNERS.get(self.shape, "").split())
        return f'mark(({corners}), rgb("{self.colour}"))'

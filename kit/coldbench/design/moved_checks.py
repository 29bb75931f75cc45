"""Whether a compressor unit that stays whole can go into a new box: plate, lines, bay, air."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from coldbench.design.limits import DESIGN
from coldbench.sheets import CoolerSheet

Lengths = dict[str, float | None]


@dataclass(frozen=True)
class PlaceCheck:
    """Whether one thing about a unit suits a new box.

    Parameters
    ----------
    what : str
        What is asked.
    verdict : str
        ``passes``, ``fails`` or ``not stated``.
    said : str
        Why, in words; of what is not stated, what the sheet would have to say.
    """

    what: str
    verdict: str
    said: str


def place_checks(
    donor: CoolerSheet, inside: Sequence[float], thickness: float,
    room: Sequence[float] | None = None,
) -> tuple[PlaceCheck, ...]:
    """Whether a unit's plate, lines and bay suit a new box.

    Parameters
    ----------
    donor : CoolerSheet
        Its ``unit`` table in particular.
    inside : sequence of float
        Width, depth and height of the new box inside. [m]
    thickness : float
        Of its walls. [m]
    room : sequence of float or None
        Width, depth and height that box and bay have together. [m]

    Returns
    -------
    tuple of PlaceCheck

    Notes
    -----
    The plate goes flat on an inner wall, as it is. The bay stands against the outer face of that
    wall, a gap away; its lines reach through. Free area is that of its two long upright faces, of
    which a grille leaves open a share.

    References
    ----------
    .. [1] Common practice, no source; what a unit's manual asks for comes before it.
    """
    names = ("width", "depth", "height", "plate_width", "plate_height", "line_reach")
    size = {name: _metres(donor.unit, name) for name in names}
    area = getattr(donor.unit, "vent_area", None)
    return (
        _plate_fits(size, inside), _plate_serves(size, donor, inside),
        _lines(size["line_reach"], thickness), _upright(size, room),
        _below_lid(size["height"], inside[2] + 2 * thickness),
        _air(size, None if area is None else area.value / 1e6),
    )


def goes_in(
    donor: CoolerSheet, inside: Sequence[np.ndarray], thickness: np.ndarray
) -> np.ndarray:
    """Whether a unit's plate, lines and bay suit many boxes; what is not stated is not judged.

    Parameters
    ----------
    donor : CoolerSheet
    inside : sequence of ndarray, shape (n,)
        Width, depth and height inside. [m]
    thickness : ndarray, shape (n,)
        Of the walls. [m]

    Returns
    -------
    ndarray of bool, shape (n,)

    References
    ----------
    .. [1] As :func:`place_checks`, without the plate's share of the walls, the space and the air.
    """
    size = {name: _metres(donor.unit, name)
            for name in ("plate_width", "plate_height", "line_reach", "height")}
    limits = {"plate_width": np.maximum(inside[0], inside[1]), "plate_height": inside[2],
              "height": inside[2] + 2 * thickness}
    suits = np.ones(len(thickness), bool)
    for name, most in limits.items():
        suits &= size[name] is None or np.asarray(size[name] <= most)
    if size["line_reach"] is not None:
        suits &= size["line_reach"] >= thickness + DESIGN.unit_gap / 1000
    return suits


def _metres(table: object, name: str) -> float | None:
    length = getattr(table, name, None)
    return None if length is None else length.value / 1000


def _judged(what: str, passes: bool, said: str) -> PlaceCheck:
    return PlaceCheck(what, "passes" if passes else "fails", said)


def _plate_fits(size: Lengths, inside: Sequence[float]) -> PlaceCheck:
    what = "Plate lies flat on an inner wall"
    wide, high = size["plate_width"], size["plate_height"]
    if wide is None or high is None:
        return PlaceCheck(what, "not stated", "width and height of the plate, laid flat")
    widest = max(inside[:2])
    said = f"{_mm(wide)} by {_mm(high)} on a wall of {_mm(widest)} by {_mm(inside[2])}"
    return _judged(what, wide <= widest and high <= inside[2], said)


def _plate_serves(size: Lengths, donor: CoolerSheet, inside: Sequence[float]) -> PlaceCheck:
    """The air of a much larger box comes to the same plate less well."""
    what = "Plate as large for the walls as in its own box"
    own = [_metres(donor.inside, side) for side in ("width", "depth", "height")]
    wide, high = size["plate_width"], size["plate_height"]
    if wide is None or high is None or None in own:
        return PlaceCheck(what, "not stated", "sizes of the plate and of its own box inside")
    shares = [100 * wide * high / _walls(sides) for sides in (inside, own)]
    said = f"{shares[0]:.0f} % of the inner faces; in its own box {shares[1]:.0f} %"
    return _judged(what, shares[0] >= DESIGN.unit_plate * shares[1], said)


def _walls(sides: Sequence[float]) -> float:
    w, d, h = sides
    return float(2 * (w * d + w * h + d * h))


def _lines(reach: float | None, thickness: float) -> PlaceCheck:
    what = "Lines reach through the wall, unbent"
    if reach is None:
        return PlaceCheck(what, "not stated", "how far the plate can stand from the bay")
    asked = thickness + DESIGN.unit_gap / 1000
    return _judged(what, reach >= asked, f"they reach {_mm(reach)}; wall and gap are {_mm(asked)}")


def _upright(size: Lengths, room: Sequence[float] | None) -> PlaceCheck:
    what = "Compressor stands upright in the space"
    bay = [size[name] for name in ("width", "depth", "height")]
    if None in bay or room is None:
        return PlaceCheck(what, "not stated", "sizes of its bay, and of the space")
    stands = bay[2] <= room[2] and (np.sort(bay[:2]) <= np.sort(room[:2])).all()
    return _judged(what, bool(stands), f"bay of {_by(bay)} in a space of {_by(room)}")


def _below_lid(height: float | None, outside: float) -> PlaceCheck:
    what = "Bay no higher than the box"
    if height is None:
        return PlaceCheck(what, "not stated", "height of its bay")
    return _judged(what, height <= outside, f"{_mm(height)} beside {_mm(outside)}")


def _air(size: Lengths, asked: float | None) -> PlaceCheck:
    what = "Free area for its air"
    if asked is None:
        return PlaceCheck(what, "not stated", "free area, out of the unit's own manual")
    if None in (size["width"], size["depth"], size["height"]):
        return PlaceCheck(what, "not stated", "sizes of its bay")
    free = 2 * DESIGN.unit_grille * max(size["width"], size["depth"]) * size["height"]
    said = (f"grilles on both long sides leave {1e4 * free:.0f} cm² open; "
            f"{1e4 * asked:.0f} cm² are asked for")
    return _judged(what, free >= asked, said)


def _mm(metres: float) -> str:
    return f"{1000 * metres:.0f} mm"


def _by(sides: Sequence[float]) -> str:
    return " by ".join(f"{1000 * side:.0f}" for side in sides) + " mm"

"""Whether a cooler fits its space: box, air around it, and its lid or door when it opens."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from coldbench import draws
from coldbench.compare.filling import filling
from coldbench.compare.tape import SIDES, sides_of, taped, taped_sides
from coldbench.findings import Finding
from coldbench.quantities import Quantity
from coldbench.sheets import Campaign, CoolerSheet

STATES = ("shut", "open")
# Which side of the cooler lies along the width, depth and height of the space.
POSES = {
    "as it stands": (0, 1, 2), "turned by a quarter": (1, 0, 2),
    "on its side": (2, 1, 0), "on its side and turned by a quarter": (1, 2, 0),
}
# Machines that have to stand upright: common practice, no source.
UPRIGHT = ("compressor", "absorption")


@dataclass(frozen=True)
class Fit:
    """A cooler in its space, in the pose that counts. All lengths in mm.

    Attributes
    ----------
    cooler, state, pose : str
        Id, one of ``STATES`` and one of ``POSES``.
    space, box : tuple of float
        Width, depth and height of the space, and of the cooler as it stands in it.
    around : tuple of (float, float)
        Room asked on both sides of the box along each: left and right, back and front, below
        and above. In state ``open`` that of the open lid is part of it.
    margins : tuple of float
        What is left along each; below zero is missing.
    low, high : float
        95 % interval of the smallest margin, by the tape.
    lid : str
        Where the cooler opens, or ``""``.
    swing : float or None
        Room that the open lid, door or drawer needs, as stated or assumed.
    open_sides : tuple of str
        Sides of the space without a wall.
    remark : str
        What was assumed.
    """

    cooler: str
    state: str
    pose: str
    space: tuple[float, ...]
    box: tuple[float, ...]
    around: tuple[tuple[float, float], ...]
    margins: tuple[float, ...]
    low: float
    high: float
    lid: str = ""
    swing: float | None = None
    open_sides: tuple[str, ...] = ()
    remark: str = ""

    @property
    def fits(self) -> bool | None:
        """Whether it fits; None where the tape cannot tell."""
        return True if self.low >= 0 else False if self.high < 0 else None

    @property
    def words(self) -> str:
        """The margin in words, with the side that decides."""
        least = SIDES[int(np.argmin(self.margins))]
        if self.fits is None:
            return (f"cannot tell by the tape: in {least} from {margin_words(self.low)} to "
                    f"{margin_words(self.high)}")
        if self.fits:
            return f"{margin_words(min(self.margins))}, least in {least}"
        short = [f"{-m:.0f} mm in {side}" for side, m in zip(SIDES, self.margins, strict=True)
                 if m < 0]
        return f"misses by {' and '.join(short)}"


def margin_words(margin: float) -> str:
    """A margin as a reader says it. [mm]

    Examples
    --------
    >>> margin_words(12.2), margin_words(-8.0)
    ('12 mm spare', '8 mm short')
    """
    return f"{abs(margin):.0f} mm {'spare' if round(margin) >= 0 else 'short'}"


def space(campaign: Campaign, rows: Sequence[Finding]) -> list[Finding]:
    """What fits where: each cooler in its space, cans and bottles in each cooler.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.
    rows : sequence of Finding
        Those of the sheets are used.

    Returns
    -------
    list of Finding
        ``fits_space`` [-] at ``shut`` and ``open``, where the campaign states a space: 1, 0, or
        empty where the tape cannot tell; the margin stands in ``note``. And what
        :func:`coldbench.compare.filling.filling` gives.

    References
    ----------
    .. [1] This kit's own definition: the box with handles and feet, the air that the space's
       ``clearance`` asks for around the cooler's own sides (it turns with the cooler, since vents
       do), and the larger of that air and the room of the open lid, door or drawer. It is turned
       only where it does not fit as it stands; where it fits in no pose, the one that misses by
       least counts. Air and lids may reach out where the space is open.
    """
    found: list[Finding] = []
    if campaign.sheet.space is not None:
        found += [_row(campaign, cooler, state) for cooler in campaign.coolers for state in STATES]
    return [*found, *filling(campaign, rows)]


def fit_of(campaign: Campaign, cooler: str, state: str) -> Fit | None:
    """How a cooler stands in the space of its campaign.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.
    cooler, state : str
        Id of the cooler, and ``shut`` or ``open``.

    Returns
    -------
    Fit or None
        None where :func:`needs` says what is missing, or no space is stated.

    References
    ----------
    .. [1] As :func:`space`.
    """
    sheet, into = campaign.coolers[cooler], campaign.sheet.space
    if into is None or needs(campaign, cooler, state):
        return None
    room = _with_value("space", sides_of(into))
    box = _with_value(f"{cooler} outside", sides_of(sheet.outside))
    swing = _swing(cooler, sheet, box)
    tried = []
    for pose, order in POSES.items():
        if pose in _allowed(campaign, sheet):
            asked = _around(campaign, sheet, order, swing if state == "open" else None)
            margins = room - box[list(order)] - asked.sum(axis=1)
            tried.append((pose, asked, margins))
    least = [one[2].min(axis=0) for one in tried]
    sure = [n for n, drawn in enumerate(least) if draws.interval(drawn[1:])[0] >= 0]
    chosen = sure[0] if sure else max(range(len(least)), key=lambda n: least[n][0])
    pose, asked, margins = tried[chosen]
    low, high = draws.interval((least[chosen] if sure else np.max(least, axis=0))[1:])
    return Fit(
        cooler, state, pose, tuple(room[:, 0].tolist()),
        tuple(box[list(POSES[pose]), 0].tolist()),
        tuple((float(a), float(b)) for a, b in asked[:, :, 0]), tuple(margins[:, 0].tolist()),
        low, high, sheet.lid or "", None if swing is None else float(swing[0]),
        tuple(into.open), _remark(sheet, state),
    )


def needs(campaign: Campaign, cooler: str, state: str) -> str:
    """What is missing before it can be said whether a cooler fits, or ``""``."""
    sheet = campaign.coolers[cooler]
    absent = [side for side in SIDES if getattr(sheet.outside, side, None) is None]
    if absent:
        return f"needs outside {', '.join(absent)}"
    if state == "open" and sheet.lid is None:
        return "needs where it opens: lid"
    if state == "open" and sheet.lid == "top" and sheet.lid_height is None:
        return "needs lid_height, the height above the box that the open lid takes"
    return ""


def _row(campaign: Campaign, cooler: str, state: str) -> Finding:
    base = Finding(cooler=cooler, finding="fits_space", at=state, unit="-", basis="sheet")
    fit = fit_of(campaign, cooler, state)
    if fit is None:
        return replace(base, basis="not measured", note=needs(campaign, cooler, state))
    pose = "" if fit.pose == "as it stands" else fit.pose
    note = "; ".join(part for part in (fit.words, pose, fit.remark) if part)
    if fit.fits is None:
        return replace(base, basis="bounded", note=note)
    return replace(base, value=float(fit.fits), note=note)


def _with_value(name: str, sides: Iterable[Quantity]) -> np.ndarray:
    """The sides as stated, then their draws, shape (3, 4001). [mm]"""
    sides = list(sides)
    stated = np.array([[side.value] for side in sides])
    return np.hstack([stated, taped_sides(name, sides)])


def _swing(cooler: str, sheet: CoolerSheet, box: np.ndarray) -> np.ndarray | None:
    """Room for the open lid, door or drawer, as stated, then its draws. [mm]"""
    stated = sheet.lid_height if sheet.lid == "top" else sheet.door_swing
    if stated is not None and sheet.lid is not None:
        return np.concatenate([[stated.value], taped(f"{cooler} {sheet.lid} open", stated)])
    # A door hung at one side and as wide as the box reaches its width out in front; a drawer,
    # pulled out whole, the box's depth.
    return {"front": box[0], "drawer": box[1]}.get(sheet.lid)


def _allowed(campaign: Campaign, sheet: CoolerSheet) -> list[str]:
    """Poses that cooler and space allow."""
    air = campaign.sheet.space.clearance
    # On its side, the lower side has no air: only where none is asked for.
    lies = (sheet.upright_only is False and sheet.technology not in UPRIGHT
            and not (air and air.sides and air.sides.value))
    turns = campaign.sheet.space.turn is not False
    return [pose for pose in POSES if (lies or "side" not in pose)
            and (turns or "turned" not in pose)]


def _around(
    campaign: Campaign, sheet: CoolerSheet, order: tuple[int, ...], swing: np.ndarray | None
) -> np.ndarray:
    """Room asked before and behind the box along each side of the space, (3, 2, 4001). [mm]"""
    air = campaign.sheet.space.clearance
    sides, back, front, top = (
        length.value if (length := getattr(air, name, None)) is not None else 0.0
        for name in ("sides", "back", "front", "top")
    )
    asked = np.zeros((3, 2, draws.DRAWS + 1))
    asked[0] = sides
    asked[1, 0], asked[1, 1] = back, front
    asked[2, 1] = top
    if swing is not None:
        opens = 2 if sheet.lid == "top" else 1
        asked[opens, 1] = np.maximum(asked[opens, 1], swing)
    asked = asked[list(order)]
    # Front and lid may face a side without a wall: what they need lies outside then.
    if "front" in campaign.sheet.space.open and order[1] != 0:
        asked[1, 1] = 0.0
    if "top" in campaign.sheet.space.open and order[2] == 2:
        asked[2, 1] = 0.0
    return asked


def _remark(sheet: CoolerSheet, state: str) -> str:
    said = []
    if sheet.technology in UPRIGHT and not sheet.upright_only:
        said.append(f"never on its side: {sheet.technology}")
    if state == "open" and sheet.lid in ("front", "drawer") and sheet.door_swing is None:
        said.append("door taken as wide as the box" if sheet.lid == "front"
                    else "drawer taken as deep as the box")
    return "; ".join(said)

"""Next steps for a cooler that stands on the bench: what each gains, and what for a price."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.compare.geometry import foam_of
from coldbench.compare.leaks import Leak
from coldbench.compare.tape import sides_of
from coldbench.design.box import Excess, drawn_walls, rim_of
from coldbench.design.expected import DAY, Unit, expected
from coldbench.design.thermoelectric_unit import ThermoelectricUnit
from coldbench.design.wishes import Board, Wishes
from coldbench.physics.box import even_box, surface
from coldbench.physics.materials import FOAMS
from coldbench.physics.thermoelectric import Module
from coldbench.sheets import Campaign, CoolerSheet
from coldbench.sheets.campaign import DesignSheet, HotSideSheet

REGULATED = "A regulator that lowers the modules' voltage, in place of switching"


@dataclass(frozen=True)
class Present:
    """The cooler as it stands: machine and walls as measured.

    Parameters
    ----------
    cooler : str
        Its id.
    sheet : CoolerSheet
    unit : ThermoelectricUnit or CompressorUnit
        Fitted to its own runs; draws.
    leak : Leak
        Of its walls.
    excess : Excess
        What it leaks beyond them.
    """

    cooler: str
    sheet: CoolerSheet
    unit: Unit
    leak: Leak
    excess: Excess


@dataclass(frozen=True)
class Step:
    """One change, and what it gains at the footing.

    Parameters
    ----------
    what : str
        In the builder's words.
    colder : ndarray, shape (4000,)
        Coldest air, lower by. [K]
    saved : ndarray, shape (4000,)
        Less energy a day for holding the inside; NaN where it is not held now. [Wh/d]
    price : float or None
        None where it is not stated. [currency]
    holds : float
        Share of the draws in which the inside is held afterwards. [-]
    doubt : str
        What the numbers leave out.
    """

    what: str
    colder: np.ndarray
    saved: np.ndarray
    price: float | None
    holds: float
    doubt: str = ""

    @property
    def sure(self) -> bool:
        """Whether it gains something beyond doubt, cold or energy."""
        return any(np.isfinite(x).all() and draws.interval(x)[0] > 0
                   for x in (self.colder, self.saved))

    def each(self, gain: np.ndarray) -> float | None:
        """Median of a gain for one unit of money; None without a price or a gain."""
        if not self.price or not np.isfinite(gain).all():
            return None
        return float(np.median(gain)) / self.price


def steps(campaign: Campaign, wishes: Wishes, present: Present) -> list[Step]:
    """All steps that the sheets allow, each alone.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read: boards, hot sides and prices.
    wishes : Wishes
        Footing and room.
    present : Present

    Returns
    -------
    list of Step
        Those that surely gain something first, most watt-hours for the money before others.

    References
    ----------
    .. [1] Steady heat balance of the inside before and after, with the same draws; this kit's own.
    """
    found = list(_all(campaign, wishes, present))
    return sorted(found, key=lambda one: (not one.sure, -(one.each(one.saved) or 0.0),
                                          -float(np.nan_to_num(np.median(one.saved)))))


def three(found: Sequence[Step]) -> list[Step]:
    """Three to begin with: most watt-hours for the money, most kelvin for it, then the next.

    Parameters
    ----------
    found : sequence of Step
        As :func:`steps` orders them.

    Returns
    -------
    list of Step
        Fewer where fewer surely gain something.

    References
    ----------
    .. [1] This kit's own rule.
    """
    sure = [one for one in found if one.sure]
    priced = [one for one in sure if one.each(one.colder) is not None]
    first = sure[:1]
    cold = sorted(priced, key=lambda one: -one.each(one.colder))[:1]
    chosen = [*first, *(one for one in cold if one not in first)]
    return [*chosen, *(one for one in sure if one not in chosen)][:3]


def _all(campaign: Campaign, wishes: Wishes, present: Present) -> Iterator[Step]:
    ambient, inside = wishes.footing
    _, walls = present.leak.at_temperatures(inside, ambient)
    before = expected(present.unit, walls, ambient, inside)

    def step(what: str, unit: Unit, leak: np.ndarray, price: float | None, doubt: str) -> Step:
        after = expected(unit, leak, ambient, inside)
        return Step(what, before.coldest - after.coldest, DAY * (before.power - after.power),
                    price, after.holds, doubt)

    asked, unit = campaign.sheet.design, present.unit
    yield from (step(what, unit, leak, price, doubt)
                for what, leak, price, doubt in _box_steps(wishes, present, walls, asked))
    if isinstance(unit, ThermoelectricUnit):
        yield from (step(what, changed, walls, price, doubt) for what, changed, price, doubt
                    in _machine_steps(unit, present.sheet, campaign.sheet.hot_side, asked))


def _box_steps(
    wishes: Wishes, present: Present, walls: np.ndarray, asked: DesignSheet | None
) -> Iterator[tuple[str, np.ndarray, float | None, str]]:
    excess, sheet = present.excess, present.sheet
    if np.median(excess.beyond) > 0:
        of_rim = (1 - np.asarray(excess.share)) * np.maximum(excess.beyond, 0.0)
        stopped = draws.between("new seal stops", LIMITS.seal_least, LIMITS.seal_most)
        yield ("A new seal round the lid", walls - of_rim * stopped, _price(asked, "seal_price"),
               "how much of the leak passes the seal is not known")
    foam, sides = foam_of(sheet), sides_of(sheet.inside)
    if not foam or sides is None or sheet.insulation.thickness is None:
        return
    inside = [side.value / 1000 for side in sides]
    thickness = sheet.insulation.thickness.value / 1000
    conducts = draws.between(f"{present.cooler} foam", FOAMS[foam].lowest, FOAMS[foam].highest)
    wall = sum(wishes.footing) / 2
    for board in wishes.boards:
        box = even_box(*inside, thickness + board.thickness)
        layers = [(conducts, thickness), (board.conducts(), board.thickness)]
        leak = excess.carry(drawn_walls(box, layers, wall, present.cooler), rim_of(*inside[:2]))
        doubt = "" if _fits(board, sheet, wishes) else "no longer fits the space"
        area = float(surface(box.outside()))
        yield (f"{1000 * board.thickness:.0f} mm of {board.material} more, outside all round",
               leak, None if board.price is None else area * board.price, doubt)


def _fits(board: Board, sheet: CoolerSheet, wishes: Wishes) -> bool:
    """Whether the box still fits with a board more all round, as it stands or turned."""
    sides = sides_of(sheet.outside)
    if wishes.room is None or sides is None:
        return True
    width, depth, height = (side.value / 1000 + 2 * board.thickness for side in sides)
    room = wishes.room
    flat = (width <= room[0] and depth <= room[1]) or (depth <= room[0] and width <= room[1])
    return flat and height <= room[2]


def _machine_steps(
    unit: ThermoelectricUnit, sheet: CoolerSheet, hot_sides: Sequence[HotSideSheet],
    asked: DesignSheet | None,
) -> Iterator[tuple[str, ThermoelectricUnit, float | None, str]]:
    if unit.driven == "switched":
        yield (REGULATED, replace(unit, driven="steady", efficiency=regulator(asked)),
               _price(asked, "regulator_price"), "")
    for hot in hot_sides:
        yield (f"Hot side: {hot.name}", with_hot_side(unit, hot), _price(hot, "price"),
               "" if hot.power is not None else "its fans' power is not stated")
    told = sheet.modules
    if told is None:
        return
    string = told.series or 1
    most = asked.modules_most if asked is not None else None
    if most is None or told.count + string <= most:
        each = _price(asked, "module_price")
        yield (f"{string} module{'s' if string > 1 else ''} more, {told.count + string} in all",
               with_modules(unit, told.count, told.count + string),
               None if each is None else string * each, "on the same plates")


def with_hot_side(unit: ThermoelectricUnit, hot: HotSideSheet) -> ThermoelectricUnit:
    """The machine on another hot side; what is not its fan inside, its own power replaces."""
    limit = hot.resistance.limit
    limit = LIMITS.hot_side_stated * hot.resistance.value if limit is None else limit
    resistance = hot.resistance.value + draws.uniform(f"hot side {hot.name}", limit)
    if hot.power is None:
        return replace(unit, r_hot=resistance)
    return replace(unit, r_hot=resistance, auxiliary=unit.fan_inside + hot.power.value)


def with_modules(unit: ThermoelectricUnit, count: int, now: int) -> ThermoelectricUnit:
    """The machine with more strings of the same modules between the same plates."""
    times, one = now / count, unit.module
    module = Module(one.seebeck, one.resistance / times, one.conductance * times)
    back = None if unit.bridge is None else _more_bridge(unit, times)
    return replace(unit, module=module, bridge=back)


def _more_bridge(unit: ThermoelectricUnit, times: float) -> np.ndarray:
    """What the modules let back is in series with both sides. [W/K]"""
    through = 1 / np.asarray(unit.module.conductance)
    return 1 / (1 / np.asarray(unit.bridge) - through * (1 - 1 / times))


def regulator(asked: DesignSheet | None) -> np.ndarray:
    """Draws of the efficiency of a regulator of the modules' voltage. [-]"""
    stated = getattr(asked, "regulator_efficiency", None)
    value = LIMITS.regulator if stated is None else stated.value
    return np.minimum(value + draws.uniform("regulator", LIMITS.regulator_limit), 1.0)


def _price(table: object, name: str) -> float | None:
    stated = getattr(table, name, None)
    return None if stated is None else stated.value

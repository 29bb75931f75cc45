"""What could be changed on a present cooler: seal, walls, drive, hot side, modules."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from coldbench import draws
from coldbench.compare.bridge import strings_of
from coldbench.compare.geometry import foam_of
from coldbench.compare.tape import sides_of
from coldbench.design.box import drawn_walls, rim_of
from coldbench.design.limits import DESIGN
from coldbench.design.steps import Change, Present, Step
from coldbench.design.thermoelectric_unit import ThermoelectricUnit
from coldbench.design.wishes import Wishes, fits_room
from coldbench.physics.box import even_box, surface
from coldbench.physics.materials import FOAMS
from coldbench.sheets import Campaign, CoolerSheet
from coldbench.sheets.campaign import DesignSheet, HotSideSheet


def proposals(campaign: Campaign, wishes: Wishes, present: Present) -> list[Step]:
    """All steps that the sheets allow; what they gain is not yet known.

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

    References
    ----------
    .. [1] This kit's own choice of steps.
    """
    asked = campaign.sheet.design
    ambient, inside = wishes.footing
    _, measured = present.leak.at_temperatures(inside, ambient)
    found = [*_seal(present, measured, asked), *_walls(wishes, present, measured)]
    if isinstance(present.unit, ThermoelectricUnit):
        found += _drive(present.unit, asked)
        found += _hot_sides(campaign.sheet.hot_side)
        found += _rewired(present.sheet)
        found += _more_modules(present.sheet, asked)
    return found


def _seal(
    present: Present, measured: np.ndarray, asked: DesignSheet | None
) -> Iterator[Step]:
    excess = present.excess
    if np.median(excess.beyond) <= 0:
        return
    of_rim = (1 - np.asarray(excess.share)) * np.maximum(excess.beyond, 0.0)
    stopped = draws.between("new seal stops", DESIGN.seal_least, DESIGN.seal_most)
    left = 1 - stopped * of_rim / measured
    yield Step("A new seal round the lid", "seal", _less(left),
               _price(asked, "seal_price"), "how much of the leak passes the seal is not known")


def _walls(wishes: Wishes, present: Present, measured: np.ndarray) -> Iterator[Step]:
    excess, sheet = present.excess, present.sheet
    foam, sides = foam_of(sheet), sides_of(sheet.inside)
    if not foam or sides is None or sheet.insulation.thickness is None:
        return
    inside = [side.value / 1000 for side in sides]
    thickness = sheet.insulation.thickness.value / 1000
    conducts = draws.between(f"{present.cooler} foam", FOAMS[foam].lowest, FOAMS[foam].highest)
    wall = sum(wishes.footing) / 2
    fitted = _fits(0.0, sheet, wishes)
    for board in wishes.boards:
        box = even_box(*inside, thickness + board.thickness)
        layers = [(conducts, thickness), (board.conducts(), board.thickness)]
        leak = excess.carry(drawn_walls(box, layers, wall, present.cooler), rim_of(*inside[:2]))
        area = float(surface(box.outside())) * (1 + DESIGN.board_cut_off)
        fits = not fitted or _fits(board.thickness, sheet, wishes)
        yield Step(f"{1000 * board.thickness:.0f} mm of {board.material} more, outside all round",
                   "walls", _less(leak / measured),
                   None if board.price is None else area * board.price,
                   "" if fits else "no longer fits the space", fits=fits)


def _less(share: np.ndarray) -> Change:
    return lambda unit, leak: (unit, leak * share)


def _drive(unit: ThermoelectricUnit, asked: DesignSheet | None) -> Iterator[Step]:
    if unit.driven == "switched":
        yield Step("A regulator that lowers the modules' voltage, in place of switching", "drive",
                   lambda one, leak: (replace(one, driven="steady", efficiency=regulator(asked)),
                                      leak),
                   _price(asked, "regulator_price"))


def _hot_sides(hot_sides: Sequence[HotSideSheet]) -> Iterator[Step]:
    for hot in hot_sides:
        yield Step(f"Hot side: {hot.name}", "hot side", _other_side(hot), _price(hot, "price"),
                   "" if hot.power is not None else "what its fans draw is not stated")


def _other_side(hot: HotSideSheet) -> Change:
    return lambda unit, leak: (with_hot_side(unit, hot), leak)


def _rewired(sheet: CoolerSheet) -> Iterator[Step]:
    """The same modules in other strings: more in a string is less voltage on each."""
    told = sheet.modules
    if told is None:
        return
    now, _ = strings_of(told)
    for series in range(1, told.count + 1):
        if told.count % series == 0 and series != now and told.count % now == 0:
            strings = told.count // series
            how = f"as {_strings(strings)} of {series}" if series > 1 else "all side by side"
            yield Step(f"The same modules {how}", "drive",
                       _in_strings(series / now), 0.0,
                       "what modules, leads and supply bear is for someone qualified")


def _strings(count: int) -> str:
    return "one string" if count == 1 else f"{count} strings"


def _in_strings(times: float) -> Change:
    return lambda unit, leak: (unit.rearranged(times, 1 / times), leak)


def _more_modules(sheet: CoolerSheet, asked: DesignSheet | None) -> Iterator[Step]:
    told = sheet.modules
    if told is None:
        return
    string, _ = strings_of(told)
    most = asked.modules_most if asked is not None else None
    if most is None or told.count + string <= most:
        each, times = _price(asked, "module_price"), (told.count + string) / told.count
        yield Step(f"{string} module{'s' if string > 1 else ''} more, {told.count + string} in all",
                   "modules", lambda unit, leak: (unit.rearranged(1, times), leak),
                   None if each is None else string * each, "on the same plates")


def _fits(more: float, sheet: CoolerSheet, wishes: Wishes) -> bool:
    """Whether the box fits with walls thicker by so much, as it stands or turned."""
    sides = sides_of(sheet.outside)
    if sides is None:
        return True
    thicker = [side.value / 1000 + 2 * more for side in sides]
    return fits_room(thicker, wishes.room) is not False


def with_hot_side(unit: ThermoelectricUnit, hot: HotSideSheet) -> ThermoelectricUnit:
    """The machine on another hot side; what is not its fan inside, its own power replaces."""
    limit = hot.resistance.limit
    limit = DESIGN.hot_side_stated * hot.resistance.value if limit is None else limit
    resistance = hot.resistance.value + draws.uniform(f"hot side {hot.name}", limit)
    if hot.power is None:
        return replace(unit, r_hot=resistance)
    return replace(unit, r_hot=resistance, auxiliary=unit.fan_inside + hot.power.value)


def regulator(asked: DesignSheet | None) -> np.ndarray:
    """Draws of the efficiency of a regulator of the modules' voltage. [-]"""
    stated = getattr(asked, "regulator_efficiency", None)
    value = DESIGN.regulator if stated is None else stated.value
    return np.minimum(value + draws.uniform("regulator", DESIGN.regulator_limit), 1.0)


def _price(table: object, name: str) -> float | None:
    stated = getattr(table, name, None)
    return None if stated is None else stated.value

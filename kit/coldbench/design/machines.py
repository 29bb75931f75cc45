"""Machines for a new box: units moved whole, and the present modules in other ways."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace

import numpy as np

from coldbench.analysis.limits import LIMITS
from coldbench.compare.bridge import strings_of
from coldbench.compare.geometry import foam_of
from coldbench.compare.tape import sides_of
from coldbench.design.candidate import Machine, Part
from coldbench.design.fitted import Fitted
from coldbench.design.moved import in_new_box
from coldbench.design.proposals import regulator, with_hot_side
from coldbench.design.thermoelectric_unit import ThermoelectricUnit
from coldbench.sheets import Campaign, CoolerSheet
from coldbench.sheets.campaign import DesignSheet, HotSideSheet

IN_HAND = "in hand"


@dataclass(frozen=True)
class Option:
    """A machine for the search, and the same with its doubts.

    Parameters
    ----------
    machine : Machine
        In single numbers.
    unit : ThermoelectricUnit or CompressorUnit
        Its constants are draws, as far as they are not known; in a new box.
    cooler : str
        Id of the cooler that it comes from.
    metered_at : str
        Where its power was metered.
    """

    machine: Machine
    unit: object
    cooler: str
    metered_at: str


def options(
    campaign: Campaign, fits: Mapping[str, Fitted], improve: str, donor: str
) -> list[Option]:
    """Every machine that can be had for a new box.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read: modules, hot sides and prices.
    fits : mapping of str to Fitted
        By cooler.
    improve, donor : str
        Ids of the cooler to improve and of the one whose unit may be moved; may be empty.

    Returns
    -------
    list of Option
        What is in hand costs nothing more.

    References
    ----------
    .. [1] This kit's own arrangement.
    """
    found = []
    if donor in fits and fits[donor].unit is not None:
        found.append(_moved(campaign.coolers[donor], fits[donor]))
    fitted = fits.get(improve)
    if fitted is not None and isinstance(fitted.unit, ThermoelectricUnit):
        found += _modules(campaign, fitted, improve)
    return found


def _moved(sheet: CoolerSheet, fitted: Fitted) -> Option:
    unit = in_new_box(fitted.unit, fitted.cooler)
    part = Part(f"Unit of {sheet.name}, whole", price=0.0, note=IN_HAND)
    machine = Machine(f"unit-{fitted.cooler}", f"unit of {sheet.name}", "compressor",
                      fitted.central, machine_room(sheet), 0.0, (part,),
                      lowest=fitted.seen[0] - LIMITS.footing_inside)
    return Option(machine, unit, fitted.cooler, fitted.metered_at)


def _modules(campaign: Campaign, fitted: Fitted, cooler: str) -> Iterator[Option]:
    """Strings of modules × hot sides × how they are driven."""
    sheet, asked = campaign.coolers[cooler], campaign.sheet.design
    told, room = sheet.modules, machine_room(sheet)
    (string, _), most = strings_of(told), told.count
    if asked is not None and asked.modules_most is not None:
        most = max(most, asked.modules_most)
    for count in range(told.count, most + 1, string):
        for hot in (None, *campaign.sheet.hot_side):
            for driven in ("switched", "steady"):
                unit = fitted.unit.rearranged(1, count / told.count)
                unit = unit if hot is None else with_hot_side(unit, hot)
                unit = replace(unit, driven=driven,
                               efficiency=regulator(asked) if driven == "steady" else 1.0)
                parts = tuple(_parts(told.count, count, hot, driven, asked))
                prices = [part.price for part in parts]
                label = _label(count, hot, driven)
                machine = Machine(
                    f"modules-{count}-{hot.name if hot else 'present'}-{driven}", label,
                    "thermoelectric", middle(unit), room,
                    None if None in prices else float(sum(prices)), parts)
                yield Option(machine, unit, cooler, fitted.metered_at)


def _label(count: int, hot: HotSideSheet | None, driven: str) -> str:
    side = f", {hot.name}" if hot is not None else ""
    return f"{count} modules{side}, {'regulated' if driven == 'steady' else 'switched'}"


def _parts(
    now: int, count: int, hot: HotSideSheet | None, driven: str, asked: DesignSheet | None
) -> Iterator[Part]:
    yield Part("Thermoelectric modules", now, price=0.0, note=IN_HAND)
    if count > now:
        each = getattr(asked, "module_price", None)
        yield Part("Further modules of the same kind", count - now,
                   price=None if each is None else (count - now) * each.value)
    if hot is None:
        yield Part("Hot side", price=0.0, note=IN_HAND)
    else:
        yield Part(f"Hot side: {hot.name}", price=None if hot.price is None else hot.price.value)
    yield Part("Cold side with its fan", price=0.0, note=IN_HAND)
    if driven == "steady":
        price = getattr(asked, "regulator_price", None)
        yield Part("Regulator of the modules' voltage",
                   price=None if price is None else price.value)


def machine_room(sheet: CoolerSheet) -> tuple[float, float, float]:
    """What a machine takes of the outside: its stated bay, else what box and walls leave. [m]

    Parameters
    ----------
    sheet : CoolerSheet

    Returns
    -------
    tuple of float
        Of width, depth and height.

    References
    ----------
    .. [1] This kit's own definition.
    """
    bay = sheet.unit.width if sheet.unit is not None else None
    if bay is not None:
        return (bay.value / 1000, 0.0, 0.0)
    outside, inside = (sides_of(table) for table in (sheet.outside, sheet.inside))
    wall = sheet.insulation.thickness if foam_of(sheet) else None
    if outside is None or inside is None or wall is None:
        return (0.0, 0.0, 0.0)
    left = [(out.value - room.value - 2 * wall.value) / 1000
            for out, room in zip(outside, inside, strict=True)]
    return tuple(max(length, 0.0) for length in left)


def middle(unit: object) -> object:
    """A machine with the median of each of its draws.

    Examples
    --------
    >>> from coldbench.physics.thermoelectric import Module
    >>> middle(Module(np.array([1.0, 2.0, 9.0]), 2.0, 0.5)).seebeck
    2.0
    """
    changed = {}
    for field in fields(unit):
        value = getattr(unit, field.name)
        if is_dataclass(value):
            changed[field.name] = middle(value)
        elif isinstance(value, np.ndarray):
            changed[field.name] = float(np.median(value))
    return replace(unit, **changed)

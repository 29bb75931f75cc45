"""What the tape, the scale and the till say: sizes, mass and price out of a cooler's sheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.compare.tape import sides_of, taped_sides
from coldbench.findings import Finding, measured
from coldbench.quantities import Quantity
from coldbench.sheets import Campaign, CoolerSheet

MM3_A_LITRE = 1e6


def sheet_findings(campaign: Campaign) -> list[Finding]:
    """Sizes, mass and price of every cooler of a campaign.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.

    Returns
    -------
    list of Finding
        ``outside_volume``, ``inside_volume``, ``usable_volume`` [L], ``volume_ratio`` [-],
        ``mass`` [kg], ``price``, ``price_per_litre`` [currency].

    References
    ----------
    .. [1] This kit's own definitions; a tape's limit of 2 mm and a scale's of 1 % are assumed
       where the sheet states none.
    """
    money = campaign.sheet.money
    currency = money.currency if money and money.currency else ""
    found: list[Finding] = []
    for cooler, sheet in campaign.coolers.items():
        found += _sizes(cooler, sheet)
        if sheet.technology == "passive":
            found.append(Finding(cooler=cooler, finding="daily_energy", unit="Wh/d",
                                 basis="not applicable", note="draws nothing"))
        found += _prices(cooler, sheet, currency)
    return found


def _sizes(cooler: str, sheet: CoolerSheet) -> Iterator[Finding]:
    outside = _volume(cooler, "outside", sheet.outside)
    inside = _volume(cooler, "inside", sheet.inside)
    usable = None
    if sheet.inside is not None and sheet.inside.usable is not None:
        usable = _stated(cooler, "inside usable", sheet.inside.usable, LIMITS.filling)
    for name, volume in (("outside_volume", outside), ("inside_volume", inside),
                         ("usable_volume", usable)):
        base = Finding(cooler=cooler, finding=name, unit="L", basis="sheet")
        if volume is None:
            what = "a usable volume, by a fill count" if name == "usable_volume" else "three sizes"
            yield replace(base, basis="not measured", note=f"needs {what}")
        else:
            yield replace(base, **measured(volume[1], volume[0]))
    filled, said = (usable, "usable") if usable else (inside, "inside")
    if outside is not None and filled is not None:
        ratio = Finding(cooler=cooler, finding="volume_ratio", unit="-", basis="sheet",
                        note=f"{said} / outside")
        yield replace(ratio, **measured(filled[1] / outside[1], filled[0] / outside[0]))
    if sheet.mass is not None:
        value, drawn = _stated(cooler, "mass", sheet.mass, LIMITS.scale)
        base = Finding(cooler=cooler, finding="mass", unit="kg", basis="sheet")
        yield replace(base, **measured(drawn, value))


def _volume(cooler: str, name: str, box: object) -> tuple[float, np.ndarray] | None:
    """Volume of a box from its three sides, or as stated; value and draws. [L]"""
    if box is None:
        return None
    sides = sides_of(box)
    if sides is not None:
        value = float(np.prod([side.value for side in sides]))
        drawn = taped_sides(f"{cooler} {name}", sides).prod(axis=0)
        step = getattr(box, "step", None)
        if step is not None:
            missing = sides_of(step)
            value -= float(np.prod([side.value for side in missing]))
            drawn = drawn - taped_sides(f"{cooler} {name} step", missing).prod(axis=0)
        return value / MM3_A_LITRE, drawn / MM3_A_LITRE
    if box.volume is not None:
        return _stated(cooler, f"{name} volume", box.volume, LIMITS.filling)
    return None


def _stated(
    cooler: str, name: str, quantity: Quantity, relative: float
) -> tuple[float, np.ndarray]:
    """A typed quantity with its stated or assumed limit; value and draws. [its unit]"""
    half = quantity.limit if quantity.limit is not None else relative * abs(quantity.value)
    return quantity.value, quantity.value + draws.uniform(f"{cooler} {name}", half)


def _prices(cooler: str, sheet: CoolerSheet, currency: str) -> Iterator[Finding]:
    price = sheet.price
    paid = price.paid if price else None
    amount = paid or (price.list_price if price else None)
    base = Finding(cooler=cooler, finding="price", unit=currency, basis="sheet")
    if amount is None:
        yield replace(base, basis="not measured", note="needs a price in the cooler sheet")
        return
    said = "paid" if paid else "list price"
    # A price is a count of money: it has no interval of its own.
    yield replace(base, value=amount.value, low=amount.value, high=amount.value, note=said,
                  draws=np.full(draws.DRAWS, amount.value))
    usable = sheet.inside.usable if sheet.inside else None
    filled = _stated(cooler, "inside usable", usable, LIMITS.filling) if usable else _volume(
        cooler, "inside", sheet.inside
    )
    if filled is None:
        return
    which = "usable litre" if usable else "inside litre"
    row = replace(base, finding="price_per_litre", unit=f"{currency}/L", note=f"a {which}")
    yield replace(row, **measured(amount.value / filled[1], amount.value / filled[0]))

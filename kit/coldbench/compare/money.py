"""Money: what a year costs, what battery and panel cost, and all of it over the years."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from coldbench.analysis.settled_rows import joined
from coldbench.compare.outlay import BATTERY, MAINS, SUN, Outlay, outlays
from coldbench.compare.running_cost import ICE, combined, running_cost
from coldbench.findings import Finding, find
from coldbench.physics.money import annuity_factor, present_value_factor, replacement_factor
from coldbench.quantities import number, show
from coldbench.sheets import Campaign
from coldbench.sheets.campaign import MoneySheet


def money(campaign: Campaign, rows: Sequence[Finding]) -> list[Finding]:
    """Running cost, cost of battery and panel, and life cost of every cooler.

    Parameters
    ----------
    campaign : Campaign
        Silent without ``[money]``.
    rows : sequence of Finding
        One a cooler, finding and ``at``: energies, prices, ``battery_needed``, ``panel_needed``.

    Returns
    -------
    list of Finding
        ``running_cost`` [currency/yr], ``supply_cost`` and ``life_cost`` [currency].

    References
    ----------
    .. [1] This kit's own definitions.
    """
    if campaign.sheet.money is None:
        return []
    running = running_cost(campaign, rows)
    supply = supply_cost(campaign, rows)
    return [*running, *supply, *life_cost(campaign, [*rows, *running, *supply])]


# --- battery and panel --------------------------------------------------------------------------


def supply_cost(campaign: Campaign, rows: Sequence[Finding]) -> list[Finding]:
    """What the battery costs that a cooler needs, and the panel where one is sized.

    Parameters
    ----------
    campaign : Campaign
        Its ``[money]`` with ``battery_price`` and ``panel_price``.
    rows : sequence of Finding
        ``battery_needed`` [Wh] and ``panel_needed`` [W].

    Returns
    -------
    list of Finding
        ``supply_cost`` [currency] at the metering point and ``battery`` or ``battery and panel``.
        Nothing where no battery is sized.

    References
    ----------
    .. [1] This kit's own definition.
    """
    sheet = campaign.sheet.money
    if sheet is None:
        return []
    return [one for battery in find(rows, finding="battery_needed")
            if battery.basis != "not applicable" for one in _supply(sheet, battery, rows)]


def _supply(sheet: MoneySheet, battery: Finding, rows: Sequence[Finding]) -> Iterator[Finding]:
    point = battery.at.split(" ")[0]
    base = replace(battery, finding="supply_cost", unit=sheet.currency, note="", draws=None,
                   value=None, low=None, high=None, at=f"{point} {BATTERY}".strip())
    both = replace(base, at=f"{point} {SUN}".strip())
    panel = next((p for p in find(rows, cooler=battery.cooler, finding="panel_needed")
                  if p.at.split(" ")[0] == point and p.basis != "not measured"), None)
    if battery.value is None and battery.high is None:
        if sheet.battery_price is not None or battery.basis == "not reached":
            for case in (base, both) if panel is not None else (base,):
                yield replace(case, note=battery.note)
        return
    if sheet.battery_price is None:
        yield replace(base, basis="not measured", note="needs battery_price in [money]")
        return
    per_wh = sheet.battery_price.value
    said = f"{show(battery.value, battery.low, battery.high, 'Wh')} of battery"
    yield combined(replace(base, note=said), lambda b: per_wh * b, battery)
    if panel is None or (panel.value is None and panel.high is None):
        return
    if sheet.panel_price is None:
        yield replace(both, basis="not measured", note="needs panel_price in [money]")
        return
    per_watt = sheet.panel_price.value
    said += f", {show(panel.value, panel.low, panel.high, 'W')} of panel"
    yield combined(replace(both, note=said), lambda b, p: per_wh * b + per_watt * p,
                   battery, panel)


# --- life cost ----------------------------------------------------------------------------------


def life_cost(campaign: Campaign, rows: Sequence[Finding]) -> list[Finding]:
    """What is paid at first and the present value of what is paid each year.

    Parameters
    ----------
    campaign : Campaign
        Its ``[money]`` with ``years`` and ``discount_rate``; without a rate later money counts
        in full, which is said.
    rows : sequence of Finding
        ``price``, ``running_cost``, ``supply_cost``.

    Returns
    -------
    list of Finding
        ``life_cost`` [currency], one a case: on the mains, from a battery charged there, from a
        panel, or with ice. A battery is bought anew after ``battery_years``, and ``resale`` of
        the price comes back in the end, where these are stated.

    References
    ----------
    .. [1] Equal sums at the end of each year: NIST Handbook 135, Life-Cycle Costing Manual (from
       memory).
    """
    sheet = campaign.sheet.money
    if sheet is None:
        return []
    known = {one.cooler: [] for one in find(rows, finding="running_cost")}
    for one in outlays(rows):
        known[one.cooler].append(one)
    found: list[Finding] = []
    for cooler, cases in known.items():
        found += [_life(sheet, rows, one) for one in cases] or _no_life(sheet, rows, cooler)
    return found


def _life(sheet: MoneySheet, rows: Sequence[Finding], one: Outlay) -> Finding:
    base = replace(one.yearly, finding="life_cost", unit=sheet.currency, at=one.case, note="",
                   draws=None, value=None, low=None, high=None)
    if sheet.years is None:
        return replace(base, basis="not measured", note="needs years in [money]")
    percent = sheet.discount_rate.value if sheet.discount_rate else 0.0
    rate, years = percent / 100, sheet.years
    factor = float(annuity_factor(rate, years))
    terms = [(one.first, 1.0), (one.yearly, factor)]
    said = [f"{years:g} yr at {percent:g} %" + ("" if sheet.discount_rate else " (none stated)"),
            f"{_amount(one.first)} {sheet.currency} at first, then {number(factor, 2)} × "
            f"{_amount(one.yearly)} {sheet.currency}/yr"]
    battery = find(rows, cooler=one.cooler, finding="supply_cost",
                   at=one.case.replace(SUN, BATTERY))
    if sheet.battery_years is not None and battery:
        terms.append((battery[0], replacement_factor(rate, years, sheet.battery_years)))
        said.append(f"battery anew every {sheet.battery_years} yr")
    if sheet.resale is not None:
        price = find(rows, cooler=one.cooler, finding="price")[0]
        terms.append((price, -sheet.resale.value * float(present_value_factor(rate, years))))
        said.append(f"{100 * sheet.resale.value:g} % of the price back in the end")
    weights = [weight for _, weight in terms]
    return combined(replace(base, note=joined(*said)),
                    lambda *parts: sum(w * p for w, p in zip(weights, parts, strict=True)),
                    *(part for part, _ in terms))


def _amount(row: Finding) -> str:
    if row.value is None:
        return f"({show(None, row.low, row.high, '')})"
    return show(row.value, None, None, "")


def _no_life(sheet: MoneySheet, rows: Sequence[Finding], cooler: str) -> list[Finding]:
    """Why a cooler has no life cost, in each of its cases: as its running cost, or no price."""
    running = find(rows, cooler=cooler, finding="running_cost")[0]
    row = replace(running, finding="life_cost", unit=sheet.currency, draws=None,
                  value=None, low=None, high=None)
    if running.value is not None or running.high is not None:
        row = replace(row, basis="not measured", note="needs a price in the cooler sheet")
    if running.at in ("", ICE):
        return [row]
    cases = [f"{running.at} {MAINS}",
             *(one.at for one in find(rows, cooler=cooler, finding="supply_cost"))]
    return [replace(row, at=case) for case in cases]

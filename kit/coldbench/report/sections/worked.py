"""Worked numbers: a finding's own inputs put into its formula, to be checked by hand."""

from __future__ import annotations

from collections.abc import Callable

from coldbench.analysis.heat import load_mass
from coldbench.compare.leaks import leak_of
from coldbench.figures.words import said, spoken
from coldbench.findings import Finding
from coldbench.physics.water import CP_WATER, LATENT_HEAT
from coldbench.quantities import number, show
from coldbench.report.book import Book

KELVIN = 273.15


def worked(book: Book, finding: Finding) -> str:
    """The finding's own numbers put into its formula, or its value where there is no formula."""
    build = WORKED.get(finding.finding)
    numbers = build(book, finding) if build else ""
    where = f"{book.names[finding.cooler]}{', ' + spoken(finding.at) if finding.at else ''}"
    return f"{where}: {numbers or said(finding)}"


def _daily(book: Book, f: Finding) -> str:
    mean = f.value / 24
    return f"{number(mean, 2)} W × 24 h = {number(f.value, 0)} Wh/d"


def _footing(book: Book, f: Finding) -> str:
    raw = next((r for r in book.rows if r.finding == "daily_energy" and r.cooler == f.cooler
                and r.value is not None and r.runs[0] in f.runs), None)
    if raw is None:
        return ""
    measured = ", ".join(f"{name} {number(float(raw.conditions[name]), 1)} °C"
                         for name in ("ambient", "inside") if name in raw.conditions)
    return f"{number(raw.value, 0)} Wh/d at {measured} becomes {number(f.value, 0)} Wh/d: {f.note}"


def _ice_needed(book: Book, f: Finding) -> str:
    leak = leak_of(book.rows, f.cooler)
    if leak is None:
        return ""
    inside, ambient = (float(f.conditions[name]) for name in ("inside", "ambient"))
    value, _ = leak.at_temperatures(inside, ambient)
    return (f"{number(value, 3)} W/K × {number(ambient - inside, 0)} K × 86.4 ks / "
            f"({LATENT_HEAT / 1000:g} + {number(CP_WATER * inside / 1000, 1)}) kJ/kg = "
            f"{number(f.value, 2)} kg/d")


def _load_heat(book: Book, f: Finding) -> str:
    run = book.campaign.runs[f.runs[0]]
    mass, start = load_mass(run), float(f.conditions["start"])
    target = float(f.at.partition("<=")[2].removesuffix("°C"))
    above = max(target, 0.0)
    water = mass * CP_WATER * (start - above) / 3600
    ice = mass * LATENT_HEAT / 3600 if target < 0 else 0.0
    text = (f"{number(mass, 2)} kg × {CP_WATER / 1000:g} kJ/(kg·K) × "
            f"({number(start, 1)} − {number(above, 0)}) K = {number(water, 1)} Wh water")
    if ice:
        text += f" + {number(ice, 1)} Wh to freeze it"
    return f"{text}; with containers{' and cold ice' if ice else ''} {number(f.value, 1)} Wh"


def _below(book: Book, f: Finding) -> str:
    ambient, inside = float(f.conditions["ambient"]), float(f.conditions["inside"])
    return f"{number(ambient, 2)} − ({number(inside, 2)}) = {number(f.value, 2)} K"


def _ratio_of(numerator: str, denominator: str, unit: str) -> Callable[[Book, Finding], str]:
    def build(book: Book, f: Finding) -> str:
        top, bottom = book.one(f.cooler, numerator), book.one(f.cooler, denominator)
        if top is None or bottom is None or not bottom.value or top.value is None:
            return ""
        return (f"{number(top.value, 2)} / {number(bottom.value, 2)} = "
                f"{show(f.value, None, None, unit)}")
    return build


def _capacity(book: Book, f: Finding) -> str:
    mass = load_mass(book.campaign.runs[f.runs[0]])
    return (f"24 h × {number(mass, 2)} kg / {number(24 * mass / f.value, 2)} h = "
            f"{number(f.value, 2)} kg/d")


def _ice(book: Book, f: Finding) -> str:
    sheet = book.campaign.runs[f.runs[0]].freeze
    if not f.at.startswith("poured off"):
        return ""
    return f"1 − {sheet.drained.text} / {sheet.total.text} = {number(f.value, 2)}"


def _leak(book: Book, f: Finding) -> str:
    """The balance of a heat leak: heat over the time integral of the difference."""
    span = book.result.results[f.runs[0]].balance if len(f.runs) == 1 else None
    if span is None:
        return ""
    drive, hours = abs(span.drive) / 3600, (span.t1 - span.t0) / 3600
    came = f.value * drive
    text = (f"{number(came, 1)} Wh over {number(drive / hours, 2)} K × {number(hours, 2)} h = "
            f"{number(f.value, 3)} W/K")
    if f.at.endswith("warm-up"):
        load = span.load / 3600
        text = (f"load {number(load, 1)} Wh + structure {number(came - load, 1)} Wh = {text}; the "
                f"air rose {number(span.rise, 1)} K")
    return text


def _taken(book: Book, f: Finding) -> str:
    one = next((one for one in book.flows if one.run == f.runs[0]), None)
    if one is None:
        return ""
    leak, _ = one.leak.at_temperatures(one.inside, one.ambient)
    through = leak * (one.ambient - one.inside)
    return (f"{number(leak, 3)} W/K × ({number(one.ambient, 2)} − {number(one.inside, 2)}) K = "
            f"{number(through, 2)} W, {number(f.value - through, 2)} W given up by the load and "
            f"structure, together {number(f.value, 2)} W")


def _of_window(numerator: str, denominator: str, unit: str) -> Callable[[Book, Finding], str]:
    """A ratio of two findings of the same run."""
    def build(book: Book, f: Finding) -> str:
        top, bottom = (next((r for r in book.rows if r.finding == name and r.value is not None
                             and r.runs == f.runs), None) for name in (numerator, denominator))
        if top is None or bottom is None or not bottom.value:
            return ""
        return (f"{number(top.value, 3)} / {number(bottom.value, 3)} = "
                f"{number(f.value, 3)}{unit}")
    return build


def _ideal(book: Book, f: Finding) -> str:
    inside, ambient = (float(f.conditions[name]) for name in ("inside", "ambient"))
    return (f"{number(inside + KELVIN, 2)} / ({number(ambient + KELVIN, 2)} − "
            f"{number(inside + KELVIN, 2)}) = {number(f.value, 2)}")


def _sum_of_freezing(book: Book, f: Finding) -> str:
    start, plateau = book.one(f.cooler, "freeze_start"), book.one(f.cooler, "plateau_time")
    if start is None or plateau is None or start.value is None or plateau.value is None:
        return ""
    return f"{number(start.value, 2)} + {number(plateau.value, 2)} = {number(f.value, 2)} h"


WORKED: dict[str, Callable[[Book, Finding], str]] = {
    "daily_energy": _daily,
    "daily_energy_footing": _footing,
    "ice_needed": _ice_needed,
    "load_heat": _load_heat,
    "below_ambient": _below,
    "freezing_capacity": _capacity,
    "ice_fraction": _ice,
    "freeze_time": _sum_of_freezing,
    "heat_leak": _leak,
    "cooling_capacity": _taken,
    "running_capacity": _of_window("cooling_capacity", "duty", " W"),
    "cop": _of_window("cooling_capacity", "mean_power", ""),
    "carnot_cop": _ideal,
    "carnot_fraction": _of_window("cop", "carnot_cop", ""),
    "volume_ratio": _ratio_of("usable_volume", "outside_volume", ""),
    "price_per_litre": _ratio_of("price", "usable_volume", ""),
}

"""How each number was computed, with one worked number from this campaign, and its doubt."""

from __future__ import annotations

from collections.abc import Callable

from coldbench.analysis.heat import load_mass
from coldbench.analysis.limits import LIMITS
from coldbench.figures.words import said, spoken
from coldbench.findings import KINDS, Finding
from coldbench.physics.water import CP_WATER, LATENT_HEAT
from coldbench.quantities import number, show
from coldbench.report.book import Book
from coldbench.report.display import Cell, Heading, Table, Text
from coldbench.report.sections.summary import assumed_spread

METHODS: dict[str, str] = {
    "coldest_air": "Time-weighted mean of the air probe over the steady window of a run at the "
                   "coldest setting. From other runs only a bound.",
    "below_ambient": "Mean ambient − mean air, same window.",
    "pull_down_time": "From time zero to the first instant at which the centred 10 min mean is "
                      "at or below the target, on a straight line between its points. A crossing "
                      "inside a gap is bounded by the gap's ends.",
    "pull_down_energy": "Energy from time zero to that instant, from native samples; power holds "
                        "until the next sample, or is the mean of its interval, as declared.",
    "load_heat": "Q = m·c·(start − target) for water, below 0 °C with the ice formed, and the "
                 "same for the containers.",
    "load_heat_ratio": "Heat taken from the load / electrical energy. Heat that leaked in is "
                       "not counted, so this is not a COP.",
    "hours_above_limit": "Time the warmest load place spends above the food limit after it first "
                         "came below.",
    "daily_energy": "Mean power of the steady window × 24 h.",
    "mean_power": "Energy of the steady window's whole cycles / their duration.",
    "running_power": "Median while running, the first 60 s of each spell left out.",
    "idle_power": "Median while idle.",
    "duty": "Running time / whole-cycle time. Two levels are parted by the threshold with the "
            "largest variance between them (Otsu 1979).",
    "cycle_time": "Mean from start to start.",
    "air_swing": "Mean over cycles of (warmest − coldest) air.",
    "freeze_start": "From the load's time zero to the jump that ends supercooling, else to the "
                    "plateau's first sample.",
    "plateau_time": "To the instant at which the centre leaves the plateau by 0.5 K downwards.",
    "freeze_time": "Start + plateau.",
    "freeze_energy": "Energy over the freezing time.",
    "ice_fraction": "1 − water poured off / all water.",
    "freezing_capacity": "24 h × mass / freezing time; both temperatures are in its name.",
    "hold_time": "Time without power in which the load (else the air) warms from the first "
                 "temperature of a pair to the second, on centred 10 min means.",
    "heat_leak": "Heat that came in / ∫(ambient − inside air) dt. Heater: its power less what is "
                 "still stored. Warm-up: heat regained by load and structure from 2 h after "
                 "switch-off. Ice melt: melted mass × heat of melting. Two loads: two warm-ups "
                 "solved together.",
    "heat_leak_geometry": "Walls, 0.54 × the length of each edge, 0.15 × the thickness at each "
                          "corner, times the foam's conductivity, in series with films of air.",
    "structure_heat": "From two warm-ups with unlike loads, solved together with the heat leak.",
    "volume_ratio": "Usable (else inside) volume / outside volume.",
    "price_per_litre": "Price / usable (else inside) volume.",
}


def methods(book: Book) -> list[object]:
    """Method and a worked number of each finding in this report; then where intervals come from."""
    rows = []
    for name, text in METHODS.items():
        found = next((f for f in book.rows if f.finding == name and f.value is not None), None)
        if found is not None:
            rows.append([KINDS[name].title, text, _worked(book, found)])
    return [
        Table(["Finding", "Method", "Worked number"], rows,
              caption="Methods, each with a number from this campaign",
              note="Definitions are this kit's own unless a source is named. The steadiness rule "
                   "follows the block idea of IEC 62552-3 with limits of its own."),
    ]


def doubt(book: Book) -> list[object]:
    """Instruments and what is assumed where no sheet states a limit."""
    sheet = book.campaign.sheet
    rows = [
        [name, i.measures, i.kind or "not stated", _limit(i), _step(i),
         book.checked_on(name) or Cell("not checked", "muted")]
        for name, i in sheet.instruments.items()
    ]
    columns = ["Instrument", "Measures", "Kind", "Limit of error", "Resolution or step",
               "Checked"]
    said_of_doubt = [
        "A stated error is a limit: one hidden constant for each probe, drawn 4 000 times from "
        "the rectangle within it and kept for the whole campaign (JCGM 101:2008). Resolution and "
        "seen scatter come on top. The interval holds the middle 95 % of the draws; a difference "
        "subtracts them draw by draw.",
        *_of_checks(book),
        f"Assumed where a sheet states nothing: tape {LIMITS.tape:g} mm, scale "
        f"{100 * LIMITS.scale:g} %, nominal filling {100 * LIMITS.filling:g} %, typed ambient "
        f"{LIMITS.ambient_typed:g} K. Assumed from run to run, in differences only: "
        f"{assumed_spread()}.",
    ]
    shown: list[object] = [Heading(2, "8 Uncertainty"), Text(*said_of_doubt)]
    if rows:
        shown.append(Table(columns, rows, caption="Instruments as their sheets state them"))
    seen = [
        [KINDS[name].title, show_spread(s.pooled, s.relative), str(s.freedom)]
        for name, s in book.spreads.items() if s.pooled is not None
    ]
    if seen:
        shown.append(Table(["Finding", "Seen between repeats", "Degrees of freedom"], seen,
                           caption="Run-to-run spread, pooled over all coolers' repeats"))
    return shown


def _of_checks(book: Book) -> list[str]:
    if not any(check.offsets for check in book.result.checks):
        return []
    return [
        "The offset of a probe that was in a same-place check is the check's, with its scatter by "
        "blocks, its rounding and its place in the bath; what the bath itself was off is one "
        "constant that all probes of the check share, so differences between them gain most. "
        f"Assumed (common practice, no source): stirred ice water is 0 °C within "
        f"{LIMITS.ice_bath:g} K, places in it differ by less than {LIMITS.ice_places:g} K, in "
        f"still air by {LIMITS.air_places:g} K. Still air alone tells no absolute offset: there "
        "the shared constant lies where all stated errors hold.",
    ]


def show_spread(pooled: float, relative: bool) -> str:
    """A spread as text: per cent where relative, else kelvin."""
    return f"{number(100 * pooled, 1)} %" if relative else f"{number(pooled, 2)} K"


def _limit(instrument: object) -> str:
    error = instrument.error
    if error is None:
        return "not stated: no interval"
    unit = "K" if instrument.measures == "temperature" else _unit(instrument.measures)
    parts = [f"{number(100 * error.relative, 1)} %"] if error.relative else []
    if error.absolute:
        parts.append(f"{error.absolute:g} {unit}".strip())
    return "±(" + " + ".join(parts) + ")" if len(parts) > 1 else "±" + "".join(parts)


def _unit(measures: str) -> str:
    return {"power": "W", "energy": "Wh", "voltage": "V", "current": "A", "mass": "kg",
            "sound": "dB"}.get(measures, "")


def _step(instrument: object) -> str:
    parts = [q.text for q in (instrument.resolution, instrument.counter_step) if q is not None]
    return ", ".join(parts) or "not stated"


def _worked(book: Book, finding: Finding) -> str:
    """The finding's own numbers put into its formula, or its value where there is no formula."""
    build = WORKED.get(finding.finding)
    numbers = build(book, finding) if build else ""
    where = f"{book.names[finding.cooler]}{', ' + spoken(finding.at) if finding.at else ''}"
    return f"{where}: {numbers or said(finding)}"


def _daily(book: Book, f: Finding) -> str:
    mean = f.value / 24
    return f"{number(mean, 2)} W × 24 h = {number(f.value, 0)} Wh/d"


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
    return f"1 − {sheet.drained.text} / {sheet.total.text} = {number(f.value, 2)}"


def _sum_of_freezing(book: Book, f: Finding) -> str:
    start, plateau = book.one(f.cooler, "freeze_start"), book.one(f.cooler, "plateau_time")
    if start is None or plateau is None or start.value is None or plateau.value is None:
        return ""
    return f"{number(start.value, 2)} + {number(plateau.value, 2)} = {number(f.value, 2)} h"


WORKED: dict[str, Callable[[Book, Finding], str]] = {
    "daily_energy": _daily,
    "load_heat": _load_heat,
    "below_ambient": _below,
    "freezing_capacity": _capacity,
    "ice_fraction": _ice,
    "freeze_time": _sum_of_freezing,
    "volume_ratio": _ratio_of("usable_volume", "outside_volume", ""),
    "price_per_litre": _ratio_of("price", "usable_volume", ""),
}

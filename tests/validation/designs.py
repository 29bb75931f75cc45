"""Boxes designed on one simulated bench, built in the simulator and measured there.

A present cooler is drawn (``designs_drawn``), run, logged with a checked kit and analysed; its
machine is fitted, what it leaks beyond its walls carried into a new box by that box's sheet. The
new box is then built: same machine constants, the same builder's seal give or take, foam of any
conductivity that is sold under its name. Its truth comes from a still room at the design ambient.
"""

from __future__ import annotations

import datetime as dt
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
from designs_drawn import Drawn, Wall, draw, sides
from leaks import leak_at
from machines_drawn import last_cycles, settled, still

from coldbench.analysis.campaign import CampaignResult, analyse_campaign
from coldbench.bench import (
    Campaign,
    CampaignSim,
    Case,
    Column,
    Compressor,
    History,
    LogPlan,
    Meter,
    Run,
    Thermoelectric,
    Thermostat,
    Truth,
    simulate,
    write_campaign,
)
from coldbench.bench.sheet_text import Inline
from coldbench.compare.rows import all_rows
from coldbench.design.as_stated import stated_machine, stated_walls
from coldbench.design.beside import FITS
from coldbench.design.expected import expected, findings_of
from coldbench.design.proposals import with_hot_side
from coldbench.findings import Finding, measured
from coldbench.sheets import read_campaign

SEED = 20320217
CASES = 200
TENTH = 20
AT_ONCE = 20
HITS, HALF, ANSWERED = 0.90, 0.20, 0.85  # the marks: share within, median half-width, share
HALF_OF_FEW = 0.25  # median half-width of a tenth of the cases
GROUPS = {"foam": "foam", "declared": "conductivity declared", "leak": "machine at the leak run",
          "rooms": "steady rooms", "held runs": "run at a setting", "drive": "volts",
          "hot side": "another hot side"}
PRESENT, DESIGN = "present", "design"
FINDINGS = ("heat_leak", "coldest_air", "daily_energy", "duty")
SWING = 0.8  # of the thermostat in the new box [K]
KELVINS, SHARE, WATTS = 0.1, 0.01, 0.1  # a checked kit's errors


def study(count: int, first: int = 0, seed: int = SEED) -> pd.DataFrame:
    """One row a case and finding: prediction, interval, truth.

    Parameters
    ----------
    count, first, seed : int
        How many cases, the first of them, and what they are drawn from.
    """
    rows: list[dict[str, object]] = []
    for begin in range(first, first + count, AT_ONCE):
        drawn = draw(range(begin, min(begin + AT_ONCE, first + count)), seed)
        for one, histories in zip(drawn, _simulated(drawn), strict=True):
            sim = _campaign(one, histories, seed)
            with tempfile.TemporaryDirectory() as folder:
                write_campaign(Path(folder) / "c", sim)
                result = analyse_campaign(read_campaign(Path(folder) / "c"))
            about = {"case": sim.campaign.id, "technology": one.technology, **_about(one)}
            rows += [about | row for row in _judged(one, result, histories)]
    return pd.DataFrame(rows)


def _about(one: Drawn) -> dict[str, object]:
    """What a case is, to look into groups of them."""
    build = one.build
    return {
        "foam": ("other kind" if build.wall.foam != one.wall.foam else
                 "same lot" if build.wall.left_over else "same kind, other lot"),
        "rooms": 2 if one.far else 1, "held runs": one.held is not None,
        "drive": "lowered" if build.driven else "full", "hot side": build.hot_side is not None,
        "declared": build.wall.declared is not None, "leak": str(one.leak.sheet["machine"]),
    }


def _simulated(drawn: Sequence[Drawn]) -> list[dict[str, History]]:
    """Histories of each present cooler's runs and of the new box, by name."""
    work: list[tuple[int, str, Case]] = []
    for row, one in enumerate(drawn):
        cases = {"leak": one.leak.case, "coldest": one.coldest, "held": one.held,
                 "far": one.far, **_built(one)}
        work += [(row, name, case) for name, case in cases.items() if case is not None]
    work.sort(key=lambda item: item[2].hours)
    found: list[dict[str, History]] = [{} for _ in drawn]
    for half in (work[: len(work) // 2], work[len(work) // 2:]):
        for (row, name, _), history in zip(half, simulate([c for *_, c in half], dt=20.0),
                                           strict=True):
            found[row][name] = history
    return found


def _built(one: Drawn) -> dict[str, Case]:
    """The new box at full drive, and holding the inside."""
    build = one.build
    full = Case(build.box, build.machine, room=still(one.ambient), start=one.ambient - 12,
                hours=30.0)
    thermostat = Thermostat(one.inside + SWING, one.inside - SWING, lag=200.0)
    hold = replace(full, thermostat=thermostat, start=one.inside + SWING)
    if build.driven is not None:
        # Lowered volts and no break: the inside that they hold is the one to be judged at.
        less = replace(build.machine, volts=build.driven * build.machine.volts)
        hold = replace(full, machine=less)
    return {"full": full, "hold": hold}


# --- what is logged and written down ------------------------------------------------------------


def _campaign(one: Drawn, histories: dict[str, History], seed: int) -> CampaignSim:
    rng = np.random.default_rng([seed, one.number, 1])
    meters = (
        Meter("probes", "temperature", error=f"{KELVINS:g} K", offset=KELVINS,
              noise=float(rng.uniform(0.01, 0.05)), resolution=0.05),
        Meter("meter", "power", error=f"{100 * SHARE:g} % + {WATTS:g} W", offset=WATTS,
              gain=SHARE, noise=float(rng.uniform(0.01, 0.1)), resolution=0.1),
    )
    sheet = {
        "title": f"Design {one.number} (invented data)", "timezone": "UTC",
        "footing": {"ambient": f"{one.ambient:.3f} °C", "inside": f"{one.inside:.3f} °C"},
    }
    if one.build.wall.declared is not None:
        wall = one.build.wall
        sheet["board"] = [{"material": wall.foam, "thickness": f"{1000 * wall.thickness:.0f} mm",
                           "conductivity": f"{wall.declared:.5f} W/(m·K)"}]
    if one.build.hot_side is not None:
        unit = one.build.machine
        sheet["hot_side"] = [{"name": "another", "resistance": f"{one.build.hot_side:.4f} K/W",
                              "power": f"{unit.fan_outside + unit.idle:.2f} W"}]
    campaign = Campaign(
        id=f"{one.technology}-{one.number:03d}", seed=seed + one.number, sheet=sheet,
        meters=meters, coolers=_coolers(one, rng),
        runs=tuple(_runs(one)),
    )
    return CampaignSim(campaign, histories)


def _runs(one: Drawn) -> Iterator[Run]:
    places = {role: Column(f"{role}_C", role, "probes", probe=role)
              for role in ("air", "load", "ambient", "hot_side")}
    dry = LogPlan(tuple(places[role] for role in ("air", "load", "ambient")))
    yield replace(one.leak, sheet=one.leak.sheet | {"cooler": PRESENT}, logs=(dry,))
    hot = one.technology == "thermoelectric" and one.logged
    power = LogPlan((Column("power_W", "power", "meter"),), power="mean", ending="-power")
    told = {"cooler": PRESENT, "kind": ["pull-down", "steady"], "setting": "coldest",
            "load": one.loads, "mark": [{"at": "0 min", "what": "power on"}]}
    held = {"cooler": PRESENT, "kind": ["steady"], "setting": f"{one.setting:g} °C"}
    for name, case, sheet in (("coldest", one.coldest, told), ("held", one.held, held),
                              ("far", one.far, held)):
        if case is not None:
            roles = ["air", "ambient", *(["load"] if case.loads else []),
                     *(["hot_side"] if hot else [])]
            temperatures = LogPlan(tuple(places[role] for role in roles))
            yield Run(name, case, sheet, dt.datetime(2031, 3, 10, 9), (temperatures, power),
                      spread=0.0)


def _box_sheet(litres: float, wall: Wall) -> dict[str, object]:
    lengths = zip(("width", "depth", "height"), sides(litres), strict=True)
    return {
        "inside": Inline({name: f"{1000 * side:.0f} mm" for name, side in lengths}),
        "insulation": Inline(material=wall.foam, thickness=f"{1000 * wall.thickness:.0f} mm"),
        "lid": "top",
    }


def _coolers(one: Drawn, rng: np.random.Generator) -> dict[str, dict[str, object]]:
    """The present cooler, and what is known of the new box before it is built."""
    both = {"technology": one.technology, "origin": "built"}
    present = both | {
        "name": f"Cooler {one.number}", **_box_sheet(one.litres, one.wall),
        "liner": Inline(material="polypropylene", mass=f"{one.box.liner_heat / 1900:.3f} kg")}
    design = both | {"name": f"Design {one.number}", "design_of": PRESENT,
                     **_box_sheet(one.build.litres, one.build.wall)}
    unit = one.machine
    if isinstance(unit, Thermoelectric):
        off = 1 + rng.uniform(-0.03, 0.03, 3)  # modules are not just what their sheet says
        modules = {"series": unit.series, "i_max": f"{unit.i_max * off[0]:.2f} A",
                   "v_max": f"{unit.v_max * off[1]:.2f} V",
                   "dt_max": f"{unit.dt_max * off[2]:.1f} K", "t_hot": f"{unit.t_hot:g} °C"}
        for sheet, count in ((present, unit.count), (design, one.build.machine.count)):
            sheet |= {"supply": "12 V", "modules": Inline(count=count, **modules)}
        if one.metered:
            beside = unit.fan_inside + unit.fan_outside + unit.idle
            present["auxiliary"] = f"{beside * (1 + rng.uniform(-0.02, 0.02)):.2f} W"
    return {PRESENT: present, DESIGN: design}


# --- what is predicted and what is true ---------------------------------------------------------


def _judged(
    one: Drawn, result: CampaignResult, histories: dict[str, History]
) -> Iterator[dict[str, object]]:
    truth = _truth(one, histories)
    predicted, refused = _predicted(one, result, truth["inside"])
    for name in FINDINGS:
        if name == "duty" and one.build.driven is not None:
            continue  # volts that are lowered make no breaks
        if name == "coldest_air" and _beyond_map(one, histories["full"]):
            continue
        row = next((f for f in predicted if f.finding == name), None)
        yield _row(one, name, row, truth[name], refused)


def _truth(one: Drawn, histories: dict[str, History]) -> dict[str, float | None]:
    """What the built box does; None for holding where it cannot hold the inside."""
    coldest, _ = settled(histories["full"])
    inside, power = settled(histories["hold"])
    duty = Truth(histories["hold"]).duty(*last_cycles(histories["hold"]))
    held = one.build.driven is not None or coldest <= one.inside
    if not held:
        inside = one.inside
    return {
        "inside": inside, "coldest_air": coldest,
        "heat_leak": leak_at(one.build.box, (one.ambient + inside) / 2),
        "daily_energy": 24 * power if held else None, "duty": duty if held else None,
    }


def _beyond_map(one: Drawn, full: History) -> bool:
    """Whether the plate got so cold that the simulated unit's parabola had turned upwards."""
    if not isinstance(one.machine, Compressor):
        return False
    _, slope, bend, _ = one.machine.capacity
    return float(full.state("cold_side").min()) <= -slope / (2 * bend)


def _predicted(
    one: Drawn, result: CampaignResult, inside: float
) -> tuple[list[Finding], str]:
    """What the kit expects of the design, holding the inside that it came to. [°C]"""
    rows, _ = all_rows(result)
    walls = stated_walls(result.campaign, rows, DESIGN, PRESENT, one.build.wall.left_over)
    leak = walls.part(inside, one.ambient)
    box = Finding(cooler=DESIGN, finding="heat_leak", unit="W/K", basis="modelled",
                  **measured(leak, float(np.median(leak))))
    fitted = FITS[one.technology](result, rows, PRESENT)
    if fitted.unit is None:
        return [box], fitted.refused
    unit = stated_machine(result.campaign, fitted, DESIGN).part
    if one.build.hot_side is not None:
        unit = with_hot_side(unit, result.campaign.sheet.hot_side[0])
    if one.build.driven is not None:
        unit = replace(unit, driven="steady")
    found = expected(unit, leak, one.ambient, inside)
    return findings_of(found, DESIGN, fitted.metered_at), ""


def _row(
    one: Drawn, name: str, row: Finding | None, truth: float | None, refused: str
) -> dict[str, object]:
    """Answered: a value, or that it will not hold; within: the truth is no other."""
    told = {"finding": name, "truth": truth, "refused": refused, "answered": False,
            "within": np.nan, "half": np.nan, "off": np.nan}
    if row is None or row.basis == "bounded":
        return told
    told["answered"] = True
    if row.value is None or truth is None:
        return told | {"within": row.value is None and truth is None}
    size = one.ambient - truth if name == "coldest_air" else truth
    return told | {"value": row.value, "low": row.low, "high": row.high,
                   "within": row.low <= truth <= row.high,
                   "half": (row.high - row.low) / 2 / size, "off": (row.value - truth) / size}


# --- tables -------------------------------------------------------------------------------------


def table(rows: pd.DataFrame) -> pd.DataFrame:
    """A row a finding, for all cases and for each kind of machine: what is asked of them all."""
    lines = []
    for name in FINDINGS:
        for machine in ("all", "compressor", "thermoelectric"):
            of = rows[(rows["finding"] == name)
                      & ((machine == "all") | (rows["technology"] == machine))]
            whole = machine == "all" and of["case"].nunique() > CASES // 2
            told = _told(of)
            lines.append({"finding": name, "machine": machine, **told,
                          "passed": "yes" if _passed(told, whole, machine == "all") else "no"})
    return pd.DataFrame(lines)


def _told(of: pd.DataFrame) -> dict[str, object]:
    given = of[of["answered"]]
    return {
        "cases": len(of), "answered": float(of["answered"].mean()),
        "within": float(given["within"].astype(float).mean()),
        "half width": float(given["half"].median()),
        "off by, median": float(given["off"].abs().median()),
    }


def _passed(told: dict[str, object], whole: bool, all_machines: bool) -> bool:
    """The marks are for all cases; of a part chance allows 2.6 standard deviations."""
    chance = 0.0 if whole else 2.6 / np.sqrt(max(int(told["cases"]), 1))
    narrow = told["half width"] <= (HALF if whole else HALF_OF_FEW) or not all_machines
    return narrow and all(
        told[name] >= mark - chance * np.sqrt(mark * (1 - mark))
        for name, mark in (("within", HITS), ("answered", ANSWERED)))


def groups(rows: pd.DataFrame) -> pd.DataFrame:
    """Daily energy by what was known and what was changed."""
    of = rows[rows["finding"] == "daily_energy"]
    lines = [{"cases with": f"{title}: {value}", **_told(group)}
             for name, title in GROUPS.items() for value, group in of.groupby(name, sort=True)]
    return pd.DataFrame(lines)


def not_held(rows: pd.DataFrame) -> tuple[int, int, int]:
    """Boxes that cannot hold the inside; how many were said to, and how many were left open."""
    of = rows[(rows["finding"] == "daily_energy") & rows["truth"].isna() & (rows["refused"] == "")]
    wrong = of["answered"] & (of["within"] == False)  # noqa: E712 - the column holds NaN too
    return len(of), int(wrong.sum()), int((~of["answered"]).sum())

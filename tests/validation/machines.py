"""COP and daily energy at a footing, of simulated coolers with hidden truth, and what is refused.

Each cooler of ``machines_drawn`` is logged with a checked kit (0.1 K) and an unchecked one
(0.5 K). The same logs are judged as whole campaigns and as campaigns in which runs are missing.
The truth is what the simulator's machine took from the inside, on the window the analysis chose,
and what the same cooler draws in a still room at the footing.
"""

from __future__ import annotations

import datetime as dt
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
from leaks import leak_at
from machines_drawn import Cooler, Plan, draw_cooler, plans, settled

from coldbench.analysis.campaign import CampaignResult, analyse_campaign
from coldbench.bench import (
    Campaign,
    CampaignSim,
    Case,
    Column,
    History,
    LogPlan,
    Meter,
    Run,
    simulate,
    write_campaign,
)
from coldbench.bench.sheet_text import Inline
from coldbench.compare.bridge import walls_modelled
from coldbench.compare.footing import footing
from coldbench.compare.leaks import leak_of
from coldbench.compare.machine import machine
from coldbench.compare.repeats import one_row_each
from coldbench.compare.sheet_findings import sheet_findings
from coldbench.findings import Finding
from coldbench.physics.water import CP_WATER, LATENT_HEAT
from coldbench.sheets import read_campaign

SEED = 20310912
COOLERS = 400
TENTH = 40
AT_ONCE = 20
# What the value may be off by with a checked kit, in 95 % of cases. [-]
COP, CURVE, TWO, ONE = "COP, {}", "energy, machine curve", "energy, two ambients", (
    "energy, one ambient")
MEASURED, MODELLED = "walls measured", "walls modelled"
WITHIN = {
    COP.format("compressor"): 0.07, COP.format(f"thermoelectric, {MEASURED}"): 0.07,
    CURVE: 0.05, TWO: 0.05,
}
SHARE = 0.95
FEWEST = 10  # ways with fewer cases are printed, not judged
LIMITS_OF = {"checked": (0.1, 0.01, 0.1), "unchecked": (0.5, 0.02, 0.2)}  # K, relative, W
INSIDE = 4.0  # of a passive box at the footing [°C]
DAY = 86400.0


def study(kit: str, count: int, first: int = 0, seed: int = SEED) -> pd.DataFrame:
    """One row a cooler and question: value, interval, truth.

    Parameters
    ----------
    kit : {"checked", "unchecked"}
    count, first, seed : int
        How many coolers, the first of them, and what they are drawn from.
    """
    rows: list[dict[str, object]] = []
    for begin in range(first, first + count, AT_ONCE):
        numbers = range(begin, min(begin + AT_ONCE, first + count))
        coolers = [draw_cooler(number, seed) for number in numbers]
        planned = plans(coolers)
        for cooler, histories in zip(coolers, _simulated(coolers, planned), strict=True):
            plan = planned.get(cooler.number)
            sim = _campaign(cooler, plan, histories, kit, seed)
            with tempfile.TemporaryDirectory() as folder:
                write_campaign(Path(folder) / "c", sim)
                result = analyse_campaign(read_campaign(Path(folder) / "c"))
            found = _passive(cooler, result) if plan is None else (
                _powered(plan, sim, result, histories))
            rows += [{"cooler": sim.campaign.id, **row} for row in found]
    return pd.DataFrame(rows)


def _simulated(
    coolers: Sequence[Cooler], planned: dict[int, Plan]
) -> list[dict[str, History]]:
    """Histories of each cooler's runs, and of the footing, by name."""
    work: list[tuple[int, str, Case]] = []
    for row, cooler in enumerate(coolers):
        work.append((row, "leak", cooler.leak.case))
        plan = planned.get(cooler.number)
        cases = {} if plan is None else {
            "near": plan.near, "far": plan.far, "footing": plan.at_footing}
        work += [(row, name, case) for name, case in cases.items() if case is not None]
    work.sort(key=lambda item: item[2].hours)
    found: list[dict[str, History]] = [{} for _ in coolers]
    for half in (work[: len(work) // 2], work[len(work) // 2:]):
        for (row, name, _), history in zip(half, simulate([c for *_, c in half]), strict=True):
            found[row][name] = history
    return found


# --- what is logged and written down ------------------------------------------------------------


def _campaign(
    cooler: Cooler, plan: Plan | None, histories: dict[str, History], kit: str, seed: int
) -> CampaignSim:
    kelvins, share, watts = LIMITS_OF[kit]
    rng = np.random.default_rng([seed, cooler.number, 1])
    probes = Meter(
        "probes", "temperature", error=f"{kelvins:g} K", offset=kelvins,
        noise=float(rng.uniform(0.01, 0.05)), resolution=0.05,
    )  # fmt: skip
    meter = Meter(
        "meter", "power", error=f"{100 * share:g} % + {watts:g} W", offset=watts, gain=share,
        noise=float(rng.uniform(0.01, 0.1)), resolution=0.1,
    )  # fmt: skip
    temperatures = [Column(f"{role}_C", role, "probes", probe=probe)
                    for role, probe in (("air", "P1"), ("load", "P2"), ("ambient", "P3"))]
    runs = [replace(cooler.leak, logs=(LogPlan(tuple(temperatures)),))]
    inside = INSIDE
    if plan is not None:
        runs += _steady_runs(plan, temperatures)
        inside = plan.to_hold if plan.at_footing is None else settled(histories["footing"])[0]
    if cooler.leak.sheet["kind"] == ["warm-up"]:
        # The same warm-up, had there been but one probe in a bottle.
        alone = LogPlan(tuple(c for c in temperatures if c.role != "air"))
        runs.append(replace(cooler.leak, id="bottle", logs=(alone,)))
        histories["bottle"] = histories["leak"]
    sheet = {
        "title": f"Cooler {cooler.number} (invented data)", "timezone": "UTC",
        "footing": {"ambient": f"{cooler.footing:.3f} °C", "inside": f"{inside:.3f} °C"},
    }
    campaign = Campaign(
        id=f"{cooler.technology}-{cooler.number:03d}", seed=seed + cooler.number, sheet=sheet,
        meters=(probes, meter), coolers={"cooler": _sheet(cooler, rng)}, runs=tuple(runs),
    )
    return CampaignSim(campaign, histories)


def _steady_runs(plan: Plan, temperatures: list[Column]) -> Iterator[Run]:
    said = "coldest" if plan.setting is None else f"{plan.setting:g} °C"
    sheet = {"cooler": "cooler", "kind": ["steady"], "setting": said}
    places = [c for c in temperatures if c.role != "load" or plan.loads]
    logs = (
        LogPlan(tuple(places)),
        LogPlan((Column("power_W", "power", "meter"),), power="mean", ending="-power"),
    )
    for name, case in (("near", plan.near), ("far", plan.far)):
        if case is not None:
            more = {"load": plan.loads} if plan.loads else {}
            yield Run(name, case, sheet | more, dt.datetime(2031, 3, 10, 9), logs, spread=0.0)


def _sheet(cooler: Cooler, rng: np.random.Generator) -> dict[str, object]:
    box, unit = cooler.box, cooler.machine
    sheet: dict[str, object] = {
        "name": f"Cooler {cooler.number}", "technology": cooler.technology, "origin": "built",
        "inside": Inline(volume=f"{box.litres:.1f} L"),
        "liner": Inline(material="polypropylene", mass=f"{box.liner_heat / 1900:.3f} kg"),
    }
    if cooler.technology == "thermoelectric":
        off = 1 + rng.uniform(-0.03, 0.03, 3)  # modules are not just what their sheet says
        sheet["modules"] = Inline(
            count=unit.count, i_max=f"{unit.i_max * off[0]:.2f} A",
            v_max=f"{unit.v_max * off[1]:.2f} V", dt_max=f"{unit.dt_max * off[2]:.1f} K",
            t_hot=f"{unit.t_hot:g} °C")
    return sheet


# --- what is found ------------------------------------------------------------------------------


def _without(result: CampaignResult, *runs: str, modules: bool = True) -> CampaignResult:
    """The same campaign, had some runs not been made (or the modules not been stated)."""
    campaign = result.campaign
    coolers = campaign.coolers if modules else {
        name: sheet.model_copy(update={"modules": None})
        for name, sheet in campaign.coolers.items()}
    kept = {name: sheet for name, sheet in campaign.runs.items() if name not in runs}
    return replace(
        result, campaign=replace(campaign, runs=kept, coolers=coolers),
        results={name: r for name, r in result.results.items() if name in kept},
    )


def _rows(result: CampaignResult) -> list[Finding]:
    """As the report gets them, those that are not asked for left out."""
    rows, _ = one_row_each(result.findings, result.campaign)
    rows += sheet_findings(result.campaign)
    rows += walls_modelled(rows, result.campaign)
    rows += machine(result, rows)
    return [*rows, *footing(result, rows)]


def _one(rows: Sequence[Finding], name: str, run: str = "") -> Finding:
    return next(f for f in rows if f.finding == name and (not run or f.runs == (run,)))


def _powered(
    plan: Plan, sim: CampaignSim, result: CampaignResult, histories: dict[str, History]
) -> Iterator[dict[str, object]]:
    rows = _rows(_without(result, "bottle"))
    measured = plan.cooler.leak.sheet["machine"] == "out"
    way = COP.format(plan.cooler.technology)
    if plan.cooler.technology == "thermoelectric":
        way += f", {MEASURED if measured else MODELLED}"
    truth = _true_cop(sim, result)
    yield _judged(way, _one(rows, "cop", "near"), truth)
    fraction = _one(rows, "carnot_fraction", "near")
    yield {"way": "share of the ideal", "value": fraction.value}
    yield from _refusals(plan, result, truth)
    if plan.at_footing is None:
        yield from _cannot(rows)
        return
    power = 24 * settled(histories["footing"])[1]
    for name, left_out in ((CURVE, ()), (TWO, ("leak",)), (ONE, ("far",))):
        seen = rows if not left_out else _rows(_without(result, "bottle", *left_out))
        yield _judged(name, _one(seen, "daily_energy_footing"), power)


def _true_cop(sim: CampaignSim, result: CampaignResult) -> float:
    """Heat taken from the inside, net of what the machine brings in, over electrical energy."""
    window, truth = result.results["near"].steady, sim.truths["near"]
    spans = [(window.t0, window.t1)]
    if window.cycling is not None:
        kept = np.column_stack([window.starts[:-1], window.starts[1:]])[window.good]
        spans = [tuple(span) for span in kept]
    at = [(truth.seconds(a), truth.seconds(b)) for a, b in spans]
    heat = sum((truth.flow_mean("machine", a, b) - truth.flow_mean("inside", a, b)) * (b - a)
               for a, b in at)
    return float(heat / sum(3600 * truth.energy(a, b) for a, b in at))


def _judged(way: str, row: Finding, truth: float) -> dict[str, object]:
    stated = row.low is not None and row.high is not None
    return {
        "way": way, "value": row.value, "truth": truth, "low": row.low, "high": row.high,
        "hit": stated and row.low <= truth <= row.high, "stated": stated,
        "half": (row.high - row.low) / 2 / abs(truth) if stated else np.nan,
        "basis": row.basis, "note": row.note,
    }


def _refusals(
    plan: Plan, result: CampaignResult, truth: float
) -> Iterator[dict[str, object]]:
    """One bottle's slope, and the heat leak of a machine that bridges: no COP from either."""
    if "bottle" in result.results:
        rows = _rows(_without(result, "leak"))
        leak = _one(rows, "heat_leak")
        wall = _one(_rows(_without(result, "bottle")), "heat_leak").conditions["wall"]
        box = leak_at(plan.cooler.box, float(wall))
        yield _refused("one bottle: heat leak", leak, (leak.low or np.nan) / box - 1)
        yield _refused("one bottle: COP", _one(rows, "cop", "near"))
    if plan.cooler.technology == "thermoelectric" and plan.cooler.leak.sheet["machine"] == "off":
        rows = _rows(_without(result, "bottle", modules=False))
        near = _one(result.results["near"].findings, "mean_power")
        off = leak_of(rows, "cooler", "off")
        naive = np.nan
        if off is not None and near.value is not None:
            apart = float(near.conditions["ambient"]) - float(near.conditions["inside"])
            naive = off.value * apart / near.value / truth - 1
        yield _refused("off, modules not stated: COP", _one(rows, "cop", "near"), naive)


def _cannot(rows: Sequence[Finding]) -> Iterator[dict[str, object]]:
    """A machine that surely cannot hold the footing's inside gets no figure there."""
    yield _refused("cannot hold: daily energy", _one(rows, "daily_energy_footing"))


def _refused(way: str, row: Finding, naive: float = np.nan) -> dict[str, object]:
    """Whether there is no value; ``naive`` is what the value would have been off by."""
    return {"way": way, "refused": row.value is None, "naive": naive, "basis": row.basis,
            "bounds": row.low is not None or row.high is not None, "note": row.note}


def _passive(cooler: Cooler, result: CampaignResult) -> Iterator[dict[str, object]]:
    rows = _rows(_without(result, "bottle"))
    ambient, inside = cooler.footing, INSIDE
    leak = leak_at(cooler.box, (ambient + inside) / 2)
    each = LATENT_HEAT + CP_WATER * inside
    yield _judged("ice needed, passive", _one(rows, "ice_needed"),
                  leak * (ambient - inside) * DAY / each)
    yield _refused("passive: daily energy", _one(rows, "daily_energy_footing"))


# --- tables -------------------------------------------------------------------------------------


def table(rows: pd.DataFrame, kit: str) -> pd.DataFrame:
    """A row a way: how often the value is near enough, and how often its interval holds."""
    ways = [COP.format("compressor"), COP.format(f"thermoelectric, {MEASURED}"),
            COP.format(f"thermoelectric, {MODELLED}"), CURVE, TWO, ONE, "ice needed, passive"]
    lines = []
    for way in ways:
        of = rows[rows["way"] == way]
        given = of[of["stated"] == True]  # noqa: E712 - the column holds NaN too
        valued = of[of["value"].notna()]
        error = (valued["value"].astype(float) / valued["truth"] - 1).abs()
        limit = WITHIN.get(way) if kit == "checked" else None
        near = float((error <= limit).mean()) if limit and len(valued) else np.nan
        hit = float(given["hit"].astype(float).mean()) if len(given) else np.nan
        # 99 % of the binomial about 95 %, rounded outwards: a lower rate is no chance.
        least = SHARE - 2.6 * np.sqrt(SHARE * (1 - SHARE) / max(len(given), 1))
        passed = hit >= least and (not limit or near >= least)
        lines.append({
            "kit": kit, "way": way, "cases": len(of), "valued": len(valued),
            "bounds only": len(given) - len(valued),
            "median error": float(error.median()) if len(error) else np.nan, "within": near,
            "limit": limit or np.nan, "hit rate": hit, "half width": float(given["half"].median()),
            "passed": "few" if len(of) < FEWEST else "yes" if passed else "no",
        })
    return pd.DataFrame(lines)


def refusals(rows: pd.DataFrame, kit: str) -> pd.DataFrame:
    """A row a thing that must get no figure: how often it got none, and how wrong it would be."""
    lines = []
    of_ways = rows[rows["refused"].notna()]
    for way, of in of_ways.groupby("way", sort=True):
        wrong = int((of["refused"] == False).sum())  # noqa: E712 - the column holds NaN too
        naive = of["naive"].astype(float)
        lines.append({
            "kit": kit, "what": way, "cases": len(of), "given a figure": wrong,
            "bounds only": int((of["bounds"] == True).sum()),  # noqa: E712 - as above
            "would be off by, median": float(naive.median()) if naive.notna().any() else np.nan,
            "passed": "no" if wrong else "yes",
        })
    above = rows[(rows["way"] == "share of the ideal") & (rows["value"].astype(float) >= 1)]
    every = rows[(rows["way"] == "share of the ideal") & rows["value"].notna()]
    lines.append({
        "kit": kit, "what": "share of the ideal of 1 or more", "cases": len(every),
        "given a figure": len(above), "bounds only": 0, "would be off by, median": np.nan,
        "passed": "no" if len(above) else "yes",
    })
    return pd.DataFrame(lines)

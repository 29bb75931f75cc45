"""Write a simulated campaign as a campaign folder: sheets and logs, as people would have them."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import numpy as np

from coldbench.bench.campaign import Campaign, CampaignSim, Run
from coldbench.bench.history import History
from coldbench.bench.instruments import Column, LogPlan, Meter, counter, record
from coldbench.bench.sheet_text import Inline, toml_text
from coldbench.bench.truth import Truth


def write_campaign(folder: Path, sim: CampaignSim) -> dict[str, Truth]:
    """Write campaign.toml, coolers/, runs/ and logs/.

    Parameters
    ----------
    folder : Path
        Made if missing.
    sim : CampaignSim
        The campaign and its histories.

    Returns
    -------
    dict of str to Truth
        Truth of each run, by its id.
    """
    campaign = sim.campaign
    sheet = dict(campaign.sheet)
    sheet["instruments"] = {meter.id: instrument_sheet(meter) for meter in campaign.meters}
    above = f"# {campaign.remark}\n" if campaign.remark else ""
    _write(folder / "campaign.toml", above + toml_text(sheet))
    for name, cooler in campaign.coolers.items():
        _write(folder / "coolers" / f"{name}.toml", above + toml_text(cooler))
    meters = {meter.id: meter for meter in campaign.meters}
    for run in campaign.runs:
        history = sim.histories[run.id]
        sheet = toml_text(_run_sheet(campaign, run, history))
        _write(folder / "runs" / f"{run.id}.toml", above + sheet)
        for plan in run.logs:
            t, columns = record(history, plan, meters, campaign.seed, run.id)
            text = log_text(run.start, t + plan.clock, columns, campaign.decimals)
            _write(folder / log_file(run, plan), above + text)
    return sim.truths


def log_file(run: Run, plan: LogPlan) -> str:
    """Place of a log within its campaign."""
    return f"logs/{run.id}{plan.ending}.csv"


def instrument_sheet(meter: Meter) -> dict[str, Any]:
    """Table of an instrument; what is not known is left out."""
    unit = {"temperature": "K", "sound": "dB"}.get(meter.measures, "W")
    sheet: dict[str, Any] = {"measures": meter.measures}
    if meter.kind:
        sheet["kind"] = meter.kind
    if meter.error:
        sheet["error"] = meter.error
    sheet["resolution"] = f"{meter.resolution:g} {unit}"
    if meter.counter_step:
        sheet["counter_step"] = f"{meter.counter_step / 1000:g} kWh"
    if meter.checked:
        sheet["checked"] = dt.date.fromisoformat(meter.checked)
    return sheet


def log_text(
    start: dt.datetime, t: np.ndarray, columns: dict[str, np.ndarray], decimals: int
) -> str:
    """A log as comma-separated text with ISO times of the local clock.

    Parameters
    ----------
    start : datetime
        Power on, local.
    t : ndarray, shape (n,)
        After power on. [s]
    columns : dict of ndarray, shape (n,)
        Readings. [°C, W, kWh]
    decimals : int
        Trailing zeros are dropped.

    Returns
    -------
    str
    """
    begin = np.datetime64(start, "s")
    times = np.datetime_as_string(begin + np.round(t).astype("timedelta64[s]"), unit="s")
    cells = [[_shown(y, decimals) for y in values.tolist()] for values in columns.values()]
    rows = [",".join(row) for row in zip(times.tolist(), *cells, strict=True)]
    return "\n".join([",".join(["time", *columns]), *rows]) + "\n"


def _shown(value: float, decimals: int) -> str:
    text = f"{value:.{decimals}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _run_sheet(campaign: Campaign, run: Run, history: History) -> dict[str, Any]:
    sheet: dict[str, Any] = {**run.sheet, "start": run.start}
    if run.pours_off:
        sheet["freeze"] = _poured(history)
    if run.drains:
        sheet["ice"] = Inline({**run.sheet["ice"], "drained": _melted(history)})
    if run.logs:
        skipped = {"skip": 1} if campaign.remark else {}
        sheet["log"] = [_log_table(run, plan, skipped) for plan in run.logs]
    if run.readings:
        sheet["reading"] = _readings(campaign, run, history)
    return sheet


def _poured(history: History) -> dict[str, str]:
    """Water poured off at the end and all of it, as a kitchen scale shows them."""
    loads = range(history.taken.shape[0])
    ice = [history.state("ice" if i == 0 else f"ice_{i + 1}")[-1] for i in loads]
    water = history.water
    drained = float(sum(kg * (1 - share) for kg, share in zip(water, ice, strict=True)))
    return {"drained": f"{drained:.2f} kg", "total": f"{water.sum():.2f} kg"}


def _melted(history: History) -> str:
    """Water from what began as ice, as a kitchen scale shows it."""
    names = ["ice" if i == 0 else f"ice_{i + 1}" for i in range(history.water.size)]
    shares = [history.state(name) for name in names]
    melted = sum(kg * (1 - share[-1]) for kg, share in zip(history.water, shares, strict=True)
                 if share[0] > 0.5)
    return f"{melted:.2f} kg"


def _log_table(run: Run, plan: LogPlan, skipped: dict[str, Any]) -> dict[str, Any]:
    table: dict[str, Any] = {"file": log_file(run, plan), **skipped, "time": Inline(column="time")}
    has_power = any(column.role in ("power", "energy") for column in plan.columns)
    if any(column.role == "power" for column in plan.columns):
        table["power"] = "mean" if plan.power == "mean" else "hold"
        if plan.power == "mean":
            table["label"] = plan.label
    if has_power:
        table["metered_at"] = plan.metered_at
    if plan.gap:
        table["gap"] = plan.gap
    table["columns"] = {column.name: _column(column) for column in plan.columns}
    return table


def _column(column: Column) -> Inline:
    entry = Inline(role=column.role)
    if column.role == "energy":
        entry["unit"] = "kWh"
    if column.probe:
        entry["probe"] = column.probe
    entry["instrument"] = column.meter
    return entry


def _readings(campaign: Campaign, run: Run, history: History) -> list[dict[str, str]]:
    """The counter of an energy meter, read by eye at the given instants."""
    meter = next(meter for meter in campaign.meters if meter.id == run.reader)
    rng = np.random.default_rng([campaign.seed, len(run.id)])
    offset, gain = meter.hidden(campaign.seed, f"{meter.id} reading")
    shown = counter(history, np.array(run.readings), meter, offset, gain, rng)
    known = {"instrument": meter.id, "metered_at": "dc"}
    return [
        {"at": f"{at / 3600:g} h", "energy": f"{value:.2f} kWh", **known}
        for at, value in zip(run.readings, shown.tolist(), strict=True)
    ]


def _write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8", newline="\n")

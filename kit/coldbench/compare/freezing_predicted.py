"""Freezing times by Plank and by Pham beside the measured one: what film and shape allow."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from coldbench import draws
from coldbench.analysis.campaign import CampaignResult, RunResult
from coldbench.analysis.doubt import true_of
from coldbench.analysis.limits import LIMITS
from coldbench.compare.repeats import one_row_each
from coldbench.compare.tape import taped
from coldbench.findings import Finding, measured
from coldbench.logs.cumulative import cumulative
from coldbench.physics.freezing import WATER, film_through_wall
from coldbench.physics.freezing_bodies import Body, freezing_times
from coldbench.physics.materials import METALS, PLASTICS
from coldbench.quantities import number
from coldbench.sheets.run import ContainerSheet, LoadSheet

HOUR = 3600.0
END = -0.5  # of the centre, where the measured plateau is taken to end [°C]
COLD_ENOUGH = -0.6  # warmest air that can bring the centre there [°C]
GLASS = (1.0, 2500.0)  # [W/(m K)], [kg/m³]; from memory


@dataclass(frozen=True)
class Shape:
    """A body of water with its wall: draws of its lengths [m], and how they are known."""

    body: Body
    lengths: tuple[np.ndarray, ...]
    area: float
    said: str


def predicted_freezing(result: CampaignResult, rows: Sequence[Finding]) -> list[Finding]:
    """Predicted times of each freeze run whose load, container and air are known.

    Parameters
    ----------
    result : CampaignResult
        Runs, analysed.
    rows : sequence of Finding
        Of the campaign; not used but for the order in which findings follow.

    Returns
    -------
    list of Finding
        ``freeze_time_predicted`` [h] at ``plateau, Plank`` (from 0 °C to the frozen centre) and at
        ``start to end, Pham`` (from the load's start temperature); modelled. Not measured, with
        what is needed, where air or container are not known or the air was not cold enough.

    References
    ----------
    .. [1] :func:`coldbench.physics.freezing_bodies.freezing_times`; films of air inside a box are
       handbook values from memory.
    """
    found = [_of_run(result, run) for run in result.results.values() if "freeze" in run.kinds]
    each = [row for rows_of_run in found for row in rows_of_run]
    return one_row_each(each, result.campaign)[0]


def _of_run(result: CampaignResult, run: RunResult) -> list[Finding]:
    record, sheet = run.record, result.campaign.runs[run.record.run]
    row = Finding(cooler=record.cooler, finding="freeze_time_predicted", unit="h",
                  runs=(record.run,), basis="modelled")
    plank, pham = replace(row, at="plateau, Plank"), replace(row, at="start to end, Pham")

    def missing(needs: str) -> list[Finding]:
        return [replace(one, basis="not measured", note=f"needs {needs}") for one in (plank, pham)]

    air, frozen = record.trace("air"), run.freezing
    if air is None:
        return missing("the air around the load")
    # The probe sits in the first of the loads.
    if not sheet.load or sheet.load[0].container is None:
        return missing("the load's container")
    if frozen is None:
        return missing("a load that began to freeze")
    shape = _shape(record.run, sheet.load[0])
    end = frozen.end if np.isfinite(frozen.end) else record.end
    film = _film(record.run, sheet.load[0].container, shape)
    start = _start(run)
    found = []
    for one, begin, word in ((plank, frozen.start, "plank"), (pham, frozen.zero, "pham")):
        mean = float(cumulative(air).mean(begin, end))
        if not mean < COLD_ENOUGH:
            needs = f"air below freezing; its mean was {number(mean, 1)} °C"
            found.append(replace(one, basis="not measured", note=f"needs {needs}"))
            continue
        around = true_of(air, mean)
        around = np.minimum(np.full(draws.DRAWS, mean) if around is None else around, COLD_ENOUGH)
        times = freezing_times(shape.body, shape.lengths, film, WATER, np.maximum(start, 0.0), END,
                               around)
        hours = np.asarray(getattr(times, word)) / HOUR
        note = (f"{shape.said}; air at {number(mean, 1)} °C on the mean, film of "
                f"{LIMITS.film_least:g} to {LIMITS.film_most:g} W/(m²·K)")
        conditions = {"inside": mean, "start": float(start) if word == "pham" else 0.0}
        found.append(replace(one, note=note, conditions=conditions,
                             **measured(hours, float(np.median(hours)))))
    return found


def _start(run: RunResult) -> float:
    """Temperature of the load at its time zero, as its first row has it. [°C]"""
    told = next((f.conditions.get("start") for f in run.findings
                 if f.finding in ("freeze_start", "freeze_time")), None)
    return float(told) if told is not None else float(run.record.loads()[0].y[0])


def _film(name: str, container: ContainerSheet, shape: Shape) -> np.ndarray:
    """Film as the water sees it, through the container's wall. [W/(m² K)]"""
    film = draws.between(f"{name} film at the load", LIMITS.film_least, LIMITS.film_most)
    material = {**PLASTICS, **METALS}.get(container.material)
    conductivity, density = (
        GLASS if material is None else (material.conductivity, material.density))
    return film_through_wall(film, container.mass.value / (density * shape.area), conductivity)


def _shape(name: str, load: LoadSheet) -> Shape:
    """From the sheet, else a bottle twice as high as it is wide. [m]"""
    box, volume = load.container, load.water.value / 1000
    if box.shape == "slab":
        thick = taped(f"{name} container height", box.height) / 1000
        side = np.sqrt(volume / thick)
        return Shape("slab", (thick,), 2 * float(np.mean(side)) ** 2, "a slab of stated thickness")
    if box.shape == "brick":
        wide, deep = (taped(f"{name} container {n}", getattr(box, n)) / 1000
                      for n in ("width", "depth"))
        tall = volume / (wide * deep)
        w, d, h = (float(np.mean(x)) for x in (wide, deep, tall))
        return Shape("brick", (wide, deep, tall), 2 * (w * d + d * h + w * h),
                     "a brick of stated sizes, filled as far as its water goes")
    if box.diameter is not None:
        across = taped(f"{name} container diameter", box.diameter) / 1000
        said = f"a {box.shape} of stated diameter"
    else:
        usual = (2 * volume / np.pi) ** (1 / 3)
        across = usual * (1 + draws.uniform(f"{name} container shape", LIMITS.bottle_shape))
        said = (f"shape not stated: a round bottle twice as high as wide, "
                f"{number(1000 * usual, 0)} mm ± {100 * LIMITS.bottle_shape:g} %")
    tall = volume / (np.pi / 4 * across**2)
    d, h = float(np.mean(across)), float(np.mean(tall))
    return Shape("can", (across, tall), np.pi * d * h + np.pi / 2 * d**2, said)

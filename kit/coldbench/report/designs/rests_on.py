"""What the predictions rest on: machines fitted to runs, what they were held against, the box."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coldbench.design.compressor_unit import CompressorUnit
from coldbench.design.fitted import Check, Fitted
from coldbench.design.thermoelectric_unit import ThermoelectricUnit
from coldbench.figures.words import listed
from coldbench.quantities import number, show
from coldbench.report.design_book import DesignBook
from coldbench.report.designs.words import told
from coldbench.report.display import Bullets, Cell, Heading, Table, Text

NOT_HELD = ("No other run was there to hold it against: a second steady run, at another setting or "
            "ambient, would test it.")


def rests_on(design: DesignBook) -> list[object]:
    """Fits with their checks, then the present box's leak that is carried forward.

    Parameters
    ----------
    design : DesignBook
        Campaign and what follows from it.
    """
    lines = [_line(design, fitted) for fitted in design.fits.values()]
    checks = [_row(design, fitted, check)
              for fitted in design.fits.values() for check in fitted.checks]
    shown: list[object] = [Bullets(lines)] if lines else [Text("No cooler here has a machine.")]
    if checks:
        shown.append(Table(
            ["Cooler", "Run", "Inside", "Ambient", "Predicted", "Measured", "Agree?"], checks,
            caption="Each fit held against a run that it was not fitted to",
            note="A compressor unit is fitted anew without the run; of a thermoelectric machine "
                 "only one run was fitted. Intervals hold what differs from run to run."))
    return [*shown, *_constants(design), Heading(3, "The box"), Text(_excess(design))]


def _line(design: DesignBook, fitted: Fitted) -> str:
    name = design.book.names[fitted.cooler]
    if fitted.refused:
        return f"{name}: nothing is predicted of it. It {fitted.refused}."
    text = f"{name}: fitted to {listed(fitted.runs)}"
    if fitted.note:
        text += f"; {fitted.note}"
    return f"{text}." + ("" if fitted.checks else f" {NOT_HELD}")


def _row(design: DesignBook, fitted: Fitted, check: Check) -> list[object]:
    predicted = show(check.predicted, check.low, check.high, check.unit)
    return [Cell(design.book.names[fitted.cooler], mark=design.book.mark(fitted.cooler)),
            listed(check.runs), f"{number(check.inside, 1)} °C", f"{number(check.ambient, 1)} °C",
            predicted, f"{number(check.measured, 1)} {check.unit}",
            Cell("yes", "good") if check.agrees else Cell("no", "bad")]


def _constants(design: DesignBook) -> Iterator[Table]:
    """What was found of each machine."""
    rows = [row for fitted in design.fits.values() if fitted.unit is not None
            for row in _found(design, fitted)]
    if rows:
        yield Table(["Cooler", "Constant", "Fitted"], rows, caption="What the runs say of each "
                    "machine", note="Capacity and power are those of unbroken running, never of a "
                    "mean over cycles.")


def _found(design: DesignBook, fitted: Fitted) -> Iterator[list[object]]:
    name, unit = design.book.names[fitted.cooler], fitted.unit
    ambient, inside = design.wishes.footing
    at = f"at {number(inside, 0)} °C inside, {number(ambient, 0)} °C ambient"
    if isinstance(unit, ThermoelectricUnit):
        yield [name, "Hot faces to air", told(_whole(unit.r_hot), "K/W")]
        yield [name, "Inside air to cold faces", told(_whole(unit.r_cold), "K/W")]
        yield [name, "Volts at the modules", told(_whole(unit.volts), "V")]
        yield [name, "Heat let back in while they rest", told(_whole(unit.bridge), "W/K")]
    yield [name, f"Takes, running, {at}", told(unit.capacity(inside, ambient), "W")]
    yield [name, f"Draws, running, {at}", told(unit.power(inside, ambient), "W")]
    if isinstance(unit, CompressorUnit):
        yield [name, "Insides that its runs show",
               f"{number(fitted.seen[0], 0)} to {number(fitted.seen[1], 0)} °C"]


def _whole(values: object) -> np.ndarray:
    return np.broadcast_to(np.asarray(values, float), (4000,))


def _excess(design: DesignBook) -> str:
    excess = design.excess
    return (f"Leak beyond the walls, carried forward {excess.source}; ratio "
            f"{told(np.asarray(excess.ratio), '')}. How much of it grows with the walls and how "
            "much with the rim of the lid is not known: every share of the two is drawn. A ratio "
            "above 1.3 points at seal, drain, fasteners, bridges and wet foam.")

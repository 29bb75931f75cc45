"""One function a figure: findings and records in, a drawing with data and words out."""

from __future__ import annotations

from coldbench.figures.budget import budget_bars
from coldbench.figures.can_plans import can_plans
from coldbench.figures.capacity import capacity_against_inside
from coldbench.figures.capacity_and_leak import capacity_and_leak
from coldbench.figures.cooler import pull_down_sheet
from coldbench.figures.cost_over_time import cost_over_time
from coldbench.figures.cycle import one_cycle
from coldbench.figures.dots import dot_plot
from coldbench.figures.drawn import Drawn, csv_text, svg_text
from coldbench.figures.drive_map import drive_map
from coldbench.figures.energy import cumulative_energy
from coldbench.figures.falling_difference import falling_difference
from coldbench.figures.fit_drawing import fit_drawing
from coldbench.figures.flows import heat_and_electricity
from coldbench.figures.freeze import freeze_curve
from coldbench.figures.hot_side_gain import hot_side_gain
from coldbench.figures.litres_and_energy import litres_and_energy
from coldbench.figures.look import Style, cooler_styles
from coldbench.figures.pareto import pareto
from coldbench.figures.ph_chart import ph_chart
from coldbench.figures.pull_down import pull_down_overlay
from coldbench.figures.raw_curves import raw_curves
from coldbench.figures.section_drawing import section_drawing
from coldbench.figures.sound import sound_levels, sound_log
from coldbench.figures.steady import steady_stack
from coldbench.figures.supply_map import supply_map, supply_months
from coldbench.figures.tradeoff import size_against_energy
from coldbench.figures.warm_up import warm_up_fit

__all__ = [
    "Drawn", "Style", "budget_bars", "can_plans", "capacity_against_inside",
    "capacity_and_leak", "cooler_styles", "cost_over_time", "csv_text", "cumulative_energy",
    "dot_plot", "drive_map", "falling_difference", "fit_drawing", "freeze_curve",
    "heat_and_electricity", "hot_side_gain", "litres_and_energy", "one_cycle",
    "pareto", "ph_chart", "pull_down_overlay", "pull_down_sheet", "raw_curves",
    "section_drawing", "size_against_energy", "sound_levels", "sound_log", "steady_stack",
    "supply_map", "supply_months", "svg_text", "warm_up_fit",
]

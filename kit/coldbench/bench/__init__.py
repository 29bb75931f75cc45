"""A physical simulator of coolers on a bench: demo data, and truth for the tests.

It knows none of the laws that the analyses use, so that it cannot mark its own homework.
"""

from __future__ import annotations

from coldbench.bench.boxes import (
    Box,
    Case,
    Compressor,
    Load,
    Room,
    Thermoelectric,
    Thermostat,
    foam_box,
    with_spread,
)
from coldbench.bench.campaign import Campaign, CampaignSim, Run, cans, simulate_campaigns
from coldbench.bench.draw import draw_campaigns
from coldbench.bench.history import History
from coldbench.bench.instruments import Column, LogPlan, Meter, record
from coldbench.bench.simulate import simulate
from coldbench.bench.truth import Truth
from coldbench.bench.writing import write_campaign

__all__ = [
    "Box",
    "Campaign",
    "CampaignSim",
    "Case",
    "Column",
    "Compressor",
    "History",
    "Load",
    "LogPlan",
    "Meter",
    "Room",
    "Run",
    "Thermoelectric",
    "Thermostat",
    "Truth",
    "cans",
    "draw_campaigns",
    "foam_box",
    "record",
    "simulate",
    "simulate_campaigns",
    "with_spread",
    "write_campaign",
]

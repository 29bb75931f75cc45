"""A group's folder for the lab cards that live on readings: made up, then changed line by line."""

from __future__ import annotations

import csv
from pathlib import Path

from coldbench.course.card import Expected, with_draws
from coldbench.course.cards import card_named
from coldbench.course.makeup import make_up
from coldbench.course.work import Work, open_card

REFERENCE = Path(__file__).parents[1] / "reference"
CAMPAIGN = """\
title = "A group (invented)"
timezone = "UTC"
[footing]
ambient = "25 °C"
inside = "5 °C"
[instruments.absolute]
measures = "pressure"
kind = "absolute pressure sensor"
error = "2 kPa"
[instruments.gauge]
measures = "pressure"
kind = "gauge"
error = "2 kPa"
[instruments.unsaid]
measures = "pressure"
error = "2 kPa"
[instruments.probe]
measures = "temperature"
error = "0.3 K"
[instruments.meter]
measures = "power"
error = "1 %"
[instruments.volts]
measures = "voltage"
error = "0.2 %"
[instruments.amps]
measures = "current"
error = "0.2 %"
"""


def published(name: str) -> dict[str, float]:
    """Values of a file of ``tests/reference`` by their id; sources stand at its head."""
    text = (REFERENCE / f"{name}.csv").read_text(encoding="utf-8")
    lines = (line for line in text.splitlines() if not line.startswith("#"))
    return {row["id"]: float(row["value"]) for row in csv.DictReader(lines)}


def plain(*values: float) -> list:
    """Numbers as the cards' formulas take them, without draws."""
    return [with_draws(value, None) for value in values]


def made_up(folder: Path, card: str, group: str = "g01", **numbers: str) -> Path:
    """A made-up group for one card."""
    known = card_named(card)
    make_up(folder, group, 7, known.runs, known.roles, numbers)
    return folder


def written(folder: Path, cooler: str, run: str, more: str = "") -> Path:
    """A campaign of one cooler and one run, from the texts of their sheets."""
    texts = {"campaign.toml": CAMPAIGN + more, "coolers/box.toml": cooler, "runs/one.toml": run}
    for name, text in texts.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")
    return folder


def readings(*rows: tuple[str, dict[str, str]]) -> str:
    """``[[reading]]`` rows: instrument and values, ten minutes apart for each new instant."""
    text, seen, minute = "", set(), 0
    for instrument, values in rows:
        if seen & set(values):
            minute, seen = minute + 10, set()
        seen |= set(values)
        text += f'\n[[reading]]\nat = "{minute} min"\ninstrument = "{instrument}"\n'
        text += "".join(f'{role} = "{value}"\n' for role, value in values.items())
    return text


def solved(work: Work, **given: float) -> dict[str, Expected]:
    """What is expected of a group."""
    return work.card.solve(work, given)


def opened(card: str, folder: Path) -> Work:
    """A group's work on a card."""
    return open_card(card, str(folder))


def outside_its_magnitude(work: Work) -> list[str]:
    """Asked numbers whose plausible magnitude does not hold what this group ought to find."""
    found = solved(work)
    return [one.name for one in work.card.asked
            if one.name in found and not one.least <= found[one.name].value <= one.most]

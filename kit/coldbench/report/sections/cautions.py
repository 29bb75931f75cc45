"""Cautions that apply to what was tested; the last word is never the kit's."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from coldbench.compare.cable import NOT_A_SIZE
from coldbench.report.book import Book
from coldbench.report.display import Caution
from coldbench.sheets import CoolerSheet

FLAMMABLE = {"R600a", "R290", "R1270", "R152a", "R1234yf", "R32", "R454C"}


@dataclass(frozen=True)
class Topic:
    """A caution and when it applies."""

    title: str
    text: str
    applies: Callable[[Book, list[CoolerSheet]], bool]


def _some(test: Callable[[CoolerSheet], bool]) -> Callable[[Book, list[CoolerSheet]], bool]:
    return lambda book, coolers: any(test(c) for c in coolers)


def _metered_at(*points: str) -> Callable[[Book, list[CoolerSheet]], bool]:
    def applies(book: Book, coolers: list[CoolerSheet]) -> bool:
        names = {id(c) for c in coolers}
        return any(
            log.metered_at in points for run in book.campaign.runs.values() for log in run.log
            if id(book.campaign.coolers[run.cooler]) in names
        )
    return applies


def _tested(*kinds: str) -> Callable[[Book, list[CoolerSheet]], bool]:
    def applies(book: Book, coolers: list[CoolerSheet]) -> bool:
        names = {id(c) for c in coolers}
        return any(set(kinds) & set(run.kind) and id(book.campaign.coolers[run.cooler]) in names
                   for run in book.campaign.runs.values())
    return applies


def _found(book: Book, coolers: list[CoolerSheet], *findings: str) -> bool:
    """Whether the report prints one of some findings of one of the coolers."""
    return any(f.finding in findings and f.basis != "not applicable"
               and book.campaign.coolers[f.cooler] in coolers for f in book.rows)


TOPICS = (
    Topic(
        "Food",
        "Food keeps by its own temperature, not by that of the air. Margins and hours here are "
        "measurements on water; they are no judgement of any food. Rules differ between countries "
        "and trades: ask the local food authority, and when in doubt throw it out. Nothing here "
        "says anything about medicines: ask a pharmacist.",
        lambda book, coolers: True,
    ),
    Topic(
        "Flammable refrigerant",
        "The gas is heavier than air and collects low down. No flame or spark nearby, no drilling "
        "near lines, air around the unit. Faults are for a certified refrigeration technician; "
        "the maker's manual and local law hold.",
        _some(lambda c: c.refrigerant is not None and c.refrigerant.name in FLAMMABLE),
    ),
    Topic(
        "Sealed circuit",
        "The refrigerant circuit stays closed: no cutting, piercing, soldering or filling. Work "
        "on it is for certified technicians only.",
        _some(lambda c: c.technology in ("compressor", "absorption")),
    ),
    Topic(
        "Hot heat sink",
        "The hot side of a thermoelectric unit can burn skin, and climbs fast when a fan or pump "
        "stops. Guard it and fit a cut-out against overheating; the module's data sheet holds.",
        _some(lambda c: c.technology == "thermoelectric"),
    ),
    Topic(
        "Home-made electrics and liquids",
        "Leaks and loose wiring belong apart. Have wiring and protection checked by a qualified "
        "electrician for the vehicle, boat or building it is used in; near food use a coolant "
        "sold for that purpose.",
        _some(lambda c: c.origin == "built"),
    ),
    Topic(
        "Low-voltage wiring and batteries",
        "Fire risk lies in the cable and the battery, not in the cooler. Nothing here is an "
        "instruction for a wire or a fuse. Lithium batteries need their management system, their "
        "temperature limits and a fixed place: the maker and a qualified installer have the last "
        "word.",
        lambda book, coolers: _metered_at("dc", "battery")(book, coolers)
        or _found(book, coolers, "daily_charge", "battery_needed", "panel_needed"),
    ),
    Topic(
        "Loss in a cable",
        NOT_A_SIZE,
        lambda book, coolers: _found(book, coolers, "cable_drop"),
    ),
    Topic(
        "Mains",
        "Adapters, inverters and mains meters stay dry. Work on mains is for a qualified "
        "electrician.",
        _metered_at("wall"),
    ),
    Topic(
        "Heater in a closed box",
        "Extra-low voltage only, never a mains lamp or element. Keep the inside below what foam, "
        "liner and seal bear, spread the heat with a fan, fit a cut-out against overheating, and "
        "stay with it. The instructor and the maker's limits have the last word.",
        _tested("heater"),
    ),
    Topic(
        "Ice and dry ice",
        "Melt water finds its way into electrics. Dry ice displaces air: never in a closed van, "
        "boat or room. Keep to the supplier's sheet.",
        lambda book, coolers: any(c.technology == "passive" for c in coolers)
        or _tested("ice-melt")(book, coolers),
    ),
    Topic(
        "Weight",
        "A loaded box moves in a crash or a sea way. Tie it down where the vehicle's maker "
        "provides for it.",
        lambda book, coolers: True,
    ),
)


def cautions(book: Book, cooler: str = "") -> list[object]:
    """Boxes for the topics that apply to the campaign, or to one cooler of it."""
    coolers = [book.campaign.coolers[cooler]] if cooler else list(book.campaign.coolers.values())
    return [Caution(t.title, t.text) for t in TOPICS if t.applies(book, coolers)]

"""The lab cards: a module each, named like its notebook in ``notebooks/labs/``."""

from __future__ import annotations

from importlib import import_module

from coldbench.course.card import Card
from coldbench.errors import Fault, UserError, nearest

NAMES = (
    "pull_down_balance",
    "heat_leak_warm_up",
    "heat_leak_heater",
    "duty_and_meters",
    "cycle_on_ph",
    "thermoelectric_module",
    "carnot_gap",
    "freezing",
    "uncertainty",
    "design_sums",
)


def card_named(name: str) -> Card:
    """A card by its name; its module holds it as ``CARD``.

    Parameters
    ----------
    name : str
        One of ``NAMES``.

    Returns
    -------
    Card

    Raises
    ------
    UserError
        There is no such card; the nearest name is told.
    """
    if name not in NAMES:
        meant = nearest(name, NAMES)
        raise UserError(Fault(
            "there is no lab card of this name", found=name, allowed=", ".join(NAMES),
            do=f'write "{meant}"' if meant else "",
        ))
    return import_module(f"coldbench.course.cards.{name}").CARD

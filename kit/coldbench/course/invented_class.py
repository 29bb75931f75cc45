"""An invented class, for the notebook of the overlay when it is opened by itself."""

from __future__ import annotations

import numpy as np

from coldbench.course.card import Asked
from coldbench.course.cards import card_named

CARD = "heat_leak_warm_up"
GROUPS, HOURS, SEED = 12, 12.0, 20310917
INVENTED = "Invented class: no such groups, nothing was measured."


def invented_class() -> dict[str, object]:
    """What ``class.json`` would hold of twelve groups that never were.

    Returns
    -------
    dict
        The same on each call.
    """
    rng = np.random.default_rng(SEED)
    groups = [_group(f"g{n + 1:02d}", rng) for n in range(GROUPS)]
    rows = [
        {"group": one["group"], "card": CARD, "status": "done", "coverage": "100",
         "headline": one["cards"][CARD]["headline"], "flags": "", "reason": "",
         "data": "synthetic"} for one in groups
    ]
    return {"title": "An invented class", "banner": INVENTED, "cards": [CARD], "rows": rows,
            "groups": groups}


def _group(name: str, rng: np.random.Generator) -> dict[str, object]:
    """A curve that warms up towards a room, and answers about the middle of what is plausible."""
    hours = np.linspace(0, HOURS, 61)
    room, begin, slow = 24 + rng.normal(0, 0.5), 3 + rng.normal(0, 0.4), 9 * rng.normal(1, 0.1)
    values = room + (begin - room) * np.exp(-hours / slow)
    answers = {asked.name: _answer(asked, rng) for asked in card_named(CARD).asked}
    return {
        "group": name,
        "curves": {"warm-up": {"role": "load", "hours": hours.round(3).tolist(),
                               "values": values.round(2).tolist()}},
        "cards": {CARD: {"answers": answers, "headline": answers["heat_leak"]["text"]}},
    }


def _answer(asked: Asked, rng: np.random.Generator) -> dict[str, object]:
    middle = np.sqrt(asked.least * asked.most) if asked.least > 0 else asked.most / 2
    value = float(f"{middle * rng.normal(1, 0.1):.3g}")
    return {"text": f"{value:g} {asked.unit}", "value": value}

"""Which role a heading suggests: a proposal that whoever logged it confirms, never a choice."""

from __future__ import annotations

import re

from coldbench.logs.columns import unit_of_heading
from coldbench.quantities import unit_kind
from coldbench.sheets.roles import ROLE_KINDS

# Words of headings in a few languages, in the order in which they are tried. Common practice, no
# source.
WORDS: tuple[tuple[str, str], ...] = (
    ("ambient", r"ambient|room|raum|umgebung|aussen|außen|outside|outdoor|exterior|ambiente|ambiant"
                r"|pi[eè]ce|stanza|sala"),
    ("hot_side", r"hot|sink|heiss|heiß|warmseite|radiator"),
    ("load", r"load|can\b|cans\b|dose|bottle|flasche|bouteille|botella|water|wasser|eau\b|agua"
             r"|product|probe in|milk|cheese"),
    ("wall", r"wall|wand|paroi|pared"),
    ("air", r"air|luft|inside|innen|interior|int[eé]rieur|box|cabinet|fridge|cool(er|box)|dentro"),
    ("sound", r"sound|noise|\bdb|laut|l[aä]rm|bruit|ruido|\bspl\b"),
    ("energy", r"energy|energie|[eé]nergie|counter|z[aä]hler|kwh|\bwh\b"),
    ("power", r"power|leistung|puissance|potencia|watt|\bw\b|load_w"),
    ("voltage", r"volt|spannung|tension|\bu\b|\bv\b|\bmv\b"),
    ("current", r"current|strom|courant|corriente|amp|\bi\b|\ba\b|\bma\b"),
    ("humidity", r"humid|feucht|\brh\b|humedad"),
    ("mass", r"mass|weight|gewicht|poids|peso|scale|waage|gram|\bg\b|\bkg\b"),
    ("door", r"door|lid|t[uü]r|deckel|porte"),
)
BY_KIND = {"power": "power", "energy": "energy", "voltage": "voltage", "current": "current",
           "mass": "mass", "sound": "sound"}


def suggested_role(heading: str, written: str | None = None) -> str | None:
    """Role that a heading suggests, or None.

    Parameters
    ----------
    heading : str
        Of the column.
    written : str, optional
        Unit from a row of units.

    Examples
    --------
    >>> suggested_role("Raum (°C)"), suggested_role("P_dc_W"), suggested_role("CH1")
    ('ambient', 'power', None)
    """
    plain = re.sub(r"[_()\[\]/.:-]+", " ", heading).lower()
    for role, words in WORDS:
        if re.search(words, plain) and _may_be(role, heading, written):
            return role
    kind = unit_kind(written) if written else None
    for name in (kind,) if kind else BY_KIND:
        if name in BY_KIND and (kind or unit_of_heading(heading, name)):
            return BY_KIND[name]
    return None


def _may_be(role: str, heading: str, written: str | None) -> bool:
    """Whether the unit that stands there leaves the role possible."""
    kind = ROLE_KINDS[role]
    if written:
        return unit_kind(written) == kind
    others = [k for k in ("temperature", *BY_KIND) if k != kind and unit_of_heading(heading, k)]
    return not others or unit_of_heading(heading, kind) is not None

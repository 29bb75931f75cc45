"""What a mains adapter takes: the same cooler metered once at the wall, once at its terminals."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.settled_rows import joined
from coldbench.compare.differences import not_comparable
from coldbench.findings import Finding, find, measured
from coldbench.quantities import number
from coldbench.sheets import Campaign

POWERS = {"mean_power": "mean", "running_power": "running", "idle_power": "idle"}


def adapter_loss(campaign: Campaign, rows: Sequence[Finding]) -> list[Finding]:
    """Power at the wall minus power at the cooler, from two runs under like conditions.

    Parameters
    ----------
    campaign : Campaign
        Its run sheets name the protocols.
    rows : sequence of Finding
        One a cooler, finding and ``at``: powers at ``wall coldest`` and ``dc coldest`` and the
        like.

    Returns
    -------
    list of Finding
        ``adapter_loss`` [W] at ``mean coldest``, ``running coldest`` and ``idle coldest``; what
        was assumed of the spread from run to run is in its interval. Not measured where inside,
        ambient or protocol differ by more than the limits of a comparison.

    References
    ----------
    .. [1] This kit's own definition.
    """
    protocols = {run: sheet.protocol or "" for run, sheet in campaign.runs.items()}
    found = []
    for wall in rows:
        point, _, setting = wall.at.partition(" ")
        if wall.finding not in POWERS or point != "wall":
            continue
        pair = find(rows, cooler=wall.cooler, finding=wall.finding, at=f"dc {setting}".strip())
        if pair:
            base = Finding(
                cooler=wall.cooler, finding="adapter_loss", unit="W",
                at=f"{POWERS[wall.finding]} {setting}".strip(), runs=(*wall.runs, *pair[0].runs),
                conditions=dict(wall.conditions),
            )
            found.append(_loss(base, wall, pair[0], protocols))
    return found


def _loss(base: Finding, wall: Finding, dc: Finding, protocols: dict[str, str]) -> Finding:
    # Whichever power it is, the two runs have to be alike as for a mean.
    alike = [replace(row, finding="mean_power") for row in (wall, dc)]
    why = not_comparable(*alike, protocols)
    if not why and (wall.value is None or dc.value is None):
        why = "one of the two is only bounded or was not measured"
    if why:
        return replace(base, basis="not measured", note=f"pair of runs not alike: {why}"
                       if wall.value is not None and dc.value is not None else why)
    value = wall.value - dc.value
    note = f"{number(100 * dc.value / wall.value, 0)} % of what the wall gives arrives"
    if wall.draws is None or dc.draws is None:
        return replace(base, value=value, note=joined(note, "error not stated"))
    spread = [draws.normal(f"{row.cooler} {row.finding} {row.at} run to run",
                           LIMITS.spread_energy * row.value) for row in (wall, dc)]
    true = wall.draws + spread[0] - dc.draws - spread[1]
    return replace(base, **measured(true, value),
                   note=joined(note, "assumed run-to-run spread included"))

"""What makers claim against what was measured: like with like, and where it is not, said."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from coldbench.analysis.limits import LIMITS
from coldbench.compare.against import Against, against, beyond, carried
from coldbench.compare.musts import metering_order
from coldbench.compare.repeats import Spread
from coldbench.findings import Finding, find
from coldbench.quantities import Quantity, number, parse
from coldbench.sheets import Campaign

BORNE_OUT, NOT_BORNE_OUT = "borne out", "not borne out"
CANNOT_TELL, NOT_COMPARABLE = "cannot tell", "not comparable"
WORDS = {True: BORNE_OUT, False: NOT_BORNE_OUT, None: CANNOT_TELL}
BETTER = {"coldest": -1, "power": -1, "volume": 1, "daily_energy": -1}
POWERS = {"largest": "peak_power", "running": "running_power", "mean": "mean_power"}
VOLUMES = {"inside": "inside_volume", "usable": "usable_volume"}
SOUND = "sound power or sound pressure, and at what distance, is not said: not compared"


@dataclass(frozen=True)
class ClaimVerdict:
    """One claim of one cooler.

    Attributes
    ----------
    cooler, claim : str
        Id, and the claim's key in the sheet.
    claimed : Quantity
        As the maker states it.
    rows : tuple of Finding
        What was measured of that kind; several where the claim does not say which it means.
    verdict : {"borne out", "not borne out", "cannot tell", "not comparable"}
        Borne out: at least as good as claimed, to the last digit in which the claim is printed.
    difference, low, high : float or None
        Measured minus claimed, with its 95 % interval, run-to-run spread included. [unit]
    unit : str
        Of the difference.
    why : str
        Conditions, and what the claim leaves open.
    """

    cooler: str
    claim: str
    claimed: Quantity
    rows: tuple[Finding, ...] = ()
    verdict: str = CANNOT_TELL
    difference: float | None = None
    low: float | None = None
    high: float | None = None
    unit: str = ""
    why: str = ""


def claims(
    campaign: Campaign, rows: Sequence[Finding], spreads: Mapping[str, Spread] | None = None
) -> list[ClaimVerdict]:
    """A verdict a claim and cooler.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.
    rows : sequence of Finding
        One a cooler, finding and ``at``.
    spreads : mapping of str to Spread, optional
        Run-to-run spread seen, by finding; the assumed one enters without.

    Returns
    -------
    list of ClaimVerdict

    References
    ----------
    .. [1] This kit's own rules. A claim that does not say which power or volume it means gets a
       verdict only where it is the same for all of them. A level of sound gets none.
    """
    return list(_claims(campaign, rows, spreads or {}))


def _claims(
    campaign: Campaign, rows: Sequence[Finding], spreads: Mapping[str, Spread]
) -> Iterator[ClaimVerdict]:
    for cooler, sheet in campaign.coolers.items():
        for claim in (*BETTER, "sound"):
            claimed = getattr(sheet.claims, claim, None)
            if claimed is None:
                continue
            verdict = ClaimVerdict(cooler, claim, claimed)
            if claim == "sound":
                yield replace(verdict, verdict=NOT_COMPARABLE, why=SOUND)
                continue
            own = [f for f in rows if f.cooler == cooler
                   and f.basis not in ("not measured", "not applicable")]
            yield _JUDGES[claim](campaign, own, spreads, verdict)


def half_digit(claimed: Quantity) -> float:
    """Half a step of the last digit in which a claim is printed, or its own stated limit.

    Parameters
    ----------
    claimed : Quantity
        As written.

    Returns
    -------
    float
        [canonical unit of the claim]

    Examples
    --------
    >>> half_digit(parse("22 L", "volume")), half_digit(parse("0.25 kWh", "daily_energy"))
    (0.5, 5.0)
    """
    if claimed.limit is not None:
        return claimed.limit
    digits = re.search(r"\d*\.?(\d*)", claimed.text.lstrip(" +-\u2212"))
    unit = claimed.text.lstrip(" +-\u2212")[digits.end():]
    decimals = len(digits[1])
    one = f"{10.0 ** -decimals:.{decimals}f}{unit}"
    none = f"{0:.{decimals}f}{unit}"
    step = _plain(one, claimed.kind) - _plain(none, claimed.kind)
    return round(step / 2, 12)


def _plain(text: str, kind: str) -> float:
    return parse(text, kind).value


def _judged(
    row: Finding, verdict: ClaimVerdict, spreads: Mapping[str, Spread], harder: float = 0.0
) -> Against:
    seen = against(row, verdict.claimed.value, BETTER[verdict.claim], spreads.get(row.finding),
                   half_digit(verdict.claimed))
    return carried(seen, harder)


def _told(
    verdict: ClaimVerdict, row: Finding, seen: Against, *said: str
) -> ClaimVerdict:
    """A verdict by one row; a margin on the good side becomes measured minus claimed."""
    better = BETTER[verdict.claim]
    ends = (seen.low, seen.high) if better > 0 else (seen.high, seen.low)
    difference, low, high = (None if x is None else better * x for x in (seen.margin, *ends))
    return replace(
        verdict, rows=(row,), verdict=WORDS[seen.holds], difference=difference, low=low,
        high=high, unit="K" if row.unit == "°C" else row.unit,
        why="; ".join(part for part in (*said, seen.why) if part),
    )


def _coldest(
    campaign: Campaign, own: Sequence[Finding], spreads: Mapping[str, Spread],
    verdict: ClaimVerdict,
) -> ClaimVerdict:
    row = next(iter(find(own, finding="coldest_air")), None)
    if row is None:
        return replace(verdict, why="needs a run at the coldest setting")
    return _told(verdict, row, _judged(row, verdict, spreads, _hotter(campaign, verdict, row)),
                 *_ambient_said(campaign, verdict, row))


def _daily_energy(
    campaign: Campaign, own: Sequence[Finding], spreads: Mapping[str, Spread],
    verdict: ClaimVerdict,
) -> ClaimVerdict:
    at_footing = sorted(find(own, finding="daily_energy_footing"), key=metering_order)
    row = next((f for f in at_footing if f.basis != "not reached"), None)
    if row is None:
        inside = campaign.sheet.footing.inside.value if campaign.sheet.footing else 4.0
        raw = [f for f in find(own, finding="daily_energy") if "inside" in f.conditions]
        row = min(raw, default=None, key=lambda f: (
            f.value is None, abs(float(f.conditions["inside"]) - inside)))
    if row is None:
        return replace(verdict, why="needs a steady run with a power or energy log")
    inside = row.conditions.get("inside")
    said = [] if inside is None else [
        f"{number(float(inside), 1)} °C inside; the claim states none"]
    return _told(verdict, row, _judged(row, verdict, spreads, _hotter(campaign, verdict, row)),
                 *_ambient_said(campaign, verdict, row), *said, f"at {row.at}" if row.at else "")


def _power(
    campaign: Campaign, own: Sequence[Finding], spreads: Mapping[str, Spread],
    verdict: ClaimVerdict,
) -> ClaimVerdict:
    return _one_of(own, spreads, verdict, POWERS, campaign.coolers[verdict.cooler].claims.power_is,
                   "power")


def _volume(
    campaign: Campaign, own: Sequence[Finding], spreads: Mapping[str, Spread],
    verdict: ClaimVerdict,
) -> ClaimVerdict:
    meant = campaign.coolers[verdict.cooler].claims.volume_is
    return _one_of(own, spreads, verdict, VOLUMES, meant, "volume")


_JUDGES = {"coldest": _coldest, "power": _power, "volume": _volume, "daily_energy": _daily_energy}


def _one_of(
    own: Sequence[Finding], spreads: Mapping[str, Spread], verdict: ClaimVerdict,
    kinds: Mapping[str, str], meant: str | None, what: str,
) -> ClaimVerdict:
    """By the kind the claim means; by all of them where it does not say which."""
    wanted = [meant] if meant else list(kinds)
    on = {kind: next(iter(find(own, finding=kinds[kind])), None) for kind in wanted}
    absent = [kind for kind, row in on.items() if row is None]
    rows = [row for row in on.values() if row is not None]
    if not rows or (meant and absent):
        return replace(verdict, why=f"{' and '.join(absent)} {what} not measured")
    seen = {kind: _judged(row, verdict, spreads) for kind, row in on.items() if row is not None}
    if meant:
        return _told(verdict, on[meant], seen[meant], f"{meant} {what}", _setting(on[meant]))
    answers = {one.holds for one in seen.values()}
    unsaid = f"the claim does not say which {what} it means"
    if len(answers) == 1 and not absent and None not in answers:
        kept = _told(verdict, rows[0], seen[wanted[0]], f"{unsaid}: the same for each")
        return replace(kept, rows=tuple(rows))
    each = ", ".join(f"{WORDS[one.holds]} as {kind} {what}" for kind, one in seen.items())
    return replace(verdict, rows=tuple(rows), verdict=NOT_COMPARABLE, why=f"{unsaid}: {each}")


def _hotter(campaign: Campaign, verdict: ClaimVerdict, row: Finding) -> float:
    """By how much hotter it was measured than claimed, beyond what is compared. [K]"""
    claimed, ambient = campaign.coolers[verdict.cooler].claims.ambient, row.conditions.get(
        "ambient")
    if claimed is None or ambient is None:
        return 0.0
    return beyond(float(ambient) - claimed.value, LIMITS.ambient_apart)


def _ambient_said(campaign: Campaign, verdict: ClaimVerdict, row: Finding) -> Iterator[str]:
    claimed, ambient = campaign.coolers[verdict.cooler].claims.ambient, row.conditions.get(
        "ambient")
    here = "ambient not measured" if ambient is None else (
        f"{number(float(ambient), 1)} °C ambient")
    yield f"{here}; the claim states {'none' if claimed is None else claimed.text}"


def _setting(row: Finding) -> str:
    return f"at {row.at}" if row.at else ""

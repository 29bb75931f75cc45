"""Musts of a campaign, cooler by cooler: met, missed or cannot tell, with the margin."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from coldbench.analysis.limits import LIMITS
from coldbench.compare.against import Against, against, beyond, carried, in_widths
from coldbench.compare.repeats import Spread
from coldbench.compare.space import fit_of
from coldbench.findings import Finding, find
from coldbench.quantities import Quantity, number
from coldbench.sheets import Campaign

MET, MISSED, CANNOT_TELL = "met", "missed", "cannot tell"
WORDS = {True: MET, False: MISSED, None: CANNOT_TELL}
BETTER = {
    "coldest_at_most": -1, "daily_energy_at_most": -1, "price_at_most": -1, "sound_at_most": -1,
    "usable_at_least": 1,
}
TEXTS = {
    "coldest_at_most": "Gets to {} or colder", "daily_energy_at_most": "Uses {} a day at most",
    "price_at_most": "Costs {} at most", "sound_at_most": "{} at most, running, at 1 m",
    "usable_at_least": "Holds {} at least", "fits_space": "Fits the space, lid shut",
}
POINTS = ("dc", "battery", "wall")  # metering points: nearest to the cooler first
HEARD = "running 1 m"


@dataclass(frozen=True)
class Verdict:
    """One must, one cooler.

    Attributes
    ----------
    must, text : str
        Key in the sheet, and the must in words.
    cooler : str
        Id.
    row : Finding or None
        What it was judged by.
    verdict : {"met", "missed", "cannot tell"}
        Met and missed hold with the whole 95 % interval.
    margin, low, high : float or None
        What is to spare, below zero what is missing, with its 95 % interval. [unit]
    margin_u : float or None
        The margin in standard uncertainties of itself. [-]
    unit : str
        Of the margin.
    why : str
        Which finding it is, under which conditions, and what the verdict rests on.
    """

    must: str
    text: str
    cooler: str
    row: Finding | None
    verdict: str
    margin: float | None = None
    margin_u: float | None = None
    why: str = ""
    low: float | None = None
    high: float | None = None
    unit: str = ""


def musts(
    campaign: Campaign, rows: Sequence[Finding], spreads: Mapping[str, Spread] | None = None
) -> list[Verdict]:
    """A verdict a must and cooler, in the order of the sheet.

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
    list of Verdict
        Empty where the campaign states no must.

    References
    ----------
    .. [1] This kit's own rules. A finding measured where the task is harder than at the footing
       can meet a must, but not miss it; where it is easier, the other way round.
    """
    told = campaign.sheet.musts
    if told is None:
        return []
    found = []
    for must in TEXTS:
        limit = getattr(told, must)
        if limit is None or limit is False:
            continue
        for cooler in campaign.coolers:
            verdict = Verdict(must, text(must, limit), cooler, None, CANNOT_TELL)
            found.append(_JUDGES[must](_Case(campaign, rows, spreads or {}, verdict, limit)))
    return found


def text(must: str, limit: Quantity | bool) -> str:
    """A must in words.

    Examples
    --------
    >>> text("fits_space", True)
    'Fits the space, lid shut'
    """
    return TEXTS[must].format(getattr(limit, "text", "").removesuffix("/d"))  # "a day" says it


@dataclass(frozen=True)
class _Case:
    """One must and cooler, and all there is to judge them by."""

    campaign: Campaign
    rows: Sequence[Finding]
    spreads: Mapping[str, Spread]
    verdict: Verdict
    limit: Quantity | bool

    @property
    def cooler(self) -> str:
        return self.verdict.cooler

    @property
    def passive(self) -> bool:
        return self.campaign.coolers[self.cooler].technology == "passive"

    def of(self, finding: str) -> list[Finding]:
        """Rows of the cooler that hold a number, a bound, or that it cannot be done."""
        return [f for f in find(self.rows, cooler=self.cooler, finding=finding)
                if f.basis not in ("not measured", "not applicable")]

    def needs(self, *findings: str) -> Verdict:
        """Nothing to judge by; says what would be needed."""
        notes = [f.note for name in findings
                 for f in find(self.rows, cooler=self.cooler, finding=name) if f.note]
        return replace(self.verdict, why=next(iter(notes), f"needs {NEEDS[self.verdict.must]}"))

    def judged(self, row: Finding, harder: float = 0.0, said: Iterable[str] = ()) -> Verdict:
        """By a row; ``harder`` above (below) zero: it was measured at a harder (easier) task."""
        seen = against(row, self.limit.value, BETTER[self.verdict.must],
                       self.spreads.get(row.finding))
        seen = carried(seen, harder)
        why = "; ".join(part for part in (_titled(row), *said, seen.why) if part)
        return replace(
            self.verdict, row=row, verdict=WORDS[seen.holds], margin=seen.margin, low=seen.low,
            high=seen.high, margin_u=seen.margin_u, why=why,
            unit="K" if row.unit == "°C" else row.unit,
        )


NEEDS = {
    "coldest_at_most": "a run at the coldest setting",
    "daily_energy_at_most": "a steady run with a power or energy log",
    "price_at_most": "a price in the cooler sheet",
    "sound_at_most": "a sound reading while running, at 1 m",
    "usable_at_least": "a usable volume, by a fill count",
    "fits_space": "a [space] and the cooler's outside sizes",
}


def _coldest(case: _Case) -> Verdict:
    found = case.of("coldest_air")
    if not found:
        return case.needs("coldest_air")
    row, footing = found[0], case.campaign.sheet.footing
    ambient, harder = row.conditions.get("ambient"), 0.0
    if footing is not None and ambient is not None:
        harder = beyond(float(ambient) - footing.ambient.value, LIMITS.ambient_apart)
    return case.judged(row, harder, [_with_ice(row)])


def _energy(case: _Case) -> Verdict:
    if case.passive:
        return _draws_nothing(case)
    at_footing = sorted(case.of("daily_energy_footing"), key=metering_order)
    if at_footing and at_footing[0].basis == "not reached":
        row = at_footing[0]
        return replace(case.verdict, row=row, verdict=MISSED, why=row.note)
    if at_footing:
        return case.judged(at_footing[0])
    inside = _wanted_inside(case.campaign)
    raw = [f for f in case.of("daily_energy") if "inside" in f.conditions or inside is None]
    if not raw:
        return case.needs("daily_energy_footing", "daily_energy")
    row = min(raw, key=lambda f: (f.value is None, metering_order(f), _off(f, inside)))
    return case.judged(row, _harder_energy(case.campaign, row), ["not moved to the footing"])


def _draws_nothing(case: _Case) -> Verdict:
    ice = next(iter(case.of("ice_energy")), None)
    told = ["draws nothing"]
    if ice is not None and ice.value is not None:
        told.append(f"to make its ice takes {number(ice.value, 0)} Wh a day, not counted here")
    row = next(iter(find(case.rows, cooler=case.cooler, finding="daily_energy")), None)
    return replace(case.verdict, row=row, verdict=MET, margin=case.limit.value,
                   low=case.limit.value, high=case.limit.value, unit="Wh/d",
                   why="; ".join(told))


def _wanted_inside(campaign: Campaign) -> float | None:
    footing, told = campaign.sheet.footing, campaign.sheet.musts
    wanted = footing.inside if footing is not None else told.coldest_at_most
    return None if wanted is None else wanted.value


def _harder_energy(campaign: Campaign, row: Finding) -> float:
    """By how much more it had to cool than at the footing, beyond what is compared. [K]"""
    footing = campaign.sheet.footing
    if footing is None or not {"inside", "ambient"} <= set(row.conditions):
        return 0.0
    gap = float(row.conditions["ambient"]) - float(row.conditions["inside"])
    return beyond(gap - (footing.ambient.value - footing.inside.value), LIMITS.inside_apart)


def _price(case: _Case) -> Verdict:
    found = case.of("price")
    return case.judged(found[0], said=[found[0].note]) if found else case.needs("price")


def _sound(case: _Case) -> Verdict:
    found = case.of("sound_level")
    if case.passive and not found:
        return replace(case.verdict, verdict=MET, why="has no machine")
    here = [f for f in found if f.at == HEARD]
    if here:
        return case.judged(here[0])
    others = sorted({f.at for f in found if f.at.startswith("running")})
    if others:
        return replace(case.verdict, why=f"needs a level {HEARD}; read: {', '.join(others)}")
    return case.needs("sound_level")


def _usable(case: _Case) -> Verdict:
    found = case.of("usable_volume")
    if found:
        return case.judged(found[0])
    inside = case.of("inside_volume")
    if not inside:
        return case.needs("usable_volume")
    # What can be filled is no more than the room inside: too small a room is proof enough.
    return case.judged(inside[0], -1.0, ["the usable volume is smaller; it was not measured"])


def _fits(case: _Case) -> Verdict:
    shut = next(iter(find(case.rows, cooler=case.cooler, finding="fits_space", at="shut")), None)
    if shut is None or shut.basis == "not measured":
        return case.needs("fits_space")
    fit = fit_of(case.campaign, case.cooler, "shut")
    opened = next(iter(find(case.rows, cooler=case.cooler, finding="fits_space", at="open")), None)
    told = [f"lid shut: {shut.note}", f"lid open: {opened.note}" if opened is not None else ""]
    holds = None if shut.value is None else bool(shut.value)
    verdict = replace(case.verdict, row=shut, verdict=WORDS[holds], unit="mm",
                      why="; ".join(part for part in told if part))
    if fit is None:
        return verdict
    seen = Against(holds, min(fit.margins), fit.low, fit.high)
    return replace(verdict, margin=seen.margin, low=seen.low, high=seen.high,
                   margin_u=in_widths(seen))


_JUDGES: dict[str, Callable[[_Case], Verdict]] = {
    "coldest_at_most": _coldest, "daily_energy_at_most": _energy, "price_at_most": _price,
    "sound_at_most": _sound, "usable_at_least": _usable, "fits_space": _fits,
}


def metering_order(row: Finding) -> int:
    """Place of a row's metering point: nearest to the cooler first.

    Examples
    --------
    >>> metering_order(Finding(cooler="a", finding="daily_energy", at="wall 4 °C"))
    2
    """
    point = row.at.split(" ")[0]
    return POINTS.index(point) if point in POINTS else len(POINTS)


def _off(row: Finding, inside: float | None) -> float:
    return 0.0 if inside is None else abs(float(row.conditions["inside"]) - inside)


def _titled(row: Finding) -> str:
    """What was judged, with its place and the temperatures it was taken at."""
    where = [f"{name} {number(float(row.conditions[name]), 1)} °C"
             for name in ("ambient", "inside")
             if name in row.conditions and row.finding not in ("price", "usable_volume")]
    if row.finding == "coldest_air":
        where = where[:1]
    parts = [f"{row.kind.title}{', ' + row.at if row.at else ''}", *where]
    return " ".join([parts[0], f"({', '.join(parts[1:])})"] if where else parts)


def _with_ice(row: Finding) -> str:
    ice = row.conditions.get("ice")
    return f"with {number(float(ice), 1)} kg of ice" if ice is not None else ""

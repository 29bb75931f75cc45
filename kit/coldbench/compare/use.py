"""How coolers will be used: days a year, hours a day, switched on warm or cold."""

from __future__ import annotations

from dataclasses import dataclass

from coldbench.sheets.campaign import UseSheet

HOUR = 3600.0
ALL_DAYS, ALL_HOURS = 365.0, 24.0


@dataclass(frozen=True)
class Use:
    """Days a year, hours of each, whether each starts warm, and what of it was not stated."""

    days: float
    hours: float
    warm: bool
    said: str

    @property
    def text(self) -> str:
        """In words: ``52 d of 8 h a year, each from warm``."""
        if (self.days, self.hours, self.warm) == (ALL_DAYS, ALL_HOURS, False):
            return f"all year{self.said}"
        start = ", each from warm" if self.warm else ", already cold"
        return f"{self.days:g} d of {self.hours:g} h a year{start}{self.said}"


def use_of(sheet: UseSheet | None) -> Use:
    """Use as its sheet states it; all day and all year, already cold, where it states nothing.

    Parameters
    ----------
    sheet : UseSheet or None
        ``[use]`` of the campaign.

    Returns
    -------
    Use

    References
    ----------
    .. [1] This kit's own definition.

    Examples
    --------
    >>> use_of(None).text
    'all year (no [use] stated)'
    """
    if sheet is None:
        return Use(ALL_DAYS, ALL_HOURS, False, " (no [use] stated)")
    stated = {"days_per_year": sheet.days_per_year, "hours_per_day": sheet.hours_per_day,
              "start": sheet.start}
    absent = [name for name, value in stated.items() if value is None]
    return Use(
        ALL_DAYS if sheet.days_per_year is None else sheet.days_per_year,
        ALL_HOURS if sheet.hours_per_day is None else sheet.hours_per_day.value / HOUR,
        sheet.start == "warm",
        f" ({', '.join(absent)} not stated)" if absent else "",
    )

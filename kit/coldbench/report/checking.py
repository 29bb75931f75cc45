"""What the kit understood of a campaign, and what is wrong with it; nothing is computed."""

from __future__ import annotations

from pathlib import Path

from coldbench.logs import echo_text, read_runs
from coldbench.logs.record import Record
from coldbench.sheets import Campaign, read_campaign


def understand(folder: Path) -> tuple[Campaign, dict[str, Record]]:
    """Read all sheets, then all logs.

    Parameters
    ----------
    folder : Path
        The campaign.

    Returns
    -------
    campaign : Campaign
    records : dict of str to Record
        By run.

    Raises
    ------
    UserError
        All faults of all sheets; if there are none, all faults of all logs.
    """
    campaign = read_campaign(folder)
    return campaign, read_runs(campaign)


def check_campaign(folder: Path) -> str:
    """Echo cards of all runs, for the eye to compare with what was done at the bench.

    Parameters
    ----------
    folder : Path
        The campaign.

    Returns
    -------
    str
        Cards, then a line that says how much was read.

    Raises
    ------
    UserError
        As :func:`understand`.
    """
    campaign, records = understand(folder)
    cards = [echo_text(record, campaign.tz) for record in records.values()]
    read = " and ".join([_counted(len(campaign.coolers), "cooler"), _counted(len(records), "run")])
    read += " read; nothing was computed."
    return "\n\n".join([*cards, read])


def _counted(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"

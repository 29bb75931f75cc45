"""All findings of a campaign, in the order in which they follow from each other."""

from __future__ import annotations

from coldbench.analysis.campaign import CampaignResult
from coldbench.compare.adapter import adapter_loss
from coldbench.compare.bridge import walls_modelled
from coldbench.compare.cable import cable
from coldbench.compare.footing import footing
from coldbench.compare.freezing_predicted import predicted_freezing
from coldbench.compare.geometry import geometry
from coldbench.compare.hold_modelled import hold_modelled
from coldbench.compare.ice_balance import ice_by_balance
from coldbench.compare.machine import machine
from coldbench.compare.money import money
from coldbench.compare.repeats import Spread, one_row_each
from coldbench.compare.sheet_findings import sheet_findings
from coldbench.compare.sound import sound_over_time
from coldbench.compare.space import space
from coldbench.compare.supply import supply
from coldbench.findings import Finding


def all_rows(result: CampaignResult) -> tuple[list[Finding], dict[str, Spread]]:
    """One row a cooler, finding and ``at``: measured, then what follows from measured ones.

    Parameters
    ----------
    result : CampaignResult
        Runs, analysed.

    Returns
    -------
    rows : list of Finding
        By cooler in the order of the campaign.
    spreads : dict of str to Spread
        Run-to-run spread seen, by finding.

    References
    ----------
    .. [1] Each finding's own module.
    """
    campaign = result.campaign
    rows, spreads = one_row_each(result.findings, campaign)
    rows += [*sound_over_time(rows), *adapter_loss(campaign, rows)]
    rows += [*sheet_findings(campaign), *geometry(campaign)]
    rows += [*space(campaign, rows), *cable(campaign, rows)]
    rows += walls_modelled(rows, campaign)
    of_machine, more = one_row_each(machine(result, rows), campaign)
    rows += of_machine
    rows += [*footing(result, rows), *hold_modelled(result, rows)]
    rows += supply(result, rows)
    rows += [*predicted_freezing(result, rows), *ice_by_balance(result, rows)]
    rows += money(campaign, rows)
    order = {cooler: i for i, cooler in enumerate(campaign.coolers)}
    rows.sort(key=lambda f: order.get(f.cooler, len(order)))  # a check is no cooler's own
    return rows, {**spreads, **more}

"""What people write: campaign, cooler and run sheets, in TOML or a workbook, all faults at once."""

from coldbench.sheets.campaign import CampaignSheet
from coldbench.sheets.cooler import CoolerSheet
from coldbench.sheets.reading import Campaign, read_campaign
from coldbench.sheets.run import RunSheet

__all__ = ["Campaign", "CampaignSheet", "CoolerSheet", "RunSheet", "read_campaign"]

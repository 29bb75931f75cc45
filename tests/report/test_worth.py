"""What a difference in daily energy is worth in a year."""

from __future__ import annotations

from types import SimpleNamespace

from coldbench.compare.differences import Difference
from coldbench.findings import Finding
from coldbench.report.sections.differences import worth
from coldbench.sheets.campaign import CampaignSheet

ROW = Finding(cooler="a", finding="daily_energy_footing", at="dc", unit="Wh/d", value=500.0)
LESS = Difference(ROW, ROW, "less", -1200.0, -1300.0, -1100.0)


def book(**more):
    sheet = CampaignSheet.model_validate({"title": "made", "timezone": "UTC", **more})
    return SimpleNamespace(campaign=SimpleNamespace(sheet=sheet))


MONEY = {"currency": "EUR", "tariff": "0.30 EUR/kWh"}


def test_a_boxs_50_watts_more_are_1_2_kilowatt_hours_a_day():
    """20 W against 70 W on average: 1.2 kWh/d; 365 days at 0.30 EUR/kWh are 131.4 EUR."""
    assert worth(book(money=MONEY), LESS) == "worth 131 ± 11 EUR a year (24 h on 365 days)"


def test_use_counts_only_its_hours_and_days():
    told = worth(book(money=MONEY, use={"days_per_year": 50, "hours_per_day": "12 h"}), LESS)
    assert told == "worth 9.00 ± 0.75 EUR a year (12 h on 50 days)"


def test_nothing_is_said_without_a_tariff():
    assert worth(book(), LESS) == ""

"""What is said about a campaign before anything is computed."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace

import pytest

from coldbench.errors import Fault, UserError
from coldbench.report import checking


@pytest.fixture
def reader(monkeypatch):
    """Stand-ins for the readers of sheets and logs."""
    campaign = SimpleNamespace(tz="UTC", coolers={"a": None, "b": None})
    asked = SimpleNamespace(campaign=campaign, folders=[], logs=0)

    def read_campaign(folder):
        asked.folders.append(folder)
        return campaign

    def read_runs(given):
        assert given is campaign
        asked.logs += 1
        return {"r1": "first", "r2": "second", "r3": "third"}

    monkeypatch.setattr(checking, "read_campaign", read_campaign)
    monkeypatch.setattr(checking, "read_runs", read_runs)
    monkeypatch.setattr(checking, "echo_text", lambda record, tz: f"card of {record}, {tz}")
    return asked


def test_cards_of_all_runs_and_a_count(reader):
    told = checking.check_campaign(Path("stall"))
    assert told == (
        "card of first, UTC\n\ncard of second, UTC\n\ncard of third, UTC\n\n"
        "2 coolers and 3 runs read; nothing was computed."
    )
    assert reader.folders == [Path("stall")]  # as typed, so that messages name it so


def test_logs_are_not_read_if_the_sheets_are_wrong(reader, monkeypatch, tmp_path):
    def faulty(folder):
        raise UserError(Fault("no unit", "campaign.toml:3"))

    monkeypatch.setattr(checking, "read_campaign", faulty)
    with pytest.raises(UserError, match="no unit"):
        checking.check_campaign(tmp_path)
    assert reader.logs == 0

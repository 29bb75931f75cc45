"""What is written is a campaign folder, and says what happened."""

from __future__ import annotations

import csv
import datetime as dt
import tomllib
from pathlib import Path

import numpy as np
import pytest

from coldbench.bench import draw_campaigns, simulate_campaigns, write_campaign
from coldbench.bench.sheet_text import Inline, toml_text


def written(folder: Path, n: int, seed: int, instruments: str, batch: int = 100):
    """Campaigns written below a folder, with their truths."""
    sims = simulate_campaigns(draw_campaigns(n, seed, instruments), batch=batch)
    return [(sim, write_campaign(folder / sim.campaign.id, sim)) for sim in sims]


def rows(path: Path) -> tuple[np.ndarray, dict[str, np.ndarray]]:
    """POSIX seconds (logs of random campaigns are in UTC) and columns of a log."""
    with path.open(encoding="utf-8", newline="") as file:
        table = list(csv.DictReader(file))
    when = [dt.datetime.fromisoformat(row["time"]).replace(tzinfo=dt.UTC) for row in table]
    names = [name for name in table[0] if name != "time"]
    columns = {name: np.array([float(row[name]) for row in table]) for name in names}
    return np.array([one.timestamp() for one in when]), columns


@pytest.fixture(scope="module")
def ideal(tmp_path_factory):
    folder = tmp_path_factory.mktemp("ideal")
    return folder, written(folder, 4, 11, "ideal")


def files(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_sheets_parse_and_name_what_exists(ideal):
    folder, campaigns = ideal
    for sim, _ in campaigns:
        place = folder / sim.campaign.id
        campaign = tomllib.loads((place / "campaign.toml").read_text(encoding="utf-8"))
        for path in (place / "runs").iterdir():
            run = tomllib.loads(path.read_text(encoding="utf-8"))
            assert (place / "coolers" / f"{run['cooler']}.toml").is_file()
            for log in run["log"]:
                header = (place / log["file"]).read_text(encoding="utf-8").splitlines()[0]
                assert header.split(",") == [log["time"]["column"], *log["columns"]]
                used = {column["instrument"] for column in log["columns"].values()}
                assert used <= set(campaign["instruments"])


def test_exact_logs_agree_with_the_truth(ideal):
    folder, campaigns = ideal
    compared = 0
    for sim, truths in campaigns:
        for run, truth in truths.items():
            t, columns = rows(folder / sim.campaign.id / "logs" / f"{run}.csv")
            t = np.array([truth.seconds(one) for one in t])
            late = (t >= 3600) & (t < 5 * 3600)
            assert columns["air_C"][late].mean() == pytest.approx(
                truth.mean("air", 3600, 5 * 3600), abs=0.05
            )
            if "power_W" in columns:
                compared += 1
                assert columns["power_W"][late].mean() == pytest.approx(
                    truth.mean_power(3600, 5 * 3600), rel=1e-4
                )
    assert compared


def test_same_seed_same_bytes_whatever_the_batch(tmp_path):
    first, again = tmp_path / "first", tmp_path / "again"
    written(first, 3, 5, "real")
    written(again, 3, 5, "real", batch=1)
    assert files(first) == files(again)


def test_a_campaign_does_not_depend_on_how_many_are_drawn():
    few, many = draw_campaigns(3, 8), draw_campaigns(9, 8)
    assert many[:3] == few
    ideal = draw_campaigns(3, 8, "ideal")
    assert [c.coolers for c in ideal] == [c.coolers for c in few]
    assert draw_campaigns(1, 9) != few[:1]


def test_the_draw_is_varied():
    campaigns = draw_campaigns(120, 1)
    kinds = [c.coolers["cooler"]["technology"] for c in campaigns]
    assert {"compressor", "thermoelectric", "passive"} == set(kinds)
    litres = [c.runs[0].case.box.litres for c in campaigns]
    assert 5 <= min(litres) < 10
    assert 50 < max(litres) <= 60
    assert {run.id for c in campaigns for run in c.runs} == {"main", "freeze"}
    styles = {plan.power for c in campaigns for run in c.runs for plan in run.logs}
    assert styles == {"hold", "mean", "change"}
    assert any(plan.gaps for c in campaigns for run in c.runs for plan in run.logs)


def test_toml_survives_odd_text():
    table = {
        "title": 'a "b" \\ c\nd',
        "#": "a comment",
        "when": dt.datetime(2031, 6, 1, 9),
        "flag": True,
        "pairs": [["4 °C", "8 °C"]],
        "log": [{"columns": {"air °C": Inline(role="air")}}, {"file": "x"}],
        "instruments": {"P 1": {"error": "0.3 K"}},
    }
    expected = {key: value for key, value in table.items() if key != "#"}
    assert tomllib.loads(toml_text(table)) == expected

"""Hold time of loads whose course is made by hand."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.analysis.campaign import analyse_run
from coldbench.logs import read_runs
from coldbench.sheets import read_campaign

CAMPAIGN = ('title = "x"\ntimezone = "UTC"\n[targets]\nhold = [["4 °C", "8 °C"]]\n'
            '[instruments.T]\nmeasures = "temperature"\nerror = "0.5 K"\n')
COOLER = 'name = "Box"\ntechnology = "passive"\norigin = "built"\n'
RUN = ('cooler = "box"\nkind = ["warm-up"]\nmachine = "off"\nstart = 2031-06-14T09:00:00\n'
       '\n[[log]]\nfile = "logs/a.csv"\ninstrument = "T"\ntime = {{ column = "time" }}\n'
       '[log.columns]\n{} = "{}"\n')


@pytest.fixture
def held(tmp_path):
    """Hold findings of one course of temperatures, a sample each five minutes."""
    def of(course, role: str = "load", keep=slice(None)):
        times = (np.datetime64("2031-06-14T09:00")
                 + np.arange(len(course)) * np.timedelta64(5, "m")).astype(str)
        rows = [f"{t},{y:.3f}" for t, y in zip(times, course, strict=True)]
        rows = rows[keep] if isinstance(keep, slice) else [rows[i] for i in keep]
        for name, text in {"campaign.toml": CAMPAIGN, "coolers/box.toml": COOLER,
                           "runs/r.toml": RUN.format("x_C", role),
                           "logs/a.csv": "time,x_C\n" + "\n".join(rows) + "\n"}.items():
            path = tmp_path / name
            path.parent.mkdir(exist_ok=True)
            path.write_text(text, encoding="utf-8")
        campaign = read_campaign(tmp_path)
        result = analyse_run(read_runs(campaign)["r"], campaign)
        return [f for f in result.findings if f.finding == "hold_time"]
    return of


RISE = 2 + np.arange(200) / 12  # a kelvin an hour from 2 °C on


def test_a_straight_rise_takes_four_hours(held):
    (row,) = held(RISE)
    assert row.at == "load 4 to 8 °C"
    assert row.value == pytest.approx(4.0, abs=0.01)
    # The probe's 0.5 K is in both passings and cancels.
    assert row.low < 4.0 < row.high and row.high - row.low < 0.3


def test_a_box_that_first_cools_counts_from_its_coldest(held):
    (row,) = held(np.concatenate([np.linspace(25, 2, 60), RISE]))
    assert row.value == pytest.approx(4.0, abs=0.02)


def test_a_log_that_ends_too_soon_gives_a_lower_bound(held):
    (row,) = held(RISE[:60])
    assert (row.basis, row.value, row.high) == ("bounded", None, None)
    assert 2.0 < row.low < 3.0  # 4 °C is passed after 2 h, give or take the probe's 0.5 K
    assert "ends before" in row.note


def test_a_passing_in_a_gap_gives_bounds(held):
    (row,) = held(RISE, keep=[*range(60), *range(90, 200)])
    assert row.basis == "bounded"
    assert row.low < 4.0 < row.high
    assert row.high - row.low > 2


def test_air_stands_for_a_load_that_was_not_logged(held):
    (row,) = held(RISE, "air")
    assert row.at == "air 4 to 8 °C"
    assert "no load place was logged" in row.note


def test_a_box_that_was_never_cold_has_none(held):
    assert held(RISE + 5) == []

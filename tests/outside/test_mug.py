"""A whole campaign on a mug of hot water: sheets, log reader, pull-down, notebooks.

Expected answers: first readings at or below 60, 50, 40 and 30 °C, counted in the data set by
independent code.
"""

from __future__ import annotations

import json

import numpy as np
import pytest

from coldbench.analysis.campaign import analyse_campaign
from coldbench.analysis.crossing import Curve, first_below
from coldbench.errors import UserError
from coldbench.logs import read_runs
from coldbench.logs.echo import echo_text
from coldbench.sheets import read_campaign

TARGETS = np.array([60.0, 50.0, 40.0, 30.0])
FIRST_AT_OR_BELOW = np.array([27.0, 46.0, 80.0, 151.0])  # minutes, known to half a sample


def crossed(t: np.ndarray, y: np.ndarray, level: float) -> float:
    """First crossing of a level on straight lines between points."""
    i = int(np.argmax(y <= level))
    return t[i - 1] + (y[i - 1] - level) / (y[i - 1] - y[i]) * (t[i] - t[i - 1])


def minutes_found(folder, what: str = "pull_down_time") -> np.ndarray:
    """The kit's answers, in the order of the targets."""
    result = analyse_campaign(read_campaign(folder))
    found = {f.at: f for f in result.findings if f.finding == what}
    rows = [found[f"load<={target:g} °C"] for target in TARGETS]
    assert all(row.basis == "measured" and row.runs == ("mug",) for row in rows)
    assert all(row.note == "error not stated" and row.low is None for row in rows)
    return 60 * np.array([row.value for row in rows])


def test_the_log_is_read_as_it_stands(mug, mug_campaign):
    minutes, water = mug
    assert (len(minutes), water.max(), water.min()) == (222, 98.2, 25.8)
    record = read_runs(read_campaign(mug_campaign(1)))["mug"]
    load = record.trace("load")
    assert np.array_equal(load.t - record.zero, 60 * minutes)
    assert np.array_equal(load.y, water)
    assert (load.step, load.gap, load.unit) == (60.0, 150.0, "°C")
    assert (record.zero_from, record.notices) == ("start of the run", ())


def test_the_echo_card_shows_what_was_read(mug_campaign):
    campaign = read_campaign(mug_campaign(1))
    card = echo_text(read_runs(campaign)["mug"], campaign.tz)
    assert "rows      222, one each 60 s" in card
    assert "2031-06-14 09:00 to 2031-06-14 12:41, 3.7 h" in card
    assert "gaps      none (longer than 2.5 min)" in card
    assert "column    water → load, written in °C, 25.80 to 98.20 °C, probe T1" in card


def test_native_readings_cross_where_they_were_counted(mug):
    minutes, water = mug
    early, late = first_below(Curve(minutes, water, gap=2.5, samples=1), TARGETS)
    assert np.array_equal(early, late)
    assert early == pytest.approx(FIRST_AT_OR_BELOW, abs=0.5)
    # Readings come each minute: the first at or below a target is the next whole one.
    assert np.array_equal(np.ceil(early), FIRST_AT_OR_BELOW)


def test_smoothed_crossings_are_those_of_a_ten_minute_mean(mug, mug_campaign):
    """Weights of a mean over ten minutes of straight lines: half a weight for both ends."""
    minutes, water = mug
    weights = np.r_[0.5, np.ones(9), 0.5] / 10
    smoothed = np.convolve(water, weights, mode="valid")
    expected = [crossed(minutes[5:-5], smoothed, target) for target in TARGETS]
    found = minutes_found(mug_campaign(1))
    assert found == pytest.approx(expected, abs=1e-6)
    # How far a smoothed crossing may lie from the count: half a sample for the count, the bend
    # of the course, and the readings' own scatter through its slope. All three from the data.
    for minute, level, first in zip(found, TARGETS, FIRST_AT_OR_BELOW, strict=True):
        near = np.abs(minutes - first) <= 10
        bend, slope, at = np.polyfit(minutes[near] - first, water[near], 2)
        scatter = np.abs(water[near] - np.polyval((bend, slope, at), minutes[near] - first)).max()
        lag = (2 * bend) * 10**2 / 24 / -slope
        assert abs(minute - first) <= 0.5 + abs(lag) + scatter / -slope, f"{level} °C"


def test_coarse_readings_are_not_smoothed(mug, mug_campaign):
    """Each sixth reading: a step above five minutes is taken as it stands."""
    minutes, water = mug
    expected = [crossed(minutes[::6], water[::6], target) for target in TARGETS]
    found = minutes_found(mug_campaign(6))
    assert found == pytest.approx(expected, abs=1e-6)
    assert found == pytest.approx(FIRST_AT_OR_BELOW, abs=3.0)  # half a sample


@pytest.mark.parametrize("every", [1, 6])
def test_it_started_at_its_first_reading(mug_campaign, every):
    result = analyse_campaign(read_campaign(mug_campaign(every)))
    starts = {f.conditions["start"] for f in result.findings if f.finding == "pull_down_time"}
    assert starts == {98.2}


def test_a_target_below_the_record_is_told_with_its_coldest(mug_campaign):
    folder = mug_campaign(1)
    sheet = folder / "campaign.toml"
    text = sheet.read_text(encoding="utf-8").replace('"30 °C"', '"20 °C"')
    sheet.write_text(text, encoding="utf-8", newline="\n")
    result = analyse_campaign(read_campaign(folder))
    row = next(f for f in result.findings if f.at == "load<=20 °C")
    assert (row.basis, row.value, row.high) == ("not reached", None, None)
    assert row.low == pytest.approx(221 / 60)
    assert row.note == "not reached in 3.7 h; coldest 26.0 °C"  # a mean of ten minutes


def test_a_lost_stretch_gives_bounds(mug, mug_campaign):
    """Readings from 40 to 55 min away: 50 °C was passed in between, and nobody saw when."""
    folder = mug_campaign(1)
    log = folder / "logs" / "mug.csv"
    head, *lines = log.read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if not 40 < float(line.split(",")[0]) < 55]
    log.write_text("\n".join([head, *kept]) + "\n", encoding="utf-8", newline="\n")
    result = analyse_campaign(read_campaign(folder))
    row = next(f for f in result.findings if (f.finding, f.at) == ("pull_down_time",
                                                                  "load<=50 °C"))
    assert (row.basis, row.value) == ("bounded", None)
    assert row.low <= 46 / 60 <= row.high
    assert (60 * row.low, 60 * row.high) == pytest.approx((35, 60))  # means need their ten minutes
    assert [n.code for n in result.notices] == ["LOG-GAP"]


def test_text_for_a_reading_is_refused(mug_campaign):
    folder = mug_campaign(1)
    log = folder / "logs" / "mug.csv"
    text = log.read_text(encoding="utf-8").replace("10,", "10,warm", 1)
    log.write_text(text, encoding="utf-8", newline="\n")
    with pytest.raises(UserError, match=r"logs/mug\.csv:12"):
        read_runs(read_campaign(folder))


@pytest.mark.notebooks
def test_the_notebooks_tell_the_same(mug_campaign):
    """Through the runner: findings of the executed comparison, rows of the executed log check."""
    from coldbench.report.runner import report_campaign

    folder = mug_campaign(1)
    report_campaign(folder, formats=("html",), jobs=2)
    out = folder / "out"
    findings = json.loads((out / "findings.json").read_text(encoding="utf-8"))["findings"]
    found = {f["at"]: f["value"] for f in findings if f["finding"] == "pull_down_time"}
    expected = minutes_found(folder) / 60
    # The file keeps six figures.
    told = [found[f"load<={target:g} °C"] for target in TARGETS]
    assert told == pytest.approx(expected, rel=5e-6)
    card = (out / "notebooks" / "log_check.ipynb").read_text(encoding="utf-8")
    for said in ("logs/mug.csv", "222", "25.8", "98.2", "T1"):
        assert said in card
    page = (out / "report.html").read_text(encoding="utf-8")
    assert "A mug of hot water cools in a room" in page
    assert "error not stated" in page

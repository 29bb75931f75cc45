"""Clock changes of a year, as the IANA time zone data have them (package tzdata).

A log that writes local time reads back to evenly spaced instants over both changes; an hour that
comes twice but stands there once, and one that never was, are refused with the lines that would
settle them.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from importlib import resources
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from coldbench.errors import UserError
from coldbench.logs import read_runs
from coldbench.sheets import read_campaign

STEP = 600
YEAR = 2025  # long past, so that no later edition of the data changes it
ZONES = {  # changes of the year, as minutes that the clock is moved
    "Europe/Paris": [60, -60], "America/New_York": [60, -60],
    "Australia/Lord_Howe": [-30, 30],  # half an hour, and summer at the turn of the year
    "Africa/Casablanca": [-60, 60],  # the clock goes back for Ramadan and on again
    "Asia/Kolkata": [],
}


def zone(name: str) -> ZoneInfo:
    """A zone from the package, whatever the system has."""
    folder = resources.files("tzdata.zoneinfo")
    with folder.joinpath(*name.split("/")).open("rb") as file:
        return ZoneInfo.from_file(file, key=name)


def changes(name: str) -> list[tuple[int, int]]:
    """Instants of a year at which a clock is moved, and by how many minutes."""
    tz = zone(name)
    days = [int(datetime(YEAR, 1, 1, tzinfo=UTC).timestamp()) + 86_400 * d
            for d in range(366)]
    moved = [day for day in days if offset(tz, day) != offset(tz, day + 86_400)]
    return [(t, by) for day in moved for t in range(day + 900, day + 86_401, 900)
            if (by := offset(tz, t) - offset(tz, t - 900))]


def offset(tz: ZoneInfo, t: int) -> int:
    """Minutes from UTC to local time at an instant."""
    return int(datetime.fromtimestamp(t, tz).utcoffset() / timedelta(minutes=1))


ALL_CHANGES = [(name, t, moved) for name in ZONES for t, moved in changes(name)]
BACK = [(name, t) for name, t, moved in ALL_CHANGES if moved < 0]
ON = [(name, t, moved) for name, t, moved in ALL_CHANGES if moved > 0]


@pytest.fixture
def read(tmp_path):
    """Reads a log of local times by the clock of a zone."""
    def through(name: str, local: list[str]):
        rows = "".join(f"{when},{i % 50 / 10 + 4}\n" for i, when in enumerate(local))
        for file, text in {
            "campaign.toml": f'title = "Clocks"\ntimezone = "{name}"\n',
            "coolers/box.toml": 'name = "Box"\ntechnology = "passive"\norigin = "built"\n',
            "runs/one.toml": RUN, "logs/a.csv": "time,air_C\n" + rows,
        }.items():
            (tmp_path / file).parent.mkdir(exist_ok=True)
            (tmp_path / file).write_text(text, encoding="utf-8", newline="\n")
        return read_runs(read_campaign(tmp_path))["one"].traces["air"].t
    return through


def written(name: str, t: np.ndarray) -> list[str]:
    tz = zone(name)
    return [datetime.fromtimestamp(int(s), tz).strftime("%Y-%m-%d %H:%M:%S") for s in t]


@pytest.mark.parametrize("name", ZONES)
def test_the_reference_has_these_changes(name):
    assert [moved for _, moved in changes(name)] in (ZONES[name], ZONES[name][::-1])


@pytest.mark.parametrize("name", ZONES)
def test_a_log_of_the_whole_year_is_even(name, read):
    first = int(datetime(YEAR, 1, 1, tzinfo=UTC).timestamp())
    t = np.arange(first, first + 365 * 86_400, 900)
    np.testing.assert_array_equal(read(name, written(name, t)), t)


@pytest.mark.parametrize(("name", "at", "_"), ALL_CHANGES)
def test_a_log_over_one_change_is_even(name, at, _, read):
    t = at + STEP * np.arange(-30, 31)
    np.testing.assert_array_equal(read(name, written(name, t)), t)


@pytest.mark.parametrize(("name", "at"), BACK)
def test_an_hour_that_came_twice_and_stands_there_once_is_asked_about(name, at, read):
    """Whether the first or the second is missing cannot be told."""
    tz = zone(name)
    back = 60 * (offset(tz, at - 1) - offset(tz, at))
    t = at + STEP * np.arange(-30, 31)
    once = t[(t < at) | (t >= at + back)]
    with pytest.raises(UserError, match="the clock changed here") as told:
        read(name, written(name, once))
    assert 'timezone = "' in told.value.faults[0].do


@pytest.mark.parametrize(("name", "at", "moved"), ON)
def test_an_hour_that_never_was_is_refused(name, at, moved, read):
    """A clock that nobody moved goes on through it."""
    tz = timezone(timedelta(minutes=offset(zone(name), at - 1)))
    t = at + STEP * np.arange(-30, 31)
    local = [datetime.fromtimestamp(int(s), tz).strftime("%Y-%m-%d %H:%M:%S") for s in t]
    with pytest.raises(UserError, match="the clock changed here") as told:
        read(name, local)
    assert told.value.faults[0].where == "logs/a.csv:32"
    assert 'timezone = "' in told.value.faults[0].do


RUN = """cooler = "box"
kind = ["steady"]

[[log]]
file = "logs/a.csv"
time = { column = "time" }
columns = { air_C = "air" }
"""

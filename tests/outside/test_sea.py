"""A year of sea temperatures that nobody here measured, read as a log.

Expected answers: counted in the file by independent code (standard library alone).
"""

from __future__ import annotations

from datetime import datetime

import numpy as np
import pytest

from coldbench.errors import UserError
from coldbench.logs import read_runs
from coldbench.sheets import read_campaign

ROWS, TWICE = 19_226, 19_212  # rows; the line that gives an instant another value
SILENCE = "one silence longer than 75.0 min, 720 min in all"


@pytest.fixture
def read(sea_log, tmp_path):
    """Reads the log after something has been done to its lines."""
    def through(change=lambda lines: lines):
        log = "\n".join(change(sea_log.splitlines())) + "\n"
        for name, text in {**SHEETS, "logs/sea.csv": log}.items():
            (tmp_path / name).parent.mkdir(exist_ok=True)
            (tmp_path / name).write_text(text, encoding="utf-8", newline="\n")
        return read_runs(read_campaign(tmp_path))["sea"]
    return through


def test_the_independent_count(sea_log):
    rows = [line.split(",") for line in sea_log.splitlines()[1:]]
    t = [datetime.fromisoformat(when).timestamp() for when, _ in rows]
    steps = [b - a for a, b in zip(t, t[1:], strict=False)]
    assert [steps.count(s) for s in (1800, 3600, 43_200, 0)] == [19_222, 1, 1, 1]
    values = [float(value) for _, value in rows]
    assert (len(rows), min(values), max(values)) == (ROWS, 3.612, 22.150)
    assert sum(values) / len(rows) == pytest.approx(10.589377, abs=5e-7)


def test_two_rows_of_one_instant_that_disagree_are_refused(read):
    with pytest.raises(UserError, match="two rows of one instant say different things") as told:
        read()
    assert told.value.faults[0].where == f"logs/sea.csv:{TWICE}"


def test_the_rest_reads_as_it_was_counted(read, sea_log):
    record = read(lambda lines: lines[: TWICE - 1] + lines[TWICE:])
    sea = record.traces["ambient"]
    steps = np.diff(sea.t)
    assert [int((steps == s).sum()) for s in (1800, 3600, 43_200)] == [19_222, 1, 1]
    assert (len(sea.t), sea.y.min(), sea.y.max(), sea.step) == (ROWS - 1, 3.612, 22.150, 1800)
    # The mean of all rows, less the one that was taken out.
    assert sea.y.mean() == pytest.approx((10.589377457609496 * ROWS - 4.289) / (ROWS - 1))
    assert sea.t[0] == datetime.fromisoformat("2016-02-15T00:00:00Z").timestamp()
    # One missing reading is within the gap limit; half a day is not.
    (notice,) = [notice for notice in record.notices if notice.code == "LOG-GAP"]
    assert SILENCE in notice.message.lower()
    assert "2016-07-08 01:30 to 2016-07-08 13:30" in notice.message


def test_a_row_that_stands_twice_is_counted_once(read):
    def twice(lines):
        return [*lines[: TWICE - 1], lines[TWICE - 2], *lines[TWICE:]]

    record = read(twice)
    assert len(record.traces["ambient"].t) == ROWS - 1
    assert "1 row stood twice and was counted once" in record.files[0].repairs


SHEETS = {
    "campaign.toml": 'title = "The sea"\ntimezone = "UTC"\n',
    "coolers/sea.toml": 'name = "Sea"\ntechnology = "passive"\norigin = "lent"\n',
    "runs/sea.toml": """
cooler = "sea"
kind = ["steady"]
start = 2016-02-15T00:00:00

[[log]]
file = "logs/sea.csv"
time = { column = "time (UTC)" }
columns = { "temperature (celsius)" = "ambient" }
""",
}

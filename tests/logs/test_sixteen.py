"""From a file alone to its numbers, with nothing but the lines that the card itself proposes."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import numpy as np
import pytest

from coldbench.logs.look import look_at
from coldbench.logs.proposal import proposed

sys.path.insert(0, str(Path(__file__).parent))

import sixteen
from sixteen import AIR, COUNTED, POWER, ROOM, T

NAMES = [*sixteen.SHAPES, "14-daily-2031-10-*.csv"]
# What whoever logged it knows, as the line of the block that says so.
ANSWERS = {
    "01-plain.csv": ['metered_at = "dc"'],
    "02-continental.csv": ['"Innen" = { role = "air", unit = "°C" }',
                           '"Raum" = { role = "ambient", unit = "°C" }'],
    "06-on-change.csv": ['gap = "30 min"', 'metered_at = "dc"'],
    "07-buckets.csv": ['label = "start"', 'metered_at = "wall"'],
    "08-counter.csv": ['metered_at = "wall"'],
    "09-dc-meter.csv": ['metered_at = "dc"'],
    "10-hub.csv": ['"probe-7f3a01c2" = { role = "…", unit = "…" }',
                   '"probe-19be77d0" = { role = "…", unit = "…" }'],
    "12-hand-sheet.xlsx": ['metered_at = "wall"'],
}
# The one thing to fill in: what a column of no telling name measures.
ROLES = {"probe-7f3a01c2": "air", "probe-19be77d0": "ambient"}


def answered(name: str, path) -> str:
    """The proposed block with its questions answered by uncommenting lines."""
    block, _ = proposed(look_at(path, f"logs/{name}"), f"logs/{name}")
    lines = block.splitlines()
    for answer in ANSWERS.get(name, []):
        (at,) = [i for i, line in enumerate(lines) if line.startswith(f"# {answer}")]
        lines[at] = lines[at].removeprefix("# ")
        for column, role in ROLES.items():
            if f'"{column}"' in lines[at]:
                lines[at] = lines[at].replace('role = "…", unit = "…"',
                                              f'role = "{role}", unit = "°C"')
    return "start = 2031-06-14T09:00:00\n\n" + "\n".join(lines) + "\n"


@pytest.fixture
def read(bench):
    """Reads one of the shapes through the block that is proposed for it."""
    def through(name: str):
        files = {path.name: path.read_bytes() for path in sixteen.FOLDER.glob(name)}
        assert files
        first = sixteen.FOLDER / min(files)
        return bench.record(files, answered(name, first))
    return through


def near(trace, t, values, atol=1e-6):
    np.testing.assert_allclose(trace.t, t, atol=1e-3)
    np.testing.assert_allclose(trace.y, values, atol=atol)


@pytest.mark.parametrize("name", [
    "01-plain.csv", "02-continental.csv", "03-preamble.csv", "04-fahrenheit.csv",
    "05-elapsed-2031-06-14_0900.tsv", "13-unicode.txt",
])
def test_whole_logs_say_the_whole_truth(read, name):
    record = read(name)
    near(record.traces["air"], T, AIR)
    near(record.traces["ambient"], T, ROOM)


def test_lines_below_a_table_are_left_out_and_said(read):
    (said,) = read("03-preamble.csv").files[0].repairs
    assert said.startswith("3 lines are no rows and were left out: line 327 “Max,,24.8")


def test_a_log_on_change_holds_and_is_silent_where_it_says_so(read):
    record = read("06-on-change.csv")
    power, air = record.traces["power"], record.traces["air"]
    from coldbench.logs.cumulative import cumulative

    energy = cumulative(power).integral(T[0], T[-1]) / 3600
    assert energy == pytest.approx(COUNTED[-1], rel=1e-6)
    joined = np.trapezoid(power.y, power.t) / 3600
    assert joined > 1.15 * energy  # what straight lines through its points would say
    assert not air.covered.all()  # after the word that says that nothing is known
    assert "“unavailable”" in " ".join(record.files[0].repairs)


def test_buckets_keep_their_energy_and_know_no_shape(read):
    from coldbench.logs.cumulative import cumulative

    power = read("07-buckets.csv").traces["power"]
    hours = len(power.t) - 1
    assert cumulative(power).integral(T[0], T[0] + hours * 3600) / 3600 == pytest.approx(
        COUNTED[hours * 12], abs=0.01 * hours)
    assert (power.power, power.bucket, hours) == ("mean", 3600.0, 26)


def test_a_counter_that_was_lost_and_found(read):
    record = read("08-counter.csv")
    counter = record.traces["energy"]
    assert (np.diff(counter.y) >= 0).all()
    assert counter.y[-1] - counter.y[0] < COUNTED[-1] + 40  # never the lifetime of the meter
    assert any("counter" in notice.message for notice in record.notices)


def test_a_dc_meter_is_recomputed_and_compared(read):
    record = read("09-dc-meter.csv")
    near(record.traces["power"], T, POWER, atol=0.02)
    assert any("apart" in notice.message or "%" in notice.message for notice in record.notices)


def test_codes_of_a_sensor_that_was_not_there_are_dropped_and_said(read):
    record = read("10-hub.csv")
    air = record.traces["air"]
    assert (air.y.max(), air.y.min()) == (AIR[1:].max(), AIR.min())
    assert len(air.t) == len(T) - 3
    assert re.search(r"3 values of “probe-7f3a01c2” dropped", " ".join(record.files[0].repairs))


def test_a_serial_capture(read):
    record = read("11-serial.txt")
    keep = np.arange(len(T)) != 160
    near(record.traces["air"], T[keep], AIR[keep])
    said = " ".join(record.files[0].repairs)
    for words in ("rst cause 4", "headings come again", "before the clock was set",
                  "too few or too many cells", "1 row stood twice"):
        assert words in said


def test_a_hand_sheet(read):
    record = read("12-hand-sheet.xlsx")
    air = record.traces["air"]
    np.testing.assert_allclose(air.y, np.delete(AIR[::12], 8), atol=0.006)
    counter = record.traces["energy"]
    assert len(counter.t) == 2
    assert counter.y[1] - counter.y[0] == pytest.approx(COUNTED[312], abs=10)
    assert "approximate" in " ".join(record.files[0].repairs)


def test_daily_files_join_over_the_change_of_the_clock(read):
    record = read("14-daily-2031-10-*.csv")
    air = record.traces["air"]
    assert np.diff(air.t).tolist() == [300.0] * (len(AIR) - 1)
    np.testing.assert_allclose(air.y, AIR)


def test_a_sound_log_and_a_scale_log(read):
    sound = read("15-sound.csv")
    assert len(sound.traces["sound"].t) == 600
    assert sound.traces["sound_2"].y.max() == pytest.approx(44.1)


def test_a_scale_that_was_emptied(read):
    record = read("16-scale.csv")
    assert record.traces["mass"].y.max() == pytest.approx(0.532, abs=1e-3)
    assert any(notice.code == "LOG-TARE" for notice in record.notices)


def test_the_files_are_those_of_the_writer(tmp_path):
    sixteen.write(tmp_path)
    for made in tmp_path.iterdir():
        kept = sixteen.FOLDER / made.name
        assert kept.exists()
        if made.suffix != ".xlsx":  # a zip archive's bytes depend on its writer
            assert kept.read_bytes() == made.read_bytes(), made.name


def findings(bench, name: str) -> dict[str, object]:
    """Findings of the steady state of a shape's run, by name."""
    from coldbench.analysis.campaign import analyse_run
    from coldbench.sheets import read_campaign

    files = {path.name: path.read_bytes() for path in sixteen.FOLDER.glob(name)}
    sheet = 'setting = "coldest"\n' + answered(name, sixteen.FOLDER / min(files))
    record = bench.record(files, sheet)
    return {f.finding: f for f in analyse_run(record, read_campaign(bench.folder)).findings}


def test_a_log_on_change_tells_every_switching(bench):
    found = findings(bench, "06-on-change.csv")
    plain = findings(bench, "01-plain.csv")
    for name in ("mean_power", "daily_energy", "duty", "cycle_time", "running_power", "idle_power"):
        assert found[name].value == pytest.approx(plain[name].value, rel=1e-6), name


def test_two_readings_of_a_counter_tell_no_day(bench):
    """640 Wh from the start on are exact; what of it fell into the steady part is not known."""
    found = findings(bench, "12-hand-sheet.xlsx")["mean_power"]
    assert (found.basis, found.value) == ("bounded", None)
    assert found.low == 0.0
    assert "does not tell" in found.note


def test_energy_in_intervals_has_no_duty(bench):
    found = findings(bench, "07-buckets.csv")
    assert "duty" not in found or found["duty"].basis == "not measured"
    assert found["daily_energy"].basis == "bounded"  # no inside was logged: not shown to be steady

"""The heat cards and the meters' card against sums done here, on the readings as written."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))
from sample_group import CAMPAIGN, COOLER, RUNS, write_group

from coldbench.course.work import open_card
from coldbench.errors import UserError

CP_WATER, CP_PET = 4186.0, 1200.0  # as the students are told [J/(kg K)]
LOAD = 3 * (0.5 * CP_WATER + 0.024 * CP_PET)  # [J/K]


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    return write_group(tmp_path_factory.mktemp("g07"))


def solved(folder: Path, card: str, **given: float) -> dict:
    work = open_card(card, str(folder))
    return work.card.solve(work, given)


def part(run: str, start: float, end: float) -> dict[str, np.ndarray]:
    """Readings between two hours."""
    curves = RUNS[run]()
    used = (curves["min"] >= 60 * start - 1e-6) & (curves["min"] <= 60 * end + 1e-6)
    return {name: np.round(values[used], 2) for name, values in curves.items()}


def mean(curves: dict[str, np.ndarray], role: str) -> float:
    """Mean by trapezia."""
    t, y = curves["min"], curves[role]
    return float(np.trapezoid(y, t) / (t[-1] - t[0]))


def structure() -> float:
    """As the hint tells students. [kJ/K]"""
    w, d, h, thick = 0.33, 0.24, 0.28, 0.035
    inner = 2 * (w * d + w * h + d * h)
    foam = (inner + 6 * (np.sqrt(inner / 6) + 2 * thick) ** 2) / 2 * thick * 35 * 1.4
    return 0.9 * 1.9 + foam / 3


def test_heater(folder):
    found = {name: one.value for name, one in solved(folder, "heat_leak_heater").items()}
    last = part("heater", 6.7708333, 9.8958333)
    power = np.mean([12.04, 12.02]) * np.mean([0.752, 0.748])
    apart = mean(last, "air") - mean(last, "ambient")
    assert found["heater_power"] == pytest.approx(power, rel=1e-6)
    assert found["difference"] == pytest.approx(apart, abs=0.01)
    assert found["heat_leak"] == pytest.approx(power / apart, rel=1e-3)
    assert found["wall_temperature"] == pytest.approx(24 + apart / 2, abs=0.01)
    inner = 2 * (0.33 * 0.24 + 0.33 * 0.28 + 0.24 * 0.28)
    outer = 2 * (0.40 * 0.31 + 0.40 * 0.35 + 0.31 * 0.35)
    assert found["conductivity"] == pytest.approx(
        power / apart * 0.035 / ((inner + outer) / 2), rel=1e-3)
    # Budget by hand: two probes of ± 0.1 K, volts 0.2 %, amperes 0.5 %, each a rectangle.
    parts = np.array([0.1 / apart, 0.1 / apart, 0.002, 0.005]) / np.sqrt(3)
    by_hand = 2 * np.sqrt((parts**2).sum()) * power / apart
    low, high = solved(folder, "heat_leak_heater")["leak_uncertainty"].low, solved(
        folder, "heat_leak_heater")["leak_uncertainty"].high
    assert low < by_hand < high


def test_heater_holds_what_is_still_stored(folder):
    """A box that has settled gives the same both ways; the interval then adds nothing."""
    found = solved(folder, "heat_leak_heater")["heat_leak"]
    assert found.high - found.low < 0.03 * found.value


def test_warm_up(folder):
    found = {name: one.value for name, one in solved(folder, "heat_leak_warm_up").items()}
    curves = part("warm-up", 2.0, 12.0)
    ends = {role: (curves[role][:3].mean(), curves[role][-3:].mean()) for role in ("air", "load")}
    rise = {role: last - first for role, (first, last) in ends.items()}
    used = part("warm-up", 2.0833333, 11.9166667)
    apart = mean(used, "ambient") - mean(used, "air")
    seconds = (11.8958333 - 2.1041667) * 3600
    heat = LOAD * rise["load"]
    leak = (heat + 1000 * structure() * rise["air"]) / (apart * seconds)
    assert found["load_heat"] == pytest.approx(heat / 1000, rel=2e-3)
    assert found["structure_heat"] == pytest.approx(structure(), rel=1e-6)
    assert found["mean_difference"] == pytest.approx(apart, rel=5e-3)
    assert found["heat_leak"] == pytest.approx(leak, rel=5e-3)
    # The curves are exponentials of 9.3 h to the room.
    assert found["slope_leak"] == pytest.approx(LOAD / (9.3 * 3600), rel=2e-3)
    assert found["slope_ratio"] == pytest.approx(found["slope_leak"] / found["heat_leak"])


def test_warm_up_carries_slips(folder):
    right = solved(folder, "heat_leak_warm_up")
    slip = solved(folder, "heat_leak_warm_up", load_heat=2 * right["load_heat"].value)
    rise_part = right["heat_leak"].value * right["mean_difference"].value * 9.7916667 * 3.6
    assert slip["heat_leak"].value / right["heat_leak"].value == pytest.approx(
        (rise_part + right["load_heat"].value) / rise_part, rel=1e-3)


def test_pull_down(folder):
    found = {name: one.value for name, one in solved(folder, "pull_down_balance").items()}
    curves = RUNS["cold"]()
    hours = curves["min"] / 60
    reached = 2.2 * np.log(19.7 / (6 - 4.3))
    assert found["pull_down_time"] == pytest.approx(reached, abs=0.02)
    used = part("cold", 0, reached)
    energy = 48.3 * (4 + 0.5) + 1.7 * (reached - 4.5)
    assert found["energy"] == pytest.approx(energy, abs=0.2)
    assert found["load_heat"] == pytest.approx(LOAD * (24 - 6) / 3600, rel=1e-3)
    near = (hours > reached - 1 / 6) & (hours <= reached)
    fall = 24.0 - curves["air"][near].mean()  # at zero the wave is still out
    assert found["structure_given"] == pytest.approx(structure() * fall / 3.6, rel=0.01)
    apart = mean(used, "ambient") - mean(used, "air")
    assert found["mean_difference"] == pytest.approx(apart, rel=0.01)
    assert found["leak_heat"] == pytest.approx(
        found["heat_leak"] * found["mean_difference"] * found["pull_down_time"])
    taken = found["load_heat"] + found["structure_given"] + found["leak_heat"]
    assert found["heat_taken"] == pytest.approx(taken)
    assert found["cop"] == pytest.approx(taken / found["energy"])
    assert found["load_ratio"] == pytest.approx(found["load_heat"] / found["energy"])


def test_pull_down_follows_a_time_read_wrong(folder):
    """All that counts up to the target follows the group's own time."""
    found = solved(folder, "pull_down_balance", pull_down_time=3.0)
    assert found["pull_down_time"].value == pytest.approx(5.39, abs=0.02)
    assert found["energy"].value == pytest.approx(3 * 48.3, rel=2e-3)


def test_a_target_out_of_reach_takes_the_run_to_its_end(folder, tmp_path):
    other = write_group(tmp_path / "g08")
    (other / "parameters.toml").write_text('target = "-5 °C"\n', encoding="utf-8")
    work = open_card("pull_down_balance", str(other))
    found = work.card.solve(work, {})
    assert "pull_down_time" not in found
    assert work.card.windows(work) == {"balance, the target not being reached": (0.0, 30.0)}
    assert found["load_heat"].value == pytest.approx(LOAD * (24 - 4.3) / 3600, rel=2e-3)


def test_without_a_heat_leak_the_groups_own_is_carried(tmp_path):
    folder = write_group(tmp_path / "g09", cooler=COOLER.replace(', thickness = "35 mm"', ""))
    for run in ("warm-up", "heater"):
        (folder / "runs" / f"{run}.toml").unlink()
    assert "leak_heat" not in solved(folder, "pull_down_balance")
    found = solved(folder, "pull_down_balance", heat_leak=0.5)
    assert found["leak_heat"].value == pytest.approx(
        0.5 * found["mean_difference"].value * found["pull_down_time"].value)


def test_duty_and_meters(folder):
    found = {name: one.value for name, one in solved(folder, "duty_and_meters").items()}
    assert found["duty"] == pytest.approx(0.25, abs=1e-3)
    assert found["running_power"] == 48.3
    assert found["idle_power"] == 1.7
    mean_power = 0.25 * 48.3 + 0.75 * 1.7
    assert found["mean_power"] == pytest.approx(mean_power, rel=1e-3)
    assert found["mean_by_duty"] == pytest.approx(mean_power, rel=1e-3)
    assert found["daily_energy"] == pytest.approx(24 * mean_power, rel=1e-3)
    assert found["snapshot"] == pytest.approx(24 * 48.3)
    assert found["counter_energy"] == pytest.approx(560)
    logged = 4 * 48.3 + 26 * mean_power
    assert found["counter_difference"] == pytest.approx(560 / logged - 1, abs=1e-3)
    assert found["counter_uncertainty"] == pytest.approx(10 / np.sqrt(6))
    assert found["meter_difference"] == pytest.approx(
        (46.4 + 1.4) / (12.10 * 3.95 + 11.98 * 0.142) - 1)


def test_without_a_counter_its_rows_cannot_be_marked(tmp_path):
    folder = write_group(tmp_path / "g10")
    path = folder / "runs" / "cold.toml"
    head, *_, log = path.read_text("utf-8").partition("\n[[reading]]")
    path.write_text(head + log[log.index("\n[[log]]"):], encoding="utf-8")
    found = solved(folder, "duty_and_meters")
    assert "mean_power" in found
    assert not {"counter_energy", "counter_difference", "counter_uncertainty"} & set(found)


def test_instruments_without_an_error_leave_no_interval(tmp_path):
    bare = CAMPAIGN.replace('error = "0.1 K"\n', "")
    folder = write_group(tmp_path / "g11", campaign=bare)
    found = solved(folder, "heat_leak_warm_up")
    assert found["mean_difference"].low is None
    assert found["heat_leak"].value == pytest.approx(0.326, abs=0.001)
    assert "leak_uncertainty" not in found


@pytest.mark.parametrize(("run", "cut", "card", "told"), [
    ("heater", "[[reading]]", "heat_leak_heater", "the heater's power was not read"),
    ("warm-up", "[[load]]", "heat_leak_warm_up", "no heat balance"),
    ("cold", "[[load]]", "pull_down_balance", "a load of known mass"),
])  # fmt: skip
def test_what_is_missing_is_told(tmp_path, run, cut, card, told):
    folder = write_group(tmp_path / "g12")
    path = folder / "runs" / f"{run}.toml"
    head, _, rest = path.read_text("utf-8").partition(cut)
    path.write_text(head + rest[rest.index("[[log]]"):], encoding="utf-8")
    with pytest.raises(UserError, match=told):
        solved(folder, card)

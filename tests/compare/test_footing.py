"""Daily energy at one footing: moved by what was measured, else by a law with its doubt."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from coldbench import draws
from coldbench.compare import label_style as module
from coldbench.compare.differences import compare
from coldbench.compare.footing import move
from coldbench.compare.footing_ice import ice
from coldbench.compare.heat_taken import Known
from coldbench.compare.holds import holds
from coldbench.compare.label_style import label_style
from coldbench.compare.leaks import Leak
from coldbench.compare.states import State
from coldbench.findings import Finding, measured

UA = 0.5


def exact(value: float) -> Known:
    return Known(value, np.full(draws.DRAWS, value))


def state(ambient: float, inside: float = 4.0, *, power: float | None = None, idle: float = 1.0,
          running: float = 46.0, capacity: float | None = 40.0, run: str = "") -> State:
    """A machine of constant capacity while it runs; its duty carries the heat that leaks in."""
    duty = UA * (ambient - inside) / (capacity or 40.0)
    power = idle + duty * (running - idle) if power is None else power
    return State(
        (run or f"r{ambient:g}",), "dc", exact(inside), exact(ambient), exact(power), exact(idle),
        exact(min(duty, 1.0)), None if capacity is None else exact(capacity), duty < 1, "said",
    )


def leak() -> Leak:
    row = Finding(cooler="a", finding="heat_leak", at="walls heater", unit="W/K", value=UA)
    return Leak(row, UA, np.full(draws.DRAWS, UA), None)


def daily(moved) -> float:
    return 24 * float(moved.power.value)


def test_a_machine_curve_gives_what_the_machine_would_draw():
    """Capacity 44 W at 18 °C, 36 W at 32 °C: on a straight line 40 W at 25 °C."""
    known = [state(18.0, capacity=44.0, running=44.0), state(32.0, capacity=36.0, running=48.0)]
    moved = move(known, leak(), "a", 4.0, 25.0)
    duty = UA * 21 / 40
    assert moved.how.startswith("machine curve")
    assert daily(moved) == pytest.approx(24 * (1 + duty * 45), rel=1e-6)


def test_two_ambients_without_heat_leak_lie_on_the_law_they_show():
    """Power above idle as (ambient − inside)^1.8: found again without being told."""
    def of(ambient):
        return state(ambient, power=1 + 0.05 * (ambient - 4) ** 1.8, capacity=None)

    moved = move([of(18.0), of(30.0)], None, "a", 4.0, 25.0)
    assert "both measured" in moved.how
    assert daily(moved) == pytest.approx(24 * (1 + 0.05 * 21**1.8), rel=1e-6)
    assert np.ptp(moved.power.draws) < 1e-9  # no law is assumed between two measured ambients


def test_insides_off_the_footings_bring_the_laws_doubt_in():
    def of(ambient, inside):
        return state(ambient, inside, power=1 + 0.1 * (ambient - inside) ** 1.5, capacity=None)

    moved = move([of(18.0, 5.0), of(30.0, 3.0)], None, "a", 4.0, 25.0)
    assert daily(moved) == pytest.approx(24 * (1 + 0.1 * 21**1.5), rel=1e-6)
    assert np.ptp(moved.power.draws) > 0


# Trade arithmetic for a box at 4 °C: standard uncertainty of the exponent 0.25 times the logarithm
# of the difference's ratio: 23 to 25 °C 2.5 %, to 32 °C 10 %, to 43 °C 18 to 19 %.
@pytest.mark.parametrize(("ambient", "adds"), [(25.0, 0.025), (32.0, 0.10), (43.0, 0.18)])
def test_the_laws_doubt_grows_with_the_move(ambient, adds):
    moved = move([state(23.0, idle=0.0, capacity=None)], None, "a", 4.0, ambient)
    relative = float(moved.power.draws.std() / moved.power.value)
    assert relative == pytest.approx(adds, rel=0.12)


def test_only_what_is_above_idle_is_moved():
    one = state(20.0, power=11.0, idle=10.0, capacity=None)
    moved = move([one], None, "a", 4.0, 36.0)
    assert float(moved.power.value) == pytest.approx(10 + 2**1.5)


def test_the_nearest_state_is_moved():
    far, near = state(15.0, inside=-10.0, run="far"), state(23.0, run="near")
    moved = move([far, near], None, "a", 4.0, 25.0)
    assert moved.runs == ("near",) and moved.kelvins == pytest.approx(2.0)


# --- can it hold the footing --------------------------------------------------------------------


def coldest(value: float | None, ambient: float = 25.0, **more) -> Finding:
    base = {"cooler": "a", "finding": "coldest_air", "unit": "°C",
            "conditions": {"ambient": ambient}, **more}
    if value is None:
        return Finding(**base, basis="bounded")
    return Finding(**base, **measured(value + draws.uniform("P1 offset", 0.3), value))


@pytest.mark.parametrize(("value", "at", "can"), [
    (1.0, 25.0, True), (9.1, 25.0, False), (4.1, 25.0, None),
    (-3.0, 20.0, True), (3.0, 20.0, False), (0.0, 20.0, None),  # moved by 4 K, ± 1.75 K
])
def test_holding_is_judged_by_the_coldest_moved_to_the_footing(value, at, can):
    told = holds([], [coldest(value, at)], "a", 4.0, 25.0)
    assert told.can is can
    if can is False:
        assert told.note.startswith("cannot hold 4 °C at 25 °C; coldest")


def test_a_coldest_that_a_thermostat_ended_stays_where_it_is():
    """18 °C room, coldest setting, 1.6 °C inside at a duty of 0.1: it holds 4 °C at 25 °C."""
    cycling = state(18.0, 1.6, capacity=80.0, run="cold")
    row = coldest(1.6, 18.0, runs=("cold",))
    assert holds([cycling], [row], "a", 4.0, 25.0).can is True
    assert holds([], [row], "a", 4.0, 25.0).can is False  # had it run on and on
    warm = coldest(5.0, 32.0, runs=("warm",))
    limited = state(32.0, 5.0, capacity=80.0, run="warm")
    assert holds([limited], [warm], "a", 4.0, 20.0).can is False


def test_a_machine_without_a_break_is_judged_by_its_coldest_however_near():
    running = state(24.6, 4.4, capacity=10.0, run="on")
    told = holds([running], [coldest(4.4, 24.6, runs=("on",))], "a", 4.0, 25.0)
    assert not running.settled and told.can is False


def test_no_verdict_without_a_stated_error():
    bare = Finding(cooler="a", finding="coldest_air", value=9.0, unit="°C",
                   conditions={"ambient": 25.0})
    assert holds([], [bare], "a", 4.0, 25.0).can is None


def test_the_nearest_pair_of_rooms_is_taken():
    known = [state(14.0), state(24.5), state(34.0)]
    assert move(known, None, "a", 4.0, 25.0).runs == ("r24.5", "r34")


def test_what_was_held_needs_no_judging():
    assert holds([state(26.0, 3.0)], [], "a", 4.0, 25.0).can is True


def test_a_bound_that_is_cold_enough_will_do():
    assert holds([], [coldest(None, 25.0, high=2.0)], "a", 4.0, 25.0).can is True
    assert holds([], [coldest(None, 25.0, high=8.0)], "a", 4.0, 25.0).can is None


def test_without_a_coldest_the_duty_decides():
    little = state(20.0, capacity=80.0)  # duty 0.1
    hard = state(20.0, capacity=8.5)  # duty 0.94
    assert holds([little], [], "a", 4.0, 32.0).can is True
    assert holds([hard], [], "a", 4.0, 43.0).can is False


def test_who_cannot_hold_the_footing_is_ranked_nowhere(made):
    energy = dict(name="daily_energy_footing", unit="Wh/d", at="dc", basis="normalised")
    one = made.finding("a", 300.0, "W", 5.0, **energy)
    energy["basis"] = "not reached"
    other = made.finding("b", None, **energy, note="cannot hold 4 °C at 25 °C")
    told = compare(one, other, None, {})
    assert told.verdict == "not comparable" and "cannot hold" in told.why


# --- ice ----------------------------------------------------------------------------------------


def leak_row(value: float) -> Finding:
    true = value * (1 + draws.uniform("a leak", 0.03))
    return Finding(cooler="a", finding="heat_leak", at="walls ice melt", unit="W/K",
                   conditions={"wall": 14.5}, **measured(true, value))


def test_ice_of_a_box_whose_daily_melt_is_known():
    """0.52 W/K melt 3.4 kg/d at 25 °C with the inside at 0 °C: trade arithmetic; at 4 °C less,
    by the smaller difference and the water that warms."""
    never, needed, energy = ice([leak_row(0.52)], "a", 4.0, 25.0)
    at_zero = 0.52 * 25 * 86400 / 333_500
    assert at_zero == pytest.approx(3.4, abs=0.05)
    assert needed.value == pytest.approx(at_zero * 21 / 25 * 333.5 / (333.5 + 4 * 4.19), rel=0.01)
    assert needed.low < needed.value < needed.high
    assert energy.low < energy.value < energy.high and "assumed" in energy.note
    assert never.basis == "not applicable"


def test_ice_holds_no_freezer_and_needs_a_heat_leak():
    assert {f.basis for f in ice([leak_row(0.5)], "a", -18.0, 25.0)[1:]} == {"not reached"}
    assert {f.basis for f in ice([], "a", 4.0, 25.0)[1:]} == {"not measured"}


# --- the label's arithmetic ----------------------------------------------------------------------


@pytest.fixture
def result(monkeypatch):
    def of(*known, technology="compressor"):
        monkeypatch.setattr(module, "states", lambda *_: list(known))
        cooler = SimpleNamespace(technology=technology)
        return SimpleNamespace(campaign=SimpleNamespace(coolers={"a": cooler}))
    return of


LITRES = Finding(cooler="a", finding="usable_volume", value=40.0, unit="L")


def test_the_index_is_that_of_the_regulations_arithmetic(result):
    """Straight through by hand: duty from the heat leak, 365 · mean of both days, over the
    standard energy 75 + 40 · 0.12 kWh/a of 40 L fresh food (Annex IV 4, parameter 1 at 4 °C)."""
    told = result(state(16.0), state(32.0))
    (one,) = label_style(told, [leak_row(0.5), LITRES])
    power = [1 + 0.5 * (t - 4) / 40 * 45 for t in (16.0, 32.0)]
    assert [day[1] for day in one.daily] == pytest.approx([24 * p for p in power], rel=0.02)
    annual = 365 * 24 * sum(power) / 2 / 1000
    assert one.index[1] == pytest.approx(100 * annual / (75 + 40 * 0.12), rel=0.02)
    assert one.index[0] < one.index[1] < one.index[2]


def test_one_room_tells_too_little_and_a_passive_box_nothing(result):
    assert label_style(result(state(25.0)), [LITRES]) == []
    assert label_style(result(state(25.0), state(26.0)), [LITRES]) == []
    assert label_style(result(state(16.0), state(32.0), technology="passive"), [LITRES]) == []


def test_a_cooler_that_cannot_hold_it_there_gets_no_index(result):
    warm = coldest(9.0, 32.0)
    told = result(state(15.0), state(22.0))
    (one,) = label_style(told, [warm, LITRES])
    assert one.index is None and one.note.startswith("cannot hold 4 °C at 32 °C")

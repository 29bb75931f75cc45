"""Candidates: each in the room, each with what its box and machine give alone; litres and walls."""

from __future__ import annotations

import csv
from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import pytest

from coldbench.design.box import Excess, walls_leak
from coldbench.design.candidate import Candidates
from coldbench.design.search import candidates, litres_curve, load_heat
from coldbench.design.wishes import Board
from coldbench.physics.box import INSIDE_LEAST

FOAM_AND_LITRES = Path(__file__).parents[1] / "reference" / "foam_and_litres.csv"
SHARE = 0.93


@pytest.fixture(scope="module")
def found(build):
    return candidates(build.wishes(), build.machines, build.boards, build.excess, SHARE)


def test_flat_arrays_of_one_length(found):
    assert {getattr(found, field.name).shape for field in fields(Candidates)} == {(len(found),)}
    assert len(found) > 10_000
    assert set(found.machine) == {0, 1, 2} and set(found.layers) == {1, 2}


def test_all_fit_the_room_with_their_machine(build, found):
    taken = np.array([machine.room for machine in build.machines])[found.machine].T
    outside = np.array([found.outside_width, found.outside_depth, found.outside_height])
    room = np.array(build.wishes().room)
    assert ((outside + taken) <= room[:, None] + 1e-9).all()
    # The largest box with each machine is as large as may be.
    for n in range(3):
        most = (outside + taken)[:, found.machine == n].max(axis=1)
        assert most == pytest.approx(room)


def test_insides_are_what_walls_leave(build, found):
    thickness = np.array([board.thickness for board in build.boards])[found.board]
    assert found.wall == pytest.approx(found.layers * thickness)
    assert found.outside_depth - found.depth == pytest.approx(2 * found.wall)
    shortest = np.minimum(np.minimum(found.width, found.depth), found.height)
    assert (shortest > INSIDE_LEAST * found.wall).all() and shortest.min() >= 0.1
    assert found.litres == pytest.approx(
        1000 * SHARE * found.width * found.depth * found.height)


@pytest.mark.parametrize("n", [0, 1, 2])
def test_a_candidate_alone_gives_the_same(build, found, n):
    machine = build.machines[n]
    holds = np.flatnonzero((found.machine == n) & np.isfinite(found.energy))
    for i in holds[:: len(holds) // 5]:
        board = build.boards[found.board[i]]
        foam = {"XPS": 0.031, "PIR": 0.025}[board.material]  # middle of the handbook's range
        walls = walls_leak(found.box(i), foam, (32.0 + 4.0) / 2)
        leak = build.excess.carry(walls, 2 * (found.width[i] + found.depth[i]))
        assert found.leak[i] == pytest.approx(float(leak))
        goods = 4.0 * 4186 * (28 - 4) / 86400
        held = machine.unit.hold(4.0, 32.0, float(leak) * 28 + goods)
        assert found.energy[i] == pytest.approx(24 * float(held.power))
        assert found.duty[i] == pytest.approx(float(held.duty))
        # What leaks less when colder: its walls are colder too.
        plain = float(machine.unit.coldest(float(leak), 32.0))
        assert machine.lowest - 1e-9 <= found.coldest[i] <= plain or plain < machine.lowest
        assert found.coldest[i] == pytest.approx(max(plain, machine.lowest), abs=2.5)


def test_what_a_machine_cannot_hold_has_no_energy(build, found):
    goods = load_heat(build.wishes())
    for n, machine in enumerate(build.machines):
        of = found.machine == n
        most = machine.unit.capacity(4.0, 32.0)
        # Bridges of modules at rest do not count at full drive.
        assert (np.isfinite(found.energy[of]) == (found.leak[of] * 28 + goods <= most)).all()


def test_prices_of_boards_and_machine(build, found):
    i = int(np.flatnonzero(found.layers == 2)[7])
    board, machine = build.boards[found.board[i]], build.machines[found.machine[i]]
    assert found.price[i] == pytest.approx(machine.price + 1.15 * found.area[i] * board.price)
    volume = found.area[i] * board.thickness
    density = {"XPS": 32.5, "PIR": 35.0}[board.material]
    # Area at the middle of a thick wall is a little more than volume over thickness.
    assert found.mass[i] == pytest.approx(volume * density, rel=0.05)
    boards = (*build.boards[:3], replace(build.boards[3], price=None))
    unknown = candidates(build.wishes(), build.machines, boards, build.excess, SHARE)
    assert (np.isnan(unknown.price) == (unknown.board == 3)).all()
    free = [replace(build.machines[0], price=None)]
    assert np.isnan(
        candidates(build.wishes(), free, boards, build.excess, SHARE).price).all()


def test_litres_alone_are_enough(build):
    found = candidates(build.wishes(room=None), build.machines, build.boards, build.excess, SHARE)
    assert found.litres.max() == pytest.approx(50.0)
    widest = int(np.argmax(found.litres))
    assert found.width[widest] == pytest.approx(1.5 * found.depth[widest])
    assert (found.litres >= 25).mean() > 0.1
    with pytest.raises(ValueError, match="a room or litres"):
        candidates(build.wishes(room=None, usable=None), build.machines, build.boards,
                   build.excess, SHARE)


def test_a_machine_larger_than_the_room_leaves_none(build):
    large = [replace(build.machines[0], room=(1.0, 0.0, 0.0))]
    found = candidates(build.wishes(), large, build.boards, build.excess, SHARE)
    assert len(found) == 0 and found.energy.shape == (0,)
    thin = [Board("XPS", 0.01, layers=1)]
    assert len(candidates(build.wishes(), build.machines, thin, build.excess, SHARE)) == 0


def test_warm_goods_that_freeze(build):
    assert load_heat(build.wishes(inside=-18.0, load=2.0, load_start=20.0)) == pytest.approx(
        2 * (4186 * 20 + 333.5e3 + 2050 * 18) / 86400)
    assert load_heat(build.wishes(load_start=3.0)) == 0.0


@pytest.mark.parametrize(("conductivity", "column"), [(0.025, "at_025"), (0.035, "at_035")])
def test_foam_against_litres(build, conductivity, column):
    """Source: header of the table."""
    with FOAM_AND_LITRES.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    # Half way between 44 °C and 4 °C lies the 24 °C at which the conductivity stands.
    wishes = build.wishes(ambient=44.0, inside=4.0, room=(0.6, 0.4, 0.4))
    machine = replace(build.machines[0], room=(0.0, 0.0, 0.0))
    curve = litres_curve(
        wishes, machine, Board("XPS", 0.02, conductivity), Excess(1.0, 0.0, 1.0, 1.0, ""), 1.0,
        walls=[float(row["wall"]) / 1000 for row in rows], films=(6.0, 8.0))
    assert curve.litres == pytest.approx([float(row["litres"]) for row in rows], abs=0.051)
    assert curve.leak == pytest.approx([float(row[column]) for row in rows], abs=0.0051)
    if column == "at_025":
        # Least for each litre at 80 mm, as the table's source says.
        assert curve.wall[np.argmin(curve.leak / curve.litres)] == 0.08


def test_knee_of_a_curve(build):
    mild = build.wishes(ambient=22.0, load=0.0)
    curve = litres_curve(mild, build.machines[0], build.boards[0], build.excess, SHARE)
    assert curve.wall[0] == 0.02 and np.allclose(np.diff(curve.wall), 0.005)
    assert (np.diff(curve.energy) < 0).all() and (np.diff(curve.litres) < 0).all()
    # By hand: the chord from end to end, and how far each wall lies below it.
    chord = np.interp(curve.litres, curve.litres[[-1, 0]], curve.energy[[-1, 0]])
    assert curve.knee == int(np.argmax(chord - curve.energy))
    assert 0 < curve.knee < len(curve.wall) - 1
    assert curve.thriftiest == int(np.argmin(curve.energy / curve.litres))


def test_a_curve_where_thin_walls_do_not_hold(build):
    warm = build.wishes(ambient=25.0, load=0.0)
    curve = litres_curve(warm, build.machines[2], build.boards[0], build.excess, SHARE)
    assert np.isnan(curve.energy[0]) and np.isfinite(curve.energy[-1])
    assert np.isfinite(curve.energy[curve.knee])
    hot = build.wishes(ambient=58.0)
    curve = litres_curve(hot, build.machines[2], build.boards[0], build.excess, SHARE)
    assert curve.knee is None and curve.thriftiest is None
    small = build.wishes(room=(0.3, 0.1, 0.1))
    curve = litres_curve(small, build.machines[0], build.boards[0], build.excess, SHARE)
    assert curve.wall.max() < 0.1 / 2.2  # 100 mm across the width, beside the bay
    with pytest.raises(ValueError, match="needs a room"):
        litres_curve(build.wishes(room=None), build.machines[0], build.boards[0], build.excess,
                     SHARE)


def test_a_curve_where_the_machine_leaves_no_inside(build):
    curve = litres_curve(build.wishes(room=(0.15, 0.3, 0.3)), build.machines[0], build.boards[0],
                         build.excess, SHARE)
    assert curve.wall.shape == curve.energy.shape == (0,)
    assert curve.knee is None and curve.thriftiest is None

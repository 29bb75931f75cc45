"""Front and picks: nothing undercut, nothing missed, ties, and what is said where nothing does."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest

from coldbench.design.candidate import Candidates
from coldbench.design.pareto import FINEST, front
from coldbench.design.search import candidates


def made(**columns):
    """Candidates of which only some columns are told."""
    n = len(next(iter(columns.values())))
    usual = {field.name: np.zeros(n, int) if field.name in ("machine", "board", "layers")
             else np.ones(n) for field in fields(Candidates)}
    return Candidates(**{**usual, **{name: np.array(one) for name, one in columns.items()}})


@pytest.fixture(scope="module")
def found(build):
    return candidates(build.wishes(), build.machines, build.boards, build.excess, 0.93)


def costs(c, index):
    return np.array([-c.litres, c.energy, c.coldest]).T[index]


def test_no_one_on_the_front_is_undercut_and_no_one_is_missing(build):
    rng = np.random.default_rng(7)
    c = made(litres=rng.uniform(20, 60, 800), energy=rng.uniform(300, 900, 800),
             coldest=rng.uniform(-20, 5, 800), price=rng.uniform(50, 90, 800))
    result = front(c, build.wishes(usable=30.0))
    every = np.flatnonzero(c.litres >= 30.0)
    assert (np.flatnonzero(result.passes) == every).all()
    # By brute force, with the same steps.
    steps = np.round(costs(c, every) / FINEST)
    no_worse = (steps[:, None] <= steps[None]).all(axis=2)
    better = no_worse & (steps[:, None] < steps[None]).any(axis=2)
    assert set(result.index) == set(every[~better.any(axis=0)])
    assert 5 < len(result.index) < 400


def test_of_equals_the_cheapest_then_the_lightest_stays(build):
    c = made(litres=[30.0, 30.01, 30.0, 30.0], energy=[500.0, 500.2, 500.0, 500.0],
             coldest=[-5.0] * 4, price=[90.0, 80.0, 80.0, np.nan], mass=[1.0, 3.0, 2.0, 0.5])
    result = front(c, build.wishes())
    assert result.index.tolist() == [2]
    assert set(result.picks.values()) == {2}
    assert "The coldest is the thriftiest too." in result.words


def test_three_picks(build, found):
    wishes = build.wishes(coldest=0.0, energy=900.0, price=400.0)
    result = front(found, wishes)
    assert list(result.picks) == ["coldest", "thriftiest", "roomiest"]
    assert len(set(result.picks.values())) == 3
    assert {result.picks["coldest"], result.picks["roomiest"]} <= set(result.index)
    for i in result.picks.values():
        assert result.passes[i]
        assert found.litres[i] >= 25 and found.coldest[i] <= 0
        assert found.energy[i] <= 900 and found.price[i] <= 400
    passing = result.passes
    assert found.litres[result.picks["roomiest"]] == pytest.approx(
        found.litres[passing].max(), abs=0.1)
    assert found.coldest[result.picks["coldest"]] == pytest.approx(
        found.coldest[passing].min(), abs=0.1)
    # One machine in these boards: the coldest box leaks least, hence is the thriftiest as well.
    assert found.energy[result.picks["coldest"]] == pytest.approx(
        found.energy[passing].min(), abs=1)
    assert any("coldest is the thriftiest too" in one for one in result.words)
    # The least energy is picked already: the least for each litre stands for it.
    each = found.energy[result.index] / found.litres[result.index]
    other = result.picks["thriftiest"]
    assert found.energy[other] / found.litres[other] == pytest.approx(each.min(), rel=0.01)


def test_a_further_must_excludes_and_is_counted(build, found):
    wishes = build.wishes(coldest=0.0, energy=900.0, price=400.0)
    free = front(found, wishes)
    barred = np.zeros(len(found), bool)
    barred[free.picks["roomiest"]] = True
    result = front(found, wishes, {"barred by hand": barred})
    assert result.excluded["barred by hand"] == 1
    assert not result.passes[free.picks["roomiest"]]
    assert result.picks["roomiest"] != free.picks["roomiest"]


def test_each_must_counts_what_it_excludes(build, found):
    result = front(found, build.wishes(coldest=0.0, energy=900.0, price=170.0))
    assert result.excluded == {
        "not holding 4 °C at 32 °C": int(np.isnan(found.energy).sum()),
        "less than 25 L": int((found.litres < 25).sum()),
        "warmer than 0 °C at their coldest": int((found.coldest > 0).sum()),
        "energy above 900 Wh/d": int((found.energy > 900).sum()),
        "price above 170 EUR": int((found.price > 170).sum()),
    }
    # Each must alone lets pass just what it does not exclude.
    alone = front(found, build.wishes(usable=None, price=170.0))
    assert alone.passes.sum() == (np.isfinite(found.energy) & (found.price <= 170)).sum()
    assert any("No litres are asked for" in one for one in alone.words)


def test_where_nothing_meets_all_the_nearest_is_shown(build, found):
    wishes = build.wishes(coldest=-60.0)
    result = front(found, wishes)
    assert not result.passes.any() and list(result.picks) == ["nearest"]
    assert result.excluded["warmer than −60 °C at their coldest"] == len(found)
    assert result.words[0].startswith("No design of ")
    assert f"{len(found)} warmer than −60 °C" in result.words[0]
    i = result.picks["nearest"]
    # No other lacks less of both litres and cold.
    lacks = np.array([np.maximum(25 - found.litres, 0), found.coldest + 60,
                      np.isnan(found.energy)])
    assert not (lacks < lacks[:, [i]]).all(axis=0).any()
    worst = np.maximum(lacks[0] / 25, lacks[1] / 92)
    assert worst[i] == pytest.approx(worst[np.isfinite(found.energy)].min())


def test_a_price_not_known_is_not_judged_and_said(build, found):
    unknown = replace(found, price=np.where(found.board == 0, np.nan, found.price))
    result = front(unknown, build.wishes(price=1.0))
    assert (result.passes <= (found.board == 0)).all() and result.passes.any()
    count = int((found.board == 0).sum())
    assert f"Of {count} designs a price is not stated: they are not judged by it." in result.words


def test_no_candidates(build, found):
    none = Candidates(*(getattr(found, field.name)[:0] for field in fields(Candidates)))
    result = front(none, build.wishes())
    assert result.picks == {} and len(result.index) == 0 and "No box fits" in result.words[0]

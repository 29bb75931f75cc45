"""What designs trade: litres against daily energy and coldest inside, the front and its picks."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator
from matplotlib.transforms import Bbox

from coldbench.design.candidate import Candidates, Machine
from coldbench.design.pareto import Front
from coldbench.design.wishes import Wishes
from coldbench.figures import labels, lines, words
from coldbench.figures.drawn import Drawn
from coldbench.figures.look import GREY, INK, cooler_styles, house, panels
from coldbench.figures.tradeoff import SIDES, covered
from coldbench.quantities import number, show

SAMPLE = 400  # dots that stand for all designs
MUST = {"color": GREY, "linestyle": (0, (4, 3)), "linewidth": 0.8, "zorder": 0.9}


def pareto(front: Front, machines: Sequence[Machine], wishes: Wishes) -> Drawn | None:
    """Two panels over usable litres: energy of a day and the coldest inside.

    Parameters
    ----------
    front : Front
    machines : sequence of Machine
        As given to the search.
    wishes : Wishes

    Returns
    -------
    Drawn or None
        None where no design holds what is wanted.
    """
    c = front.candidates
    shown = _holding(c, front.index)
    if not len(shown):
        return None
    cloud = _sample(c, np.flatnonzero(front.passes) if front.passes.any()
                    else _holding(c, np.arange(len(c))))
    both = np.concatenate([cloud, shown])
    seen = dict.fromkeys(c.machine[both[::-1]].tolist())  # those on the front first
    styles = cooler_styles(machines[n].key for n in seen)
    looks = {n: {"color": styles[machines[n].key].colour, "linestyle": "none",
                 "marker": styles[machines[n].key].marker} for n in seen}
    with house():
        figure, (upper, lower) = panels([62, 44], left=18, bottom=13, between=6)
        drawn = ((upper, c.energy, "daily_energy", wishes.energy, "Wh/d"),
                 (lower, c.coldest, "coldest_air", wishes.coldest, "°C"))
        for axes, values, finding, most, _ in drawn:
            for n, look in looks.items():
                dots, marks = (some[c.machine[some] == n] for some in (cloud, shown))
                axes.plot(c.litres[dots], values[dots], markersize=2.2, alpha=0.35, zorder=1.5,
                          label="designs", markeredgewidth=0, **look)
                axes.plot(c.litres[marks], values[marks], markersize=4, zorder=2,
                          label=machines[n].label, **look)
            _limits(axes, values[both], c.litres[both].max(), most)
            lines.value_axis(axes, words.axis_title(finding))
        lines.across_axis(lower, words.axis_title("usable_volume"))
        lower.xaxis.set_major_locator(MaxNLocator(8, steps=[1, 2, 5, 10]))
        entries = [labels.Entry(machines[n].label, float(np.median(c.energy[_best(c, n, shown,
                   cloud)])), look) for n, look in looks.items()]
        asked = [labels.Entry(f"at most {show(most, most, most, unit)}", most, MUST)
                 for _, _, _, most, unit in drawn if most is not None]
        labels.make_room(upper, [entry.text for entry in entries + asked])
        for axes, values, _, most, unit in drawn:
            own = [one for one in asked if one.text.endswith(unit)]
            labels.end_labels(axes, own + (entries if axes is upper else []))
            _musts(axes, wishes.usable, most)
            _picks(axes, {label: (c.litres[i], values[i]) for label, i in front.picks.items()
                          if np.isfinite(values[i])}, np.array([c.litres[shown], values[shown]]).T)
        if wishes.usable is not None:
            upper.annotate(f"at least {show(*[wishes.usable] * 3, 'L')}", (wishes.usable, 1),
                           xycoords=upper.get_xaxis_transform(), xytext=(0, 3), ha="center",
                           textcoords="offset points", va="bottom", fontsize=8, color=INK)
    return Drawn(figure, _data(front, cloud, shown, machines), _alt(front, shown, machines),
                 _caption(front, wishes), "designs")


def _holding(c: Candidates, index: np.ndarray) -> np.ndarray:
    return index[np.isfinite(c.energy[index]) & np.isfinite(c.coldest[index])]


def _sample(c: Candidates, index: np.ndarray) -> np.ndarray:
    """Some of many: every so manyth by machine and litres, so that none of both is missed."""
    ordered = index[np.lexsort((c.energy[index], c.litres[index], c.machine[index]))]
    return ordered[np.linspace(0, len(ordered) - 1, min(SAMPLE, len(ordered))).astype(int)]


def _best(c: Candidates, n: int, shown: np.ndarray, cloud: np.ndarray) -> np.ndarray:
    """Designs of a machine on the front, or if there are none, in the cloud."""
    of = shown[c.machine[shown] == n]
    return of if len(of) else cloud[c.machine[cloud] == n]


def _limits(axes: Axes, values: np.ndarray, litres: float, must: float | None) -> None:
    axes.set_xlim(0, 1.05 * litres)
    values = values if must is None else np.append(values, must)
    low, high = float(values.min()), float(values.max())
    room = 0.08 * max(high - low, 1.0)
    axes.set_ylim(min(low - room, 0.0) if low < 0 else 0.0, high + room)


def _musts(axes: Axes, usable: float | None, most: float | None) -> None:
    if usable is not None:
        axes.axvline(usable, label="must", **MUST)
    if most is not None:
        axes.axhline(most, label="must", **MUST)


def _picks(
    axes: Axes, picks: dict[str, tuple[float, float]], points: np.ndarray
) -> None:
    """A ring around each pick, and its name where it covers least."""
    renderer = axes.figure.canvas.get_renderer()
    taken = [Bbox.from_bounds(x - 4, y - 4, 8, 8) for x, y in axes.transData.transform(points)]
    taken += [line.get_window_extent(renderer).padded(1) for line in axes.lines
              if line.get_label() == "must"]
    for x, y in picks.values():
        ring, = axes.plot([x], [y], marker="o", markersize=9, markerfacecolor="none", color=INK,
                          markeredgewidth=1.1, linestyle="none", zorder=4, label="pick")
        taken.append(ring.get_window_extent(renderer))
    room = axes.get_window_extent(renderer)
    for label, place in _merged(picks).items():
        text = axes.annotate(label, place, xytext=(0, 0), textcoords="offset points", fontsize=8,
                             fontweight="bold", color=INK, zorder=5)
        found = []
        for side in SIDES:
            _put(text, side)
            box = text.get_window_extent(renderer)
            found.append((covered(box, taken, room), len(found), box))
        _, best, box = min(found, key=lambda one: one[:2])
        _put(text, SIDES[best])
        taken.append(box)


def _merged(picks: dict[str, tuple[float, float]]) -> dict[str, tuple[float, float]]:
    """Names of one place in one word."""
    places: dict[tuple[float, float], list[str]] = {}
    for label, place in picks.items():
        places.setdefault(place, []).append(label)
    return {words.listed(names): place for place, names in places.items()}


def _put(text: object, side: tuple[int, int]) -> None:
    across, up = side
    text.set_position((6.5 * across, 6.5 * up))
    text.set_ha({1: "left", 0: "center", -1: "right"}[across])
    text.set_va({1: "bottom", 0: "center", -1: "top"}[up])


def _data(
    front: Front, cloud: np.ndarray, shown: np.ndarray, machines: Sequence[Machine]
) -> pd.DataFrame:
    c = front.candidates
    rows = [*((name, i) for name, i in front.picks.items()), *(("front", i) for i in shown),
            *(("design", i) for i in cloud)]
    index = np.array([i for _, i in rows])
    return pd.DataFrame({
        "what": [what for what, _ in rows],
        "machine": [machines[n].label for n in c.machine[index]],
        "usable [L]": c.litres[index], "energy [Wh/d]": c.energy[index],
        "coldest [°C]": c.coldest[index], "wall [mm]": 1000 * c.wall[index],
        "heat leak [W/K]": c.leak[index], "price": c.price[index],
    })


def _pick_words(c: Candidates, i: int, machines: Sequence[Machine]) -> str:
    energy = (f"{number(float(c.energy[i]), 0)} Wh/d" if np.isfinite(c.energy[i])
              else "does not hold what is wanted")
    return (f"{number(float(c.litres[i]), 1)} L, {energy}, coldest "
            f"{number(float(c.coldest[i]), 1)} °C, {machines[c.machine[i]].label}")


def _alt(front: Front, shown: np.ndarray, machines: Sequence[Machine]) -> str:
    c = front.candidates
    ends = [(float(values[shown].min()), float(values[shown].max()))
            for values in (c.litres, c.energy, c.coldest)]
    spans = [f"{number(low, digits)} to {number(high, digits)} {unit}" for (low, high), digits, unit
             in zip(ends, (1, 0, 1), ("L", "Wh/d", "°C"), strict=True)]
    picks = "; ".join(f"{label}: {_pick_words(c, i, machines)}"
                      for label, i in front.picks.items())
    return ("Two scatter plots over usable litres: energy of a day above, coldest inside below. "
            f"The front has {len(shown)} designs of {spans[0]}, {spans[1]} and {spans[2]}. "
            f"{picks}.")


def _caption(front: Front, wishes: Wishes) -> str:
    best = ("Marks: designs that no other one beats in litres, energy and cold at once; dots: a "
            f"sample of {'those that meet the musts' if front.passes.any() else 'the others'}; "
            "dashed: what is asked for at least or at most")
    return (f"Energy of a day that holds {labels.degrees(wishes.inside)} at "
            f"{labels.degrees(wishes.ambient)}, and coldest inside at full drive there, over "
            f"usable litres. {best}. Central values, without their doubts.")

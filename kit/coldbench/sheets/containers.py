"""Containers whose sizes are stated: which sizes a shape needs, and whether the water fits in."""

from __future__ import annotations

import math
from collections.abc import Iterator

from coldbench.errors import Fault
from coldbench.sheets.run import ContainerSheet, LoadSheet

SIZES = {"can": ("diameter",), "bottle": ("diameter",), "brick": ("width", "depth"),
         "slab": ("height",)}
"""Sizes without which a shape says nothing: the water tells the rest."""


def container_faults(load: LoadSheet, where_said: str, where: str) -> Iterator[Fault]:
    """Faults of a container's shape and sizes.

    Parameters
    ----------
    load : LoadSheet
        With its container.
    where_said : str
        How the place is called in a message.
    where : str
        File and line.

    Yields
    ------
    Fault
    """
    box = load.container
    stated = [name for name in ("diameter", "width", "depth", "height") if getattr(box, name)]
    if box.shape is None:
        if stated:
            yield Fault(f"{where_said}: it has sizes but no shape", where,
                        found=", ".join(stated), allowed="can, bottle, brick, slab",
                        do='add shape = "can"')
        return
    needs = SIZES[box.shape]
    lacking = [name for name in needs if name not in stated]
    if lacking:
        yield Fault(f"{where_said}: a {box.shape} lacks its {' and its '.join(lacking)}", where,
                    found=", ".join(stated) or "no sizes", do=f'add {lacking[0]} = "… mm"')
    other = [name for name in stated if name not in (*needs, "height")]
    if other:
        yield Fault(f"{where_said}: a {box.shape} has no {other[0]}", where,
                    found=", ".join(stated), allowed=", ".join(dict.fromkeys([*needs, "height"])),
                    do="mend the shape, or leave the size out")
    room = _room(box) if not lacking and not other else math.inf
    if load.water.value > room:
        yield Fault(f"{where_said}: it cannot hold the water", where, found=load.water.text,
                    allowed=f"at most {room:.2f} kg in a {box.shape} of these sizes",
                    do="check the sizes and their units")


def _room(box: ContainerSheet) -> float:
    """Water in a container filled to its outer height; open where no height is stated. [kg]"""
    if box.shape == "slab" or box.height is None:
        return math.inf
    if box.shape == "brick":
        base = box.width.value * box.depth.value
    else:
        base = math.pi / 4 * box.diameter.value**2
    return base * box.height.value / 1e6

"""Circles in a square against the best known packings (``circles.csv``); see there for sources."""

from __future__ import annotations

from coldbench.physics.packing import most


def test_no_count_beats_the_best_known(published):
    areas = {n: value for n in range(1, 74) for kind in ("area", "rows")
             if (value := published("circles").get(f"{kind}_{n}")) is not None}
    assert len(areas) == 73
    for area, known in areas.items():
        assert 0 <= known - int(most(area**0.5, area**0.5, 1.0)) <= 4


def test_packings_in_rows_are_found(published):
    values = published("circles")
    in_rows = {key: value for key, value in values.items() if key.startswith("rows_")}
    assert max(in_rows.values()) == 68
    for key, known in in_rows.items():
        side = float(key.removeprefix("rows_")) ** 0.5
        assert int(most(side, side, 1.0)) == known


def test_the_least_square_for_39(published):
    side = published("circles")["area_of_39"] ** 0.5
    assert int(most(side + 1e-8, side + 1e-8, 1.0)) == 39
    assert int(most(side - 1e-6, side - 1e-6, 1.0)) < 39

"""Findings: rows, keys, conditions, and the dictionary of kinds."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from coldbench.findings import (
    COLUMNS,
    KINDS,
    Finding,
    Notice,
    conditions_text,
    find,
    measured,
)

ENERGY = Finding(
    cooler="chest", finding="daily_energy", at="dc", value=312.4, unit="Wh/d", low=300.0,
    high=325.0, coverage=99.2, runs=("chest-1", "chest-2"),
    conditions={"ambient": 24.63, "inside": -0.04, "state": "running"},
)


def test_a_row_has_the_columns_of_the_table_in_order():
    row = ENERGY.row()
    assert tuple(row) == COLUMNS
    assert row["runs"] == "chest-1 chest-2"
    assert row["conditions"] == "ambient=24.6 °C inside=0.0 °C state=running"
    assert (row["value"], row["basis"], row["note"]) == (312.4, "measured", "")


def test_draws_are_no_part_of_a_row_nor_of_equality():
    drawn = dataclasses.replace(ENERGY, draws=np.ones(4000))
    assert "draws" not in drawn.row()
    assert drawn == ENERGY
    assert "draws" not in repr(drawn)


def test_coolers_are_matched_by_finding_and_at():
    assert ENERGY.key == ("daily_energy", "dc")
    assert ENERGY.kind.better == -1


def test_conditions_without_unit_and_none_at_all():
    assert conditions_text({"cycles": 12.0, "window": 24.0}) == "cycles=12.0 window=24.0 h"
    assert conditions_text({}) == ""


def test_measured_keeps_open_ends_open():
    drawn = np.where(np.arange(4000) % 10 == 0, np.inf, 2.0)
    found = measured(drawn, 2.0)
    assert (found["value"], found["low"], found["high"]) == (2.0, 2.0, None)
    assert found["draws"] is drawn


def test_find_takes_any_fields():
    other = dataclasses.replace(ENERGY, cooler="box")
    assert find([ENERGY, other], cooler="box") == [other]
    assert find([ENERGY, other], finding="daily_energy", at="dc") == [ENERGY, other]
    assert find([ENERGY], at="wall") == []
    with pytest.raises(AttributeError):
        find([ENERGY], colour="blue")


@pytest.mark.parametrize("name", KINDS)
def test_each_kind_is_whole(name):
    kind = KINDS[name]
    assert kind.title and kind.title[0].isupper()
    assert kind.group in ("cold", "energy", "freeze", "box", "machine", "size", "money", "supply",
                          "sound", "checks")
    assert kind.better in (-1, 0, 1)
    assert kind.varies in ("", "energy", "temperature", "time")
    assert kind.unit or kind.group == "money"  # money is in the campaign's currency


def test_titles_are_told_apart():
    titles = [kind.title for kind in KINDS.values()]
    assert len(set(titles)) == len(titles)


def test_a_notice_is_a_plain_record():
    notice = Notice("LOG-GAP", "note", "logs/x.csv", "No samples for 2 h.")
    assert (notice.cooler, notice.severity) == ("", "note")

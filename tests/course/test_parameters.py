"""Each group's own numbers."""

from __future__ import annotations

from collections import Counter

import pytest

from coldbench.course.parameters import choices, drawn, read_parameters
from coldbench.errors import UserError
from coldbench.quantities import QuantityError

SPREAD = {"load": ("1 kg", "1.5 kg", "2 kg"), "target": ("4 °C", "8 °C"),
          "refrigerant": ("R134a", "R600a")}


def test_seed_and_id_decide_alone():
    alone = drawn(7, "g03", SPREAD, {})
    assert alone == drawn(7, "g03", dict(SPREAD), {})
    # Another number in the roster moves none of the others.
    more = drawn(7, "g03", {"bottle": ("330 mL", "500 mL"), **SPREAD}, {})
    assert {name: more[name] for name in alone} == alone
    assert any(drawn(8, f"g{n}", SPREAD, {}) != drawn(7, f"g{n}", SPREAD, {}) for n in range(9))


def test_the_numbers_of_a_seed_are_for_ever():
    """A class is run again years later; whoever changes this changes everybody's numbers."""
    found = [drawn(20310917, f"g{n:02d}", SPREAD, {})["load"] for n in range(1, 7)]
    assert found == ["1.5 kg", "1 kg", "1.5 kg", "1.5 kg", "1 kg", "1.5 kg"]


def test_all_values_come_up():
    found = Counter(drawn(1, f"g{n}", SPREAD, {})["load"] for n in range(300))
    assert set(found) == set(SPREAD["load"]) and min(found.values()) > 70


def test_a_groups_own_number_wins():
    assert drawn(7, "g01", SPREAD, {"load": "3 kg"})["load"] == "3 kg"
    assert drawn(7, "g01", {}, {}) == {}


@pytest.mark.parametrize(("written", "found"), [
    ("-2 K to 2 K by 2 K", ("-2 K", "0 K", "2 K")),
    ("10 K to 20 K by 10 K", ("10 K", "20 K")),
    (["1 K", "2 K to 3 K by 1 K"], ("1 K", "2 K", "3 K")),
    ("0.1 K to 0.3 K by 0.1 K", ("0.1 K", "0.2 K", "0.3 K")),
])
def test_ranges(written, found):
    assert choices(written, "ambient_offset") == found


@pytest.mark.parametrize("written", [
    "1 K to 2 K", "1 K to 2 K by 0 K", "1 K to 2 °C by 1 K", "1 V", [], 3, "2", None,
    "0 K to 9999 K by 0.001 K",
])
def test_what_is_no_range_is_refused(written):
    with pytest.raises(QuantityError):
        choices(written, "ambient_offset")


def test_read_back(tmp_path):
    file = tmp_path / "parameters.toml"
    assert read_parameters(file) == {}
    file.write_text('group = "g01"\nload = "1.4 kg"\n', encoding="utf-8")
    found = read_parameters(file)
    assert found["group"] == "g01" and found["load"].value == pytest.approx(1.4)
    file.write_text('laod = "1.4 kg"\nload = "1.4 K"\n', encoding="utf-8")
    with pytest.raises(UserError) as caught:
        read_parameters(file)
    assert "parameters.toml:1: no group has a number of this name" in str(caught.value)
    assert "do:      write load" in str(caught.value) and "parameters.toml:2" in str(caught.value)

"""Faults as a user reads them."""

from __future__ import annotations

import pickle

import pytest

from coldbench.errors import SHOWN_AT_MOST, Fault, UserError, nearest

FAULT = Fault(
    "found a length, needs a temperature", "campaign.toml:9", "25 mm", "°C", 'write "25 °C"'
)


def test_a_fault_says_where_what_found_allowed_do():
    assert str(FAULT).splitlines() == [
        "campaign.toml:9: found a length, needs a temperature",
        "  found:   25 mm", "  allowed: °C", '  do:      write "25 °C"',
    ]


def test_what_is_not_known_is_left_out():
    assert str(Fault("there is no such folder")) == "there is no such folder"
    assert str(Fault("gone", do="look again")).splitlines() == ["gone", "  do:      look again"]


def test_an_error_takes_one_fault_or_many():
    assert UserError(FAULT).faults == (FAULT,)
    assert UserError(iter([FAULT, FAULT])).faults == (FAULT, FAULT)


def test_a_long_list_is_cut_and_counted():
    text = str(UserError([Fault(f"fault {i}") for i in range(SHOWN_AT_MOST + 4)]))
    assert f"fault {SHOWN_AT_MOST - 1}" in text
    assert f"fault {SHOWN_AT_MOST}" not in text
    assert text.endswith("… and 4 more of the same kind; mend these first.")


def test_a_list_that_just_fits_is_whole():
    assert "more" not in str(UserError([Fault("x")] * SHOWN_AT_MOST))


def test_it_crosses_processes():
    copy = pickle.loads(pickle.dumps(UserError([FAULT, Fault("other")])))
    assert copy.faults == (FAULT, Fault("other"))
    assert str(copy) == str(UserError([FAULT, Fault("other")]))


@pytest.mark.parametrize(("word", "found"), [
    ("ambeint", "ambient"), ("insde", "inside"), ("zzz", ""), ("", ""),
])
def test_nearest(word, found):
    assert nearest(word, ["ambient", "inside"]) == found


def test_nearest_of_nothing():
    assert nearest("ambient", []) == ""

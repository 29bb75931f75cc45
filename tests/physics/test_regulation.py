"""Arithmetic of the label: proportions, mixtures, and its own steps."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coldbench.physics.regulation import (
    KINDS,
    SCOPE,
    Compartment,
    combi_parameter,
    energy_class,
    energy_index,
    standard_energy,
    thermodynamic_parameter,
)

volume = st.floats(5.0, 200.0)


@given(kind=st.sampled_from(sorted(KINDS)), volume=volume)
def test_one_compartment_by_hand(kind, volume):
    data = KINDS[kind]
    by_hand = data.base + volume * (24 - data.target) / 20 * data.slope
    assert standard_energy([Compartment(kind, volume)]) == pytest.approx(by_hand)
    assert standard_energy([Compartment(kind, volume)], doors=1.02) == pytest.approx(1.02 * by_hand)


@given(kind=st.sampled_from(sorted(KINDS)), one=volume, other=volume)
def test_two_like_compartments_are_one(kind, one, other):
    parts = [Compartment(kind, one), Compartment(kind, other)]
    together = standard_energy([Compartment(kind, one + other)])
    assert standard_energy(parts) == pytest.approx(together)


def test_only_fresh_with_deep_frozen_makes_a_combi():
    fresh, chill, deep = (Compartment(kind, 30.0) for kind in ("fresh food", "chill", "4-star"))
    plain = sum(0.5 * standard_energy([Compartment(one.kind, 60.0)]) for one in (fresh, deep))
    assert standard_energy([fresh, deep]) == pytest.approx(plain * float(combi_parameter(0.5)))
    plain = sum(0.5 * standard_energy([Compartment(one.kind, 60.0)]) for one in (chill, deep))
    assert standard_energy([chill, deep]) == pytest.approx(plain)


def test_the_combi_parameter_has_the_rules_own_steps():
    """(EU) 2019/2016, Annex IV, table 4, note 2: 1.561 to 1.562 and 1.151 to 1.15."""
    found = combi_parameter([0.0, 0.3, 0.3 + 1e-12, 0.7 - 1e-12, 0.7, 1.0])
    assert found == pytest.approx([1.3, 1.561, 1.56175, 1.15075, 1.15, 1.15], abs=1e-6)


def test_colder_compartments_are_harder():
    assert thermodynamic_parameter([17.0, 12.0, 4.0, -12.0, -18.0]) == pytest.approx(
        [0.35, 0.60, 1.0, 1.8, 2.1]
    )


@given(annual=st.floats(10.0, 900.0), standard=st.floats(60.0, 300.0), more=st.floats(1.0, 2.0))
def test_more_energy_is_never_a_better_class(annual, standard, more):
    one, other = energy_index(annual, standard), energy_index(annual * more, standard)
    assert energy_class(float(one)) <= energy_class(float(other))


def test_every_figure_has_its_scope():
    assert "outside the European energy label" in SCOPE

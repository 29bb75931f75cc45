"""Arithmetic of the European label against worked cases (``regulation.csv``)."""

from __future__ import annotations

import pytest

from coldbench.physics import regulation as label
from coldbench.physics import regulation_runs as runs


def test_parameters(published):
    values = published("regulation")
    assert label.thermodynamic_parameter(4.0) == pytest.approx(values["fresh"], abs=1e-12)
    assert label.thermodynamic_parameter(-18.0) == pytest.approx(values["deep"], abs=1e-12)
    assert label.combi_parameter(10 / 60) == pytest.approx(values["combi"], abs=0.0005)


@pytest.mark.parametrize(("kind", "target", "base", "slope"), [
    ("pantry", 17, 75, 0.12), ("cellar", 12, 75, 0.12), ("fresh food", 4, 75, 0.12),
    ("chill", 2, 138, 0.12), ("0-star", 0, 138, 0.15), ("1-star", -6, 138, 0.15),
    ("2-star", -12, 138, 0.15), ("3-star", -18, 138, 0.15), ("4-star", -18, 138, 0.15),
])  # fmt: skip
def test_tables_of_the_regulation(kind, target, base, slope):
    """(EU) 2019/2016, Annex IV, tables 3 and 4."""
    assert label.KINDS[kind] == label.Kind(target, base, slope)


def test_energies(published):
    values = published("regulation")
    assert runs.daily_energy(20.0, 100.0, 40.0) == pytest.approx(values["daily"], abs=0.0005)
    assert runs.annual_energy(0.3, 0.7) == pytest.approx(values["annual"], abs=0.005)
    frozen = runs.annual_energy(0.3, 0.7, only_frozen=True)
    assert frozen == pytest.approx(values["annual_frozen"], abs=0.005)
    between = runs.interpolated(4.0, (3.0, 0.620), (5.0, 0.560))
    assert between == pytest.approx(values["at_target"], abs=0.0005)


def test_a_quiet_appliance_has_one_test(published):
    """Annex IV 3(b): the energy at 25 °C stands for both; the mean of 0.3 and 0.7 is 0.5."""
    assert runs.annual_energy(0.5, 0.5) == pytest.approx(published("regulation")["annual"])


@pytest.mark.parametrize(("name", "parts", "within"), [
    ("standard_fresh", [label.Compartment("fresh food", 40.0)], 0.005),
    ("standard_deep", [label.Compartment("4-star", 40.0)], 0.005),
    ("standard_combi",
     [label.Compartment("fresh food", 50.0), label.Compartment("4-star", 10.0)], 0.01),
    ("standard_built", [label.Compartment("2-star", 60.0, defrost=1.10, built_in=1.05)], 0.01),
])  # fmt: skip
def test_standard_energies(name, parts, within, published):
    assert label.standard_energy(parts) == pytest.approx(published("regulation")[name], abs=within)


def test_indices_and_classes(published):
    values = published("regulation")
    assert label.energy_index(182.5, 79.80) == pytest.approx(values["index"], abs=0.05)
    standard = label.standard_energy([label.Compartment("fresh food", 150.0)])
    assert label.energy_index(71.0, standard) == pytest.approx(values["benchmark"], abs=0.1)
    limits = {41.0: "A", 51.0: "B", 64.0: "C", 80.0: "D", 100.0: "E", 125.0: "F"}
    letters = [label.energy_class(limit) for limit in limits]
    assert letters == list(limits.values())
    above = [label.energy_class(limit + 0.1) for limit in limits]
    assert above == [*letters[1:], "G"]


def test_freezing(published):
    values = published("regulation")
    assert runs.light_load(40.0) == pytest.approx(values["load"], abs=1e-12)
    assert runs.freezing_capacity(3.5, 18.5) == pytest.approx(values["capacity"], abs=0.05)
    # The same test as its other definition has it: 4.5 kg in 24 h for each 100 L.
    assert 2 * 12 * 3.5 / 18.5 == pytest.approx(4.5, abs=0.05)

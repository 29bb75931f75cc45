"""Two masses: found again where data carry them, refused where they stand for each other."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from coldbench.analysis.balance import balance
from coldbench.analysis.campaign import analyse_campaign
from coldbench.analysis.context import Context
from coldbench.analysis.masses import fit_masses
from coldbench.physics.two_masses import two_mass_course
from coldbench.sheets import read_campaign

GIVEN = dict(heat_leak=0.5, load_heat=4000.0, structure_heat=9000.0, load_film=1.5,
             structure_film=6.0, load_start=3.0, structure_start=9.0)


def test_the_course_is_that_of_the_equations_stepped_by_a_solver():
    """scipy's Runge-Kutta on the same two equations, ambient swinging."""
    t = np.linspace(0, 36_000, 400)

    def ambient(at):
        return 24 + 2 * np.sin(at / 5000)

    def flows(at, y):
        g = GIVEN
        air = (g["heat_leak"] * ambient(at) + g["load_film"] * y[0] + g["structure_film"] * y[1]
               ) / (g["heat_leak"] + g["load_film"] + g["structure_film"])
        return [g["load_film"] * (air - y[0]) / g["load_heat"],
                g["structure_film"] * (air - y[1]) / g["structure_heat"]]

    wanted = solve_ivp(flows, (0, t[-1]), [3.0, 9.0], t_eval=t, rtol=1e-9, atol=1e-9).y[0]
    found = two_mass_course(t, ambient(t), **GIVEN)[1]
    assert np.abs(found - wanted).max() < 2e-3  # ambient is taken as its mean over 90 s


def warm_up(made, noise, seconds=60, hours=12.0, seed=4, **given):
    at = made.every(seconds, hours)
    t = at * 3600
    ambient = 24 + 0.6 * np.sin(t / 9000)
    air, load = two_mass_course(t, ambient, **{**GIVEN, **given})
    rng = np.random.default_rng(seed)
    traces = [made.trace(role, at, y + noise * rng.standard_normal(len(at)), error=0.1)
              for role, y in (("air", air), ("load", load), ("ambient", ambient))]
    water = given.get("load_heat", GIVEN["load_heat"]) / 4190
    of = made.context(made.record(*traces), kind=["warm-up"], load=[
        {"count": 1, "water": f"{water:.5f} kg ± 0.001 kg"}])
    sheet = next(iter(of.campaign.coolers.values()))
    told = type(sheet).model_validate({
        "name": "made", "technology": "compressor", "origin": "lent",
        "inside": {"volume": "30 L"}, "liner": {"material": "polypropylene", "mass": "2 kg"}})
    of.campaign.coolers[of.record.cooler] = told
    return of


def test_masses_far_apart_are_found_again(made):
    """A box of two masses and nothing else, its structure still far from the load at first."""
    of = warm_up(made, noise=0.003, structure_start=18.0, structure_film=1.0)
    span = balance(of, of.record.zero, of.record.end)
    fit = fit_masses(of, span)
    assert fit.heat_leak[1] == pytest.approx(0.5, rel=0.03)
    assert fit.structure[1] == pytest.approx(9000, rel=0.06)
    assert fit.residual < 0.004


def test_a_good_fit_of_what_cannot_be_told_apart_gives_nothing(clone):
    """Foam boxes of the bench: residuals of the noise's size, and a heat leak that is off."""
    result = analyse_campaign(read_campaign(clone / "templates" / "campaign-demo"))
    run = result.results["ice-box-ten"]
    fit = fit_masses(Context(run.record, result.campaign), run.balance)
    assert fit.residual < 0.05 and not fit.told_apart
    assert "stand for each other" in fit.text and "nothing is taken" in fit.text


def test_no_fit_without_air_load_and_ambient(made):
    of = warm_up(made, noise=0.01)
    assert fit_masses(of, None) is None
    traces = [t for role, t in of.record.traces.items() if role != "air"]
    bare = made.context(made.record(*traces), kind=["warm-up"])
    assert fit_masses(bare, None) is None


def test_intervals_hold_what_was_put_in(made):
    """Of 40 records 38 at 95 %; 33 or fewer would be a chance of one in four hundred."""
    held = 0
    for seed in range(40):
        of = warm_up(made, noise=0.02, structure_start=18.0, structure_film=1.0, seed=seed)
        fit = fit_masses(of, balance(of, of.record.zero, of.record.end))
        held += fit.heat_leak[0] < 0.5 < fit.heat_leak[2]
    assert held >= 34

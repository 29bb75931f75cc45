"""A load and a structure that warm up together, the air passing the heat between them."""

from __future__ import annotations

import numpy as np


def two_mass_course(
    t: np.ndarray, ambient: np.ndarray, heat_leak: float, load_heat: float, structure_heat: float,
    load_film: float, structure_film: float, load_start: float, structure_start: float,
) -> np.ndarray:
    """Temperatures of air and load over time.

    Parameters
    ----------
    t : ndarray, shape (n,)
        Even instants. [s]
    ambient : ndarray, shape (n,)
        [°C]
    heat_leak, load_film, structure_film : float
        From ambient to air, from air to load and to structure. [W/K]
    load_heat, structure_heat : float
        [J/K]
    load_start, structure_start : float
        At the first instant. [°C]

    Returns
    -------
    ndarray, shape (2, n)
        Air, load. [°C]

    Notes
    -----
    Air has no mass: it lies where its flows balance. The two equations are solved in their own
    modes, exactly for an ambient that keeps its mean over each step.

    References
    ----------
    .. [1] Lumped masses, any textbook of heat transfer; linear equations with constant
       coefficients.

    Examples
    --------
    >>> t = np.linspace(0.0, 7200.0, 3)
    >>> two_mass_course(t, np.full(3, 20.0), 0.5, 4000.0, 1e-6, 1e9, 1.0, 0.0, 0.0).round(2)[1]
    array([ 0.  ,  7.25, 11.87])
    """
    flows = np.array([load_film, structure_film])
    heats = np.array([load_heat, structure_heat])
    whole = heat_leak + flows.sum()
    matrix = (np.outer(flows, flows) / whole - np.diag(flows)) / heats[:, None]
    drive = flows * heat_leak / whole / heats
    rates, modes = np.linalg.eig(matrix)
    step = float(t[1] - t[0])
    keeps = np.exp(rates * step)
    into = np.linalg.solve(modes, drive) * np.expm1(rates * step) / rates
    mean = (ambient[1:] + ambient[:-1]) / 2
    begins = np.linalg.solve(modes, np.array([load_start, structure_start]))
    after = np.arange(len(t))
    course = np.empty((2, len(t)))
    for mode in range(2):
        powers = keeps[mode] ** after
        fed = np.convolve(powers[:-1], mean)[: len(t) - 1] * into[mode]
        course[mode] = powers * begins[mode] + np.r_[0.0, fed]
    load, structure = modes @ course
    air = (heat_leak * ambient + load_film * load + structure_film * structure) / whole
    return np.stack([air, load])

"""A passive box at the footing: the ice it needs a day, and the energy that ice takes to make."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from coldbench import draws
from coldbench.analysis.limits import LIMITS
from coldbench.compare.leaks import leak_of
from coldbench.findings import Finding, measured
from coldbench.physics.water import CP_WATER, LATENT_HEAT

DAY = 86400.0


def ice(rows: Sequence[Finding], cooler: str, inside: float, ambient: float) -> list[Finding]:
    """Ice and its energy, from the heat leak.

    Parameters
    ----------
    rows : sequence of Finding
        Of the campaign.
    cooler : str
        Id of the passive box.
    inside, ambient : float
        Of the footing. [°C]

    Returns
    -------
    list of Finding
        ``daily_energy_footing``, not applicable; ``ice_needed`` [kg/d]; ``ice_energy`` [Wh/d].

    Notes
    -----
    The ice comes in at 0 °C and its water leaves as warm as the inside. Its energy is heat to
    freeze water of ambient temperature over the COP of an ice maker, which is assumed.

    References
    ----------
    .. [1] First law; the COP of an ice maker is this kit's own, from memory.
    """
    row = Finding(
        cooler=cooler, finding="ice_needed", unit="kg/d", basis="modelled",
        conditions={"ambient": ambient, "inside": inside},
    )
    never = replace(row, finding="daily_energy_footing", unit="Wh/d", basis="not applicable",
                    note="draws nothing", conditions={})
    energy = replace(row, finding="ice_energy", unit="Wh/d")
    if inside <= LIMITS.ice_holds:
        told = replace(row, basis="not reached", note=f"ice cannot hold {inside:g} °C")
        return [never, told, replace(energy, basis="not reached", note=told.note)]
    leak = leak_of(rows, cooler)
    if leak is None:
        needs = "needs a heat leak: an ice-melt, warm-up or heater run"
        return [never, replace(row, basis="not measured", note=needs),
                replace(energy, basis="not measured", note=needs)]
    value, true = leak.at_temperatures(inside, ambient)
    each = LATENT_HEAT + CP_WATER * inside
    kilograms = (ambient - inside) * DAY / each
    made = (LATENT_HEAT + CP_WATER * ambient) / 3600
    runs = leak.finding.runs
    row = replace(row, runs=runs, note=(f"from {leak.finding.at}; ice at 0 °C, its water stays and "
                                        "warms to the inside, nothing put in warm"))
    energy = replace(energy, runs=runs, note=(
        f"an ice maker of COP {LIMITS.ice_maker:g} ± {LIMITS.ice_maker_doubt:g} assumed, water "
        f"from {ambient:g} °C"))
    if true is None:
        return [never, replace(row, value=value * kilograms, note=f"{row.note}; error not stated"),
                replace(energy, value=value * kilograms * made / LIMITS.ice_maker)]
    cop = LIMITS.ice_maker + draws.uniform("ice maker COP", LIMITS.ice_maker_doubt)
    return [
        never, replace(row, **measured(true * kilograms, value * kilograms)),
        replace(energy, **measured(true * kilograms * made / cop,
                                   value * kilograms * made / LIMITS.ice_maker)),
    ]

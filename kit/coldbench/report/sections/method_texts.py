"""How each finding is computed, in a sentence or two."""

from __future__ import annotations

METHODS: dict[str, str] = {
    "coldest_air": "Time-weighted mean of the air probe over the steady window of a run at the "
                   "coldest setting. From other runs only a bound.",
    "below_ambient": "Mean ambient − mean air, same window.",
    "pull_down_time": "From time zero to the first instant at which the centred 10 min mean is "
                      "at or below the target, on a straight line between its points. A crossing "
                      "inside a gap is bounded by the gap's ends.",
    "pull_down_energy": "Energy from time zero to that instant, from native samples; power holds "
                        "until the next sample, or is the mean of its interval, as declared.",
    "load_heat": "Q = m·c·(start − target) for water, below 0 °C with the ice formed, and the "
                 "same for the containers.",
    "load_heat_ratio": "Heat taken from the load / electrical energy. Heat that leaked in is "
                       "not counted, so this is not a COP.",
    "hours_above_limit": "Time the warmest load place spends above the food limit after it first "
                         "came below.",
    "daily_energy": "Mean power of the steady window × 24 h.",
    "daily_energy_footing": "What is drawn above idle, moved to the footing by the first that "
                            "serves: heat leak × difference over running capacity gives the duty "
                            "(running capacity and power on a line between two ambients at least "
                            "6 K apart); two measured ambients; a power law on (ambient − inside), "
                            "exponent 1.5 with a standard uncertainty of 0.25.",
    "daily_energy_per_litre": "Daily energy at the footing / usable (else inside) litres.",
    "ice_needed": "Heat leak × (ambient − inside) of the footing × 24 h / (heat of melting + "
                  "4.19 kJ/(kg·K) × inside).",
    "ice_energy": "Ice × heat to freeze water of ambient temperature / COP of an ice maker.",
    "mean_power": "Energy of the steady window's whole cycles / their duration.",
    "running_power": "Median while running, the first 60 s of each spell left out.",
    "idle_power": "Median while idle.",
    "duty": "Running time / whole-cycle time. Two levels are parted by the threshold with the "
            "largest variance between them (Otsu 1979).",
    "cycle_time": "Mean from start to start.",
    "air_swing": "Mean over cycles of (warmest − coldest) air.",
    "freeze_start": "From the load's time zero to the jump that ends supercooling, else to the "
                    "plateau's first sample.",
    "plateau_time": "To the instant at which the centre leaves the plateau by 0.5 K downwards.",
    "freeze_time": "Start + plateau.",
    "freeze_energy": "Energy over the freezing time.",
    "ice_fraction": "1 − water poured off / all water; or by heat balance: running capacity (on a "
                    "line over the inside) × running time − leak − what structure and water gave "
                    "up, over the heat of freezing.",
    "freeze_energy_per_kg": "Energy over the freezing time / all water put in; a bound where some "
                            "of it was poured off unfrozen.",
    "freeze_time_predicted": "Plank: L/(T_f − T_a)·(P d/h + R d²/k); Pham: precooling and freezing "
                             "with mean driving differences, times 1 + Bi/2; films of air assumed "
                             "(ASHRAE Handbook-Refrigeration).",
    "freezing_capacity_eu": "12 h × load / time from +25 to −18 °C, (EU) 2019/2016; informative.",
    "freezing_capacity": "24 h × mass / freezing time; both temperatures are in its name. A bound "
                         "where some of the mass was poured off unfrozen.",
    "hold_time": "Time without power in which the load (else the air) warms from the first "
                 "temperature of a pair to the second, on centred 10 min means. Modelled: heat "
                 "capacity of load and structure over heat leak × ln of the differences to the "
                 "footing's ambient, one load for all coolers.",
    "heat_leak": "Heat that came in / ∫(ambient − inside air) dt. Heater: its power less what is "
                 "still stored. Warm-up: heat regained by load and structure from 2 h after "
                 "switch-off. Ice melt: melted mass × heat of melting. Two loads: two warm-ups "
                 "solved together.",
    "cooling_capacity": "Heat that came in through the walls, heat leak × (ambient − inside), plus "
                        "what load, air and structure gave up, over whole cycles. Net of the heat "
                        "of a fan inside.",
    "running_capacity": "Cooling capacity / duty.",
    "cop": "Cooling capacity / mean power of the same whole cycles, all that the cooler draws.",
    "carnot_cop": "T_in / (T_amb − T_in), both in kelvin, means of the same window.",
    "carnot_fraction": "COP / ideal COP.",
    "hot_side_resistance": "(hot side − ambient at the intake) / (cooling capacity + module "
                           "power); module power is all power less the sheet's auxiliary.",
    "heat_leak_geometry": "Walls, 0.54 × the length of each edge, 0.15 × the thickness at each "
                          "corner, times the foam's conductivity, in series with films of air.",
    "structure_heat": "From two warm-ups with unlike loads, solved together with the heat leak.",
    "daily_charge": "Daily energy at the footing / mean volts of the steady window, else nominal "
                    "volts.",
    "battery_needed": "Daily energy at the footing × days / (depth of discharge × efficiency).",
    "panel_needed": "Daily energy at the footing / (sun hours × performance ratio).",
    "volume_ratio": "Usable (else inside) volume / outside volume.",
    "price_per_litre": "Price / usable (else inside) volume.",
    "running_cost": "Days a year × (energy of the pull-down to the footing's inside, where days "
                    "start warm, + mean power at the footing × the hours left) × tariff. The "
                    "pull-down is the load's where every cooler has one, else the air's. Passive "
                    "box: ice for the same hours and for the heat of the load × its price.",
    "supply_cost": "Battery needed × its price, and panel needed × its price.",
    "life_cost": "What is paid at first + the present value of equal sums at the end of each "
                 "year: running cost × (1 − (1 + rate)^−years) / rate; batteries bought anew and "
                 "resale likewise, where stated; its interval holds the "
                 "assumed spread from run to run. Payback, undiscounted: what was paid more / what "
                 "is saved a year.",
}

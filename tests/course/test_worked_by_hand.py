"""Each card worked as a student would, from the files alone and without the kit's analyses.

Plain means, least squares and a property library in; every answer has to come out right: the
bands are wide enough for honest work by hand.
"""

from __future__ import annotations

import csv
import random
import statistics as st
import tomllib
from datetime import datetime
from pathlib import Path

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from coldbench.course.key import CARRIED, RIGHT, marked
from coldbench.course.work import open_card

ZERO = 273.15


@pytest.fixture(scope="module")
def lab(clone) -> Path:
    return clone / "templates" / "campaign-lab"


def log(lab: Path, run: str) -> dict[str, np.ndarray]:
    """Columns of a log; hours since the start that stands in the run's sheet."""
    sheet = tomllib.loads((lab / "runs" / f"{run}.toml").read_text(encoding="utf-8"))
    text = (lab / "logs" / f"{run}.csv").read_text(encoding="utf-8")
    rows = list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))
    times = [datetime.fromisoformat(row["time"]) for row in rows]
    hours = np.array([(t - sheet["start"]).total_seconds() / 3600 for t in times])
    columns = {name: np.array([float(row[name]) for row in rows])
               for name in rows[0] if name != "time"}
    return {"hours": hours, **columns}


def typed(lab: Path, run: str) -> dict[str, list[float]]:
    """Readings of a run sheet by role, without their units."""
    sheet = tomllib.loads((lab / "runs" / f"{run}.toml").read_text(encoding="utf-8"))
    found: dict[str, list[float]] = {}
    for row in sheet["reading"]:
        for role, value in row.items():
            if role not in ("at", "instrument", "metered_at"):
                found.setdefault(role, []).append(float(value.split(" ")[0]))
    return found


def all_right(card: str, answers: dict[str, str], folder: Path) -> None:
    path = folder / "answers.toml"
    lines = [f"[{card}]", *(f'{name} = "{text}"' for name, text in answers.items())]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    results = marked(open_card(card, "lab", answers=str(path)))
    wrong = {one.asked.name: (one.answer.text, one.verdict, one.band) for one in results
             if one.verdict not in (RIGHT, CARRIED)}
    assert wrong == {}
    assert len(results) == len(answers)


def steady(lab: Path) -> dict[str, float]:
    """Means over the stretch that the data sheet shows, and power while running."""
    work = open_card("carnot_gap", "lab")
    (a, b), = work.card.windows(work).values()
    read = log(lab, "cold")
    used = (read["hours"] >= a) & (read["hours"] <= b)
    power = read["power_W"][used]
    return {"inside": read["air_C"][used].mean(), "ambient": read["ambient_C"][used].mean(),
            "power": power.mean(), "running": np.median(power[power > 30])}


def heat_leak(lab: Path) -> float:
    """9.0 W of the sheet over the difference of the last two hours."""
    read = log(lab, "heater")
    late = read["hours"] > read["hours"][-1] - 2
    return 9.0 / (read["air_C"][late].mean() - read["ambient_C"][late].mean())


def test_cycle_on_ph(lab, tmp_path):
    read = {role: st.mean(values) for role, values in typed(lab, "readings-circuit").items()}
    low, high = read["pressure_low"] + 101.3, read["pressure_high"] + 101.3
    fluid = "R134a"

    def h(p: float, t: float) -> float:
        return (PropsSI("H", "P", 1e3 * p, "T", t + ZERO, fluid)
                - PropsSI("H", "T", ZERO, "Q", 0, fluid)) / 1e3 + 200

    h1, h2, h3 = h(low, read["suction"]), h(high, read["discharge"]), h(high, read["liquid"])
    entropy = PropsSI("S", "P", 1e3 * low, "T", read["suction"] + ZERO, fluid)
    h2s = h(high, PropsSI("T", "P", 1e3 * high, "S", entropy, fluid) - ZERO)
    boils, condenses = (PropsSI("T", "P", 1e3 * p, "Q", 0, fluid) - ZERO for p in (low, high))
    flow = read["power"] / (h2 - h1)
    all_right("cycle_on_ph", {
        "pressure_low": f"{low:.0f} kPa", "pressure_high": f"{high / 100:.2f} bar",
        "superheat": f"{read['suction'] - boils:.1f} K",
        "subcooling": f"{condenses - read['liquid']:.1f} K",
        "enthalpy_suction": f"{h1:.0f} kJ/kg", "enthalpy_discharge": f"{h2:.0f} kJ/kg",
        "enthalpy_liquid": f"{h3:.0f} kJ/kg", "enthalpy_isentropic": f"{h2s:.0f} kJ/kg",
        "cooling_heat": f"{h1 - h3:.0f} kJ/kg", "compression_work": f"{h2 - h1:.0f} kJ/kg",
        "rejected_heat": f"{h2 - h3:.0f} kJ/kg", "cycle_cop": f"{(h1 - h3) / (h2 - h1):.2f}",
        "isentropic_efficiency": f"{(h2s - h1) / (h2 - h1):.2f}", "mass_flow": f"{flow:.2f} g/s",
        "cooling_at_most": f"{flow * (h1 - h3):.0f} W",
    }, tmp_path)


def test_thermoelectric_module(lab, tmp_path):
    read = {role: np.array(values) for role, values in typed(lab, "readings-module").items()}
    amps, volts, cold = read["current"], read["voltage"], read["cold_side"] + ZERO
    hot = read["hot_side"] + ZERO
    (alpha, ohm), *_ = np.linalg.lstsq(np.column_stack([hot - cold, amps]), volts)
    heat = alpha * amps * cold - amps**2 * ohm / 2
    # No heater reading stands at zero current: the others follow in order.
    k = np.mean((heat[1:] - read["heater"]) / (hot - cold)[1:])
    i, c, w = amps[-1], cold[-1], hot[-1]
    cooling, power = heat[-1] - k * (w - c), (alpha * (w - c) + i * ohm) * i
    zt = alpha**2 / (ohm * k) * (c + w) / 2
    m = np.sqrt(1 + zt)
    all_right("thermoelectric_module", {
        "seebeck": f"{1e3 * alpha:.1f} mV/K", "resistance": f"{ohm:.2f} Ω",
        "conductance": f"{k:.3f} W/K", "merit": f"{zt:.3f}", "cooling": f"{cooling:.2f} W",
        "module_power": f"{power:.1f} W", "heat_rejected": f"{cooling + power:.1f} W",
        "module_cop": f"{cooling / power:.3f}", "current_most_heat": f"{alpha * c / ohm:.2f} A",
        "current_best_cop": f"{alpha * (w - c) / (ohm * (m - 1)):.2f} A",
        "best_cop": f"{c / (w - c) * (m - w / c) / (m + 1):.3f}",
    }, tmp_path)


def test_carnot_gap(lab, tmp_path):
    means, leak = steady(lab), heat_leak(lab)
    inside, ambient = means["inside"], means["ambient"]
    capacity = leak * (ambient - inside)
    cop, ideal = capacity / means["power"], (inside + ZERO) / (ambient - inside)
    read = {role: st.mean(values) for role, values in typed(lab, "readings-circuit").items()}
    cold, hot = (PropsSI("T", "P", 1e3 * (read[role] + 101.3), "Q", 0, "R134a") - ZERO
                 for role in ("pressure_low", "pressure_high"))
    inner = (cold + ZERO) / (hot - cold)
    all_right("carnot_gap", {
        "heat_leak": f"{leak:.3f} W/K", "mean_capacity": f"{capacity:.2f} W",
        "mean_power": f"{means['power']:.2f} W",
        "heat_rejected": f"{capacity + means['power']:.1f} W", "net_cop": f"{cop:.3f}",
        "carnot_reservoirs": f"{ideal:.1f}", "fraction_reservoirs": f"{cop / ideal:.4f}",
        "cold_temperature": f"{cold:.1f} °C", "hot_temperature": f"{hot:.1f} °C",
        "carnot_refrigerant": f"{inner:.2f}", "fraction_refrigerant": f"{cop / inner:.3f}",
    }, tmp_path)


def test_freezing(lab, tmp_path):
    """0.5 L in a bottle of 24 g, the heats of a textbook: 4.19, 334 and 2.1 kJ."""
    read = log(lab, "freeze")
    hours, load, power = read["hours"], read["load_C"], read["power_W"]
    level = st.median(load[np.abs(load) < 1])
    jump = int(np.argmax(np.diff(load)))  # the only rise of this run
    last = int(np.flatnonzero((hours > hours[jump]) & (load < level - 0.5))[0])
    sheet = tomllib.loads((lab / "runs" / "freeze.toml").read_text(encoding="utf-8"))
    water = float(sheet["load"][0]["water"].split(" ")[0]) / 1000
    above = (water * 4.19 + 0.024 * 1.2) * load[hours >= 0][0]
    latent, below = water * 334, (water * 2.1 + 0.024 * 1.2) * -load[-1]
    plateau = hours[last] - hours[jump]
    energy = power[(hours >= 0) & (hours <= hours[last])].mean() * hours[last]
    all_right("freezing", {
        "plateau_level": f"{level:.1f} °C",
        "supercooling": f"{level - load[:jump + 1].min():.1f} K",
        "freeze_start": f"{60 * hours[jump]:.0f} min", "plateau_time": f"{plateau:.1f} h",
        "heat_above": f"{above:.1f} kJ", "heat_latent": f"{latent:.0f} kJ",
        "heat_below": f"{below:.1f} kJ", "heat_total": f"{above + latent + below:.0f} kJ",
        "plateau_power": f"{latent / plateau / 3.6:.2f} W", "energy_used": f"{energy:.0f} Wh",
        "heat_ratio": f"{(above + latent) / 3.6 / energy:.4f}",
    }, tmp_path)


def test_uncertainty(lab, tmp_path):
    means = steady(lab)
    power, apart = means["power"], means["ambient"] - means["inside"]
    limits = [0.01 * power + 0.2, 0.3, 0.3]
    u = [limit / 3**0.5 for limit in limits]
    ratio = power / apart
    parts = [u[0] / apart, u[1] * ratio / apart, u[2] * ratio / apart]
    combined = sum(part**2 for part in parts) ** 0.5
    chance = random.Random(5)
    drawn = sorted((power + chance.uniform(-limits[0], limits[0]))
                   / (apart + chance.uniform(-0.3, 0.3) + chance.uniform(-0.3, 0.3))
                   for _ in range(2000))
    all_right("uncertainty", {
        "power": f"{power:.2f} W", "difference": f"{apart:.2f} K",
        "power_per_kelvin": f"{ratio:.3f} W/K", "u_power": f"{u[0]:.3f} W",
        "u_inside": f"{u[1]:.3f} K", "u_ambient": f"{u[2]:.3f} K",
        **{name: f"{part:.5f} W/K" for name, part in
           zip(("part_power", "part_inside", "part_ambient"), parts, strict=True)},
        "combined": f"{combined:.5f} W/K", "expanded": f"{2 * combined:.4f} W/K",
        "largest_share": f"{100 * max(parts) ** 2 / combined**2:.0f} %",
        "simulated": f"{(drawn[1950] - drawn[50]) / 2:.4f} W/K",
    }, tmp_path)


def test_design_sums(lab, tmp_path):
    """Foam of 0.026 W/(m K); a metre of 2.5 mm² has 7.98 mΩ (IEC 60228:2004, class 5)."""
    means, leak = steady(lab), heat_leak(lab)
    box = tomllib.loads((lab / "coolers" / "box.toml").read_text(encoding="utf-8"))["inside"]
    a, b, c = (float(box[side].split(" ")[0]) / 1000 for side in ("width", "depth", "height"))
    area, edges = 2 * (a * b + b * c + a * c), 4 * (a + b + c)

    def through(d: float) -> float:
        return 0.026 * (area / d + 0.54 * edges + 8 * 0.15 * d)

    plain = 0.026 * area / (leak / 2)
    tried = next(mm for mm in range(10, 400) if through(mm / 1000) < leak / 2)
    daily, current = 24 * means["power"], means["running"] / 12
    lost = 2 * 4 * 7.98e-3 * current
    all_right("design_sums", {
        "heat_leak": f"{leak:.3f} W/K", "heat_flow": f"{leak * 21:.2f} W",
        "daily_heat": f"{24 * leak * 21:.0f} Wh", "foam_plain": f"{1000 * plain:.0f} mm",
        "leak_back": f"{through(plain):.3f} W/K", "foam_thickness": f"{tried} mm",
        "daily_energy": f"{daily:.0f} Wh", "battery": f"{daily * 2 / (0.8 * 0.95):.0f} Wh",
        "panel": f"{daily / (3.5 * 0.7):.0f} W", "cable_current": f"{current:.2f} A",
        "cable_drop": f"{lost:.3f} V", "cable_share": f"{100 * lost / 12:.2f} %",
    }, tmp_path)

"""What the sheets of the demo campaign say. All of it is invented."""

from __future__ import annotations

import datetime as dt
from typing import Any

from coldbench.bench.instruments import Meter
from coldbench.bench.sheet_text import Inline

CAMPAIGN: dict[str, Any] = {
    "#1": "Invented data. No such stall, no such coolers: a simulator made every log here.",
    "#2": "Copy the folder, put your own sheets and logs in, and run the report again.",
    "title": "Four cool boxes for a weekly cheese stall (invented data)",
    "question": "Which cool box keeps soft cheese cold from loading at six to packing up at two?",
    "author": "Invented: the bench simulator of this kit",
    "date": dt.date(2031, 6, 30),
    "timezone": "Europe/Paris",
    "order": ["chest", "small-te", "self-built", "ice-box"],
    "footing": {
        "#": "On this footing the coolers are compared.",
        "ambient": "25 °C",
        "inside": "4 °C",
        "start": "25 °C",
    },
    "targets": {
        "temperatures": ["10 °C", "4 °C", "0 °C", "-18 °C"],
        "food_limit": "5 °C",
        "hold": [["4 °C", "8 °C"], ["-18 °C", "-9 °C"]],
    },
    "use": {
        "#": "One market day a week; the box is switched on warm in the morning.",
        "days_per_year": 52,
        "hours_per_day": "8 h",
        "start": "warm",
    },
    "space": {
        "#": "The hold of the stall's trike, open on top.",
        "width": "620 mm",
        "depth": "420 mm",
        "height": "480 mm",
        "open": ["top"],
        "clearance": Inline(sides="20 mm", back="50 mm", front="0 mm", top="10 mm"),
    },
    "supply": {
        "volts": "12 V",
        "days": 1,
        "depth_of_discharge": "80 %",
        "battery_efficiency": "95 %",
        "#sun": "The market place, from the roof of the trike.",
        "sun_hours": "3.5 h",
        "performance_ratio": "70 %",
        "latitude": "45°",
        "longitude": "5°",
        "clearness": "45 %",
        "ambient_summer": "24 °C",
        "ambient_winter": "6 °C",
        "cable_length": "4 m",
        "cable_area": "2.5 mm²",
    },
    "money": {
        "currency": "EUR",
        "tariff": "0.32 EUR/kWh",
        "years": 8,
        "discount_rate": "3 %",
        "battery_price": "0.35 EUR/Wh",
        "panel_price": "0.9 EUR/W",
        "ice_price": "0.5 EUR/kg",
    },
    "musts": {
        "coldest_at_most": "5 °C",
        "daily_energy_at_most": "600 Wh",
        "price_at_most": "300 EUR",
        "sound_at_most": "45 dB",
        "usable_at_least": "10 L",
        "fits_space": True,
    },
    "disclosure": {
        "invented": "Invented data: a simulator made every log; no such coolers exist.",
        "paid_by": "nobody: the data are invented",
        "sample": "none: the coolers exist only in the simulator",
    },
}

METERS = (
    Meter(
        "probes", "temperature", kind="digital sensors on thin leads", error="0.3 K",
        offset=0.3, noise=0.03, resolution=0.05, checked="2031-06-01",
    ),
    Meter(
        "dc-meter", "power", kind="shunt meter in the 12 V lead, mean of each minute",
        error="1 % + 0.2 W", offset=0.2, gain=0.01, noise=0.03, resolution=0.05,
        checked="2031-06-01",
    ),
    Meter(
        "counter", "power", kind="energy counter in the 12 V lead, read by eye", error="2 %",
        gain=0.02, resolution=0.1, counter_step=10.0,
    ),
    Meter("ear", "sound", kind="hand-held meter, class 2, slow", error="2 dB", resolution=0.1,
          checked="2031-06-01"),
)  # fmt: skip

COOLERS: dict[str, dict[str, Any]] = {
    "chest": {
        "#": "Invented. A small compressor chest as one buys it.",
        "name": "Compressor chest",
        "technology": "compressor",
        "origin": "bought",
        "supply": "12 V",
        "mass": "11.5 kg",
        "lid": "top",
        "lid_height": "330 mm",
        "upright_only": True,
        "price": Inline(paid="259 EUR", list="289 EUR"),
        "#in": "Usable: filled with water from a jug up to the rim of the lid.",
        "outside": Inline(width="570 mm", depth="330 mm", height="395 mm"),
        "inside": Inline(width="330 mm", depth="240 mm", height="280 mm", usable="17.5 L ± 0.4 L"),
        "insulation": Inline(material="PU", thickness="35 mm"),
        "liner": Inline(material="polypropylene", mass="0.9 kg"),
        "claims": Inline(
            coldest="-20 °C", power="45 W", volume="22 L", daily_energy="250 Wh"
        ),
        "refrigerant": Inline(name="R600a", charge="28 g"),
    },
    "small-te": {
        "#": "Invented. A thermoelectric box from the camping shelf.",
        "name": "Small thermoelectric box",
        "technology": "thermoelectric",
        "origin": "bought",
        "supply": "12 V",
        "mass": "3.6 kg",
        "lid": "top",
        "lid_height": "300 mm",
        "price": Inline(paid="79 EUR"),
        "outside": Inline(width="400 mm", depth="290 mm", height="410 mm"),
        "inside": Inline(width="250 mm", depth="190 mm", height="255 mm", usable="11.2 L ± 0.3 L"),
        "insulation": Inline(material="EPS", thickness="22 mm"),
        "liner": Inline(material="polypropylene", mass="0.6 kg"),
        "claims": Inline(coldest="5 °C", power="48 W", volume="14 L"),
        "modules": Inline(count=1, series=1, i_max="5.6 A", v_max="15.2 V", dt_max="67 K",
                          t_hot="27 °C"),
    },
    "self-built": {
        "#": "Invented. Foam board, four modules in two strings, a liquid loop on their hot sides.",
        "name": "Self-built, liquid-cooled",
        "technology": "thermoelectric",
        "origin": "built",
        "supply": "12 V",
        "mass": "9.8 kg",
        "lid": "top",
        "lid_height": "360 mm",
        "#aux": "Pump and fans, measured with the modules unplugged.",
        "auxiliary": "13 W",
        "price": Inline(paid="238 EUR"),
        "#out": "With the radiator at the back.",
        "outside": Inline(width="520 mm", depth="385 mm", height="430 mm"),
        "inside": Inline(width="300 mm", depth="230 mm", height="235 mm", usable="15.1 L ± 0.4 L"),
        "insulation": Inline(material="XPS", thickness="50 mm"),
        "liner": Inline(material="polypropylene", mass="0.7 kg"),
        "modules": Inline(count=4, series=2, i_max="6.4 A", v_max="16.4 V", dt_max="68 K",
                          t_hot="27 °C"),
    },
    "ice-box": {
        "#": "Invented. The box the stall has used so far.",
        "name": "Passive ice box",
        "technology": "passive",
        "origin": "bought",
        "mass": "2.4 kg",
        "lid": "top",
        "lid_height": "320 mm",
        "price": Inline(paid="42 EUR"),
        "outside": Inline(width="410 mm", depth="300 mm", height="360 mm"),
        "inside": Inline(width="320 mm", depth="210 mm", height="270 mm", usable="17.2 L ± 0.4 L"),
        "insulation": Inline(material="EPS", thickness="30 mm"),
        "liner": Inline(material="polyethylene", mass="0.66 kg"),
    },
}  # fmt: skip

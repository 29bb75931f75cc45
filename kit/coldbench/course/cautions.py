"""What students read and sign before a lab: the usual cautions, by what is at hand.

Common practice, no source. The rules of the house and of the place, and whoever is licensed under
them, have the last word.
"""

from __future__ import annotations

GENERAL = (
    "I have read the set-up and know where to switch everything off.",
    "Nobody works alone. What looks, smells or sounds wrong is switched off and told to staff.",
    "Nothing from the test boxes is eaten or drunk. A temperature measured here says nothing of "
    "the safety of food or medicine.",
)
CIRCUIT = (
    "The refrigerant circuit stays closed: no valve, cap or pipe is opened, pierced, bent or "
    "heated. Pressures are read and gauges handled by staff only; without gauges, pressures are "
    "inferred from surface temperatures. Refrigerants such as R600a and R290 burn: with a smell, "
    "a hiss or a dent, no switch is touched, the room is aired and left, and staff are called."
)
MAINS = (
    "Mains stays inside its housings: meters go in the plug, nothing is opened. Water is kept "
    "away from sockets."
)
HOT = (
    "Sinks, discharge pipes and modules burn fingers, and a module without its sink destroys "
    "itself in seconds: current on only with sink and fan running."
)
BATTERY = (
    "Batteries give very large currents: staff connect them, through the protection that the "
    "maker and local rules ask for. No lithium battery is charged below 0 °C, opened, or left "
    "alone while charging."
)
ICE = (
    "Ice below −20 °C and cold metal stick to skin: gloves. Full closed bottles burst when they "
    "freeze: leave room for a tenth more. Dry ice is not used."
)

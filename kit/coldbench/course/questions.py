"""The bank of questions: one for each group and card, told by its seed, answered in words."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from coldbench.course.card import Card

# Our own wording of what handouts ask; common practice, no source.
BANK: dict[str, str] = {
    "customer": "Two figures of yours could be printed on a leaflet: the load's heat for each unit "
                "of electrical energy, and the net COP. Which would you print, and what would the "
                "other one lead a buyer to believe?",
    "missing heat": "Add up what your balance knows of. Which flow of heat is not in it, which way "
                    "does it go, and how would you bring it into the measurement?",
    "luck": "Two ways to one number came out close together. How would you tell whether that is "
            "good work or luck? Say what you would repeat, and how often.",
    "ambient": "The room warms up by 8 K. Which of your numbers change, which way, and which stay "
               "as they are? Give the reason for one of each.",
    "empty box": "Somebody measured the same box empty. What does that run tell you about yours, "
                 "and what does it not?",
    "two ways": "Heat leak by warming up and by heater seldom agree to the last digit. Name two "
                "reasons that have nothing to do with bad readings.",
    "bottle alone": "Take the bottle for the inside air and the heat leak comes out low. Explain "
                    "with a sketch of the three temperatures why it cannot come out high.",
    "fixed ambient": "What would have happened to your heat leak had you written down the ambient "
                     "once at the start and never looked again?",
    "largest": "Which input has the largest part in your uncertainty? How would you halve it, and "
               "what would that cost?",
    "steady": "How did you decide that the box had settled? Show what one hour less of waiting "
              "would have done to your result.",
    "same offset": "Suppose that the inside probe reads 0.5 K high all the time. Work out what it "
                   "does to the heat leak by heater, and what to a cooling run of the same box.",
    "wall": "Foam conducts more when it is warmer. Your wall was not at the temperature at which "
            "the box is used: which way do you have to move your result, and roughly how far?",
    "log step": "What would a log with one reading in fifteen minutes have hidden from you?",
    "counter": "The plug meter counts in steps. How long would you have to run so that a step is "
               "less than one percent of what you counted?",
    "snapshot": "Somebody reads the power once, while it runs, and multiplies by a day. For which "
                "kind of cooler is that right, and how wrong was it for yours?",
    "battery": "Your cooler is to run from a battery for two days. Which of your numbers do you "
               "need, which must you not use, and why?",
    "standby": "What share of the day's energy went while the machine stood still? What would it "
               "take to save it?",
    "class": "Your result differs from that of the group beside you. How would you decide whether "
             "the boxes differ or only the readings?",
    "sign": "Would a reading that is always a little late, as of a slow probe, make your result "
            "too large or too small? Reason step by step.",
    "once more": "You may repeat one part of the run tomorrow, and only one. Which, and what would "
                 "you do differently?",
}


def bank(*names: str) -> tuple[str, ...]:
    """Questions out of the bank, by name.

    Examples
    --------
    >>> bank("log step")
    ('What would a log with one reading in fifteen minutes have hidden from you?',)
    """
    return tuple(BANK[name] for name in names)


def question_for(card: Card, group: str, seed: str = "") -> str:
    """The question that a group answers in words.

    Parameters
    ----------
    card : Card
        Has its own choice of questions.
    group : str
        Id of the group.
    seed : str
        Of the class.

    Returns
    -------
    str
        The same for the same seed, group and card, whatever other groups there are.
    """
    told = hashlib.sha256(f"{seed} {group} {card.name}".encode()).digest()
    return card.questions[int.from_bytes(told[:8], "big") % len(card.questions)]

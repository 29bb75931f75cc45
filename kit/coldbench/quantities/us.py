"""US customary units beside SI, in everything that is printed; data files stay SI.

One switch for the process: the report sets it when it opens a campaign. Text keeps its SI numbers
and gains the others in brackets, so that no number is lost and none is taken for another.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from coldbench.quantities.printing import two_figures

CHOICES = ("si", "us")
_chosen = "si"

# SI unit: the other one, its size in it, and decimals more (or fewer) than the SI number has.
# A kelvin is a difference; °C are temperatures and differ in their zero.
OTHER = {
    "°C": ("°F", 1.8, 0), "K": ("°F", 1.8, 0), "L": ("qt", 1.0566882, 0),
    "mm": ("in", 1 / 25.4, 1), "kg": ("lb", 2.2046226, 0), "kg/d": ("lb/d", 2.2046226, 0),
}
"""Exact but for the US liquid quart (0.946352946 L) and the pound (0.45359237 kg), rounded; NIST
SP 811, appendix B (from memory)."""

_NUMBER = r"[−-]?\d+(?:\.\d+)?"
_GAP = "[ \u00a0\u202f]"
_UNIT = "|".join(sorted(map(re.escape, OTHER), key=len, reverse=True))
# Not a part of another unit, and not converted already.
_END = r"(?![\w/²³·])(?! \([^()]*\d (?:°F|qt|in|lb)[^()]*\))"
_VALUE = re.compile(
    rf"(?<![\w.])(?P<within>±{_GAP}?)?(?P<first>(?:{_NUMBER}{_GAP}(?:to|and|×){_GAP})*)"
    rf"(?P<value>{_NUMBER})"
    rf"(?:{_GAP}±{_GAP}(?P<half>{_NUMBER}))?{_GAP}(?P<unit>{_UNIT})"
    rf"(?:{_GAP}\((?P<low>{_NUMBER}){_GAP}to{_GAP}(?P<high>{_NUMBER})\))?{_END}")
_BARE = re.compile(rf"(?<![\w.])(?:±{_GAP}(?P<half>{_NUMBER})|(?P<value>{_NUMBER}))")
_BRACKETS = re.compile(rf"\[({_UNIT})\]")


def use(units: str) -> None:
    """Choose what is printed from here on.

    Parameters
    ----------
    units : {"si", "us"}

    Raises
    ------
    ValueError
        Another word.

    References
    ----------
    .. [1] This kit's own.
    """
    global _chosen
    if units not in CHOICES:
        raise ValueError(f"units are {' or '.join(CHOICES)}, not {units!r}")
    _chosen = units


def chosen() -> str:
    """What is printed: ``si`` or ``us``."""
    return _chosen


def convert(value: float, unit: str) -> float:
    """A number in the other unit.

    Parameters
    ----------
    value : float
        [unit]
    unit : str
        A key of ``OTHER``.

    Returns
    -------
    float
        [the other unit]

    References
    ----------
    .. [1] NIST SP 811, appendix B (factors from memory).

    Examples
    --------
    >>> convert(4.0, "°C"), round(convert(4.0, "K"), 1)
    (39.2, 7.2)
    """
    return value * OTHER[unit][1] + (32.0 if unit == "°C" else 0.0)


def beside(text: str) -> str:
    """Text with the other unit after each number that has one; as it was in SI.

    Examples
    --------
    >>> use("us")
    >>> beside("−21.16 ± 0.13 °C at 25 °C; 17.5 L, 0.5 W/K, 2 to 4 °C; 6.7 °C (6.1 to 7.0)")
    '−21.16 ± 0.13 °C (−6.09 ± 0.23 °F) at 25 °C (77 °F); 17.5 L (18.5 qt), 0.5 W/K, 2 to 4 °C \
(36 to 39 °F); 6.7 °C (6.1 to 7.0; 44.1 °F, 43.0 to 44.6)'
    >>> beside("570 × 330 mm")
    '570 × 330 mm (22.4 × 13.0 in)'
    >>> use("si")
    """
    return text if _chosen == "si" else _VALUE.sub(_beside, text)


def instead(text: str) -> str:
    """Text with the other unit in its place, where two have no room; as it was in SI.

    Examples
    --------
    >>> use("us")
    >>> instead("7.81 ± 0.13 °C; 6.7 °C (6.1 to 7.0)")
    '46.06 ± 0.23 °F; 44.1 °F (43.0 to 44.6)'
    >>> use("si")
    """
    return text if _chosen == "si" else _VALUE.sub(_instead, text)


def _other(number: str, unit: str, difference: bool = False, most: int = 99) -> str:
    """A printed number in the other unit, with as many decimals as tell as much."""
    x = float(number.replace("−", "-"))
    x = x * OTHER[unit][1] if difference else convert(x, unit)
    text = f"{x:.{min(len(number.partition('.')[2]) + OTHER[unit][2], most)}f}"
    return (text if float(text) else text.removeprefix("-")).replace("-", "−")


def _shown(found: re.Match[str]) -> str:
    unit = found["unit"]
    if found["within"]:  # a width has no zero to differ in
        return f"{found['within']}{_other(found['value'], unit, difference=True)}"
    first = re.sub(_NUMBER, lambda one: _other(one[0], unit), found["first"])
    if not found["half"]:
        return f"{first}{_other(found['value'], unit)}"
    half = float(found["half"]) * OTHER[unit][1]
    most = max(two_figures(half, -half, half), 0)
    return (f"{first}{_other(found['value'], unit, most=most)} ± "
            f"{_other(found['half'], unit, difference=True, most=most)}")


def _beside(found: re.Match[str]) -> str:
    unit, other = found["unit"], OTHER[found["unit"]][0]
    if found["low"] is None:
        return f"{found[0]} ({_shown(found)} {other})"
    ends = " to ".join(_other(found[name], unit) for name in ("low", "high"))
    return f"{found[0][:-1]}; {_shown(found)} {other}, {ends})"


def _instead(found: re.Match[str]) -> str:
    unit, other = found["unit"], OTHER[found["unit"]][0]
    if found["low"] is None:
        return f"{_shown(found)} {other}"
    ends = " to ".join(_other(found[name], unit) for name in ("low", "high"))
    return f"{_shown(found)} {other} ({ends})"


def axis(label: str) -> tuple[str, Callable[[float, object], str] | None]:
    """Title of an axis and how its ticks are written: the other unit beside, or as it was.

    Parameters
    ----------
    label : str
        With its unit in square brackets.

    Returns
    -------
    label : str
    tick : callable or None
        As matplotlib asks for it; None where nothing changes.

    References
    ----------
    .. [1] This kit's own.
    """
    found = _BRACKETS.search(label) if _chosen == "us" else None
    if found is None:
        return label, None
    unit = found[1]

    def tick(value: float, _: object = None) -> str:
        decimals = 1 if unit == "mm" or abs(convert(value, unit)) < 10 and unit != "°C" else 0
        return f"{value:g} ({convert(value, unit):.{decimals}f})".replace("-", "−")

    return label.replace(found[0], f"[{unit} ({OTHER[unit][0]})]"), tick


def columns(
    heads: list[str], rows: list[list[str]]
) -> tuple[list[str], list[list[str]]]:
    """Columns whose head has a unit, in the other one; as they were in SI.

    Parameters
    ----------
    heads : list of str
    rows : list of list of str

    Returns
    -------
    heads, rows

    References
    ----------
    .. [1] This kit's own.

    Examples
    --------
    >>> use("us")
    >>> columns(["Cooler", "Start [°C]"], [["a 4", "24.8 to 25.7"], ["b", "20.0 ± 0.5"]])
    (['Cooler', 'Start [°F]'], [['a 4', '76.6 to 78.3'], ['b', '68.0 ± 0.9']])
    >>> use("si")
    """
    if _chosen == "si":
        return heads, rows
    units = [found[1] if (found := _BRACKETS.search(head)) else "" for head in heads]
    named = [_BRACKETS.sub(f"[{OTHER[unit][0]}]", head) if unit else head
             for head, unit in zip(heads, units, strict=True)]
    return named, [
        [_BARE.sub(_bare(unit), cell) if unit else cell
         for cell, unit in zip(row, units, strict=True)]
        for row in rows
    ]


def _bare(unit: str) -> Callable[[re.Match[str]], str]:
    def told(found: re.Match[str]) -> str:
        if found["half"]:
            return f"± {_other(found['half'], unit, difference=True)}"
        return _other(found["value"], unit)
    return told

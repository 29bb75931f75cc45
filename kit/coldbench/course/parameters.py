"""A group's own numbers: drawn from the roster's seed, kept in its ``parameters.toml``."""

from __future__ import annotations

import hashlib
import re
import tomllib
from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path

from coldbench.errors import Fault, UserError, nearest
from coldbench.quantities import KINDS, Quantity, QuantityError, parse
from coldbench.sheets.syntax import syntax_fault
from coldbench.sheets.toml_lines import key_lines

FILE = "parameters.toml"
# What a roster may set for a group, and the kind of each; "" is a plain word.
DRAWN = {
    "load": "water",
    "target": "temperature",
    "current": "current",
    "bottle": "water",
    "refrigerant": "",
    "ambient_offset": "difference",
    "heat_leak": "heat_leak",
    "air_pressure": "pressure",
}
PARAMETERS = {"group": "", "seed": "", **DRAWN}
MOST_CHOICES = 1000
_VALUE = r"([+-]?\d+(?:\.\d+)?)\s*(\S.*?)"
_RANGE = re.compile(rf"\s*{_VALUE}\s+to\s+{_VALUE}\s+by\s+{_VALUE}\s*")


def choices(written: object, name: str) -> tuple[str, ...]:
    """What a roster lets a group's number be.

    Parameters
    ----------
    written : str or list of str
        ``"1 kg to 2 kg by 0.1 kg"``, one value, or a list of values.
    name : str
        Of the number, out of ``DRAWN``.

    Returns
    -------
    tuple of str
        Each with its unit.

    Raises
    ------
    QuantityError
        Values of another kind, units that differ within a range, or a range without its step.

    Examples
    --------
    >>> choices("1 kg to 1.5 kg by 0.25 kg", "load")
    ('1 kg', '1.25 kg', '1.5 kg')
    """
    several = written if isinstance(written, list) else [written]
    if not several:
        raise QuantityError("the list is empty", do="write at least one value")
    found = [one for text in several for one in _expanded(text, name)]
    kind = DRAWN[name]
    for one in found:
        if kind:
            parse(one, kind)
        elif not isinstance(one, str) or not one.strip():
            raise QuantityError("a word in quotes is wanted here", found=f"{one}")
    return tuple(found)


def _expanded(written: object, name: str) -> list[str]:
    kind = DRAWN[name]
    if not kind or not isinstance(written, str) or " to " not in written:
        return [written]
    example = KINDS[kind].example
    unit = example.lstrip("0123456789. ")
    ranged = _RANGE.fullmatch(written)
    if ranged is None or len({ranged[2], ranged[4], ranged[6]}) > 1:
        raise QuantityError(
            "a range has two ends and a step, all in one unit", found=written,
            do=f'write it like "1 {unit} to 2 {unit} by 0.5 {unit}"')
    least, most, step = (Decimal(ranged[n]) for n in (1, 3, 5))
    count = int((most - least) / step) + 1 if step > 0 else 0
    if not 1 <= count <= MOST_CHOICES:
        raise QuantityError("the range has no steps, or too many", found=written,
                            allowed=f"1 to {MOST_CHOICES} values, the lower end first")
    return [f"{(least + n * step).normalize():f} {ranged[2]}" for n in range(count)]


def drawn(
    seed: int, group: str, spread: Mapping[str, tuple[str, ...]], own: Mapping[str, str]
) -> dict[str, str]:
    """The numbers of one group.

    Parameters
    ----------
    seed : int
        The roster's.
    group : str
        Id.
    spread : mapping of str to tuple of str
        What each number may be.
    own : mapping of str to str
        Numbers that the roster sets for this group; they win.

    Returns
    -------
    dict of str to str
        The same for a seed and an id whatever other groups and numbers there are, on every
        machine and for ever: a checksum chooses, no generator of random numbers.

    Examples
    --------
    >>> drawn(7, "g01", {"load": ("1 kg", "2 kg")}, {"target": "4 °C"})
    {'load': '1 kg', 'target': '4 °C'}
    """
    found = {}
    for name in DRAWN:
        if name in own:
            found[name] = own[name]
        elif name in spread:
            digest = hashlib.sha256(f"{seed} {group} {name}".encode()).digest()
            found[name] = spread[name][int.from_bytes(digest) % len(spread[name])]
    return found


def read_parameters(path: Path) -> dict[str, Quantity | str]:
    """What the roster gave a group.

    Parameters
    ----------
    path : Path
        ``parameters.toml``; a file that is not there gives nothing.

    Returns
    -------
    dict

    Raises
    ------
    UserError
        No TOML, an unknown name, or a value of another kind.
    """
    if not path.is_file():
        return {}
    text = path.read_text(encoding="utf-8-sig")
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise UserError(syntax_fault(path.name, text, error)) from None
    lines, faults, found = key_lines(text), [], {}
    for name, written in table.items():
        where = f"{path.name}:{lines[(name,)]}"
        if name not in PARAMETERS:
            meant = nearest(name, PARAMETERS)
            faults.append(Fault("no group has a number of this name", where, found=name,
                                allowed=", ".join(PARAMETERS),
                                do=f"write {meant}" if meant else ""))
            continue
        try:
            kind = PARAMETERS[name]
            found[name] = parse(written, kind) if kind else str(written)
        except QuantityError as error:
            faults.append(Fault(error.what, where, error.found, error.allowed, error.do))
    if faults:
        raise UserError(faults)
    return found

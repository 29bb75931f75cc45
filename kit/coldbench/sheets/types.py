"""Types of the sheets' keys: each reads text at the door and tells an editor what is allowed."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterable
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, PlainValidator, WithJsonSchema

from coldbench.errors import nearest
from coldbench.physics.materials import FOAMS
from coldbench.physics.water import SPECIFIC_HEAT
from coldbench.quantities import KINDS, Quantity, QuantityError, parse
from coldbench.sheets.roles import ROLE_KINDS, base_role

ABSOLUTE_ZERO = -273.15
_NUMBER = r"[+−-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?"
SEXAGESIMAL = ("h:min:s", "h:min", "min:s")
LOCAL_TIME = r"^\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}"


class Sheet(BaseModel):
    """Base of all tables of a sheet: no unknown keys, no silent conversions, no changes."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, populate_by_name=False)

    @classmethod
    def known_keys(cls) -> list[str]:
        """Keys as they are written."""
        return [field.alias or name for name, field in cls.model_fields.items()]


def quantity(kind: str, *, least: float | None = None, above: float | None = None,
             most: float | None = None) -> Any:
    """Type of a quantity of one kind.

    Parameters
    ----------
    kind : str
        Kind, out of ``CANONICAL``.
    least, above, most : float, optional
        Smallest value allowed, value it must exceed, largest value allowed. [canonical unit]

    Returns
    -------
    type
        Annotated ``Quantity`` for a pydantic model.
    """

    def read(value: object) -> Quantity:
        found = parse(value, kind)
        too_low = (least is not None and found.value < least) or (
            above is not None and found.value <= above
        )
        if too_low or (most is not None and found.value > most):
            raise QuantityError(
                f"{KINDS[kind].words} of this size cannot be", found=found.text,
                allowed=_range(kind, least, above, most), do="check the sign, digits and unit",
            )
        return found

    return Annotated[Quantity, PlainValidator(read), WithJsonSchema(quantity_schema(kind))]


def choice(*words: str, what: str) -> Any:
    """Type of a key that takes one of a few words.

    Parameters
    ----------
    *words : str
        What may stand there.
    what : str
        What the key is, for the message.
    """

    def read(value: object) -> str:
        if value not in words:
            raise _unknown_word(value, words, what)
        return str(value)

    return Annotated[str, PlainValidator(read), WithJsonSchema({"enum": list(words)})]


def _unknown_word(value: object, words: Iterable[str], what: str) -> QuantityError:
    near = nearest(str(value), words)
    return QuantityError(
        f"no {what} of that name", found=f'"{value}"' if isinstance(value, str) else f"{value}",
        allowed=", ".join(words), do=f'write "{near}"' if near else "",
    )


def known_role(value: object) -> str:
    """A role, perhaps numbered.

    Raises
    ------
    QuantityError
        No such role; the nearest one is named.
    """
    if isinstance(value, str) and base_role(value) in ROLE_KINDS:
        return value
    raise _unknown_word(value, list(ROLE_KINDS), "role")


def _plain_text(value: object) -> str:
    if not isinstance(value, str) or not value.strip():
        shown = f"{value}" if value != "" else "nothing"
        raise QuantityError("text in quotes is wanted here", found=shown)
    if any(ord(sign) < 32 and sign not in "\t\n" for sign in value):
        raise QuantityError("a control character stands in the text", found=repr(value))
    return value


def _whole(least: int) -> Callable[[object], int]:
    def read(value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int) or value < least:
            raise QuantityError(
                "a whole number is wanted here", found=f"{value}",
                allowed=f"{least} or more, without quotes",
            )
        return value

    return read


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value < 1e9:
        raise QuantityError(
            "a plain number is wanted here", found=f"{value}", allowed="0 or more, without quotes"
        )
    return float(value)


def _yes_no(value: object) -> bool:
    if not isinstance(value, bool):
        raise QuantityError(
            "yes or no is wanted here", found=f"{value}", allowed="true, false (without quotes)"
        )
    return value


def _date(value: object) -> dt.date:
    if isinstance(value, dt.date) and not isinstance(value, dt.datetime):
        return value
    raise QuantityError(
        "a date is wanted here", found=f"{value}", allowed="year-month-day without quotes",
        do="write it like 2031-06-14",
    )


def _local_time(value: object) -> dt.datetime:
    if isinstance(value, dt.datetime):
        return value
    raise QuantityError(
        "a date with its time is wanted here", found=f"{value}",
        allowed="local date and time without quotes", do="write it like 2031-06-14T09:00:00",
    )


def _instant(value: object) -> Quantity | dt.datetime:
    if isinstance(value, dt.datetime):
        return value
    if isinstance(value, dt.date | dt.time):
        return _local_time(value)
    return parse(value, "duration")


def _currency(value: object) -> str:
    if isinstance(value, str) and re.fullmatch("[A-Z]{3}", value):
        return value
    raise QuantityError(
        "a currency is a three-letter code", found=f"{value}", allowed="EUR, GBP, USD …",
        do='write its ISO 4217 code: "EUR"',
    )


def _factor(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not value:
        raise QuantityError("a factor is wanted here", found=f"{value}",
                            allowed="a number other than 0, without quotes: -1")
    return float(value)


def _clock_unit(value: object) -> str:
    if value in SEXAGESIMAL:
        return str(value)
    if isinstance(value, str):
        parse(f"1 {value}", "duration")
        return value
    raise QuantityError("the unit of elapsed time is wanted here", f"{value}",
                        "s, min, h, d, h:min:s")


def _range(kind: str, least: float | None, above: float | None, most: float | None) -> str:
    unit, scale = (" %", 100) if kind == "fraction" else (f" {KINDS[kind].unit}".rstrip(), 1)
    parts = [f"{scale * least:g}{unit} or more"] if least is not None else []
    parts += [f"more than {scale * above:g}{unit}"] if above is not None else []
    parts += [f"at most {scale * most:g}{unit}"] if most is not None else []
    return ", ".join(parts)


def quantity_schema(kind: str) -> dict[str, Any]:
    """JSON Schema of a quantity of one kind, as an editor shows it."""
    wanted = KINDS[kind]
    if kind == "count":
        return {"type": "number", "examples": [float(wanted.example)]}
    return {
        "type": "string", "pattern": rf"^\s*{_NUMBER}\s*[^0-9\s.,].*$",
        "examples": [wanted.example],
        "description": f'{wanted.words.capitalize()} with its unit, such as "{wanted.example}"; '
                       f"units: {wanted.units}.",
    }


NUMBERED_ROLE = f"^({'|'.join(ROLE_KINDS)})_[0-9]+$"
ROLE_SCHEMA: dict[str, Any] = {
    "anyOf": [{"enum": list(ROLE_KINDS)}, {"type": "string", "pattern": NUMBERED_ROLE}],
}

Text = Annotated[str, PlainValidator(_plain_text),
                 WithJsonSchema({"type": "string", "minLength": 1})]
YesNo = Annotated[bool, PlainValidator(_yes_no), WithJsonSchema({"type": "boolean"})]
Number = Annotated[float, PlainValidator(_number),
                   WithJsonSchema({"type": "number", "minimum": 0})]
Count = Annotated[int, PlainValidator(_whole(1)),
                  WithJsonSchema({"type": "integer", "minimum": 1})]
Lines = Annotated[int, PlainValidator(_whole(0)),
                  WithJsonSchema({"type": "integer", "minimum": 0})]
Day = Annotated[dt.date, PlainValidator(_date),
                WithJsonSchema({"type": "string", "pattern": r"^\d{4}-\d{2}-\d{2}$"})]
LocalTime = Annotated[dt.datetime, PlainValidator(_local_time),
                      WithJsonSchema({"type": "string", "pattern": LOCAL_TIME})]
Instant = Annotated[Quantity | dt.datetime, PlainValidator(_instant), WithJsonSchema({
    "type": "string", "examples": ["30 min", "3 h"],
    "description": 'Time since the run\'s start, such as "3 h", or a local date and time.'})]
Currency = Annotated[str, PlainValidator(_currency), WithJsonSchema(
    {"type": "string", "pattern": "^[A-Z]{3}$", "examples": ["EUR"]})]
ClockUnit = Annotated[str, PlainValidator(_clock_unit), WithJsonSchema(
    {"enum": ["ms", "s", "min", "h", "d", *SEXAGESIMAL]})]
Factor = Annotated[float, PlainValidator(_factor), WithJsonSchema({"type": "number"})]
Role = Annotated[str, PlainValidator(known_role), WithJsonSchema(ROLE_SCHEMA)]
Material = choice(*SPECIFIC_HEAT, what="material")
Foam = choice(*FOAMS, what="insulation")

Temperature = quantity("temperature", least=ABSOLUTE_ZERO)
Kelvins = quantity("difference", above=0)
Length = quantity("length", above=0)
Clearance = quantity("length", least=0)
Area = quantity("area", above=0)
Mass = quantity("mass", above=0)
MassOrNone = quantity("mass", least=0)
Volume = quantity("volume", above=0)
Water = quantity("water", above=0)
Energy = quantity("energy", above=0)
DailyEnergy = quantity("daily_energy", above=0)
Power = quantity("power", least=0)
Voltage = quantity("voltage", above=0)
Current = quantity("current", above=0)
Duration = quantity("duration", least=0)
Share = quantity("fraction", above=0, most=1)
Rate = quantity("rate", least=0)
Latitude = quantity("angle", least=-90, most=90)
Longitude = quantity("angle", least=-180, most=180)
SoundLevel = quantity("sound")
Money = quantity("money", least=0)
EnergyPrice = quantity("energy_price", least=0)
BatteryPrice = quantity("battery_price", least=0)
PanelPrice = quantity("panel_price", least=0)
MassPrice = quantity("mass_price", least=0)
AreaPrice = quantity("area_price", least=0)
Conductivity = quantity("conductivity", above=0)
HeatResistance = quantity("heat_resistance", above=0)


def key(text: str, **more: Any) -> Any:
    """An optional key with what it means."""
    return Field(default=None, description=text, **more)


def needed(text: str, **more: Any) -> Any:
    """A key that must be there, with what it means."""
    return Field(description=text, **more)

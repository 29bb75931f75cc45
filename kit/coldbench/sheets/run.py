"""The run sheet: what was done with a cooler, what was put in, what was logged and read."""

from __future__ import annotations

from typing import Any

from pydantic import (
    ConfigDict,
    Field,
    ModelWrapValidatorHandler,
    ValidationError,
    model_validator,
)
from pydantic.json_schema import SkipJsonSchema
from pydantic_core import InitErrorDetails

from coldbench.quantities import Quantity, QuantityError, parse
from coldbench.sheets.roles import ROLE_KINDS, base_role
from coldbench.sheets.types import (
    NUMBERED_ROLE,
    ROLE_SCHEMA,
    ClockUnit,
    Count,
    Duration,
    Factor,
    Instant,
    Length,
    Lines,
    LocalTime,
    Mass,
    MassOrNone,
    Material,
    Power,
    Role,
    Sheet,
    SoundLevel,
    Temperature,
    Text,
    Water,
    choice,
    key,
    needed,
    quantity_schema,
)

RUN_KINDS = (
    "pull-down", "steady", "freeze", "warm-up", "heater", "ice-melt", "openings", "supply-volts",
    "sound", "same-place",
)
MARKS = (
    "power on", "power off", "load in", "load out", "lid opened", "lid shut", "setting changed",
    "sync", "note",
)
SHAPES = ("can", "bottle", "brick", "slab")
METERING_POINTS = ("dc", "wall", "battery")
MeteredAt = choice(*METERING_POINTS, what="metering point")


class SpanSheet(Sheet):
    """A stretch of a run, counted from its start."""

    from_: Duration = Field(alias="from", description="Begin.")
    to: Duration = needed("End.")


class WindowSheet(Sheet):
    """Windows chosen by hand; without them they are found by rule and shown."""

    steady: SpanSheet | None = key("The steady window.")
    ice: SpanSheet | None = key("All probes together in stirred ice water.")
    air: SpanSheet | None = key("All probes together in still air.")


class ContainerSheet(Sheet):
    """What the water is in."""

    material: Material = needed("What it is made of.")
    mass: Mass = needed("Mass of one, empty.")
    shape: choice(*SHAPES, what="shape") | None = key(
        "How it is built; with its sizes the freezing time can be predicted.")
    diameter: Length | None = key("Of a can or bottle.")
    width: Length | None = key("Of a brick.")
    depth: Length | None = key("Of a brick.")
    height: Length | None = key("Thickness of a slab; of the others inside the neck.")


class LoadSheet(Sheet):
    """Some like containers of water."""

    count: Count = needed("How many.")
    water: Water = needed("Water in one; a volume counts 1 kg/L.")
    container: ContainerSheet | None = key("One container.")
    start: Temperature | None = key("Temperature when put in.")


class TimeSheet(Sheet):
    """The time of each row; without format, elapsed or every, a column of ISO 8601 times."""

    column: Text | None = key("Heading of the time column.")
    with_: Text | None = Field(
        default=None, alias="with",
        description="Heading of the clock column, where date and clock stand apart.")
    format: Text | None = key(
        'Pattern such as "%d.%m.%Y %H:%M:%S", or "epoch s", "epoch ms", "spreadsheet days".')
    elapsed: ClockUnit | None = key(
        'Unit, where the column counts: "s", "min", "h", "d", or "h:min:s" for 25:10:00.')
    every: Duration | None = key("Step, where the rows carry no time at all.")
    from_: LocalTime | None = Field(
        default=None, alias="from",
        description="Local date and time of the count's zero; by default the run's start.")


class LongSheet(Sheet):
    """A log with one value a row: which column names the channel, which holds the value."""

    channel: Text = needed("Heading of the column with the channel's name.")
    value: Text = needed("Heading of the column with the value.")
    unit: Text | None = key("Heading of the column with the unit.")


def _or_role_alone(schema: dict[str, Any]) -> None:
    table = dict(schema)
    schema.clear()
    schema["anyOf"] = [*ROLE_SCHEMA["anyOf"], table]


class ColumnSheet(Sheet):
    """One column of a log."""

    model_config = ConfigDict(json_schema_extra=_or_role_alone)

    role: Role = needed("What it measures.")
    probe: Text | None = key("Name of the probe; the same probe keeps its error for all runs.")
    unit: Text | None = key("Unit, where the heading does not tell.")
    instrument: Text | None = key("Id, where it is not the log's instrument.")
    bucket: Duration | None = key("Interval, where each row holds the energy of one interval.")
    factor: Factor | None = key("What the values have to be multiplied with: −1 turns the sign.")

    @model_validator(mode="before")
    @classmethod
    def _role_alone(cls, value: Any) -> Any:
        return {"role": value} if isinstance(value, str) else value


class LogSheet(Sheet):
    """One log file."""

    file: Text = needed(
        'File, relative to the campaign folder; "logs/box-*.csv" joins all that match.')
    sheet: Text | None = key("Name of the sheet, where the file is a workbook.")
    instrument: Text | None = key("Id of the instrument that wrote it.")
    timezone: Text | None = key("Time zone of its clock, where it is not the campaign's.")
    time: TimeSheet = needed("The time column.")
    long: LongSheet | None = key("Where each row holds one value of one channel.")
    columns: dict[str, ColumnSheet] = needed("Role of each column, by heading or channel.")
    from_: Instant | None = Field(
        default=None, alias="from", description="Rows before this belong to another run.")
    to: Instant | None = key("Rows after this belong to another run.")
    sync: list[LocalTime] = Field(
        default=[], description="What its own clock showed at each mark “sync”, in order.")
    gap: Duration | None = key("A longer silence is a gap; a log on change has to state it.")
    power: choice("hold", "mean", what="way of logging power") | None = key(
        "A value holds until the next one, or is the mean of an interval."
    )
    label: choice("start", "end", what="label") | None = key(
        "Whether a mean carries the start or the end of its interval."
    )
    metered_at: MeteredAt | None = key("Where power is metered: at the cooler, wall, battery.")
    delimiter: choice(",", ";", "\t", "|", " ", "  ", what="delimiter") | None = key(
        "Between cells; one blank stands for any number, two for two or more.")
    decimal: choice(".", ",", what="decimal sign") | None = key("Decimal sign.")
    encoding: Text | None = key('Encoding of the file, where it is not "utf-8".')
    skip: Lines | None = key("Lines above the headings.")
    headings: choice("none", what="way with headings") | None = key(
        'Where the log names no columns: they are then "column 1", "column 2" …')
    odd_rows: choice("leave out", what="way with odd rows") | None = key(
        "Rows with too few or too many cells may be left out.")
    no_value: list[Text] = Field(
        default=[], description="Words of the instrument for “nothing was measured”.")


def _with_roles(schema: dict[str, Any]) -> None:
    for role, kind in ROLE_KINDS.items():
        schema["properties"][role] = quantity_schema(kind)
    schema["patternProperties"] = {NUMBERED_ROLE: {"type": ["string", "number"]}}


class ReadingSheet(Sheet):
    """Readings by eye at one instant, by role."""

    model_config = ConfigDict(json_schema_extra=_with_roles)

    at: Instant = needed("When: time since the start, or local date and time.")
    instrument: Text | None = key("Id of the instrument that was read.")
    metered_at: MeteredAt | None = key("Where power or energy was metered.")
    note: Text | None = key("A remark.")
    values: SkipJsonSchema[dict[str, Quantity]] = {}

    @classmethod
    def known_keys(cls) -> list[str]:
        """Own keys, then the roles."""
        return ["at", "instrument", "metered_at", "note", *ROLE_KINDS]

    @model_validator(mode="wrap")
    @classmethod
    def _sort_roles(cls, given: Any, handler: ModelWrapValidatorHandler) -> Any:
        if not isinstance(given, dict):
            return handler(given)
        own, values, faults = {}, {}, []
        for name, value in given.items():
            base = base_role(name)
            if base in ROLE_KINDS:
                try:
                    values[name] = parse(value, ROLE_KINDS[base])
                except QuantityError as fault:
                    faults.append(_fault("value_error", name, value, {"error": fault}))
            elif name in cls.known_keys():
                own[name] = value
            else:
                faults.append(_fault("extra_forbidden", name, value))
        try:
            read = handler(own)
        except ValidationError as more:
            faults += [_fault(e["type"], e["loc"][0], e["input"], e.get("ctx", {}))
                       for e in more.errors(include_url=False)]
        if faults:
            raise ValidationError.from_exception_data(cls.__name__, faults)
        return read.model_copy(update={"values": values})


def _fault(kind: str, name: str, value: Any, more: dict[str, Any] | None = None) -> Any:
    return InitErrorDetails(type=kind, loc=(name,), input=value, ctx=more or {})


class MarkSheet(Sheet):
    """Something that happened."""

    at: Instant = needed("When: time since the start, or local date and time.")
    what: choice(*MARKS, what="mark") = needed("What happened.")
    note: Text | None = key("A remark.")


class FreezeSheet(Sheet):
    """Water poured off at the end of an ice test."""

    drained: MassOrNone = needed("Water poured off.")
    total: Mass = needed("All water of the load.")


class HeaterSheet(Sheet):
    """A heater inside the closed box."""

    power: Power = needed("Heat put in, fan included.")
    fan: Power | None = key("The fan's part of it.")


class IceSheet(Sheet):
    """Ice put in."""

    mass: Mass = needed("Ice put in.")
    start: Temperature | None = key("Its temperature.")
    drained: MassOrNone | None = key("Water poured off at the end.")


class SoundSheet(Sheet):
    """Where and in what state sound was read."""

    state: Text | None = key('In what state: "running", "idle" …')
    distance: Length | None = key("From the box to the microphone.")
    background: SoundLevel | None = key("Level with the cooler switched off.")


class OpeningsSheet(Sheet):
    """Openings by script."""

    count: Count = needed("How many.")
    length: Duration = needed("How long each.")


class RunSheet(Sheet):
    """runs/ID.toml: one run."""

    cooler: Text = needed("Id of the cooler.")
    kind: list[choice(*RUN_KINDS, what="kind of run")] = Field(
        min_length=1, description="What the run is good for."
    )
    setting: Text | None = key('Thermostat: "coldest", or what was set.')
    display: Temperature | None = key("What the cooler's own display showed.")
    ambient: Temperature | None = key("Room temperature, where it was not logged.")
    machine: choice("running", "off", "out", what="state of the machine") | None = key(
        "Running, off, or taken out with the opening closed like the wall."
    )
    protocol: Text | None = key("Name of the procedure; runs of one protocol are comparable.")
    repeat_of: Text | None = key("Id of the run that this one repeats.")
    start: LocalTime | None = key("Local date and time at which the cooler was switched on.")
    note: Text | None = key("Whatever else the reader should know.")
    window: WindowSheet | None = key("Windows chosen by hand.")
    load: list[LoadSheet] = Field(default=[], description="What was put in to be cooled.")
    log: list[LogSheet] = Field(default=[], description="Log files.")
    reading: list[ReadingSheet] = Field(default=[], description="Readings by eye.")
    mark: list[MarkSheet] = Field(default=[], description="What happened when.")
    freeze: FreezeSheet | None = key("Water poured off at the end.")
    heater: HeaterSheet | None = key("A heater inside.")
    ice: IceSheet | None = key("Ice put in.")
    sound: SoundSheet | None = key("Where sound was read.")
    openings: OpeningsSheet | None = key("Openings by script.")

"""The campaign sheet: question, footing, targets, use, space, supply, money, instruments."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field, PlainValidator, ValidationInfo, WithJsonSchema, field_validator

from coldbench.quantities import ErrorLimit, Quantity, parse, parse_error_limit
from coldbench.sheets.types import (
    Area,
    AreaPrice,
    BatteryPrice,
    Clearance,
    Conductivity,
    Count,
    Currency,
    DailyEnergy,
    Day,
    Duration,
    Energy,
    EnergyPrice,
    Foam,
    HeatResistance,
    Latitude,
    Length,
    Longitude,
    MassPrice,
    Money,
    Number,
    PanelPrice,
    Power,
    Rate,
    Share,
    Sheet,
    SoundLevel,
    Temperature,
    Text,
    Voltage,
    Volume,
    Water,
    YesNo,
    choice,
    key,
    needed,
)

MEASURES = (
    "temperature", "power", "energy", "voltage", "current", "mass", "sound", "humidity", "pressure",
)


def _as_written(value: object) -> object:
    return value


# Read once ``measures`` is known, since its kind depends on it.
Error = Annotated[ErrorLimit, PlainValidator(_as_written), WithJsonSchema({
    "type": "string", "examples": ["0.5 K", "1 % + 0.2 W"],
    "description": "Limit of error: an amount, a percentage of the reading, or both."})]
Resolution = Annotated[Quantity, PlainValidator(_as_written), WithJsonSchema({
    "type": "string", "examples": ["0.1 K"], "description": "Smallest step of the reading."})]


class FootingSheet(Sheet):
    """The common conditions on which coolers are compared."""

    ambient: Temperature = needed("Ambient of the footing.")
    inside: Temperature = needed("Inside temperature of the footing.")
    start: Temperature | None = key("Start temperature from which pull-downs are counted.")


class TargetsSheet(Sheet):
    """Temperatures that matter to the one who asks."""

    temperatures: list[Temperature] = Field(
        default=[], description="Temperatures to which pull-down is timed."
    )
    food_limit: Temperature | None = key("Food wants to stay at or below this.")
    hold: list[Annotated[list[Temperature], Field(min_length=2, max_length=2)]] = Field(
        default=[], description="Pairs: hold time is counted from the first to the second."
    )


class CanSheet(Sheet):
    """Can or bottle of which it is counted how many stand inside."""

    diameter: Length = needed("Across.")
    height: Length = needed("How high it stands.")


class UseSheet(Sheet):
    """How the cooler will be used; without it, all day and all year."""

    days_per_year: Number | None = key("Days of use a year.")
    hours_per_day: Duration | None = key("Hours of use a day.")
    start: choice("warm", "cold", what="start") | None = key("Switched on warm, or already cold.")
    can: CanSheet | None = key("Can that is counted; without it a usual one of 330 mL.")


class ClearanceSheet(Sheet):
    """Air that the cooler needs around it."""

    sides: Clearance | None = key("At each side.")
    back: Clearance | None = key("Behind.")
    front: Clearance | None = key("In front.")
    top: Clearance | None = key("Above.")


class SpaceSheet(Sheet):
    """Where the cooler has to fit."""

    width: Length = needed("Width of the space.")
    depth: Length = needed("Depth of the space.")
    height: Length = needed("Height of the space.")
    clearance: ClearanceSheet | None = key("Air that has to stay free.")
    open: list[choice("front", "top", what="open side")] = Field(
        default=[], description="Sides without a wall: lid, door and air may reach out there."
    )
    turn: YesNo | None = key("It may stand turned by a quarter; without this, it may.")


class SupplySheet(Sheet):
    """Battery, sun and cable."""

    volts: Voltage | None = key("Nominal voltage.")
    days: Number | None = key("Days to bridge without charging.")
    depth_of_discharge: Share | None = key("Share of the battery that may be used.")
    battery_efficiency: Share | None = key("Energy out / energy in.")
    sun_hours: Duration | None = key("Hours of full sun a day.")
    performance_ratio: Share | None = key("Real / ideal yield of the panel.")
    latitude: Latitude | None = key("North is positive.")
    longitude: Longitude | None = key("East is positive.")
    clearness: Share | None = key("Share of the sun above the air that arrives.")
    ambient_summer: Temperature | None = key("Mean ambient of the warmest month, day and night.")
    ambient_winter: Temperature | None = key("Mean ambient of the coldest month.")
    cable_length: Length | None = key("One way.")
    cable_area: Area | None = key("Copper area of one conductor.")


class MoneySheet(Sheet):
    """Currency and prices."""

    currency: Currency = needed("ISO 4217 code; all prices of the campaign are in it.")
    tariff: EnergyPrice | None = key("Price of electrical energy.")
    years: Number | None = key("Years over which life cost is counted.")
    discount_rate: Rate | None = key("Yearly rate that makes later money worth less.")
    resale: Share | None = key("Share of the price that comes back after those years.")
    battery_price: BatteryPrice | None = key("Price of storage.")
    battery_years: Count | None = key("Whole years after which a battery is bought anew.")
    panel_price: PanelPrice | None = key("Price of peak power.")
    ice_price: MassPrice | None = key("Price of ice.")


class MustsSheet(Sheet):
    """What a cooler must do to be considered."""

    coldest_at_most: Temperature | None = key("It must get at least this cold.")
    daily_energy_at_most: DailyEnergy | None = key("It may use at most this a day.")
    price_at_most: Money | None = key("It may cost at most this.")
    sound_at_most: SoundLevel | None = key("It may be at most this loud.")
    usable_at_least: Volume | None = key("It must hold at least this.")
    fits_space: YesNo | None = key("It must fit the space.")


class WeightsSheet(Sheet):
    """How much each finding counts beside the others; only their ratios matter."""

    daily_energy_footing: Number | None = key("Little energy at the footing.")
    price: Number | None = key("A low price.")
    usable_volume: Number | None = key("A large usable volume.")
    coldest_air: Number | None = key("Cold air.")
    sound_level: Number | None = key("A low sound level while running, at 1 m.")


class PlannedBoxSheet(Sheet):
    """A box as one would build it."""

    material: Foam = needed("What its walls are made of.")
    width: Length = needed("Inside: width.")
    depth: Length = needed("… depth.")
    height: Length = needed("… height.")
    wall: Length = needed("Thickness of each wall that is not named.")
    left: Length | None = key("Thickness of the left wall.")
    right: Length | None = key("… of the right one.")
    front: Length | None = key("… of the front.")
    back: Length | None = key("… of the back.")
    bottom: Length | None = key("… of the bottom.")
    lid: Length | None = key("… of the lid.")


class DesignSheet(Sheet):
    """What is to be built next."""

    cooler: Text | None = key("Id of the cooler that is to be improved.")
    donor: Text | None = key("Id of the cooler whose compressor unit moves whole into a new box.")
    ambient: Temperature | None = key("Hottest ambient to build for; else the footing's.")
    inside: Temperature | None = key("Inside to hold there; else the footing's.")
    usable: Volume | None = key("Litres wanted; else the least of the musts.")
    load: Water | None = key("Warm goods put in at a time, as water.")
    load_start: Temperature | None = key("How warm they are; else the ambient.")
    night: Duration | None = key("Hours to ride through on ice alone.")
    module_price: Money | None = key("A further thermoelectric module like those fitted.")
    modules_most: Count | None = key("Modules that the hot side has room for.")
    regulator_price: Money | None = key("A regulator that lowers the modules' voltage.")
    regulator_efficiency: Share | None = key("Its power out / power in.")
    seal_price: Money | None = key("A new seal round the lid.")
    box: PlannedBoxSheet | None = key("A box as you would build it.")


class BoardSheet(Sheet):
    """Insulation that can be had."""

    material: Foam = needed("What it is made of.")
    thickness: Length = needed("Thickness of one board.")
    conductivity: Conductivity | None = key("As declared; else a handbook's range.")
    price: AreaPrice | None = key("Price of the board.")
    layers: Count | None = key("Layers that may be glued together; without it, two.")


class HotSideSheet(Sheet):
    """A hot side that could be fitted to the modules."""

    name: Text = needed("What it is, in words.")
    resistance: HeatResistance = needed("From the modules' hot faces to the air, all together.")
    power: Power | None = key("What its fans and pump draw.")
    price: Money | None = key("What it costs.")


class InstrumentSheet(Sheet):
    """One instrument: what it measures and how far it may be off."""

    measures: choice(*MEASURES, what="quantity to measure") = needed("What it measures.")
    kind: Text | None = key("What sort of instrument it is, in words.")
    error: Error | None = key("Limit of error; without it findings have no interval.")
    resolution: Resolution | None = key("Smallest step of the reading.")
    counter_step: Energy | None = key("Step of an energy counter.")
    counter_range: Energy | None = key("Where an energy counter starts again at 0.")
    checked: Day | None = key("Day on which it was last compared with something better.")

    @field_validator("error", mode="after")
    @classmethod
    def _read_error(cls, value: Any, info: ValidationInfo) -> ErrorLimit | None:
        kind = info.data.get("measures")
        return parse_error_limit(value, kind) if kind else None

    @field_validator("resolution", mode="after")
    @classmethod
    def _read_resolution(cls, value: Any, info: ValidationInfo) -> Quantity | None:
        kind = info.data.get("measures")
        if kind is None:
            return None
        return parse(value, "difference" if kind == "temperature" else kind)


class PhotoSheet(Sheet):
    """A picture of the set-up."""

    file: Text = needed("Picture, relative to the campaign folder.")
    alt: Text = needed("What it shows, for those who cannot see it.")


class DisclosureSheet(Sheet):
    """Who paid, where the samples came from; what is missing prints as missing."""

    paid_by: Text | None = key("Who paid for coolers and time.")
    sample: Text | None = key("Where the samples came from: bought new, lent by the maker …")
    laboratory: Text | None = key("Name and address of who measured.")
    place: Text | None = key("Where it was measured, if elsewhere.")
    customer: Text | None = key("For whom, and how to reach them.")
    received: Day | None = key("Day on which the coolers came in.")
    released_by: Text | None = key("Who answers for the report.")
    photo: PhotoSheet | None = key("A picture of the set-up.")
    invented: Text | None = key("Printed on every page where the data are made up.")


class EarlierSheet(Sheet):
    """Findings of an earlier campaign."""

    findings: Text = needed("Its findings.json, relative to the campaign folder.")


class CampaignSheet(Sheet):
    """campaign.toml: all that is compared together."""

    title: Text = needed("Title of the report.")
    question: Text | None = key("The question that the report answers.")
    author: Text | None = key("Who made the measurements.")
    date: Day | None = key("Date of the report.")
    timezone: Text = needed('Time zone of all times without an own one, such as "Europe/Paris".')
    order: list[Text] = Field(default=[], description="Ids of coolers, in the report's order.")
    footing: FootingSheet | None = key("The common conditions of the comparison.")
    targets: TargetsSheet | None = key("Temperatures that matter.")
    use: UseSheet | None = key("How the cooler will be used.")
    space: SpaceSheet | None = key("Where it has to fit.")
    supply: SupplySheet | None = key("Battery, sun and cable.")
    money: MoneySheet | None = key("Currency and prices.")
    musts: MustsSheet | None = key("What a cooler must do to be considered.")
    weights: WeightsSheet | None = key("Weights of a ranking; without them none is made.")
    design: DesignSheet | None = key("What is to be built next.")
    instruments: dict[str, InstrumentSheet] = Field(
        default={}, description="Instruments, by an id of your own."
    )
    disclosure: DisclosureSheet | None = key("Who paid, where the samples came from.")
    earlier: list[EarlierSheet] = Field(default=[], description="Earlier campaigns.")
    board: list[BoardSheet] = Field(default=[], description="Insulation that can be had.")
    hot_side: list[HotSideSheet] = Field(
        default=[], description="Hot sides that could be fitted to the modules."
    )

"""The cooler sheet: what a cooler is, as its maker, a tape and a scale say."""

from __future__ import annotations

from pydantic import Field

from coldbench.sheets.types import (
    Area,
    Count,
    Current,
    DailyEnergy,
    Kelvins,
    Length,
    Mass,
    Material,
    Money,
    Power,
    Sheet,
    SoundLevel,
    Temperature,
    Text,
    Voltage,
    Volume,
    YesNo,
    choice,
    key,
    needed,
)

TECHNOLOGIES = ("compressor", "thermoelectric", "absorption", "passive")


class LinerSheet(Sheet):
    """The inner lining, whose heat the air sees."""

    material: Material = needed("What it is made of.")
    mass: Mass = needed("Its mass.")


class PriceSheet(Sheet):
    """What it costs."""

    paid: Money | None = key("What was paid.")
    list_price: Money | None = Field(default=None, alias="list", description="List price.")


class OutsideSheet(Sheet):
    """The box as housed, with handles and feet."""

    width: Length | None = key("Width.")
    depth: Length | None = key("Depth.")
    height: Length | None = key("Height.")
    volume: Volume | None = key("Volume, where the sides are not known.")


class StepSheet(Sheet):
    """A block that is missing from a lower corner inside: over a machine or a wheel."""

    width: Length = needed("How far it reaches along the width.")
    depth: Length = needed("How far it reaches along the depth.")
    height: Length = needed("How high it stands above the floor.")


class InsideSheet(OutsideSheet):
    """The room inside, liner to liner."""

    step: StepSheet | None = key("A block missing from a lower corner; sides are the room's.")
    usable: Volume | None = key("What can be filled.")


class InsulationSheet(Sheet):
    """What keeps the heat out."""

    material: Text = needed("XPS, EPS, PU foam, vacuum panel …")
    thickness: Length | None = key("Thickness of the wall.")


class ClaimsSheet(Sheet):
    """What the maker states; printed beside what was measured."""

    coldest: Temperature | None = key("Coldest inside.")
    power: Power | None = key("Rated power.")
    power_is: choice("largest", "running", "mean", what="power") | None = key(
        'Which power that is; "up to 52 W" is the largest.')
    volume: Volume | None = key("Volume.")
    volume_is: choice("inside", "usable", what="volume") | None = key("Which volume that is.")
    sound: SoundLevel | None = key("Sound level.")
    daily_energy: DailyEnergy | None = key("Energy a day.")
    ambient: Temperature | None = key("Ambient at which coldest and energy are claimed.")


class RefrigerantSheet(Sheet):
    """What circulates, as the name plate says."""

    name: Text = needed('As on the name plate: "R600a", "R134a" …')
    charge: Mass | None = key("Mass of the filling.")


class ModulesSheet(Sheet):
    """Thermoelectric modules, from their data sheet."""

    count: Count = needed("All modules together.")
    series: Count | None = key("Modules in one string.")
    i_max: Current | None = key("Current of the largest difference.")
    v_max: Voltage | None = key("Voltage of the largest difference.")
    dt_max: Kelvins | None = key("Largest difference without heat flow.")
    t_hot: Temperature | None = key("Hot side temperature of these values.")


class UnitSheet(Sheet):
    """A compressor unit as it would be taken out whole: its bay, its plate and its lines."""

    width: Length | None = key("Bay of compressor, condenser and fan: along the box's width.")
    depth: Length | None = key("… along its depth.")
    height: Length | None = key("… height.")
    mass: Mass | None = key("Mass of the unit.")
    plate_width: Length | None = key("Evaporator plate, laid flat: width.")
    plate_height: Length | None = key("… height.")
    line_reach: Length | None = key("How far the plate can stand from the bay, lines unbent.")
    vent_area: Area | None = key("Free area that its manual asks for.")


class CoolerSheet(Sheet):
    """coolers/ID.toml: one cooler."""

    name: Text = needed("What the report calls it.")
    technology: choice(*TECHNOLOGIES, what="technology") = needed("What makes it cold.")
    origin: choice("bought", "lent", "built", what="origin") = needed("Where it came from.")
    supply: Voltage | None = key("Nominal supply voltage.")
    mass: Mass | None = key("Empty mass.")
    lid: choice("top", "front", "drawer", what="lid") | None = key("Where it opens.")
    lid_height: Length | None = key("Height above the box that the open lid needs.")
    door_swing: Length | None = key("Room in front that the open door or drawer needs.")
    upright_only: YesNo | None = key("It may only be used and carried upright.")
    auxiliary: Power | None = key("Fans, pump, light: what is drawn beside the machine.")
    liner: LinerSheet | None = key("The inner lining.")
    design_of: Text | None = key("Id of the cooler that this one is a new design of.")
    price: PriceSheet | None = key("What it costs.")
    outside: OutsideSheet | None = key("Outside sizes, or the volume.")
    inside: InsideSheet | None = key("Inside sizes, or the volume, and what can be filled.")
    insulation: InsulationSheet | None = key("What keeps the heat out.")
    claims: ClaimsSheet | None = key("What the maker states.")
    refrigerant: RefrigerantSheet | None = key("What circulates.")
    modules: ModulesSheet | None = key("Thermoelectric modules.")
    hot_side: Text | None = key("Name of the campaign's [[hot_side]] that is fitted to them.")
    unit: UnitSheet | None = key("The compressor unit, if it may be moved.")
    note: Text | None = key("Whatever else the reader should know.")

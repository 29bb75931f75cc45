"""The cycle card: textbook cycles as a group's readings, gauges, inferred pressures, slips.

Textbook values with their sources and tolerances: ``tests/reference/vapour.csv``.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from lab_group import made_up, opened, outside_its_magnitude, plain, published, readings, solved
from lab_group import written as write

from coldbench.course.cards.cycle_on_ph import cycle_steps
from coldbench.errors import UserError
from coldbench.physics.refrigerant import props

COOLER = """\
name = "Trainer"
technology = "compressor"
origin = "built"
refrigerant = {{ name = "{}" }}
"""
RUN = 'cooler = "box"\nkind = ["steady"]\nstart = 2031-06-14T09:00:00\nambient = "25 °C"\n'
EXAMPLE = {"suction": "-10.0 °C", "discharge": "50.0 °C", "liquid": "26.0 °C"}


def group(tmp_path: Path, pressures: dict[str, str], instrument: str = "absolute",
          fluid: str = "R134a", places: dict[str, str] = EXAMPLE, **surfaces: str):
    rows = [("probe", places | surfaces), ("meter", {"power": "100.0 W"})]
    text = readings(*([(instrument, pressures)] if pressures else []), *rows)
    text = text.replace('instrument = "meter"\n', 'instrument = "meter"\nmetered_at = "dc"\n')
    return opened("cycle_on_ph", write(tmp_path, COOLER.format(fluid), RUN + text))


def saturated(fluid: str, pressure: float) -> float:
    return float(props("T", "P", pressure, "Q", 1.0, fluid)) - 273.15


def test_the_real_cycle_of_the_textbook(tmp_path):
    """0.14 MPa and −10 °C to 0.8 MPa and 50 °C, liquid at 26 °C; the whole way from the sheet."""
    values = published("vapour")
    found = solved(group(tmp_path, {"pressure_low": "140 kPa", "pressure_high": "0.8 MPa"}))
    assert found["cycle_cop"].value == pytest.approx(values["real_cop"], abs=0.01)
    efficiency = found["isentropic_efficiency"].value
    assert efficiency == pytest.approx(values["real_efficiency"], abs=0.003)
    assert found["rejected_heat"].value == pytest.approx(
        found["cooling_heat"].value + found["compression_work"].value)


def test_a_gauge_reads_from_the_air(tmp_path):
    """The same states, the gauge 101.325 kPa lower; the weather widens what is expected."""
    absolute = group(tmp_path / "a", {"pressure_low": "140 kPa", "pressure_high": "800 kPa"})
    read = {"pressure_low": "38.7 kPa", "pressure_high": "698.7 kPa"}
    gauge = solved(group(tmp_path / "g", read, "gauge"))
    for name, one in solved(absolute).items():
        assert gauge[name].value == pytest.approx(one.value, rel=2e-3), name
    weather = gauge["pressure_low"]
    assert weather.high - weather.low > 4.0


def test_the_ideal_cycles_of_the_textbooks():
    """Saturated gas, compressed without loss, saturated liquid: COP, capacity, power."""
    values = published("vapour")
    for low, high, cop in (
        (140.0, 800.0, "ideal_cop"),
        (float(props("P", "T", 263.15, "Q", 1.0, "R134a")) / 1e3, 900.0, "nine_bar_cop"),
        (*(float(props("P", "T", t, "Q", 1.0, "R134a")) / 1e3 for t in (268.15, 308.15)),
         "five_cop"),
    ):
        suction, liquid = (saturated("R134a", 1e3 * p) for p in (low, high))
        entropy = float(props("S", "P", 1e3 * low, "Q", 1.0, "R134a"))
        discharge = float(props("T", "P", 1e3 * high, "S", entropy, "R134a")) - 273.15
        found = cycle_steps({}, "R134a", plain(low, high), plain(suction, discharge, liquid))
        tolerance = 0.06 if cop == "five_cop" else 0.01  # the rows' own
        assert found["cycle_cop"].value == pytest.approx(values[cop], abs=tolerance)
        assert found["isentropic_efficiency"].value == pytest.approx(1.0, abs=1e-3)
        if cop == "ideal_cop":
            heat, work = found["cooling_heat"].value, found["compression_work"].value
            assert 0.05 * heat == pytest.approx(values["ideal_cooling"], abs=0.02)
            assert 0.05 * work == pytest.approx(values["ideal_power"], abs=0.01)
        if cop == "five_cop":  # from the same reference state, tables within 0.3 %
            for asked, id_ in (("enthalpy_suction", "five_suction"),
                               ("enthalpy_liquid", "five_liquid")):
                assert found[asked].value == pytest.approx(values[id_], rel=0.003)


@pytest.mark.parametrize("fluid", ["R600a", "R134a"])
def test_rating_points(fluid):
    """−23.3 and 54.4 °C, gas and liquid at 32.2 °C, compressed without loss."""
    low, high = (float(props("P", "T", t + 273.15, "Q", 1.0, fluid)) for t in (-23.3, 54.4))
    entropy = float(props("S", "P", low, "T", 32.2 + 273.15, fluid))
    discharge = float(props("T", "P", high, "S", entropy, fluid)) - 273.15
    found = cycle_steps({}, fluid, plain(low / 1e3, high / 1e3), plain(32.2, discharge, 32.2))
    rated = published("vapour")[f"rated_{fluid.lower()}"]
    assert found["cycle_cop"].value == pytest.approx(rated, rel=0.005)
    assert found["superheat"].value == pytest.approx(55.5, abs=0.01)
    assert found["subcooling"].value == pytest.approx(22.2, abs=0.01)


def test_without_gauges_pressures_are_inferred_and_labelled(tmp_path):
    inferred = solved(group(tmp_path, {}, cold_side="-18.8 °C", hot_side="31.3 °C"))
    low = inferred["pressure_low"]
    assert low.value == pytest.approx(140, abs=1)  # 0.14 MPa boils at −18.76 °C
    assert "inferred" in low.note
    assert low.high - low.low > 15  # 2 K of the surface are 11 kPa


def test_what_is_not_said_is_refused(tmp_path):
    pressures = {"pressure_low": "140 kPa", "pressure_high": "800 kPa"}
    with pytest.raises(UserError, match="from vacuum or from the air's pressure"):
        solved(group(tmp_path / "kind", pressures, "unsaid"))
    with pytest.raises(UserError, match="neither pressure_low nor the surface"):
        solved(group(tmp_path / "none", {}))
    with pytest.raises(UserError, match="no such refrigerant"):
        solved(group(tmp_path / "fluid", pressures, fluid="R999x"))
    swapped = dict(zip(pressures, reversed(pressures.values()), strict=True))
    with pytest.raises(UserError, match="the readings make no cycle"):
        solved(group(tmp_path / "swapped", swapped))


def test_a_slip_is_carried_forward(tmp_path):
    work = group(tmp_path, {"pressure_low": "140 kPa", "pressure_high": "800 kPa"})
    own = solved(work)
    carried = solved(work, cooling_heat=100.0, compression_work=50.0)
    assert carried["cycle_cop"].value == pytest.approx(2.0)
    assert carried["cooling_heat"] == own["cooling_heat"]
    gauge_for_absolute = solved(work, pressure_low=38.7)
    boiling = saturated("R134a", 38.7e3)
    assert gauge_for_absolute["superheat"].value == pytest.approx(-10 - boiling, abs=0.01)
    bar_for_kilopascal = solved(work, pressure_low=0.14)
    assert bar_for_kilopascal["superheat"].value == pytest.approx(own["superheat"].value)


def test_a_made_up_group_is_plausible(tmp_path):
    work = opened("cycle_on_ph", made_up(tmp_path, "cycle_on_ph"))
    found = solved(work)
    assert set(found) == {one.name for one in work.card.asked}
    assert outside_its_magnitude(work) == []
    assert found["cycle_cop"].low < found["cycle_cop"].value < found["cycle_cop"].high


def test_the_page_says_where_pressures_come_from(tmp_path):
    from coldbench.course.circuit import pressures_told

    gauge = group(tmp_path / "g", {"pressure_low": "39 kPa", "pressure_high": "699 kPa"}, "gauge")
    _, facts = pressures_told(gauge)
    assert "101.325 kPa" in facts.plain() and "R134a" in facts.plain()
    (box,) = pressures_told(group(tmp_path / "i", {}, cold_side="-18.8 °C", hot_side="31.3 °C"))
    assert box.kind == "doubt" and "Low and high pressure inferred" in box.plain()
    (tmp_path / "g" / "parameters.toml").write_text('air_pressure = "95 kPa"\n', encoding="utf-8")
    stated = opened("cycle_on_ph", tmp_path / "g")
    assert "95 kPa" in pressures_told(stated)[1].plain()
    assert solved(stated)["pressure_low"].value == pytest.approx(39 + 95)


def test_the_chart_marks_what_was_answered_and_nothing_else(tmp_path):
    work = group(tmp_path, {"pressure_low": "140 kPa", "pressure_high": "800 kPa"})
    (blank,) = work.card.plots(work)
    assert not blank.data["line"].str.startswith("answered").any()
    work = work.typed(pressure_low="140 kPa", enthalpy_suction="400 kJ/kg",
                      enthalpy_discharge="436 kJ/kg")
    (marked,) = work.card.plots(work)
    lines = marked.data[marked.data["line"].str.startswith("answered")]
    assert lines.values.tolist() == [["answered 1", 400.0, 1.4]]

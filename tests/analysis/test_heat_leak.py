"""Heat leak of runs whose truth is made by hand."""

from __future__ import annotations

import numpy as np
import pytest

from coldbench.analysis.campaign import analyse_campaign, analyse_run
from coldbench.logs import read_runs
from coldbench.sheets import read_campaign

UA, C = 0.5, 0.0  # W/K; the box of these tests stores nothing, so that sums are exact
START = np.datetime64("2031-06-14T09:00")
CAMPAIGN = ('title = "x"\ntimezone = "UTC"\n[instruments.T]\nmeasures = "temperature"\n'
            'error = "0.1 K"\n')
COOLER = ('name = "Box"\ntechnology = "{}"\norigin = "built"\ninside = {{ volume = "20 L" }}\n'
          'liner = {{ material = "polypropylene", mass = "0.000001 kg" }}\n'
          'insulation = {{ material = "XPS", thickness = "0.0001 mm" }}\n')
HEAD = 'cooler = "box"\nkind = ["{}"]\nmachine = "{}"\nstart = 2031-06-14T09:00:00\n'


def log(columns: str, file: str = "a") -> str:
    return (f'\n[[log]]\nfile = "logs/{file}.csv"\ninstrument = "T"\ntime = {{ column = "time" }}\n'
            f"[log.columns]\n{columns}\n")


@pytest.fixture
def box(tmp_path):
    """Writes a campaign of one box and gives its findings by run."""
    def findings(runs: dict[str, str], logs: dict[str, dict], technology: str = "passive"):
        for name, text in {"campaign.toml": CAMPAIGN, "coolers/box.toml": COOLER.format(technology),
                           **{f"runs/{run}.toml": text for run, text in runs.items()}}.items():
            path = tmp_path / name
            path.parent.mkdir(exist_ok=True)
            path.write_text(text, encoding="utf-8")
        (tmp_path / "logs").mkdir(exist_ok=True)
        for name, columns in logs.items():
            count = len(next(iter(columns.values())))
            times = (START + np.arange(count) * np.timedelta64(5, "m")).astype(str)
            lines = ["time," + ",".join(columns)]
            lines += [",".join([t, *(f"{v[i]:.4f}" for v in columns.values())])
                      for i, t in enumerate(times)]
            (tmp_path / f"logs/{name}.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
        campaign = read_campaign(tmp_path)
        records = read_runs(campaign)
        alone = {run: [f for f in analyse_run(r, campaign).findings if f.finding == "heat_leak"]
                 for run, r in records.items()}
        return alone, analyse_campaign(campaign).findings
    return findings


def hours(count: float) -> np.ndarray:
    return np.arange(0, count * 12 + 1) / 12


def warm_up(mass: float, count: float = 30.0, ua: float = UA) -> dict[str, np.ndarray]:
    """Water that follows the air without a lag: one exponential."""
    t = hours(count) * 3600
    air = 25 - 22 * np.exp(-ua * t / (mass * 4186))
    return {"air_C": air, "load_C": air, "room_C": np.full(len(t), 25.0)}


WARM = HEAD.format("warm-up", "off") + '[[load]]\ncount = 1\nwater = "{} kg ± 0.001 kg"\n'
COLUMNS = 'air_C = "air"\nload_C = "load"\nroom_C = "ambient"'


def test_a_heater_in_a_settled_box(box):
    watts = UA * 20
    sheet = HEAD.format("heater", "out") + f'[heater]\npower = "{watts} W ± 0.05 W"\n'
    t = hours(8)
    air = 45 - 20 * np.exp(-t * 3)
    logs = {"a": {"air_C": air, "room_C": np.full(len(t), 25.0)}}
    (row,) = box({"r": sheet + log('air_C = "air"\nroom_C = "ambient"')}, logs)[0]["r"]
    assert row.at == "walls heater"
    assert row.value == pytest.approx(UA, rel=1e-3)
    assert row.low < UA < row.high
    assert row.conditions["wall"] == pytest.approx(35, abs=0.1)


@pytest.mark.parametrize("error", ["", 'error = "0.5 %"\n'])
def test_a_heater_read_in_volts_and_amperes(box, error, monkeypatch):
    """10 W as 12.5 V and 0.8 A, read twice by eye."""
    meters = "".join(f'[instruments.{name}]\nmeasures = "{name}"\n{error}'
                     for name in ("voltage", "current"))
    monkeypatch.setitem(globals(), "CAMPAIGN", CAMPAIGN + meters)
    readings = "".join(
        f'[[reading]]\nat = "{at} h"\ninstrument = "{name}"\n{name} = "{value}"\n'
        for at, name, value in ((1, "voltage", "12.4 V"), (7, "voltage", "12.6 V"),
                                (1, "current", "0.81 A"), (7, "current", "0.79 A")))
    t = hours(8)
    logs = {"a": {"air_C": 45 - 20 * np.exp(-t * 3), "room_C": np.full(len(t), 25.0)}}
    sheet = HEAD.format("heater", "out") + readings
    (row,) = box({"r": sheet + log('air_C = "air"\nroom_C = "ambient"')}, logs)[0]["r"]
    assert row.value == pytest.approx(UA, rel=1e-3)
    assert "volts and amperes" in row.note
    assert (row.low is None) == (not error)
    if error:
        assert row.low < UA < row.high


def test_a_warm_up_with_air_and_load(box):
    (row,) = box({"r": WARM.format(5) + log(COLUMNS)}, {"a": warm_up(5)})[0]["r"]
    assert row.value == pytest.approx(UA, rel=0.01)
    assert row.low < UA < row.high
    assert "% of the start difference lost" in row.note


def test_a_short_warm_up_gives_bounds(box):
    (row,) = box({"r": WARM.format(20) + log(COLUMNS)}, {"a": warm_up(20, 10.0)})[0]["r"]
    assert (row.basis, row.value) == ("bounded", None)
    assert row.low < UA < row.high
    assert "under 25 %" in row.note


def test_one_bottle_alone_is_a_lower_bound(box):
    logs = {"a": {k: v for k, v in warm_up(5).items() if k != "air_C"}}
    sheet = WARM.format(5) + log('load_C = "load"\nroom_C = "ambient"')
    (row,) = box({"r": sheet}, logs)[0]["r"]
    assert (row.basis, row.value, row.high) == ("bounded", None, None)
    assert row.low == pytest.approx(UA, rel=0.01)  # here the water is as cold as the air
    assert "low in trial" in row.note


def test_an_unpowered_thermoelectric_machine_lets_heat_back_in(box):
    alone, _ = box({"r": WARM.format(5) + log(COLUMNS)}, {"a": warm_up(5)}, "thermoelectric")
    assert alone["r"][0].at == "off warm-up"
    out = WARM.format(5).replace('"off"', '"out"')
    alone, _ = box({"r": out + log(COLUMNS)}, {"a": warm_up(5)}, "thermoelectric")
    assert alone["r"][0].at == "walls warm-up"


def test_melting_ice(box):
    t = hours(20)
    melted = UA * 21 * t[-1] * 3600 / 333_500
    sheet = HEAD.format("ice-melt", "out") + (
        f'[ice]\nmass = "4 kg"\nstart = "0 °C"\ndrained = "{melted + 0.04:.4f} kg"\n')
    logs = {"a": {"air_C": np.full(len(t), 4.0), "room_C": np.full(len(t), 25.0)}}
    (row,) = box({"r": sheet + log('air_C = "air"\nroom_C = "ambient"')}, logs)[0]["r"]
    assert row.value == pytest.approx(UA, rel=1e-3)  # 1 % of the ice was wet
    assert row.low < UA < row.high


def test_two_loads_together_tell_box_and_structure(box):
    """A structure of 6 kJ/K that follows the air: either warm-up alone would miss it."""
    structure = 6000.0
    runs, logs = {}, {}
    for name, mass in (("heavy", 10.0), ("light", 2.0)):
        t = hours(30) * 3600
        air = 25 - 22 * np.exp(-UA * t / (mass * 4186 + structure))
        logs[name] = {"air_C": air, "load_C": air, "room_C": np.full(len(t), 25.0)}
        runs[name] = WARM.format(mass) + log(COLUMNS, name)
    alone, found = box(runs, logs)
    assert alone["light"][0].value < 0.75 * UA
    by = {f.finding: f for f in found if "two loads" in f.at}
    assert by["heat_leak"].value == pytest.approx(UA, rel=0.01)
    assert by["structure_heat"].value == pytest.approx(structure / 1000, rel=0.05)
    assert by["heat_leak"].runs == ("heavy", "light")


def test_alike_loads_give_no_pair(box):
    runs = {name: WARM.format(5) + log(COLUMNS, name) for name in ("one", "two")}
    _, found = box(runs, {name: warm_up(5) for name in runs})
    assert not [f for f in found if "two loads" in f.at]


@pytest.mark.parametrize(("sheet", "needs"), [
    (HEAD.format("heater", "out"), "heater's power"),
    (HEAD.format("ice-melt", "out"), "water poured off"),
    (HEAD.format("warm-up", "off"), "load of known mass"),
    (WARM.format(5) + '[ice]\nmass = "2 kg"\n', "without ice"),
])
def test_what_is_missing_is_said(box, sheet, needs):
    alone, _ = box({"r": sheet + log(COLUMNS)}, {"a": warm_up(5)})
    assert alone["r"][0].basis == "not measured"
    assert needs in alone["r"][0].note

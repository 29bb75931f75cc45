"""Campaigns whose coolers share little or nothing, or whose sheets leave much out."""

from __future__ import annotations

import re

import pytest

# What a program lets slip when it prints a number that is not there.
SLIPS = re.compile(
    r"\bnan\b|\bNone\b(?! is known)|\binf\b|\bNaT\b|Traceback|Quantity\("
    r"|<[a-z.]+ object|\{\}|\d+\.\d{7,}"
)
NEEDS = """
[use]
days_per_year = 40
hours_per_day = "10 h"

[space]
width = "500 mm"
depth = "400 mm"
height = "450 mm"

[supply]
volts = "12 V"
days = 2
latitude = "47°"
longitude = "8°"
cable_length = "3 m"
cable_area = "2.5 mm2"

[musts]
coldest_at_most = "4 °C"
daily_energy_at_most = "500 Wh/d"
price_at_most = "300 EUR"
sound_at_most = "45 dB"
usable_at_least = "10 L"
fits_space = true
"""
BARE = 'name = "{}"\ntechnology = "compressor"\norigin = "lent"\n'


def checked(ran) -> str:
    """Words of the comparison, after a look for slips on every page."""
    for name, text in ran.texts.items():
        slips = [text[max(m.start() - 60, 0):m.end() + 40] for m in SLIPS.finditer(text)]
        assert not slips, f"{name}: {slips}"
    return ran.texts["comparison"]


def without(table: str, sheet: str) -> str:
    """A sheet less one of its tables."""
    return re.sub(rf"^\[{table}\]\n(?:[^\[\n].*\n|\n)*", "", sheet, flags=re.M)


def freezing_log() -> str:
    """Five hours down, nine at 0 °C, then on to -15 °C."""
    lines = ["min,air_C,load_C,ambient_C,power_W"]
    for i in range(0, 24 * 60 + 1, 5):
        h = i / 60
        load = 20 - 4 * h if h < 5 else 0.0 if h < 14 else max(-15, -3 * (h - 14))
        lines.append(f"{i},{max(-18, 20 - 12 * h):.2f},{load:.2f},24.5,40")
    return "\n".join(lines) + "\n"


def heater_log() -> str:
    """Ten hours with 8 W inside that end 16 K above an even ambient."""
    lines = ["min,air_C,load_C,ambient_C,power_W"]
    lines += [f"{i},{24.5 + 16 * min(1, i / 120):.2f},{24.5 + 16 * min(1, i / 120):.2f},24.5,8.0"
              for i in range(0, 601, 5)]
    return "\n".join(lines) + "\n"


def test_only_heater_only_freeze_only_sizes(bench, run_all):
    heat = bench.run("a", kind='["heater"]', setting="off", load="",
                     columns=("air", "ambient"), more='\n[heater]\npower = "8 W"\n')
    folder = bench.write(
        {"a": BARE.format("Box A"), "b": BARE.format("Box B"), "c": bench.cooler("Box C")},
        {"a": heat, "b": bench.run("b", kind='["freeze"]', columns=("air", "load", "ambient"))},
        {"a": heater_log(), "b": freezing_log()}, bench.campaign + NEEDS,
    )
    text = checked(run_all(folder))
    assert "The coolers have no finding in common; nothing can be compared." in text
    assert "cannot tell" in text
    assert "uses 500 Wh a day at most" in text  # stated as 500 Wh/d


@pytest.mark.parametrize("left_out", ["footing", "targets", "money", "space", "supply", "use",
                                      "musts", "disclosure"])
def test_a_table_left_out(bench, run_all, left_out):
    campaign = without(left_out, bench.campaign + NEEDS)
    assert f"[{left_out}]" not in campaign
    cooler = bench.cooler if left_out != "money" else BARE.format
    if left_out == "money":
        campaign = re.sub(r"price_at_most.*\n", "", campaign)
    folder = bench.write({n: cooler(f"Box {n}") for n in "ab"}, {n: bench.run(n) for n in "ab"},
                         {"a": bench.log(), "b": bench.log(on=0.6)}, campaign)
    text = checked(run_all(folder, coolers=["a"]))
    assert "Box a" in text and "12 Data behind the figures" in text


def test_a_log_without_ambient(bench, run_all):
    folder = bench.write(
        {n: bench.cooler(f"Box {n}") for n in "ab"},
        {"a": bench.run("a", columns=("air", "load", "power")), "b": bench.run("b")},
        {n: bench.log() for n in "ab"}, bench.campaign + NEEDS,
    )
    checked(run_all(folder))


def test_passive_beside_one_without_a_run(bench, run_all):
    folder = bench.write(
        {"a": bench.cooler("Ice box", "passive"), "b": bench.cooler("Other ice box", "passive")},
        {"a": bench.run("a", columns=("air", "load", "ambient"), kind='["pull-down"]')},
        {"a": bench.log(hours=8)}, bench.campaign + NEEDS,
    )
    checked(run_all(folder))


def test_all_needs_stated_of_one_cooler(bench, run_all):
    folder = bench.write({"a": bench.cooler()}, {"a": bench.run("a")}, {"a": bench.log()},
                         bench.campaign + NEEDS)
    assert "One cooler: nothing to compare it with." in checked(run_all(folder))

"""Campaigns that a person may well have: each gives a sensible report and says what is missing."""

from __future__ import annotations

import re

import pytest

from coldbench.report.page_typst import pdf_report

# What a program lets slip when it prints a number that is not there.
SLIPS = re.compile(
    r"\bnan\b|\bNone\b|\binf\b|\bNaT\b|Traceback|Quantity\(|<[a-z.]+ object|\(\)|\[\]|\{\}"
    r"|\d+\.\d{7,}|\d,\s*\)|\(\s*,|; \.|: \."
)
POWER_ONLY = ("power",)
TEMPERATURES = ("air", "load", "ambient")


def checked(ran) -> dict[str, str]:
    """Words of each page, after a look for what no page may hold."""
    for name, text in ran.texts.items():
        slips = [text[max(m.start() - 60, 0):m.end() + 40] for m in SLIPS.finditer(text)]
        assert not slips, f"{name}: {slips}"
        assert " |  | " not in text and "  " not in text.replace("\n", " "), name
    for name, page in ran.pages.items():
        assert "<script" not in page and "://" not in _without_namespaces(page), name
    return ran.texts


def _without_namespaces(page: str) -> str:
    return re.sub(r"http://www\.w3\.org/[\w/]+", "", page)


def test_one_cooler(bench, run_all):
    folder = bench.write({"a": bench.cooler()}, {"a": bench.run("a")}, {"a": bench.log()})
    ran = run_all(folder)
    texts = checked(ran)
    assert "One cooler: nothing to compare it with." in texts["comparison"]
    assert "Wh/d" in texts["comparison"] and "± " in texts["comparison"]
    assert pdf_report(ran.notebooks["comparison"]).startswith(b"%PDF")


def test_twelve_coolers(bench, run_all):
    names = [f"box-{i}" for i in range(12)]
    folder = bench.write(
        {n: bench.cooler(f"Box number {i}") for i, n in enumerate(names)},
        {n: bench.run(n) for n in names},
        {n: bench.log(on=0.2 + 0.04 * i, setpoint=2 + i / 2) for i, n in enumerate(names)},
    )
    ran = run_all(folder, coolers=["box-7"])
    text = checked(ran)["comparison"]
    for i in range(12):
        assert f"Box number {i}" in text
    assert pdf_report(ran.notebooks["comparison"]).startswith(b"%PDF")


def test_nothing_in_common(bench, run_all):
    bare = 'name = "{}"\ntechnology = "compressor"\norigin = "lent"\n'
    folder = bench.write(
        {"a": bare.format("Box A"), "b": bare.format("Box B")},
        {"a": bench.run("a", columns=TEMPERATURES, kind='["pull-down"]'),
         "b": bench.run("b", columns=POWER_ONLY, kind='["steady"]')},
        {"a": bench.log(hours=4), "b": bench.log()},
    )
    text = checked(run_all(folder))["comparison"]
    assert "The coolers have no finding in common; nothing can be compared." in text


def test_the_barest_campaign_sheet(bench, run_all):
    # No targets, footing, money, disclosure, instruments.
    run = re.sub(r', instrument = "\w+"', "", bench.run("a"))
    folder = bench.write(
        {"a": bench.cooler().replace('price = { paid = "120 EUR" }', "")}, {"a": run},
        {"a": bench.log()}, campaign='title = "Bare"\ntimezone = "UTC"\n',
    )
    ran = run_all(folder)
    text = checked(ran)["comparison"]
    assert "not stated" in text
    assert "needs temperatures in [targets] of campaign.toml" in text
    assert pdf_report(ran.notebooks["comparison"]).startswith(b"%PDF")


def test_errors_not_stated_give_no_interval_and_no_verdict(bench, run_all):
    campaign = bench.campaign.partition("[instruments.probes]")[0]
    runs = {n: re.sub(r', instrument = "\w+"', "", bench.run(n)) for n in "ab"}
    bare = {n: f'name = "Box {n.upper()}"\ntechnology = "compressor"\norigin = "lent"\n'
            for n in "ab"}
    folder = bench.write(
        bare, runs, {"a": bench.log(), "b": bench.log(on=0.6)}, campaign=campaign,
    )
    text = checked(run_all(folder))["comparison"]
    assert "error not stated" in text
    section = text.partition("5 Which differences are real")[2].partition("6 What is missing")[0]
    assert "±" not in section
    assert not re.search(r"less than Box|more than Box|sooner than|later than", text)


def test_passive_only(bench, run_all):
    folder = bench.write(
        {"a": bench.cooler("Ice box", "passive")},
        {"a": bench.run("a", columns=TEMPERATURES, kind='["pull-down"]')},
        {"a": bench.log(hours=8)},
    )
    texts = checked(run_all(folder))
    assert "a passive box draws nothing" in texts["comparison"]
    assert "A passive box draws nothing" in texts["cooler a"]


def test_power_without_temperatures(bench, run_all):
    folder = bench.write(
        {"a": bench.cooler()},
        {"a": bench.run("a", columns=POWER_ONLY, kind='["steady"]', load="")},
        {"a": bench.log()},
    )
    texts = checked(run_all(folder))
    assert "not measured" in texts["comparison"]


def test_readings_by_hand_only(bench, run_all):
    run = """
cooler = "a"
kind = ["steady"]
start = 2031-06-14T09:00:00
ambient = "24 °C"

[[reading]]
at = "0 min"
energy = "10.00 kWh"
instrument = "counter"
metered_at = "wall"

[[reading]]
at = "24 h"
energy = "10.45 kWh"
instrument = "counter"
metered_at = "wall"
"""
    counter = ('\n[instruments.counter]\nmeasures = "energy"\nerror = "2 %"\n'
               'counter_step = "0.01 kWh"\n')
    folder = bench.write({"a": bench.cooler()}, {"a": run}, {}, bench.campaign + counter)
    texts = checked(run_all(folder))
    assert "neither the inside nor the power was logged" in texts["comparison"]
    assert "Read by hand" in texts["log_check"] and "10450" in texts["log_check"]


HOSTILE = "<script>alert(1)</script> # * ] [ $x$ \\\\ {brace} 🧀 冷藏箱 שלום `c` _i_ &amp;"


def test_hostile_words(bench, run_all):
    shown = HOSTILE.replace("\\\\", "\\")
    folder = bench.write(
        {"a": bench.cooler(HOSTILE.replace("{", "{{").replace("}", "}}").format())
         + f'note = "{HOSTILE}"\n',
         "b": bench.cooler("Other")},
        {"a": bench.run("a", more=f'note = "{HOSTILE}"\nprotocol = "{HOSTILE}"\n'),
         "b": bench.run("b")},
        {"a": bench.log(), "b": bench.log(on=0.6)},
        bench.campaign.replace('"Boxes on a bench"', f'"{HOSTILE}"\nquestion = "{HOSTILE}"'),
    )
    ran = run_all(folder, coolers=["a"])
    for name, page in ran.pages.items():
        assert "<script" not in page
        assert " ".join(shown.split()) in " ".join(ran.texts[name].split()), name
    for name in ("comparison", "cooler a"):
        assert pdf_report(ran.notebooks[name]).startswith(b"%PDF")


def test_a_cooler_without_runs(bench, run_all):
    folder = bench.write(
        {"a": bench.cooler("Box A"), "b": bench.cooler("Box B")}, {"a": bench.run("a")},
        {"a": bench.log()},
    )
    texts = checked(run_all(folder, coolers=["b"]))
    assert "Not measured: needs a run of kind “pull-down”" in texts["cooler b"]
    assert "not measured" in texts["comparison"]


def test_never_steady(bench, run_all):
    folder = bench.write(
        {"a": bench.cooler()}, {"a": bench.run("a")}, {"a": bench.log(steady=False)}
    )
    texts = checked(run_all(folder))
    assert "not steady" in texts["comparison"]
    assert "Its daily energy was not measured at a steady state." in texts["comparison"]


@pytest.mark.parametrize("gap", [(1.0, 3.5), (14.0, 16.0)])
def test_a_gap_in_the_log(bench, run_all, gap):
    folder = bench.write({"a": bench.cooler()}, {"a": bench.run("a")}, {"a": bench.log(gap=gap)})
    texts = checked(run_all(folder))
    assert "gap" in texts["comparison"].partition("6 What is missing")[2]


def test_freezing_without_power(bench, run_all):
    lines = ["min,air_C,load_C,ambient_C,power_W"]
    for i in range(0, 24 * 60 + 1, 5):
        h = i / 60
        load = 20 - 4 * h if h < 5 else 0.0 if h < 14 else max(-15, -3 * (h - 14))
        lines.append(f"{i},{max(-18, 20 - 12 * h):.2f},{load:.2f},24.5,40")
    folder = bench.write(
        {"a": bench.cooler()},
        {"a": bench.run("a", kind='["freeze"]', columns=TEMPERATURES)},
        {"a": "\n".join(lines) + "\n"},
    )
    texts = checked(run_all(folder))
    assert re.search(r"Freezing time \| 14\.\d", texts["comparison"])


def test_very_long_names(bench, run_all):
    long = "Cool box of the large sort with a name that never ends " * 3
    folder = bench.write(
        {"a" * 60: bench.cooler(long.strip()), "b": bench.cooler("W" * 120)},
        {"a" * 60: bench.run("a" * 60), "b": bench.run("b")},
        {"a" * 60: bench.log(), "b": bench.log(on=0.6)},
    )
    ran = run_all(folder, coolers=["b"])
    checked(ran)
    assert pdf_report(ran.notebooks["comparison"]).startswith(b"%PDF")

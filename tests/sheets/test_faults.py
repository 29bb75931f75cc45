"""One spoilt sheet for each fault: its place and its words."""

from __future__ import annotations

import pytest

C, K, R = "campaign.toml", "coolers/chest.toml", "runs/second.toml"

# File, line of the fault, text that stands there, spoilt text, words that the message holds.
SPOILT = [
    (C, 9, 'ambient = "25 °C"', "ambient = 25",
     ["unit is missing", 'write "25 °C"']),
    (C, 9, 'ambient = "25 °C"', 'ambient = "25"',
     ["unit is missing", 'write "25 °C"']),
    (C, 9, 'ambient = "25 °C"', 'ambient = "25 mm"',
     ["found a length", "needs a temperature"]),
    (C, 9, 'ambient = "25 °C"', 'ambient = "25 C"',
     ['write "25 °C"']),
    (C, 9, 'ambient = "25 °C"', 'ambient = "-300 °C"',
     ["-273.15 °C or more"]),
    (C, 9, 'ambient = "25 °C"', 'ambient = "warm"',
     ["not a temperature", "warm"]),
    (C, 36, 'battery_efficiency = "95 %"', 'battery_efficiency = "950 %"',
     ["at most 100 %"]),
    (C, 14, '["10 °C", "4 °C", ', '["10 °C", "4", ',
     ["targets, temperatures 2", 'write "4 °C"']),
    (C, 16, '["4 °C", "8 °C"]', '["4 °C"]',
     ["hold 1", "too short", "at least 2"]),
    (C, 49, 'tariff = "0.32 EUR/kWh"', 'tariff = "0.32 €/kWh"',
     ["EUR/kWh"]),
    (C, 49, 'tariff = "0.32 EUR/kWh"', 'tariff = "0.32 EUR"',
     ["0.32 EUR/kWh"]),
    (C, 48, 'currency = "EUR"', 'currency = "euro"',
     ["three-letter code"]),
    (C, 69, 'error = "0.5 K"', "error = 0.5",
     ["instruments, T1, error", 'write "0.5 K"']),
    (C, 69, 'error = "0.5 K"', 'error = "0.5 W"',
     ["found a power", "temperature difference"]),
    (C, 70, 'resolution = "0.1 K"', 'resolution = "0.1"',
     ['write "0.1 K"']),
    (C, 4, "date = 2031-06-14", 'date = "14.6.2031"',
     ["2031-06-14", "without quotes"]),
    (C, 34, "days = 2", 'days = "2 d"',
     ["plain number"]),
    (C, 64, "fits_space = true", 'fits_space = "yes"',
     ["true, false"]),
    (C, 103, 'donor = "chest"', 'donor = "peltier"',
     ["design, donor", "only a compressor unit", "thermoelectric"]),
    (C, 118, 'material = "XPS"', 'material = "foam"',
     ["board 1, material", "vacuum panel"]),
    (C, 128, 'price = "58 EUR"', 'price = "58 USD"',
     ["hot_side 1, price", "currency differs"]),
    (K, 21, 'hot_side = "radiator with', 'hot_side = "radiator wiht',
     ["hot_side", "there is no [[hot_side]]", "radiator with two slow fans"]),
    (K, 5, 'mass = "11.5 kg"', 'mass = "11,5 kg"',
     ['write "11.5 kg"']),
    (K, 5, 'mass = "11.5 kg"', 'mass = "-11.5 kg"',
     ["more than 0 kg"]),
    (K, 17, 'charge = "28 g"', 'charge = "28"',
     ['write "28 kg"']),
    (K, 18, "count = 4", 'count = "4"',
     ["whole number", "1 or more"]),
    (R, 18, 'water = "330 mL"', "water = 330",
     ["load 1, water", "unit is missing"]),
    (R, 46, 'load_2 = "76 °F"', "load_2 = 76",
     ["reading 1, load_2", 'write "76 °C"']),
    (R, 57, 'at = "3 h"', "at = 3",
     ["mark 1, at", 'write "3 h"']),
    (R, 9, "start = 2031-06-14T09:00:00", "start = 2031-06-14",
     ["2031-06-14T09:00:00"]),
    (K, 2, '"compressor"', '"compresor"',
     ["no technology of that name", 'write "compressor"', "passive"]),
    (R, 2, '"pull-down", "steady"', '"pull-down", "stedy"',
     ["kind 2", 'write "steady"']),
    (R, 58, 'what = "lid opened"', 'what = "lid open"',
     ["no mark", 'write "lid opened"']),
    (R, 38, 'CH2 = "load"', 'CH2 = "laod"',
     ["log 1, columns, CH2", 'write "load"']),
    (R, 19, 'material = "aluminium"', 'material = "aluminum"',
     ['write "aluminium"']),
    (R, 38, 'CH2 = "load"', 'CH2 = "air"',
     ["two columns have the role air", "CH1 and CH2", "air_2"]),
    (R, 30, 'metered_at = "dc"\ndelimiter', 'metered_at = "DC"\ndelimiter',
     ["dc, wall, battery"]),
    (C, 74, 'measures = "power"', 'measures = "powr"',
     ['write "power"']),
    (C, 10, 'inside = "4', 'insied = "4',
     ["unknown key 'insied' in footing", "write inside"]),
    (K, 7, "lid_height = ", "lidheight = ",
     ["unknown key 'lidheight'", "write lid_height"]),
    (K, 14, "usable = ", "useable = ",
     ["in inside", "write usable"]),
    (K, 14, 'step = { width = "90 mm"', 'step = { width = "420 mm"',
     ["inside, step, width", "at most 410 mm"]),
    (K, 14, 'inside = { width = "410 mm", ', "inside = { ",
     ["inside, step, width", "with inside width"]),
    (R, 44, 'air = "24.1 °C"', 'aire = "24.1 °C"',
     ["unknown key 'aire' in reading 1", "write air"]),
    (R, 82, 'length = "15 s"', 'length = "15 s"\nprotocol = "x"',
     ["move it above the first [table]"]),
    (C, 1, 'title = "Three boxes for a Saturday stall"\n', "",
     ["key 'title' is missing", "add a line: title ="]),
    (K, 1, 'technology = "compressor"\n', "",
     ["key 'technology' is missing", 'technology = "compressor"']),
    (R, 56, 'what = "lid opened"\n', "",
     ["key 'what' is missing in mark 1", 'what = "power on"']),
    (C, 18, '[use]\ndays_per_year = 52\nhours_per_day = "12 h"\nstart = "warm"\n'
     'can = { diameter = "66 mm", height = "115 mm" }', "use = 5",
     ["above the first [table]"]),
    (C, 91, "[[earlier]]", "[earlier]",
     ["a list is wanted", "[[earlier]]"]),
    (R, 1, 'cooler = "chest"', 'cooler = "chset"',
     ["no cooler 'chset'", 'write "chest"']),
    (R, 8, 'repeat_of = "first"', 'repeat_of = "frist"',
     ["repeat_of", 'write "first"']),
    (R, 8, 'repeat_of = "first"', 'repeat_of = "second"',
     ["no other run 'second'"]),
    (R, 8, 'cooler = "chest"', 'cooler = "peltier"',
     ["of another cooler"]),
    (R, 24, 'instrument = "T1"\ntimezone', 'instrument = "T2"\ntimezone',
     ["no instrument 'T2'"]),
    (R, 47, 'load_2 = "76 °F"\ninstrument = "T1"', 'load_2 = "76 °F"\ninstrument = "T9"',
     ["reading 1, instrument"]),
    (R, 40, 'role = "power", instrument = "E1"', 'role = "power", instrument = "T1"',
     ["T1 does not measure power"]),
    (R, 39, 'unit = "°F"', 'unit = "W"',
     ["does not fit the role ambient", "a power"]),
    (R, 22, 'metered_at = "dc"\ndelimiter', "delimiter",
     ["where power was metered", "wall"]),
    (R, 23, 'file = "logs/x.csv"', 'file = "logs/y.csv"',
     ["no such file", "did you mean x.csv"]),
    (R, 23, 'file = "logs/x.csv"', 'file = "../x.csv"',
     ["outside the campaign folder"]),
    (R, 23, 'file = "logs/x.csv"', 'file = "/srv/x.csv"',
     ["in the campaign folder", "logs/x.csv"]),
    (R, 23, 'file = "logs/x.csv"', "file = 'D:\\data\\x.csv'",
     ["in the campaign folder"]),
    (R, 26, 'format = "%d.%m.%Y %H:%M:%S"', 'format = "%H", elapsed = "s"',
     ["told in two ways"]),
    (R, 25, 'timezone = "UTC"', 'timezone = "Europe/Pariss"',
     ['write "Europe/Paris"']),
    (R, 62, 'drained = "0.62 kg"', 'drained = "1.62 kg"',
     ["more water was poured off"]),
    (R, 14, 'to = "32 h"', 'to = "6 h"',
     ["ends before it begins"]),
    (R, 42, "start = 2031-06-14T09:00:00\n", "",
     ["counts from the start"]),
    (R, 9, "start = 2031-06-14T09:00:00", "start = 2031-03-30T02:30:00",
     ["never came", "+01:00"]),
    (R, 9, "start = 2031-06-14T09:00:00", "start = 2031-10-26T02:30:00",
     ["came twice", "+02:00"]),
    (C, 5, '"Europe/Paris"', '"Europe/Pariis"',
     ["no time zone", 'write "Europe/Paris"']),
    (C, 6, '"peltier", "ice-box"]', '"peltier", "icebox"]',
     ["order 3", 'write "ice-box"']),
    (C, 92, "../spring/out", "../sprung/out",
     ["no such file of findings"]),
    (C, 88, "photos/a.jpg", "photos/b.jpg",
     ["disclosure, photo, file: no such file"]),
    (K, 12, 'paid = "180 EUR"', 'paid = "180 CHF"',
     ["price, paid: currency differs", "EUR"]),
    (K, 11, 'design_of = "ice-box"', 'design_of = "icebox"',
     ['write "ice-box"']),
]  # fmt: skip


@pytest.mark.parametrize(("file", "line", "old", "new", "words"), SPOILT)
def test_each_fault_has_its_place_and_its_words(change, faults, file, line, old, new, words):
    change(file, old, new)
    told = faults()
    here = [str(fault) for fault in told if fault.where == f"{file}:{line}"]
    assert len(here) == 1, "\n".join(map(str, told))
    for word in words:
        assert word in here[0]


def test_faults_of_all_sheets_are_told_at_once_in_order(change, write, faults):
    change(C, 'inside = "4 °C"', "inside = 4")
    change(C, '[[earlier]]\nfindings', '[[earlier]]\nfinding')
    change(K, 'mass = "11.5 kg"', 'mass = "11.5 mm"')
    change(K, 'lid = "top"', 'lid = "side"')
    change(R, 'cooler = "chest"', 'cooler = "chast"')
    change(R, 'file = "logs/x.csv"', 'file = "logs/gone.csv"')
    write({"runs/first.toml": 'cooler = "chest"\nkind = ["pull-down"]\nkind = ["steady"]\n'})
    change("coolers/ice-box.toml", 'origin = "lent"\n', "")
    places = [fault.where for fault in faults()]
    assert places == [
        f"{C}:10", f"{C}:91", f"{C}:92", f"{K}:5", f"{K}:6", "coolers/ice-box.toml:1",
        "runs/first.toml:3", f"{R}:1", f"{R}:23",
    ]


# Whole text of a sheet that is not TOML, line, words.
NOT_TOML = [
    ('title = "x"\n[footing]\nambient = 25 °C\n', 3,
     ['put the value in quotes: ambient = "25 °C"']),
    ("title = Cool boxes\n", 1, ['title = "Cool boxes"']),
    ('title = "x"   question = "y"\n', 1, ["each key on a line of its own"]),
    ('title: "x"\n', 1, ['write = between key and value: title = "x"']),
    ("title = “x”\n", 1, ["straight quotes"]),
    ('title = "x\n', 1, ["close the quote"]),
    ('title = "x"\ntitle = "y"\n', 2, ["stands twice"]),
    ("[musts]\nfits_space = True\n", 2, ["write fits_space = true"]),
    ('title = "logs\\x.csv"\n', 1, ["write / between folders"]),
    ("[space]\nclearance = { sides = \"20 mm\"\n back = \"5 mm\" }\n", 2, ["on one line"]),
    ("[footing\n", 1, ["campaign.toml:1"]),
    ("date = [\n", 1, ["ends too early"]),
    ("just words\n", 1, ["just words"]),
]  # fmt: skip


@pytest.mark.parametrize(("text", "line", "words"), NOT_TOML)
def test_what_is_not_toml_is_told_with_a_likely_mend(write, faults, text, line, words):
    write({C: text})
    here = [str(fault) for fault in faults() if fault.where == f"{C}:{line}"]
    assert len(here) == 1, here
    for word in words:
        assert word in here[0]


def test_other_sheets_are_read_past_a_broken_one(write, change, faults):
    write({C: "title = \n"})
    change(K, 'lid = "top"', 'lid = "side"')
    assert [fault.where for fault in faults()] == [f"{C}:1", f"{K}:6"]

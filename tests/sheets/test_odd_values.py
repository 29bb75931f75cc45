"""Whatever stands in a sheet, a user sees faults with places, never a traceback."""

from __future__ import annotations

import random
import re

import pytest

from coldbench.errors import UserError
from coldbench.sheets import read_campaign

SHEETS = ["campaign.toml", "coolers/chest.toml", "runs/second.toml"]
ODD = [
    "5", "nan", '" "', '"x"', '"\\u0000"', "true", "[]", '[[""]]', "{ air = {} }", "[{}]",
    "2031-06-14", "09:00:00", f'"{"9" * 400} kg"', '"1e999 kg"', '"../../x"',
    f'"{"x" * 400}/y"',
]


def told(folder) -> None:
    """Read; where it fails, each fault has a place."""
    try:
        read_campaign(folder)
    except UserError as error:
        for fault in error.faults:
            assert re.match(r"[\w./-]+(:\d+)?$", fault.where), fault
            assert fault.what
            assert "Error" not in str(fault)


@pytest.mark.parametrize("odd", ODD)
@pytest.mark.parametrize("name", SHEETS)
def test_an_odd_value_in_each_key_in_turn(folder, name, odd):
    path = folder / name
    rows = path.read_text(encoding="utf-8").splitlines()
    for i, row in enumerate(rows):
        if " = " in row:
            spoilt = [*rows[:i], f"{row.split(' = ')[0]} = {odd}", *rows[i + 1 :]]
            path.write_text("\n".join(spoilt), encoding="utf-8", newline="\n")
            told(folder)


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_with_pieces_missing_or_moved(folder, name):
    path = folder / name
    text = path.read_text(encoding="utf-8")
    rng = random.Random(20310614)
    for _ in range(60):
        begin = rng.randrange(len(text))
        end = min(len(text), begin + rng.randrange(1, 40))
        piece = rng.choice(["", text[begin:end][::-1], '"', "[", "\n", " = ", "\\", "'''"])
        path.write_text(text[:begin] + piece + text[end:], encoding="utf-8", newline="\n")
        told(folder)


def test_noise(folder):
    rng = random.Random(20310614)
    for name in SHEETS:
        (folder / name).write_bytes(rng.randbytes(3000))
    told(folder)

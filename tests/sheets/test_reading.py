"""A campaign in order, and folders that are none."""

from __future__ import annotations

import datetime as dt
import hashlib
import os

import pytest

from coldbench.errors import UserError
from coldbench.quantities import ErrorLimit
from coldbench.sheets import read_campaign
from coldbench.sheets.types import Sheet

C, K, R = "campaign.toml", "coolers/chest.toml", "runs/second.toml"


def test_values_arrive_in_the_units_of_their_kinds(folder):
    campaign = read_campaign(folder)
    sheet, cooler, run = campaign.sheet, campaign.coolers["chest"], campaign.runs["second"]
    assert sheet.footing.ambient.value == 25
    assert [q.value for q in sheet.targets.temperatures] == [10, 4, 0, -18]
    assert [[q.value for q in pair] for pair in sheet.targets.hold] == [[4, 8], [-18, -9]]
    assert sheet.use.hours_per_day.value == 12 * 3600
    assert (sheet.space.clearance.back.value, sheet.supply.cable_length.value) == (50, 4000)
    assert (sheet.money.tariff.value, sheet.money.tariff.currency) == (0.32, "EUR")
    assert sheet.instruments["T1"].error == ErrorLimit(0.5, 0)
    assert sheet.instruments["E1"].error == ErrorLimit(0.2, 0.01)
    assert sheet.instruments["E1"].counter_step.value == pytest.approx(10)
    assert sheet.instruments["T1"].checked == dt.date(2031, 6, 1)
    assert (cooler.price.paid.value, cooler.price.list_price.value) == (180, 210)
    assert cooler.refrigerant.charge.value == pytest.approx(0.028)
    assert (run.heater.power.value, run.heater.power.limit) == (6.2, 0.1)
    assert (run.window.steady.from_.value, run.window.steady.to.value) == (8 * 3600, 32 * 3600)
    assert run.load[0].water.value == pytest.approx(0.33)
    assert run.load[0].container.mass.value == pytest.approx(0.013)
    assert (run.log[0].columns["CH2"].role, run.log[0].columns["CH3"].unit) == ("load", "°F")
    assert run.reading[0].values["load_2"].value == pytest.approx(24.444, abs=1e-3)
    assert run.reading[1].values["energy"].value == pytest.approx(20)
    assert run.reading[1].at == dt.datetime(2031, 6, 14, 10)


def unset(sheet: Sheet) -> set[str]:
    """Keys that no table of a sheet gives."""
    found = set()
    for name, field in type(sheet).model_fields.items():
        value = getattr(sheet, name)
        inner = value if isinstance(value, list) else (
            list(value.values()) if isinstance(value, dict) else [value])
        tables = [one for one in inner if isinstance(one, Sheet)]
        given = [unset(one) for one in tables]
        # Of several like tables together: what none of them gives.
        found |= {f"{name}.{key}" for key in set.intersection(*given)} if given else set()
        if value is None or value in ([], {}):
            found.add(field.alias or name)
    return found


def test_the_example_sheets_hold_every_key(folder):
    """So that each key has been read once in these tests."""
    campaign = read_campaign(folder)
    assert unset(campaign.sheet) == set()
    # A volume stands for sides, and elapsed for a format: the other sheets give them.
    assert unset(campaign.coolers["chest"]) == {"outside.volume", "inside.volume"}
    # A can has no sides.
    assert unset(campaign.runs["second"]) == {
        "log.time.elapsed", "load.container.width", "load.container.depth"}
    assert campaign.coolers["ice-box"].inside.volume.value == 13
    assert campaign.runs["first"].log[0].time.elapsed == "s"


def test_nothing_in_the_folder_is_changed(folder):
    def digest() -> list[tuple[str, str]]:
        files = sorted(p for p in folder.rglob("*") if p.is_file())
        return [(str(p), hashlib.sha256(p.read_bytes()).hexdigest()) for p in files]

    before = digest()
    read_campaign(folder)
    assert digest() == before


def test_order_is_the_campaigns_then_by_name(folder, change):
    change(C, 'order = ["chest", "peltier", "ice-box"]', 'order = ["peltier"]')
    campaign = read_campaign(folder)
    assert list(campaign.coolers) == ["peltier", "chest", "ice-box"]
    assert list(campaign.runs) == ["first", "second"]


def test_a_key_is_found_again_by_file_and_line(folder):
    campaign = read_campaign(folder)
    assert campaign.where(R, "log", 0, "file") == f"{R}:23"
    assert campaign.where(R, "log", 0, "time", "format") == f"{R}:26"
    assert campaign.where(R) == f"{R}:1"


def test_local_times_are_the_campaigns(folder):
    campaign = read_campaign(folder)
    noon = dt.datetime(2031, 6, 14, 12)
    assert campaign.seconds(noon) == dt.datetime(2031, 6, 14, 10, tzinfo=dt.UTC).timestamp()
    assert campaign.seconds(noon.replace(tzinfo=dt.UTC)) == campaign.seconds(noon) + 7200


def test_windows_line_ends_and_a_byte_order_mark(folder, faults):
    path = folder / R
    marked = b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n")
    path.write_bytes(marked)
    assert read_campaign(folder).runs["second"].setting == "coldest"
    path.write_bytes(marked.replace(b'"10 min"', b'"10"'))
    assert [fault.where for fault in faults()] == [f"{R}:27"]


def test_a_sheet_in_another_encoding(folder, faults):
    path = folder / K
    path.write_bytes(path.read_text(encoding="utf-8").replace('"12 W"', '"12 °"').encode("cp1252"))
    (fault,) = faults()
    assert fault.where == f"{K}:9"
    assert "not UTF-8" in fault.what


def test_a_sheet_of_absurd_size(folder, faults):
    (folder / K).write_bytes(b"#" * 2_000_001)
    (fault,) = faults()
    assert (fault.where, fault.what) == (K, "this is too large for a sheet")


@pytest.mark.parametrize("name", ["my chest", "chêst", "-chest", "a.b"])
def test_a_file_name_that_is_no_id(folder, faults, name):
    text = (folder / "coolers/ice-box.toml").read_text(encoding="utf-8")
    (folder / f"coolers/{name}.toml").write_text(text, encoding="utf-8", newline="\n")
    (fault,) = faults()
    assert fault.where == f"coolers/{name}.toml"
    assert "rename it" in fault.do


def test_hidden_files_beside_sheets_do_not_count(folder):
    (folder / "coolers/._chest.toml").write_bytes(b"\x00\x05")
    assert len(read_campaign(folder).coolers) == 3


@pytest.mark.skipif(not hasattr(os, "symlink") or os.name == "nt", reason="needs symbolic links")
def test_a_link_out_of_the_campaign(folder, tmp_path, faults):
    (tmp_path / "elsewhere.csv").touch()
    (folder / "logs/x.csv").unlink()
    (folder / "logs/x.csv").symlink_to(tmp_path / "elsewhere.csv")
    (fault,) = faults()
    assert "outside the campaign folder" in fault.what


@pytest.mark.skipif(not hasattr(os, "symlink") or os.name == "nt", reason="needs symbolic links")
def test_a_campaign_reached_through_a_link(folder, tmp_path):
    (tmp_path / "linked").symlink_to(folder)
    assert read_campaign(tmp_path / "linked").sheet.title


def test_prices_without_a_money_table_agree_among_themselves(folder, change, faults):
    path = folder / C
    text = path.read_text(encoding="utf-8")
    begin, end = text.index("[money]"), text.index("[musts]")
    path.write_text(text[:begin] + text[end:], encoding="utf-8", newline="\n")
    change(K, 'list = "210 EUR"', 'list = "210 GBP"')
    (fault,) = faults()
    assert "the first price" in fault.allowed


def test_no_such_folder(tmp_path):
    with pytest.raises(UserError, match="no such campaign folder"):
        read_campaign(tmp_path / "gone")


def test_a_sheet_in_the_place_of_its_folder(folder):
    with pytest.raises(UserError, match="name the folder it lies in"):
        read_campaign(folder / C)


def test_a_folder_without_campaign_sheet(tmp_path):
    with pytest.raises(UserError, match=r"no campaign\.toml"):
        read_campaign(tmp_path)


@pytest.mark.parametrize("kind", ["coolers", "runs"])
def test_a_campaign_without_coolers_or_runs(folder, faults, kind):
    for sheet in (folder / kind).iterdir():
        sheet.unlink()
    assert any(f"has no {kind}" in fault.what for fault in faults())


def test_a_run_without_data(write, faults):
    write({"runs/third.toml": 'cooler = "chest"\nkind = ["steady"]\n'})
    (fault,) = faults()
    assert fault.where == "runs/third.toml:1"
    assert "neither a log nor a reading" in fault.what


def test_an_empty_reading(change, faults):
    change(R, 'energy = "0.02 kWh"\n', "")
    (fault,) = faults()
    assert (fault.where, fault.what) == (f"{R}:49", "reading 2: nothing was read")


def test_faults_inside_one_reading_are_told_together(change, faults):
    change(R, 'air = "24.1 °C"\nambient = "24.6 °C"', 'aire = "24.1 °C"\nambient = "24.6"')
    change(R, 'at = "0 min"', 'at = "0"')
    assert [fault.where for fault in faults()] == [f"{R}:43", f"{R}:44", f"{R}:45"]



"""A new campaign: whole, commented, ready once its logs are in."""

from __future__ import annotations

import json
import re
import tomllib

import jsonschema
import pytest

from coldbench.errors import UserError
from coldbench.report.checking import check
from coldbench.sheets import read_campaign
from coldbench.sheets.new import new_campaign
from coldbench.sheets.schemas import SHEETS, schema
from coldbench.sheets.types import Sheet

SHEET_OF = {
    "campaign.toml": "campaign", "coolers/example.toml": "cooler", "runs/example-1.toml": "run",
}
COMMENTED_KEY = re.compile(r"# ((\[[^]]+\]\]?)|([a-z_]+ = .+))")


@pytest.fixture
def fresh(tmp_path):
    return new_campaign(tmp_path / "mine")


def test_it_is_read_once_its_logs_are_in(fresh):
    with pytest.raises(UserError, match=r"runs/example-1\.toml:\d+: log 1, file: no such file"):
        read_campaign(fresh)
    readme = (fresh / "logs/README.txt").read_text(encoding="utf-8")
    log = readme[readme.index("time,") : readme.index("\n\nOther")]
    (fresh / "logs/example-1.csv").write_text(log, encoding="utf-8", newline="\n")
    campaign = read_campaign(fresh)
    assert list(campaign.coolers) == ["example"]
    assert set(campaign.runs["example-1"].log[0].columns) == set(log.split("\n")[0].split(",")[1:])
    assert "1 cooler and 1 run read" in check(fresh).text


@pytest.mark.parametrize("name", SHEET_OF)
def test_the_first_line_leads_an_editor_to_its_schema(fresh, name):
    first = (fresh / name).read_text(encoding="utf-8").splitlines()[0]
    target = ((fresh / name).parent / first.removeprefix("#:schema ")).resolve()
    assert json.loads(target.read_text(encoding="utf-8")) == schema(SHEET_OF[name])


def with_all_keys(text: str) -> str:
    """A blank sheet with every key that stands behind a # put to use."""
    rows = (m[1] if (m := COMMENTED_KEY.fullmatch(row)) else row for row in text.splitlines())
    return "\n".join(rows)


@pytest.mark.parametrize("name", SHEET_OF)
def test_a_blank_sheet_with_all_its_keys_in_use_is_in_order(fresh, name):
    model = SHEETS[SHEET_OF[name]]
    table = tomllib.loads(with_all_keys((fresh / name).read_text(encoding="utf-8")))
    model.model_validate(table)
    text = json.loads(json.dumps(table, default=lambda day: day.isoformat()))
    jsonschema.validate(text, schema(SHEET_OF[name]))


@pytest.mark.parametrize("name", SHEET_OF)
def test_a_blank_sheet_names_every_key(fresh, name):
    text = (fresh / name).read_text(encoding="utf-8")
    missing = [key for key in keys_of(SHEETS[SHEET_OF[name]]) if not re.search(rf"\b{key}\b", text)]
    assert missing == []


def keys_of(model: type[Sheet]) -> set[str]:
    made = model.model_json_schema(by_alias=True)
    tables = [made, *made["$defs"].values()]
    tables += [inner for one in tables for inner in one.get("anyOf", []) if "properties" in inner]
    return {key for table in tables for key in table.get("properties", {})}


@pytest.mark.parametrize("name", ["mine", "mine/campaign.toml"])
def test_what_is_there_is_left_alone(fresh, tmp_path, name):
    before = (fresh / "campaign.toml").read_bytes()
    with pytest.raises(UserError, match="something in that place"):
        new_campaign(tmp_path / name)
    assert (fresh / "campaign.toml").read_bytes() == before


def test_a_copy_of_the_demo_is_in_order(tmp_path):
    campaign = read_campaign(new_campaign(tmp_path / "demo", demo=True))
    assert len(campaign.coolers) == 4
    assert not (tmp_path / "demo" / "out").exists()


def test_an_empty_folder_will_do(tmp_path):
    assert (new_campaign(tmp_path) / "campaign.toml").is_file()


def test_a_folder_that_cannot_be_made(tmp_path):
    (tmp_path / "file").touch()
    with pytest.raises(UserError, match="cannot be written"):
        new_campaign(tmp_path / "file" / "mine")

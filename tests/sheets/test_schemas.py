"""What an editor is told agrees with what the kit reads."""

from __future__ import annotations

import tomllib
from pathlib import Path

import jsonschema
import pytest

from coldbench.sheets.schemas import SHEETS, schema, schema_text

STALL = Path(__file__).with_name("stall")
EXAMPLES = {
    "campaign": "campaign.toml", "cooler": "coolers/chest.toml", "run": "runs/second.toml",
}


def as_editor(value):
    """A sheet as editors hand it to a schema: dates are text."""
    if isinstance(value, dict):
        return {name: as_editor(inner) for name, inner in value.items()}
    if isinstance(value, list):
        return [as_editor(inner) for inner in value]
    return value if isinstance(value, bool | int | float | str) else value.isoformat()


@pytest.fixture(params=SHEETS)
def name(request) -> str:
    return request.param


def example(name: str) -> dict:
    return as_editor(tomllib.loads((STALL / EXAMPLES[name]).read_text(encoding="utf-8")))


def test_the_shipped_schemas_are_in_step(name, clone):
    shipped = clone / "templates" / "schemas" / f"{name}.schema.json"
    # Mend with: python -c "from pathlib import Path; from coldbench.sheets.schemas import
    # write_schemas; write_schemas(Path('templates/schemas'))"
    assert shipped.read_text(encoding="utf-8") == schema_text(name)


def test_each_is_a_json_schema(name):
    jsonschema.Draft202012Validator.check_schema(schema(name))


def test_a_sheet_with_every_key_passes(name):
    jsonschema.validate(example(name), schema(name))


@pytest.mark.parametrize(("name", "path", "value"), [
    ("campaign", ("footing", "ambient"), 25),
    ("campaign", ("footing", "ambient"), "25"),
    ("campaign", ("footing", "abmient"), "25 °C"),
    ("campaign", ("money", "currency"), "euro"),
    ("campaign", ("instruments", "T1", "measures"), "heat"),
    ("campaign", ("date",), "June"),
    ("cooler", ("technology",), "magic"),
    ("cooler", ("mass",), "11,5 kg"),
    ("cooler", ("modules", "count"), 0),
    ("run", ("kind",), []),
    ("run", ("log", 0, "columns", "CH2"), "laod"),
    ("run", ("log", 0, "columns", "CH3", "roll"), "air"),
    ("run", ("reading", 0, "air"), 24.1),
    ("run", ("reading", 0, "aire"), "24.1 °C"),
    ("run", ("reading", 0, "values"), {}),
    ("run", ("mark", 0, "what"), "lid open"),
])  # fmt: skip
def test_an_editor_marks_what_the_kit_refuses(name, path, value):
    sheet = example(name)
    table = sheet
    for step in path[:-1]:
        table = table[step]
    table[path[-1]] = value
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(sheet, schema(name))


def test_every_key_says_what_it_means(name):
    made = schema(name)
    tables = [made, *made["$defs"].values()]
    tables += [inner for one in tables for inner in one.get("anyOf", []) if "properties" in inner]
    silent = [
        key for table in tables for key, about in table.get("properties", {}).items()
        if "description" not in about and "$ref" not in about and key != "door"
    ]
    assert silent == []


def test_no_table_is_left_that_nothing_uses(name):
    text = schema_text(name)
    for table in schema(name)["$defs"]:
        assert f'"#/$defs/{table}"' in text

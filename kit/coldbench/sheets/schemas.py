"""JSON Schemas of the sheets, with which a TOML editor completes keys and checks values."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from coldbench.sheets.campaign import CampaignSheet
from coldbench.sheets.cooler import CoolerSheet
from coldbench.sheets.run import RunSheet
from coldbench.sheets.types import Sheet

SHEETS: dict[str, type[Sheet]] = {
    "campaign": CampaignSheet, "cooler": CoolerSheet, "run": RunSheet,
}
DIALECT = "https://json-schema.org/draft/2020-12/schema"


def schema(name: str) -> dict[str, Any]:
    """Schema of one sheet: ``"campaign"``, ``"cooler"`` or ``"run"``.

    Examples
    --------
    >>> sorted(schema("cooler")["required"])
    ['name', 'origin', 'technology']
    """
    made = SHEETS[name].model_json_schema(by_alias=True)
    return {"$schema": DIALECT, **_plain(made)}


def schema_text(name: str) -> str:
    """Schema of one sheet as text, the same on every machine."""
    return json.dumps(schema(name), indent=1, ensure_ascii=False) + "\n"


def write_schemas(folder: Path) -> list[Path]:
    """Write all schemas as ``NAME.schema.json``.

    Parameters
    ----------
    folder : Path
        Made if missing.

    Returns
    -------
    list of Path
        The files.
    """
    folder.mkdir(parents=True, exist_ok=True)
    paths = [folder / f"{name}.schema.json" for name in SHEETS]
    for name, path in zip(SHEETS, paths, strict=True):
        path.write_text(schema_text(name), encoding="utf-8", newline="\n")
    return paths


def _plain(part: Any) -> Any:
    """Without titles and nulls: TOML has no null, and an editor shows the key itself."""
    if isinstance(part, list):
        return [_plain(one) for one in part]
    if not isinstance(part, dict):
        return part
    kept = {
        name: _plain(value) for name, value in part.items()
        if not (name == "title" and isinstance(value, str)) and not (
            name == "default" and value in (None, [], {})
        )
    }
    choices = kept.get("anyOf")
    if choices and {"type": "null"} in choices:
        rest = [one for one in choices if one != {"type": "null"}]
        del kept["anyOf"]
        kept = {**(rest[0] if len(rest) == 1 else {"anyOf": rest}), **kept}
    return kept

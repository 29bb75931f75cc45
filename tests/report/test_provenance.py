"""Where a report comes from, told without a word of the machine or the clock."""

from __future__ import annotations

import hashlib
import json
import platform
import socket
from dataclasses import replace
from datetime import date
from types import SimpleNamespace

import pytest

import coldbench.report.provenance as module
from coldbench import __version__
from coldbench.errors import UserError
from coldbench.report.provenance import provenance, write_provenance


@pytest.fixture
def campaign(tmp_path):
    folder = tmp_path / "cheese stall"
    content = {
        "campaign.toml": "title", "coolers/a.toml": "", "runs/r.toml": "r", "logs/ä.csv": "1;2\n",
        "logs/unused.csv": "not an input", "coolers/.notes~": "an editor's", "out/report.html": "",
        "stall.jpg": "",
    }  # fmt: skip
    for name, text in content.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8", newline="\n")
    (tmp_path / "spring.json").write_text("{}", encoding="utf-8", newline="\n")
    return SimpleNamespace(
        folder=folder,
        sheet=SimpleNamespace(
            title="Käse",
            date=date(2031, 6, 14),
            earlier=[SimpleNamespace(findings="../spring.json")],
            disclosure=SimpleNamespace(photo=SimpleNamespace(file="stall.jpg")),
        ),
        raw=SimpleNamespace(files=["campaign.toml", "coolers/a.toml", "runs/r.toml"]),
        runs={"r": SimpleNamespace(log=[SimpleNamespace(file="logs/ä.csv")])},
    )


def test_inputs(campaign):
    told = {one["file"]: one for one in provenance(campaign)["inputs"]}
    assert list(told) == [
        "../spring.json", "campaign.toml", "coolers/a.toml", "logs/ä.csv", "runs/r.toml",
        "stall.jpg",
    ]  # fmt: skip
    assert told["logs/ä.csv"] == {
        "file": "logs/ä.csv",
        "sha256": hashlib.sha256(b"1;2\n").hexdigest(),
        "bytes": 4,
    }
    # FIPS 180-4 example: the digest of nothing at all.
    assert told["coolers/a.toml"]["sha256"].startswith("e3b0c44298fc1c149afbf4c8996fb924")


def test_a_lost_input_is_the_users_to_mend(campaign):
    (campaign.folder / "logs" / "ä.csv").unlink()
    with pytest.raises(UserError, match=r"logs/ä\.csv: cannot be read"):
        provenance(campaign)


def test_versions_and_settings(campaign):
    told = provenance(campaign, ["html", "pdf"], "letter")
    assert told["versions"]["coldbench"] == __version__
    assert told["versions"]["python"] == platform.python_version()
    assert set(told["versions"]) >= {"numpy", "pandas", "typst", "system"}
    assert told["settings"]["draws"] == {"seed": 20310614, "count": 4000, "percent": [2.5, 97.5]}
    assert told["settings"]["limits"]["block_cycles"] == {"value": 3, "default": True}
    assert told["settings"]["report"] == {
        "formats": ["html", "pdf"], "paper": "letter", "units": "si"}
    assert told["again"] == 'coldbench report "cheese stall" --paper letter'
    assert told["date"] == "2031-06-14"


@pytest.mark.parametrize(
    ("formats", "paper", "told"),
    [
        (["html", "pdf"], "a4", 'coldbench report "cheese stall"'),
        (["pdf"], "a4", 'coldbench report "cheese stall" --formats pdf'),
    ],
)
def test_the_command_that_makes_it_again(campaign, formats, paper, told):
    assert provenance(campaign, formats, paper)["again"] == told


def test_a_changed_limit_is_not_marked_as_default(campaign, monkeypatch):
    monkeypatch.setattr(module, "LIMITS", replace(module.LIMITS, block_cycles=4))
    told = provenance(campaign)["settings"]["limits"]
    assert told["block_cycles"] == {"value": 4, "default": False}
    assert [name for name, one in told.items() if not one["default"]] == ["block_cycles"]


def test_the_same_bytes_with_nothing_of_the_machine(campaign, tmp_path):
    files = []
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
        files.append(write_provenance(tmp_path / name, campaign, ["pdf"], "a4").read_bytes())
    assert files[0] == files[1]
    text = json.dumps(json.loads(files[0]), ensure_ascii=False)
    assert str(tmp_path) not in text and socket.gethostname() not in text

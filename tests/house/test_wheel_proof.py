"""The comparison inside the wheel proof can fail."""

from __future__ import annotations

import importlib.util

import pytest

FINDINGS = "cooler,finding,value\na,mass,11.5\n"


@pytest.fixture
def proof(clone):
    spec = importlib.util.spec_from_file_location("proof", clone / "tests/house/wheel_proof.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def demo(folder, names, findings=FINDINGS):
    folder.mkdir()
    for name in names:
        (folder / name).write_text(findings, encoding="utf-8", newline="\n")
    return folder


def test_equal_demos_pass(proof, tmp_path):
    ours, theirs = (demo(tmp_path / name, proof.MUST_EXIST) for name in ("clone", "wheel"))
    assert proof.differences(ours, theirs) == []


@pytest.mark.parametrize(
    ("findings", "told"),
    [
        (FINDINGS.replace("11.5", "11.6"), "line 2"),
        (FINDINGS + "b,mass,9\n", "longer in one"),
    ],
)
def test_other_findings_are_seen(proof, tmp_path, findings, told):
    ours = demo(tmp_path / "clone", proof.MUST_EXIST)
    theirs = demo(tmp_path / "wheel", proof.MUST_EXIST, findings)
    assert told in " ".join(proof.differences(ours, theirs))


def test_a_missing_file_is_seen(proof, tmp_path):
    ours = demo(tmp_path / "clone", proof.MUST_EXIST)
    theirs = demo(tmp_path / "wheel", proof.MUST_EXIST[1:])
    assert proof.differences(ours, theirs) == ["wheel has no report.html"]


def test_demos_without_findings_are_no_proof(proof, tmp_path):
    heads = [
        demo(tmp_path / name, proof.MUST_EXIST, "cooler,finding\n") for name in ("clone", "wheel")
    ]
    assert proof.differences(*heads) == ["findings.csv holds no finding"]

"""The same campaign gives the same bytes: other process, other hash seed, other folder."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

MAKE = """
import sys
from coldbench.report import sections
from coldbench.report.book import open_campaign

book = open_campaign(sys.argv[1], out=sys.argv[2])
for section in (sections.summary.summary, sections.results.cold, sections.results.energy,
                sections.results.box, sections.heat.heat, sections.results.size_and_money,
                sections.differences.differences, sections.inputs.inputs, sections.inputs.finish):
    section(book)
"""


def _made(campaign: Path, out: Path, seed: str, cwd: Path) -> dict[str, bytes]:
    for folder in (out, cwd):
        folder.mkdir(parents=True)
    subprocess.run([sys.executable, "-c", MAKE, str(campaign), str(out)], check=True, cwd=cwd,
                   env=os.environ | {"PYTHONHASHSEED": seed})
    return {path.relative_to(out).as_posix(): path.read_bytes()
            for path in sorted(out.rglob("*")) if path.is_file()}


def test_the_same_bytes_from_two_processes(bench, tmp_path):
    folder = bench.write(
        {n: bench.cooler(f"Box {n}") for n in "ab"}, {n: bench.run(n) for n in "ab"},
        {"a": bench.log(), "b": bench.log(on=0.55, setpoint=5.0)},
    )
    first = _made(folder, tmp_path / "one" / "out", "1", tmp_path / "here")
    second = _made(folder, tmp_path / "two" / "out", "4242", tmp_path / "there")
    assert {"findings.csv", "findings.json", "provenance.json"} <= set(first)
    assert any(name.endswith(".svg") for name in first)
    assert list(first) == list(second)
    assert [name for name in first if first[name] != second[name]] == []

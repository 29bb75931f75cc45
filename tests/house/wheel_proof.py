"""Proof that the built wheel, in an empty environment and an empty folder, gives the same demo.

Run as ``python run.py wheel-proof``. Builds the wheel of the clone, installs it with the pinned
set into a new environment outside the clone, writes the demo from both and compares what they say.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import venv
from pathlib import Path

CLONE = Path(__file__).resolve().parents[2]
FROM_WHEEL_OF_THE_CLONE = "import coldbench; print(coldbench.__file__)"
MUST_EXIST = ("report.html", "report.pdf", "findings.csv", "findings.json", "provenance.json")


def main() -> int:
    """0 if the wheel gives the clone's demo; otherwise says what differs."""
    with tempfile.TemporaryDirectory(prefix="coldbench-proof-") as folder:
        empty = Path(folder).resolve()
        wheel = build_wheel(empty)
        python = new_environment(empty / "venv", wheel)
        place = call(python, "-c", FROM_WHEEL_OF_THE_CLONE, cwd=empty, answer=True)
        if not Path(place).is_relative_to(empty):
            print(f"wheel-proof: the package came from {place}, not from the wheel")
            return 1
        call(python, "-m", "coldbench", "demo", "--out", "wheel-demo", cwd=empty)
        call(sys.executable, "-m", "coldbench", "demo", "--out", "clone-demo", cwd=empty)
        faults = differences(empty / "clone-demo", empty / "wheel-demo")
    for fault in faults:
        print(f"wheel-proof: {fault}")
    print("wheel-proof: " + ("FAILED" if faults else "the wheel gives the same demo"))
    return 1 if faults else 0


def build_wheel(folder: Path) -> Path:
    """Wheel of the clone, built with the pinned build backend."""
    options = ("--no-deps", "--no-build-isolation", "--wheel-dir", str(folder))
    call(sys.executable, "-m", "pip", "wheel", "--quiet", *options, str(CLONE), cwd=folder)
    (wheel,) = folder.glob("coldbench-*.whl")
    return wheel


def new_environment(folder: Path, wheel: Path) -> Path:
    """Python of a new environment that holds the pinned set and the wheel, nothing else."""
    venv.create(folder, with_pip=True)
    python = folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    pip = ("-m", "pip", "install", "-qq", "--disable-pip-version-check")
    lock = str(CLONE / "requirements.lock")
    call(python, *pip, "--require-hashes", "--requirement", lock, cwd=folder)
    call(python, *pip, "--no-index", str(wheel), cwd=folder)
    return python


def differences(clone: Path, wheel: Path) -> list[str]:
    """What one demo says and the other does not."""
    found = [
        f"{out.name} has no {name}"
        for out in (clone, wheel)
        for name in MUST_EXIST
        if not (out / name).is_file()
    ]
    if found:
        return found
    texts = [(out / "findings.csv").read_text(encoding="utf-8") for out in (clone, wheel)]
    for number, (ours, theirs) in enumerate(zip(*map(str.splitlines, texts), strict=False), 1):
        if ours != theirs:
            found.append(f"findings.csv line {number}: {ours!r} in the clone, {theirs!r}")
    if not found and texts[0] != texts[1]:
        found.append("findings.csv is longer in one of them")
    if len(texts[0].splitlines()) < 2:
        found.append("findings.csv holds no finding")
    return found


def call(program: str | Path, *arguments: str, cwd: Path, answer: bool = False) -> str:
    """Run a program, its own environment cleared of this clone; its output if asked for."""
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONPATH"}
    done = subprocess.run(
        [str(program), *arguments],
        cwd=cwd,
        env=environment,
        check=True,
        stdout=subprocess.PIPE if answer else None,
        text=True,
        encoding="utf-8",
    )
    return done.stdout.strip() if answer else ""


if __name__ == "__main__":
    sys.exit(main())

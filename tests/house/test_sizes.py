"""Small modules: one idea each, and a folder once it has grown past its limit."""

from __future__ import annotations

from pathlib import Path

MOST_LINES = 400
LARGEST_DEMO = 3_000_000


def too_long(paths: list[Path], most: int) -> list[str]:
    """Files with more lines than allowed."""
    counted = [(path, len(path.read_text(encoding="utf-8").splitlines())) for path in paths]
    return [
        f"{path.name}: {lines} lines, at most {most}" for path, lines in counted if lines > most
    ]


def test_a_long_module_is_seen(tmp_path):
    short, long = tmp_path / "short.py", tmp_path / "long.py"
    short.write_text("a = 1\n" * MOST_LINES, encoding="utf-8", newline="\n")
    long.write_text("a = 1\n" * (MOST_LINES + 1), encoding="utf-8", newline="\n")
    assert too_long([short, long], MOST_LINES) == ["long.py: 401 lines, at most 400"]


def test_modules_are_small(clone):
    paths = [clone / "run.py", *(clone / "kit").rglob("*.py"), *(clone / "tests").rglob("*.py")]
    assert not too_long(paths, MOST_LINES)


def test_the_demo_is_small(clone):
    files = [path for path in (clone / "templates" / "campaign-demo").rglob("*") if path.is_file()]
    assert files
    assert sum(path.stat().st_size for path in files) < LARGEST_DEMO

"""What instruments write: shape, clock, columns, roles -> the canonical frame and its echo."""

from __future__ import annotations

from coldbench.logs.echo import echo_text
from coldbench.logs.reading import read_run, read_runs

__all__ = ["echo_text", "read_run", "read_runs"]

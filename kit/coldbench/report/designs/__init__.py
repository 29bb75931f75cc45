"""Sections of the design report: each function takes a design book and returns what to show."""

from coldbench.report.designs import (
    answer,
    beside,
    closing,
    machine,
    new_box,
    next_steps,
    picks,
    rests_on,
    store,
)

__all__ = [
    "answer", "beside", "closing", "machine", "new_box", "next_steps", "picks", "rests_on", "store",
]

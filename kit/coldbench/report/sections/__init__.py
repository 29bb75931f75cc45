"""The report's sections: each function takes a book and returns what to show."""

from coldbench.report.sections import (
    budgets,
    cautions,
    claims,
    cooler,
    differences,
    heat,
    inputs,
    log_check,
    methods,
    missing,
    money,
    results,
    sound,
    space,
    summary,
    supply,
    tested,
)

__all__ = [
    "budgets", "cautions", "claims", "cooler", "differences", "heat", "inputs", "log_check",
    "methods", "missing", "money", "results", "sound", "space", "summary", "supply",
    "tested",
]

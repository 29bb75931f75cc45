"""The report's sections: each function takes a book and returns what to show."""

from coldbench.report.sections import (
    answer,
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
    musts,
    results,
    sound,
    space,
    summary,
    supply,
    tested,
)

__all__ = [
    "answer", "budgets", "cautions", "claims", "cooler", "differences", "heat", "inputs",
    "log_check", "methods", "missing", "money", "musts", "results", "sound", "space", "summary",
    "supply", "tested",
]

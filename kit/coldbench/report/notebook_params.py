"""Parameters of a notebook, read from its tagged cell and checked by name.

Papermill takes a misspelt name with a warning and runs on with the default; here it is an error
before anything runs.
"""

from __future__ import annotations

import ast
import json
from collections.abc import Iterable
from pathlib import Path

from coldbench.errors import nearest

TAG = "parameters"


class ParameterError(Exception):
    """Kit and notebook disagree about parameters: a fault of the kit, not of the user."""


def parameter_names(notebook: Path) -> list[str]:
    """Names set in the cell tagged ``parameters``, in order.

    Parameters
    ----------
    notebook : Path
        The notebook.

    Raises
    ------
    ParameterError
        Not exactly one such cell, or one that does more than set names to literals.
    """
    cells = json.loads(notebook.read_text(encoding="utf-8"))["cells"]
    tagged = [c for c in cells if c["cell_type"] == "code" and TAG in c["metadata"].get("tags", ())]
    if len(tagged) != 1:
        raise ParameterError(f"{notebook.name}: {len(tagged)} cells tagged {TAG!r}, not one")
    source = "".join(tagged[0]["source"])
    try:
        return [_name(statement) for statement in ast.parse(source).body]
    except (SyntaxError, ValueError) as error:
        told = f"{notebook.name}: its parameters cell does more than set names to literals"
        raise ParameterError(told) from error


def _name(statement: ast.stmt) -> str:
    if not isinstance(statement, ast.Assign) or len(statement.targets) != 1:
        raise ValueError(ast.unparse(statement))
    (target,) = statement.targets
    if not isinstance(target, ast.Name):
        raise ValueError(ast.unparse(statement))
    ast.literal_eval(statement.value)
    return target.id


def check_parameters(notebook: Path, given: Iterable[str]) -> None:
    """Refuse names that the notebook does not have, and names it is not given.

    Parameters
    ----------
    notebook : Path
        The notebook.
    given : iterable of str
        Names it is about to be given.

    Raises
    ------
    ParameterError
        All differences.
    """
    known, given = parameter_names(notebook), list(given)
    told = []
    for name in given:
        if name not in known:
            close = nearest(name, known)
            hint = f" (perhaps {close!r})" if close else ""
            told.append(f"has no parameter {name!r}{hint}")
    told += [f"is not given its parameter {name!r}" for name in known if name not in given]
    if told:
        raise ParameterError(f"{notebook.name} " + "; ".join(told))

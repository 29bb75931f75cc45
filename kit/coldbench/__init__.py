"""Bench measurements of portable coolers in, a fair comparison report out."""

from __future__ import annotations

from pathlib import Path

__version__ = "0.1.0"


def shipped(name: str) -> Path:
    """Folder that travels with the kit: ``"templates"`` or ``"notebooks"``.

    In an installed wheel it lies inside the package, in a clone at the top of the clone.

    Parameters
    ----------
    name : str
        Name of the folder.

    Returns
    -------
    Path
        The folder, absolute.

    Raises
    ------
    FileNotFoundError
        The installation is broken: neither place has the folder.

    Examples
    --------
    >>> shipped("templates").is_dir()
    True
    """
    package = Path(__file__).resolve().parent
    for place in (package / name, package.parents[1] / name):
        if place.is_dir():
            return place
    raise FileNotFoundError(f"coldbench was installed without its folder {name!r}")

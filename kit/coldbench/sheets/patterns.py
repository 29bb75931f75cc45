"""Files that a run sheet names by a pattern, in the order in which they are read."""

from __future__ import annotations

import os
from pathlib import Path


def files_of(folder: Path, name: str) -> list[str]:
    """Files of a campaign that a name or a pattern stands for, relative to it.

    Parameters
    ----------
    folder : Path
        The campaign.
    name : str
        A file, or a pattern such as ``"logs/box-*.csv"``.

    Returns
    -------
    list of str
        By name; the name itself where it is no pattern, whether or not the file exists.
    """
    if "*" not in name or not _inside(name):
        return [name]
    found = [path.relative_to(folder).as_posix() for path in folder.glob(name)
             if os.path.isfile(path)]  # noqa: PTH113 - Path.is_file raises on a name too long
    return sorted(found)


def _inside(name: str) -> bool:
    return not (Path(name).is_absolute() or name.startswith(("\\", "~", "/")) or ".." in name)

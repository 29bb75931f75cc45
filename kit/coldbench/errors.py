"""What a user did wrong, said so that they can mend it.

A :class:`Fault` names the place (file and line), what was found, what is allowed and what to
write. :class:`UserError` carries all faults that could be found in one go.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

SHOWN_AT_MOST = 30


@dataclass(frozen=True)
class Fault:
    """One thing the user has to mend.

    Parameters
    ----------
    what : str
        What is wrong, in one line, about the user's thing.
    where : str
        File and line, relative to the campaign: ``"coolers/a.toml:12"``.
    found : str
        What stands there.
    allowed : str
        What may stand there.
    do : str
        What to write or do.
    """

    what: str
    where: str = ""
    found: str = ""
    allowed: str = ""
    do: str = ""

    def __str__(self) -> str:
        lines = [f"{self.where}: {self.what}" if self.where else self.what]
        if self.found:
            lines.append(f"  found:   {self.found}")
        if self.allowed:
            lines.append(f"  allowed: {self.allowed}")
        if self.do:
            lines.append(f"  do:      {self.do}")
        return "\n".join(lines)


class UserError(Exception):
    """The user's data needs mending; carries every fault found.

    Parameters
    ----------
    faults : Fault or iterable of Fault
        At least one.
    """

    def __init__(self, faults: Fault | Iterable[Fault]) -> None:
        self.faults = (faults,) if isinstance(faults, Fault) else tuple(faults)
        super().__init__(self.faults)

    def __reduce__(self):
        # Errors cross processes: rebuild from the faults, not from the message.
        return (type(self), (self.faults,))

    def __str__(self) -> str:
        shown = [str(fault) for fault in self.faults[:SHOWN_AT_MOST]]
        hidden = len(self.faults) - len(shown)
        if hidden > 0:
            shown.append(f"… and {hidden} more of the same kind; mend these first.")
        return "\n".join(shown)


@contextmanager
def gathered(faults: list[Fault]) -> Iterator[None]:
    """Note the faults of what is done inside and go on after it: all of them are told at once.

    Examples
    --------
    >>> faults = []
    >>> with gathered(faults):
    ...     raise UserError(Fault("a row without a time"))
    >>> len(faults)
    1
    """
    try:
        yield
    except UserError as mistake:
        faults.extend(mistake.faults)


def nearest(word: str, allowed: Iterable[str]) -> str:
    """Known word closest to the one found, or ``""``.

    Examples
    --------
    >>> nearest("ambeint", ["ambient", "inside"])
    'ambient'
    """
    match = difflib.get_close_matches(word, list(allowed), n=1, cutoff=0.6)
    return match[0] if match else ""

"""Text that is not TOML yet: where, and what was probably meant."""

from __future__ import annotations

import re
import tomllib

from coldbench.errors import Fault

_BARE_VALUE = re.compile(r"""^\s*(?P<key>[\w."-]+)\s*=\s*(?P<value>[^\s"'\[{#][^#"]*?)\s*(#.*)?$""")
_TWO_KEYS = re.compile(r"""^\s*[\w."-]+\s*=.*["\w\]}]\s+[\w-]+\s*=""")
_COLON = re.compile(r"""^\s*(?P<key>[\w-]+)\s*:\s*(?P<value>.+)$""")


def syntax_fault(file: str, text: str, error: tomllib.TOMLDecodeError) -> Fault:
    """The first place at which a sheet stops being TOML, with a guess at the mend.

    Parameters
    ----------
    file : str
        Sheet, relative to the campaign.
    text : str
        Its text.
    error : TOMLDecodeError
        What the reader said.

    Returns
    -------
    Fault
    """
    place = re.search(r"at line (\d+), column (\d+)", str(error))
    rows = text.splitlines() or [""]
    if place is None:
        return Fault("the sheet ends too early", f"{file}:{len(rows)}", found=rows[-1].strip(),
                     do="close the last quote, bracket or brace")
    row, column = int(place[1]), int(place[2])
    line = rows[row - 1] if row <= len(rows) else ""
    return Fault(
        f"this line is not TOML (from column {column} on)", f"{file}:{row}",
        found=line.strip() or "an empty line", do=_hint(line, str(error)),
    )


def _hint(line: str, message: str) -> str:
    if re.search("[“”„‘’]", line):
        return 'use straight quotes: "…"'
    if "overwrite" in message or "twice" in message or "mutate" in message:
        return "the key or table stands twice: remove one, or use [[…]] where several are meant"
    if "\\" in line and "scape" in message:
        return 'write / between folders: "logs/x.csv"'
    if _TWO_KEYS.match(line) and "{" not in line.split("=", 2)[1]:
        return "put each key on a line of its own"
    bare = _BARE_VALUE.match(line)
    if bare and bare["value"].lower() in ("true", "false"):
        return f"write {bare['key']} = {bare['value'].lower()}"
    if bare:
        return f'put the value in quotes: {bare["key"]} = "{bare["value"]}"'
    colon = _COLON.match(line)
    if colon:
        return f"write = between key and value: {colon['key']} = {colon['value']}"
    if line.count('"') % 2:
        return "close the quote"
    if "{" in line:
        return "keep a table in braces on one line, with a comma between its keys"
    return "write a key, = and a value, one key a line: mass = \"11.5 kg\""

"""What may not stand in any committed text: machine paths, foreign hosts, notes to oneself."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

# Put together from halves, so that this file does not hold what it looks for.
ROOTS = "|".join(["ro" + "ot", "wo" + "rk", "tm" + "p", "o" + "pt"])
HOMES = "|".join(["ho" + "me", "Use" + "rs"])
# A home is a machine's only with a name of three letters or more: tests may invent shorter ones.
MACHINE_PATH = re.compile(
    rf"(?<![\w.\-~}})>])/(?:(?:{ROOTS})/\w|(?:{HOMES})/\w{{3}})|[A-Z]:\\\\?Users"
)
REGISTRY = re.compile(
    "|".join(
        re.escape(host)
        for host in ("pypi" + ".org", "pythonhosted" + ".org", "npmjs" + ".", "conda" + ".org")
    )
    + r"|--(?:extra-)?index-"
    + "url",
    re.IGNORECASE,
)
NOTE_TO_ONESELF = re.compile(rf"\b(?:{'TO' + 'DO'}|{'FIX' + 'ME'}|{'XX' + 'X'}|{'HA' + 'CK'})\b")
TRACKER = re.compile(r"\bissues?\s+#?\d+\b(?!\.\d)|(?<=[a-z] )#\d{1,4}\b", re.IGNORECASE)
ADDRESS = re.compile(r"https?://([\w.-]+)", re.IGNORECASE)
# Names rather than places: namespaces of open formats, permanent identifiers, reserved examples.
NAMES_ONLY = {
    "creativecommons.org",
    "doi.org",
    "example.com",
    "example.org",
    "json-schema.org",
    "purl.org",
    "www.w3.org",
}
# Licences of fonts and the like are kept word for word, addresses and all.
VERBATIM = re.compile(r"(?:^|/)(?:OFL|LICENSE|LICENCE|COPYING)[^/]*$", re.IGNORECASE)
# Logs of other encodings and line ends; their text is that of tests/logs/sixteen.py.
ODD_LOGS = "tests/logs/shapes/"
BINARY = {".png", ".jpg", ".pdf", ".ttf", ".otf", ".woff", ".woff2", ".raw", ".xlsx"}


def offences(text: str) -> list[str]:
    """What a text holds that may not be committed."""
    found = []
    for number, line in enumerate(text.splitlines(), start=1):
        for rule, what in (
            (MACHINE_PATH, "the path of one machine"),
            (REGISTRY, "a package registry"),
            (NOTE_TO_ONESELF, "a note to oneself"),
            (TRACKER, "a number that only a tracker knows"),
        ):
            if hit := rule.search(line):
                found.append(f"line {number}: {what}: {hit.group().strip()!r}")
        for host in ADDRESS.findall(line.replace("\\.", ".")):  # also inside a pattern
            if host.lower() not in NAMES_ONLY:
                found.append(f"line {number}: the network host {host}")
    return found


def committed(clone: Path) -> list[str]:
    """Names of all files that are, or are about to be, committed."""
    command = ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"]
    listed = subprocess.run(command, cwd=clone, capture_output=True, check=True).stdout
    names = sorted(set(listed.decode("utf-8").split("\0")) - {""})
    return [name for name in names if (clone / name).is_file()]


def readable(clone: Path) -> dict[str, str]:
    """Text of all committed files that are text and our own."""
    names = [name for name in committed(clone) if Path(name).suffix.lower() not in BINARY]
    names = [name for name in names if name == "LICENSE" or not VERBATIM.search(name)]
    names = [name for name in names if not name.startswith(ODD_LOGS)]
    return {name: (clone / name).read_bytes().decode("utf-8") for name in names}


@pytest.mark.parametrize(
    "line",
    [
        "see /ro" + "ot/notes.txt",
        "open('/tm" + "p/data.csv')",
        "see /ho" + "me/somebody/x.csv",
        "C:\\Use" + "rs\\me\\x.csv",
        "from pypi" + ".org",
        "--index-" + "url x",
        "# TO" + "DO: later",
        "as issue" + " 7 says",
        "fixed, see" + " #12",
        "<script src='https:/" + "/cdn.example.net/x.js'>",
        "re.search('https:/" + r"/cdn\.example\.net/')",
    ],
)
def test_what_may_not_stand_is_seen(line):
    assert offences(line)


@pytest.mark.parametrize(
    "line",
    [
        'xmlns="http://www.w3.org/2000/svg"',
        "references: https://doi.org/10.1000/1",
        r"re.sub('http://www\.w3\.org/', '', page)",
        "the campaign's out/coolers/home/x.csv",
        "color: #123456; fill: #000",
        "the issue at hand",
        "a standard, issue" + " 3.2, 2021",
    ],
)
def test_what_may_stand_passes(line):
    assert offences(line) == []


def test_committed_files_are_clean(clone):
    texts = readable(clone)
    assert len(texts) > 50
    found = [f"{name}, {one}" for name, text in texts.items() for one in offences(text)]
    assert not found, "\n".join(found)


def test_committed_files_end_lines_the_same_way(clone):
    found = [name for name, text in readable(clone).items() if "\r" in text]
    assert not found, "carriage returns (write odd logs from within their test)"


def test_committed_files_are_named_for_every_system(clone):
    names = committed(clone)
    assert not [name for name in names if not re.fullmatch(r"[\w./\-]+", name, re.ASCII)]
    assert len({name.lower() for name in names}) == len(names), "two names differ only in case"

"""Lines of keys, against the standard library's own reading of the text."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from coldbench.sheets.places import place_of
from coldbench.sheets.toml_lines import key_lines

TRICKY = '''\
# a = 1
top = """
[not.a.table]
key = "no"
"""
"quoted # key" = 'C:\\'  # comment with = and "
a.b . "c d" = 1
dates = [
  2031-06-14, # [x]
  "]",
]
inline = { x = [1, 2], "y z" = { deep = "}" } }

[table]
k = "#"
k2 = """one line""" # =
[table.'sub table']
k = \'\'\'
[[no]]
\'\'\'
[[list]]
k = 1
[list.sub]
k = 1
[[list.inner]]
k = 1
[[list.inner]]
k = ""
[[list]]
k = 2
  [[list.inner]]
  k = 3
'''

LINES = {
    ("top",): 2, ("quoted # key",): 6, ("a", "b", "c d"): 7, ("dates",): 8, ("inline",): 12,
    ("table",): 14, ("table", "k"): 15, ("table", "k2"): 16, ("table", "sub table"): 17,
    ("table", "sub table", "k"): 18, ("list", 0): 21, ("list", 0, "k"): 22,
    ("list", 0, "sub"): 23, ("list", 0, "sub", "k"): 24, ("list", 0, "inner", 0, "k"): 26,
    ("list", 0, "inner", 1, "k"): 28, ("list", 1): 29, ("list", 1, "k"): 30,
    ("list", 1, "inner", 0): 31, ("list", 1, "inner", 0, "k"): 32,
}


@pytest.mark.parametrize(("path", "line"), LINES.items())
def test_lines_of_tricky_text(path, line):
    assert key_lines(TRICKY)[path] == line


def test_a_key_in_braces_has_the_line_of_the_key_in_front(tmp_path):
    places = {path: f"x.toml:{line}" for path, line in key_lines(TRICKY).items()}
    assert place_of(places, ("inline", "y z", "deep"), "x.toml:1") == "x.toml:12"
    assert place_of(places, ("dates", 0), "x.toml:1") == "x.toml:8"
    assert place_of(places, ("nowhere",), "x.toml:1") == "x.toml:1"


def paths(value, path=()):
    """Paths of all tables and keys outside braces, as the reader sees them."""
    if isinstance(value, dict):
        for name, inner in value.items():
            yield (*path, name)
            yield from paths(inner, (*path, name))
    elif isinstance(value, list) and value and isinstance(value[0], dict):
        for i, inner in enumerate(value):
            yield (*path, i)
            yield from paths(inner, (*path, i))


def test_every_path_is_one_that_the_reader_knows():
    assert set(key_lines(TRICKY)) <= set(paths(tomllib.loads(TRICKY)))


@pytest.mark.parametrize("name", ["campaign.toml", "coolers/chest.toml", "runs/second.toml"])
def test_each_line_holds_its_key(name):
    text = (Path(__file__).with_name("stall") / name).read_text(encoding="utf-8")
    rows = text.splitlines()
    found = key_lines(text)
    assert set(found) <= set(paths(tomllib.loads(text)))
    for path, line in found.items():
        words = [step for step in path if isinstance(step, str)]
        assert words[-1] in rows[line - 1]

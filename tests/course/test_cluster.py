"""A class on a real cluster of this machine, of which a worker dies in the middle."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from coldbench.course import cluster
from coldbench.course.cluster import on_cluster
from coldbench.errors import UserError

KIT = Path(__file__).parents[2] / "kit"


@pytest.mark.notebooks
@pytest.mark.skipif(sys.platform == "win32", reason="there is no SIGKILL on Windows")
def test_a_worker_that_dies_takes_nothing_with_it(tmp_path):
    pytest.importorskip("distributed")
    # In a process of its own: the cluster's threads and warnings are not this suite's.
    path = os.pathsep.join(filter(None, [str(KIT), os.environ.get("PYTHONPATH", "")]))
    done = subprocess.run(
        [sys.executable, str(Path(__file__).with_name("cluster_trial.py")), str(tmp_path)],
        capture_output=True, text=True, timeout=240, env={**os.environ, "PYTHONPATH": path},
    )
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout.splitlines()[-1])
    assert told["killed"] and told["late"] == []
    names = [f"g{n}" for n in range(5)]
    assert told["ended"] == {
        **{f"{name}-card": ["done", ""] for name in names[:-1]},
        "g4-card": ["user", "runs/a.toml:3: no unit"],
    }
    for n, name in enumerate(names[:-1]):
        # Results come home whole; what the worker did to its copy of the folder does not.
        assert told["files"][f"made/{name}/figures/a.csv"] == f"READINGS OF {n}"
        kept = told["files"][f"made/{name}/kept.ipynb"]
        assert f'"{name}\\n"' in kept and str(tmp_path) not in kept and "/tmp" not in kept
    assert [told["files"][f"groups/{name}/log.csv"] for name in names] == [
        f"readings of {n}" for n in range(5)]
    assert not any(name.startswith("made/g4/") for name in told["files"])


def test_without_the_extra_the_package_is_named(monkeypatch):
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(UserError, match=r"pip install \"coldbench\[cluster\]\""):
        list(on_cluster([None], "tcp://127.0.0.1:1", Path(), None))


def test_nothing_to_do_asks_no_scheduler():
    assert list(on_cluster([], "tcp://127.0.0.1:1", Path(), None)) == []


class Workers:
    """A client of workers that tell their versions."""

    def __init__(self, **versions: str) -> None:
        self.versions = versions

    def run(self, function):
        return {"tcp://there:1": {**function(), **self.versions}}

    def nthreads(self):
        return {"tcp://there:1": 4}


def test_workers_must_hold_the_same_kit():
    assert cluster._checked(Workers(python="3.99", system="other")) == 4
    with pytest.raises(UserError, match=r"(?s)tcp://there:1: a worker.*numpy 0\.1"):
        cluster._checked(Workers(numpy="0.1"))


def test_places_at_home_become_places_there():
    moves = {"/home/a": "/there/b", "C:\\class": "/there/c"}
    told = {"x": ["/home/a/y", "/home/ab", "/home/a"], "/home/a": "C:\\class\\z\\w"}
    moved = cluster._moved(told, moves)
    assert moved == {"x": ["/there/b/y", "/home/ab", "/there/b"], "/there/b": "/there/c/z/w"}

"""Each notebook in a process of its own: what becomes of good ones and of bad ones."""

from __future__ import annotations

import io
import json
import os
import sys
import time
from pathlib import Path

import nbformat
import pytest
from nbformat.v4 import new_code_cell, new_markdown_cell, new_notebook
from rich.console import Console

from coldbench.errors import UserError
from coldbench.report import processes
from coldbench.report.job import Job
from coldbench.report.processes import NotebookFailed, run_jobs
from coldbench.report.progress import Progress

pytestmark = pytest.mark.notebooks


@pytest.fixture
def place(tmp_path):
    """A folder that is awkward on purpose: space, braces, a letter beyond ASCII."""
    folder = tmp_path / "stall {1} für Käse"
    folder.mkdir()
    return folder


def job(place: Path, name: str, *sources: str, **more: str) -> Job:
    """A tiny notebook that takes ``campaign`` and ``out``, and its job."""
    notebook = new_notebook(cells=[new_markdown_cell(f"# {name}")])
    notebook.cells.append(
        new_code_cell('campaign = "."\nout = ""', metadata={"tags": ["parameters"]})
    )
    notebook.cells += [new_code_cell(source) for source in sources]
    file = place / f"{name}.ipynb"
    nbformat.write(notebook, file)
    out = place / "side"
    return Job(
        name=name,
        notebook=str(file),
        parameters={"campaign": str(place), "out": str(out)},
        shown={"campaign": place.name, "out": ""},
        kept=str(out / "notebooks" / f"{name}.ipynb"),
        folders={str(place): place.name, str(out): "out"},
        **more,
    )


def run(place: Path, *jobs: Job, at_once: int = 2) -> str:
    """Run jobs; what the progress said."""
    said = io.StringIO()
    work = place.parent / "work"
    with Progress(Console(file=said, width=200)) as progress:
        run_jobs(jobs, at_once, work, progress)
    return said.getvalue()


def outputs(place: Path, name: str) -> str:
    kept = nbformat.read(place / "side" / "notebooks" / f"{name}.ipynb", 4)
    return "".join(o.text for c in kept.cells for o in c.get("outputs", ()) if "text" in o)


def test_good_notebooks(place, monkeypatch):
    """A stray kernel of the same name, the user's own settings and paths stay out."""
    stray = place.parent / "jupyter" / "kernels" / "python3"
    stray.mkdir(parents=True)
    dead = {"argv": ["no-such-program"], "display_name": "stray", "language": "python"}
    (stray / "kernel.json").write_text(json.dumps(dead), encoding="utf-8", newline="\n")
    monkeypatch.setenv("JUPYTER_PATH", str(place.parent / "jupyter"))
    surroundings = "import os, sys\nprint(sys.executable, os.listdir(), os.environ['MPLBACKEND'])"
    writes = "from pathlib import Path\nPath(out, 'proof.txt').write_text('x')\nprint(campaign)"
    warns = "import warnings\nwarnings.warn('mind')\nprint(out, Path('x').resolve().parent)"
    html, pdf = place / "side" / "coolers" / "a.html", place / "side" / "coolers" / "a.pdf"
    (place / "side").mkdir()
    said = run(
        place,
        job(place, "plain", surroundings, html=str(html), pdf=str(pdf)),
        job(place, "proved", writes, warns, proof=str(place / "side" / "proof.txt")),
    )
    assert "plain" in said and "proved" in said and "FAILED" not in said
    assert said.count("done") == len(said.splitlines()) == 2

    assert (place.parent / "work" / "plain" / "stderr.txt").read_text(encoding="utf-8") == ""

    told = outputs(place, "plain")
    assert told.startswith("python/") and "[] agg" in told
    assert place.name in outputs(place, "proved")
    for kept in (place / "side").rglob("*"):
        if kept.suffix in (".ipynb", ".html"):
            text = kept.read_text(encoding="utf-8")
            for folder in (str(place.parent), sys.prefix, json.dumps(str(place))[1:-1]):
                assert folder not in text, kept.name
    assert html.read_text(encoding="utf-8").lstrip().lower().startswith("<!doctype html>")
    assert pdf.read_bytes().startswith(b"%PDF-")

    kept = nbformat.read(place / "side" / "notebooks" / "proved.ipynb", 4)
    nbformat.validate(kept)
    injected = [c for c in kept.cells if "injected-parameters" in c.metadata.get("tags", ())]
    assert [c.source for c in injected] == [f'# Parameters\ncampaign = "{place.name}"\nout = ""']
    assert "papermill" not in kept.metadata and "start_time" not in json.dumps(kept)


def test_one_at_a_time_is_in_processes_too(place):
    pid = "import os\nprint(os.getppid(), end='')"
    run(place, job(place, "a", pid), job(place, "b", pid), at_once=1)
    assert outputs(place, "a") != outputs(place, "b")
    assert str(os.getpid()) not in (outputs(place, "a"), outputs(place, "b"))


def test_a_users_mistake_arrives_as_it_was_raised(place):
    source = (
        "from coldbench.errors import Fault, UserError\n"
        "raise UserError([Fault('no unit', 'runs/ä.toml:3', found='<b>4</b>'), Fault('second')])"
    )
    with pytest.raises(UserError) as caught:
        run(place, job(place, "mistaken", source))
    assert str(caught.value) == "runs/ä.toml:3: no unit\n  found:   <b>4</b>\nsecond"


def test_a_fault_of_the_kit_stops_all_and_keeps_the_copy(place):
    slow = job(place, "slow", "import time\ntime.sleep(60)")
    start = time.monotonic()
    with pytest.raises(NotebookFailed, match="broken: cell 3: ZeroDivisionError") as caught:
        run(place, slow, job(place, "broken", "print('so far')\n1 / 0", "print('on')"))
    assert time.monotonic() - start < 30
    copy = (caught.value.folder / "executed.ipynb").read_text(encoding="utf-8")
    assert "so far" in copy and "ZeroDivisionError" in copy
    assert not (place / "side" / "notebooks" / "broken.ipynb").exists()


@pytest.mark.parametrize(
    ("source", "told"),
    [
        ("import sys\nsys.exit()", "left before its end"),
        ("import os\nos._exit(7)", "died"),
        ("pass", "without writing proof.txt"),
    ],
)
def test_a_notebook_that_ends_early_is_no_success(place, source, told):
    one = job(place, "early", source, "print('end')", proof=str(place / "proof.txt"))
    with pytest.raises(NotebookFailed, match=told):
        run(place, one)


def test_a_notebook_that_never_ends_is_stopped(place, monkeypatch):
    monkeypatch.setattr(processes, "TIME_LIMIT", 3.0)
    with pytest.raises(NotebookFailed, match="not done after 3 s"):
        run(place, job(place, "endless", "while True: pass"))


def test_an_interrupt_ends_the_kernels_too(place, monkeypatch):
    beat = place / "beat.txt"
    source = (
        "import time\nfrom pathlib import Path\n"
        "while True:\n    Path(campaign, 'beat.txt').write_text(str(time.time()))\n"
        "    time.sleep(0.05)"
    )

    def interrupt_once_it_beats(seconds):
        time.sleep(seconds)
        if beat.exists():
            raise KeyboardInterrupt

    monkeypatch.setattr(processes, "time", Clock(interrupt_once_it_beats))
    with pytest.raises(KeyboardInterrupt):
        run(place, job(place, "beating", source))
    for _ in range(100):
        # Not the text: a kernel that ends in the middle of a beat leaves the file empty.
        last = beat.stat().st_mtime_ns
        time.sleep(0.3)
        if beat.stat().st_mtime_ns == last:
            return
    pytest.fail("the kernel lives on")


class Clock:
    """The module ``time`` with a sleep of one's own."""

    monotonic = staticmethod(time.monotonic)

    def __init__(self, sleep):
        self.sleep = sleep

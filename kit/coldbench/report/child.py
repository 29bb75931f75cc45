"""The process that runs one notebook and exports it: ``python -m coldbench.report.child FOLDER``.

The folder holds the job and takes the outcome. Everything heavy is imported here, once.
"""

from __future__ import annotations

import sys
import traceback
from pathlib import Path

from coldbench.report.job import EXECUTED, JOB, OUTCOME, Job, Outcome, load, store

START_LIMIT = 120  # seconds a kernel may take to come up on a busy machine


def main(folder: Path) -> None:
    """Run the job of a folder and leave its outcome there."""
    # See cli.main: without it each process compiles grammars for a second.
    sys.modules.setdefault("rfc3987_syntax", None)
    job = load(Job, folder / JOB)
    try:
        outcome = run(job, folder)
    except Exception as error:
        traceback.print_exc()
        outcome = Outcome("ours", f"{type(error).__name__}: {error}")
    store(outcome, folder / OUTCOME)


def run(job: Job, folder: Path) -> Outcome:
    """Execute, keep and export one notebook.

    Parameters
    ----------
    job : Job
        What to run.
    folder : Path
        Where the copy is kept if it fails.
    """
    from papermill.exceptions import PapermillExecutionError

    try:
        notebook = _executed(job, folder / EXECUTED)
    except PapermillExecutionError as error:
        if error.ename == "UserError":
            return Outcome("user", error.evalue)
        return Outcome("ours", f"cell {error.exec_count}: {error.ename}: {error.evalue}")
    if told := _left_early(notebook, job):
        return Outcome("ours", told)
    _keep(notebook, job)
    return Outcome("done")


def _executed(job: Job, executed: Path) -> dict:
    begun: list[int] = []
    try:
        return _execute(job, executed, begun)
    except RuntimeError:  # a dead kernel
        if begun:
            raise
    # Two kernels that come up at once may pick the same port: worth one more try.
    return _execute(job, executed, begun)


def _execute(job: Job, executed: Path, begun: list[int]) -> dict:
    import papermill
    from traitlets.config import Config

    return papermill.execute_notebook(
        _literal(job.notebook),
        _literal(str(executed)),
        parameters=job.parameters,
        kernel_name="python3",
        language="python",
        progress_bar=False,
        request_save_on_cell_execute=False,
        start_timeout=START_LIMIT,
        kernel_manager_class=_own_interpreter(),
        shutdown_kernel="immediate",
        on_cell_execute=lambda cell, cell_index: begun.append(cell_index),
        # Otherwise each kernel warns on stderr that its ports are not encrypted.
        config=Config({"KernelManager": {"transport_encryption": "auto"}}),
    )


def _literal(path: str) -> str:
    # Papermill takes both paths for format strings.
    return path.replace("{", "{{").replace("}", "}}")


def _own_interpreter() -> type:
    """Kernel manager that starts this very Python.

    Left to itself Jupyter takes the first kernel named ``python3`` on its path, which may be
    another environment's, or dead.
    """
    from jupyter_client.kernelspec import KernelSpec
    from jupyter_client.manager import AsyncKernelManager

    class OwnInterpreter(AsyncKernelManager):
        @property
        def kernel_spec(self) -> KernelSpec:
            argv = [sys.executable, "-m", "ipykernel_launcher", "-f", "{connection_file}"]
            curve = {"supported_encryption": ["curve"]}
            return KernelSpec(argv=argv, display_name="Python 3", language="python", metadata=curve)

    return OwnInterpreter


def _left_early(notebook: dict, job: Job) -> str:
    cells = [cell for cell in notebook["cells"] if cell["cell_type"] == "code" and cell["source"]]
    undone = sum(cell["execution_count"] is None for cell in cells)
    if undone:
        return f"the notebook left before its end; {undone} cells were not run"
    if job.proof and not Path(job.proof).is_file():
        return f"the notebook came to its end without writing {Path(job.proof).name}"
    return ""


def _keep(notebook: dict, job: Job) -> None:
    import nbformat

    from coldbench.report.export import export
    from coldbench.report.kept_copy import clean

    clean(notebook, job.shown, job.folders)
    kept = Path(job.kept)
    kept.parent.mkdir(parents=True, exist_ok=True)
    kept.write_text(nbformat.writes(notebook) + "\n", encoding="utf-8", newline="\n")
    html, pdf = (Path(place) if place else None for place in (job.html, job.pdf))
    export(notebook, html=html, pdf=pdf, paper=job.paper)


if __name__ == "__main__":
    main(Path(sys.argv[1]))

"""One line a notebook on stderr, so that stdout holds nothing but what was made."""

from __future__ import annotations

from types import TracebackType

from rich.console import Console
from rich.progress import Progress as Bars
from rich.progress import SpinnerColumn, TaskID, TextColumn, TimeElapsedColumn


class Progress:
    """Live lines on a terminal; elsewhere a plain line as each notebook ends.

    Parameters
    ----------
    console : Console, optional
        Where to; stderr by default.
    """

    def __init__(self, console: Console | None = None) -> None:
        self.console = console or Console(stderr=True, highlight=False, soft_wrap=True)
        self.bars = Bars(
            SpinnerColumn("line"),
            TextColumn("{task.description}", markup=False),
            TimeElapsedColumn(),
            console=self.console,
            transient=True,
            disable=not self.console.is_terminal,
        )
        self.lines: dict[str, TaskID] = {}

    def __enter__(self) -> Progress:
        self.bars.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.bars.stop()

    def started(self, name: str) -> None:
        """A notebook has begun."""
        self.lines[name] = self.bars.add_task(name, total=None)

    def ended(self, name: str, seconds: float | None, well: bool) -> None:
        """A notebook is over; how long it took is not known of one that ran elsewhere."""
        self.bars.remove_task(self.lines.pop(name))
        took = "" if seconds is None else f" {seconds:6.1f} s"
        self.say(f"{name:24} {'done' if well else 'FAILED':6}{took}")

    def say(self, text: str) -> None:
        """A line that stays, as it is written."""
        self.console.print(text, markup=False)

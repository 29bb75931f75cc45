"""Small campaigns of one cooler, written for one test each."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from coldbench.errors import Fault, UserError
from coldbench.logs import read_runs
from coldbench.logs.record import Record
from coldbench.sheets import read_campaign

CAMPAIGN = 'title = "Boxes on a bench"\ntimezone = "Europe/Paris"\n'
COOLER = (
    'name = "Box"\ntechnology = "compressor"\norigin = "bought"\n'
    'outside = { volume = "58 L" }\ninside = { volume = "13 L" }\n'
)
RUN = 'cooler = "box"\nkind = ["steady"]\n'
PLAIN = """
[[log]]
file = "logs/a.csv"
time = { column = "time" }
metered_at = "dc"
columns = { air_C = "air", power_W = "power" }
"""


class Bench:
    """Writes a campaign of one cooler and reads it.

    Parameters
    ----------
    folder : Path
        Where the campaign is written.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def write(
        self, files: Mapping[str, str | bytes], sheet: str = PLAIN, instruments: str = "",
        **more_runs: str,
    ) -> None:
        """One run of what ``sheet`` says below its first two lines, and the files of ``logs/``."""
        self._put("campaign.toml", CAMPAIGN + instruments)
        self._put("coolers/box.toml", COOLER)
        for run, text in {"one": sheet, **more_runs}.items():
            self._put(f"runs/{run}.toml", RUN + text)
        for name, content in files.items():
            self._put(f"logs/{name}", content)

    def _put(self, name: str, content: str | bytes) -> None:
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content.encode("utf-8") if isinstance(content, str) else content)

    def read(self) -> Record:
        """The run, read."""
        return read_runs(read_campaign(self.folder))["one"]

    def record(self, *args, **kwargs) -> Record:
        """Write, then read."""
        self.write(*args, **kwargs)
        return self.read()

    def faults(self, *args, **kwargs) -> tuple[Fault, ...]:
        """Write, then read what cannot be read. No message may name this machine's folders."""
        self.write(*args, **kwargs)
        with pytest.raises(UserError) as told:
            self.read()
        assert str(self.folder) not in str(told.value)
        return told.value.faults


@pytest.fixture
def bench(tmp_path) -> Bench:
    """A campaign to be written."""
    return Bench(tmp_path / "campaign")


@pytest.fixture(scope="session")
def new_bench(tmp_path_factory) -> Callable[[], Bench]:
    """Campaigns to be written, one a call: for tests of many examples."""
    top, count = tmp_path_factory.mktemp("campaigns"), itertools.count()
    return lambda: Bench(top / str(next(count)))

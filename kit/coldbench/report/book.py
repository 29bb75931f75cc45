"""What a notebook holds: one campaign, read, analysed and compared, and how to show it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from coldbench import draws, shipped
from coldbench.analysis.campaign import CampaignResult, RunResult, analyse_campaign
from coldbench.compare.differences import Difference, differences
from coldbench.compare.flows import Flows, flows
from coldbench.compare.repeats import Spread
from coldbench.compare.rows import all_rows
from coldbench.errors import Fault, UserError
from coldbench.figures import Drawn, Style, cooler_styles, csv_text, svg_text
from coldbench.findings import Finding, find
from coldbench.quantities import us
from coldbench.report.display import Figure, Mark
from coldbench.report.earlier import Earlier, read_earlier
from coldbench.sheets import Campaign, read_campaign

DEMO = "demo"
# Names of invented campaigns that come with the kit, and their folders among the templates.
SHIPPED = {DEMO: "campaign-demo", "lab": "campaign-lab"}


@dataclass(frozen=True)
class Book:
    """A campaign with everything the report says of it.

    Parameters
    ----------
    result : CampaignResult
        Runs, analysed.
    rows : tuple of Finding
        One a cooler, finding and ``at``: repeats merged, sizes and prices added.
    spreads : mapping of str to Spread
        Run-to-run spread seen, by finding.
    out : Path or None
        Where figures and results go; None writes nothing.
    paper : str
        ``a4`` or ``letter``.
    inputs : mapping of str to str
        All hidden constants that were drawn, for the budgets.
    earlier : Earlier
        Coolers of earlier campaigns that join tables, dots and differences.
    drawn : list of str
        Names of the figures shown so far.
    """

    result: CampaignResult
    rows: tuple[Finding, ...]
    spreads: Mapping[str, Spread]
    out: Path | None = None
    paper: str = "a4"
    inputs: Mapping[str, str] = field(default_factory=dict)
    earlier: Earlier = field(default_factory=Earlier)
    drawn: list[str] = field(default_factory=list)

    @property
    def campaign(self) -> Campaign:
        """Sheets of the campaign."""
        return self.result.campaign

    @property
    def coolers(self) -> list[str]:
        """Ids of all coolers, in order."""
        return list(self.campaign.coolers)

    @property
    def compared(self) -> list[str]:
        """Ids of all coolers, those of earlier campaigns last."""
        return [*self.coolers, *self.earlier.names]

    @property
    def compared_rows(self) -> tuple[Finding, ...]:
        """Rows of all coolers, those of earlier campaigns last."""
        return (*self.rows, *self.earlier.rows)

    @cached_property
    def names(self) -> dict[str, str]:
        """Name of each cooler."""
        return {c: sheet.name for c, sheet in self.campaign.coolers.items()} | self.earlier.names

    @cached_property
    def styles(self) -> dict[str, Style]:
        """Colour, marker and dash of each cooler, the same in every figure."""
        return cooler_styles(self.compared)

    def mark(self, cooler: str) -> Mark:
        """Sign of a cooler in tables."""
        return Mark(self.styles[cooler].marker, self.styles[cooler].colour)

    @cached_property
    def flows(self) -> list[Flows]:
        """Where the heat of each cooler comes from and where its electricity goes."""
        return flows(self.result, self.rows)

    @cached_property
    def differences(self) -> list[Difference]:
        """All pairs of coolers on all findings they share."""
        protocols = {run: sheet.protocol or "" for run, sheet in self.campaign.runs.items()}
        return differences(self.compared_rows, self.spreads, protocols | self.earlier.protocols)

    def ties(self, key: tuple[str, str]) -> list[set[str]]:
        """Pairs of coolers that cannot be told apart on a finding and ``at``."""
        return [
            {d.first.cooler, d.second.cooler} for d in self.differences
            if d.first.key == key and d.verdict == "cannot tell apart"
        ]

    def find(self, **wanted: str) -> list[Finding]:
        """Rows whose fields equal the wanted ones."""
        return find(self.compared_rows, **wanted)

    def one(self, cooler: str, finding: str, at: str | None = None) -> Finding | None:
        """First row of a cooler's finding."""
        found = self.find(cooler=cooler, finding=finding)
        return next((f for f in found if at is None or f.at == at), None)

    def main_run(self, cooler: str, kind: str) -> RunResult | None:
        """The run of a kind that stands for a cooler: at its coldest setting before others."""
        runs = [r for r in self.result.of(cooler, kind)
                if not self.campaign.runs[r.record.run].repeat_of]
        coldest = [r for r in runs if self.campaign.runs[r.record.run].setting == "coldest"]
        return next(iter([*coldest, *runs]), None)

    def checked_on(self, instrument: str) -> str:
        """Day on which an instrument was checked: its sheet's, or that of a same-place check."""
        stated = self.campaign.sheet.instruments[instrument].checked
        if stated is not None:
            return str(stated)
        days = [
            check.day for check in self.result.checks
            for log in self.campaign.runs[check.run].log for column in log.columns.values()
            if (column.instrument or log.instrument) == instrument
        ]
        return max(days, default="")

    def figure(self, drawn: Drawn | None, width: str = "full") -> list[Figure]:
        """A drawing to show; its SVG and the data behind it are written beside the report."""
        if drawn is None:
            return []
        svg, csv = svg_text(drawn), ""
        self.drawn.append(drawn.name)
        if self.out is not None:
            folder = self.out / "figures"
            folder.mkdir(parents=True, exist_ok=True)
            csv = f"figures/{drawn.name}.csv"
            for suffix, text in ((".svg", svg), (".csv", csv_text(drawn))):
                path = folder / f"{drawn.name}{suffix}"
                path.write_text(text, encoding="utf-8", newline="\n")
        return [Figure(svg, drawn.caption, drawn.alt, label=drawn.name, width=width, csv=csv)]


def open_campaign(
    campaign: str, out: str = "", paper: str = "a4", units: str = "si"
) -> Book:
    """Read, analyse and compare a campaign.

    Parameters
    ----------
    campaign : str
        Folder of the campaign, or ``"demo"`` for the invented one that comes with the kit; that
        of the lab cards is ``"lab"``.
    out : str
        Folder for figures and results; ``""`` writes nothing.
    paper : {"a4", "letter"}
        Paper of the PDF.
    units : {"si", "us"}
        What is printed; files of data stay SI.

    Returns
    -------
    Book

    Raises
    ------
    UserError
        Faults in sheets or logs, all of them at once.
    """
    if units not in us.CHOICES:
        raise UserError(Fault("unknown units", found=units, allowed=" or ".join(us.CHOICES)))
    us.use(units)
    with draws.noted() as inputs:
        sheets = read_campaign(folder_of(campaign))
        earlier = read_earlier(sheets)
        result = analyse_campaign(sheets)
        rows, spreads = all_rows(result)
    return Book(result, tuple(rows), spreads, Path(out) if out else None, paper, inputs, earlier)


def folder_of(campaign: str) -> Path:
    """Folder of a campaign; ``"demo"`` and ``"lab"`` are those that come with the kit."""
    folder = Path(campaign)
    if campaign in SHIPPED and not folder.exists():
        return shipped("templates") / SHIPPED[campaign]
    return folder


def show(*shown: object) -> None:
    """Show display objects (or lists of them) in a notebook, one below the other."""
    from IPython.display import display

    for item in _flat(shown):
        display(item)


def _flat(items: Iterable[object]) -> Iterable[object]:
    for item in items:
        if isinstance(item, list | tuple):
            yield from _flat(item)
        elif item is not None:
            yield item

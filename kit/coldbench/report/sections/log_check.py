"""What the kit understood of each log, before anything is computed."""

from __future__ import annotations

from coldbench.logs import read_runs
from coldbench.logs.echo import span
from coldbench.logs.record import FileEcho, Record
from coldbench.logs.words import told_time
from coldbench.quantities import number
from coldbench.report.book import folder_of
from coldbench.report.display import Bullets, Heading, KeyValue, NoticeBox, ReportHead, Table
from coldbench.sheets import Campaign, read_campaign
from coldbench.sheets.roles import ROLE_UNITS, base_role


def open_logs(campaign: str) -> tuple[Campaign, dict[str, Record]]:
    """Sheets and logs of a campaign, read but not analysed.

    Parameters
    ----------
    campaign : str
        Folder, or ``"demo"``.

    Returns
    -------
    (Campaign, dict of str to Record)

    Raises
    ------
    UserError
        All faults at once.
    """
    sheets = read_campaign(folder_of(campaign))
    return sheets, read_runs(sheets)


def echo_head(opened: tuple[Campaign, dict[str, Record]]) -> ReportHead:
    """Title of the log check."""
    sheet = opened[0].sheet
    told = sheet.disclosure
    return ReportHead(title=sheet.title, subtitle="Log check: what was understood",
                      author=sheet.author or "", date=str(sheet.date or ""),
                      banner=(told.invented or "") if told else "",
                      report_id=opened[0].folder.name)


def echo_cards(opened: tuple[Campaign, dict[str, Record]]) -> list[object]:
    """A card a file: rows, span, step, roles, units, gaps, repairs, questions."""
    campaign, records = opened
    shown: list[object] = []
    for run, record in records.items():
        shown.append(Heading(3, f"{run} ({campaign.coolers[record.cooler].name})"))
        shown.append(KeyValue([("Time zero", f"{told_time(record.zero, campaign.tz)}, "
                                             f"{record.zero_from}")]))
        for file in record.files:
            shown += _card(file, campaign)
        shown += _by_hand(record, campaign)
    return shown


def _card(file: FileEcho, campaign: Campaign) -> list[object]:
    facts = [
        ("File", file.file), ("Form", file.form), ("Rows", str(file.rows)),
        ("Span", f"{told_time(file.start, campaign.tz)} to {told_time(file.end, campaign.tz)}"),
        ("Step", f"{span(file.step)}, gap limit {span(file.gap_limit)}"),
        ("Gaps", _gaps(file, campaign)), ("Unused columns", ", ".join(file.unused) or "none"),
    ]
    rows = [
        [c.column, c.role, c.unit, c.probe, str(c.samples), str(c.blanks),
         "–" if c.low is None else number(c.low, 2), "–" if c.high is None else number(c.high, 2),
         ROLE_UNITS[base_role(c.role)]]
        for c in file.channels
    ]
    columns = ["Column", "Role", "Written in", "Probe", "Samples", "Blanks", "Lowest", "Highest",
               "Unit"]
    shown: list[object] = [KeyValue(facts), Table(columns, rows)]
    if file.repairs:
        shown.append(Bullets([f"Repair: {r}" for r in file.repairs]))
    shown += [NoticeBox("doubt", "Question", q) for q in file.questions]
    return shown


def _by_hand(record: Record, campaign: Campaign) -> list[object]:
    """Readings typed into the run sheet, a row a role."""
    rows = [
        [t.role, t.unit, str(len(t.t)), told_time(float(t.t[0]), campaign.tz),
         told_time(float(t.t[-1]), campaign.tz), number(float(t.y[0]), 2),
         number(float(t.y[-1]), 2)]
        for t in record.traces.values() if t.by_hand
    ]
    columns = ["Role", "Unit", "Readings", "From", "To", "First", "Last"]
    return [Table(columns, rows, caption="Read by hand")] if rows else []


def _gaps(file: FileEcho, campaign: Campaign) -> str:
    if not file.gaps:
        return "none"
    total, tz = sum(b - a for a, b in file.gaps) / 60, campaign.tz
    first = ", ".join(f"{told_time(a, tz)} to {told_time(b, tz)}" for a, b in file.gaps[:4])
    more = f" and {len(file.gaps) - 4} more" if len(file.gaps) > 4 else ""
    return f"{len(file.gaps)}, {number(total, 0)} min in all: {first}{more}"


def notices(opened: tuple[Campaign, dict[str, Record]]) -> list[object]:
    """What the reader of the report will be told of these logs."""
    rows = [[n.severity, n.where, n.message] for r in opened[1].values() for n in r.notices]
    if not rows:
        return [NoticeBox("note", "No notices", "No gap, repair or doubt was noticed.")]
    return [Table(["Weight", "Where", "What"], rows, caption="Notices")]

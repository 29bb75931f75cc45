"""From sheets and logs to the findings of each run."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from coldbench.analysis.balance import Balance
from coldbench.analysis.check import KIND, Check, check_of
from coldbench.analysis.checked import checked
from coldbench.analysis.context import Context
from coldbench.analysis.coverage import by_coverage
from coldbench.analysis.crossing import Crossing
from coldbench.analysis.cycles import find_cycles
from coldbench.analysis.food import hours_above_limit
from coldbench.analysis.freeze import freeze
from coldbench.analysis.freeze_eu import freezing_capacity_eu
from coldbench.analysis.freezing import Freezing
from coldbench.analysis.heat_leak import heat_leak
from coldbench.analysis.hold import hold_time
from coldbench.analysis.limits import LIMITS
from coldbench.analysis.pull_down import pull_down
from coldbench.analysis.settled import coldest_bound, settled
from coldbench.analysis.sound import sound
from coldbench.analysis.steady import SteadyWindow
from coldbench.analysis.steady_rule import find_steady
from coldbench.analysis.supply_volts import supply_volts
from coldbench.analysis.two_load import two_load
from coldbench.findings import Finding, Notice
from coldbench.logs import read_runs
from coldbench.logs.record import Record
from coldbench.sheets import Campaign


@dataclass(frozen=True)
class RunResult:
    """Findings of one run and what its figures need.

    ``steady``, ``freezing``, ``crossings`` and ``balance`` (of a heat leak) are empty where the
    run's kinds do not ask for them.
    """

    record: Record
    kinds: tuple[str, ...]
    findings: tuple[Finding, ...]
    notices: tuple[Notice, ...] = ()
    steady: SteadyWindow | None = None
    freezing: Freezing | None = None
    crossings: dict[str, Crossing] = field(default_factory=dict)
    balance: Balance | None = None


@dataclass(frozen=True)
class CampaignResult:
    """All runs of a campaign, analysed; findings are those of single runs.

    ``checks`` are its same-place checks, by which the other runs are corrected.
    """

    campaign: Campaign
    results: dict[str, RunResult]
    checks: tuple[Check, ...] = ()

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Findings of all runs, in order of the runs."""
        return tuple(f for r in self.results.values() for f in r.findings)

    @property
    def notices(self) -> tuple[Notice, ...]:
        """Notices of all runs, those of their logs first."""
        return tuple(
            n for r in self.results.values() for n in (*r.record.notices, *r.notices)
        )

    def of(self, cooler: str, kind: str = "") -> list[RunResult]:
        """Results of a cooler's runs, of one kind where it is named."""
        return [
            r for r in self.results.values()
            if r.record.cooler == cooler and (not kind or kind in r.kinds)
        ]


def analyse_campaign(campaign: Campaign) -> CampaignResult:
    """Read the logs of all runs, correct them by its same-place checks, and analyse each.

    Parameters
    ----------
    campaign : Campaign
        Sheets, read.

    Returns
    -------
    CampaignResult

    Raises
    ------
    UserError
        Faults in logs, all of them at once.

    References
    ----------
    .. [1] Each finding's own module.
    """
    records = read_runs(campaign)
    checks = {run: check_of(record, campaign) for run, record in records.items()
              if KIND in campaign.runs[run].kind}
    results = {}
    for run, record in records.items():
        if set(campaign.runs[run].kind) != {KIND}:
            record = checked(record, campaign, checks.values())
        results[run] = _with_check(analyse_run(record, campaign), checks.get(run))
    return CampaignResult(campaign, _with_two_loads(_fair_starts(results)), tuple(checks.values()))


def analyse_run(record: Record, campaign: Campaign) -> RunResult:
    """Findings of one run, by its kinds.

    Parameters
    ----------
    record : Record
        The run, read.
    campaign : Campaign
        Its sheets.

    Returns
    -------
    RunResult

    References
    ----------
    .. [1] Each finding's own module.
    """
    context = Context(record, campaign)
    kinds = tuple(context.run.kind)
    findings: list[Finding] = []
    notices: list[Notice] = []
    window, freezing, crossings = None, None, {}
    if "pull-down" in kinds:
        rows, crossings = pull_down(context)
        findings += [*rows, *hours_above_limit(context)]
        if "steady" not in kinds:
            findings += _coldest_at_least(context, "no steady run")
    if "steady" in kinds:
        window = find_steady(record, context.meter, _chosen(context))
        if window is not None:
            findings += settled(context, window)
            notices += _window_notices(context, window)
        else:
            findings += [*_coldest_at_least(context, "no steady window"), *_no_power(context)]
            notices.append(_no_window_notice(context))
    if "freeze" in kinds:
        rows, said, freezing = freeze(context)
        findings += [*rows, *freezing_capacity_eu(context)]
        notices += said
    leaks, span = heat_leak(context)
    rows = tuple(by_coverage(row) for row in (
        *findings, *leaks, *hold_time(context), *sound(context), *supply_volts(context)))
    return RunResult(record, kinds, rows, tuple(notices), window, freezing, crossings, span)


def _with_two_loads(results: dict[str, RunResult]) -> dict[str, RunResult]:
    """Rows that two warm-ups give together stand with the later of them."""
    warm_ups = {run: r for run, r in results.items()
                if r.balance is not None and "warm-up" in r.kinds}
    rows = {run: f for run, r in warm_ups.items() for f in r.findings if f.finding == "heat_leak"}
    balances = {run: warm_ups[run].balance for run in rows}
    found = [by_coverage(row) for row in two_load(rows, balances)]
    return {
        run: replace(r, findings=(*r.findings, *(f for f in found if f.runs[-1] == run)))
        for run, r in results.items()
    }


def _with_check(result: RunResult, check: Check | None) -> RunResult:
    if check is None:
        return result
    return replace(result, findings=(*result.findings, *check.findings),
                   notices=(*result.notices, *check.notices))


def _coldest_at_least(context: Context, why: str) -> list[Finding]:
    """A run without a steady window says only how cold it got at least."""
    record = context.record
    air = record.trace("air")
    if air is None:
        return []
    base = Finding(cooler=record.cooler, finding="coldest_air", unit="°C", runs=(record.run,),
                   conditions=context.conditions(record.zero, context.end),
                   note=f"{why}: it gets at least this cold")
    return [coldest_bound(context, base, air)]


def _no_power(context: Context) -> list[Finding]:
    """Nothing can be said of power where no stretch is long enough to be judged."""
    if context.meter is None:
        return []
    record = context.record
    base = Finding(
        cooler=record.cooler, finding="mean_power", unit="W", basis="not measured",
        at=f"{context.meter.main.metered_at} {context.run.setting or ''}".strip(),
        runs=(record.run,), conditions=context.conditions(record.zero, context.end),
        note="no steady window; needs a longer run",
    )
    return [base, replace(base, finding="daily_energy", unit="Wh/d")]


def _no_window_notice(context: Context) -> Notice:
    record = context.record
    meter = context.meter
    source = meter.power if meter and meter.power else record.trace("air")
    cycling = find_cycles(source, record.zero, context.end) if source is not None else None
    cycles = len(cycling.starts) - 1 if cycling is not None else 0
    hours = (context.end - record.zero) / 3600
    return Notice(
        "STEADY-NONE", "disqualifies", record.run,
        f"No steady window: {hours:.1f} h with {max(cycles, 0)} whole cycles of a thermostat. The "
        f"rule needs {LIMITS.slope_window:g} h of inside or power, and where a thermostat cycles "
        f"two blocks of {LIMITS.block_cycles} whole cycles.", record.cooler)


def _chosen(context: Context) -> tuple[float, float] | None:
    """Steady window written in the run sheet, in seconds since time zero."""
    window = context.run.window
    steady = window.steady if window else None
    return (steady.from_.value, steady.to.value) if steady else None


def _window_notices(context: Context, window: SteadyWindow) -> list[Notice]:
    run, cooler = context.record.run, context.record.cooler
    if not window.passed:
        return [Notice("STEADY-NONE", "disqualifies", run,
                       f"No steady window: {window.text}. Bounds only.", cooler)]
    notices = []
    if not window.days:
        notices.append(Notice(
            "STEADY-SHORT", "doubt", run,
            f"The steady window is {window.hours:.1f} h, short of 24 h; energies gain "
            f"{100 * LIMITS.energy_per_kelvin:g} % for each of {window.ambient_move:.1f} K by "
            "which the ambient of the whole day may differ.", cooler))
    dropped = int((~window.good).sum())
    if dropped:
        notices.append(Notice(
            "CYCLES-DROPPED", "note", run,
            f"{dropped} of {len(window.good)} cycles in the steady window touch a gap or a mark "
            "and are left out, from energy and from duration.", cooler))
    return notices


def _fair_starts(results: dict[str, RunResult]) -> dict[str, RunResult]:
    """Rows counted from the footing's start stay only where every pull-down began above it."""
    def counted(finding: Finding) -> bool:
        return finding.at.endswith("from footing start")

    with_rows = [any(map(counted, r.findings)) for r in results.values() if r.crossings]
    if with_rows and all(with_rows):
        return results
    return {
        run: replace(r, findings=tuple(f for f in r.findings if not counted(f)))
        for run, r in results.items()
    }

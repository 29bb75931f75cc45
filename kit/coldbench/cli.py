"""The command: a thin skin in which every verb is one public function.

Nothing heavy is imported before a verb is known, so that ``--help`` answers at once.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from coldbench import __version__, shipped
from coldbench.errors import Fault, UserError

FINE, USER_MUST_MEND, WRONG_USAGE, OUR_FAULT, INTERRUPTED = 0, 1, 2, 3, 130
FORMATS = ("html", "pdf")
ERROR_LOG = "coldbench-error.log"


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb.

    Parameters
    ----------
    arguments : sequence of str, optional
        What follows the command's name; by default what the shell gave.

    Returns
    -------
    int
        0 fine, 1 the user's data needs mending, 2 wrong usage, 3 our fault (a log file is named),
        130 interrupted.
    """
    # nbformat imports jsonschema, which spends a second on compiling a grammar for a format that
    # no notebook schema uses. Declared absent, it is skipped; validation stays as it was.
    sys.modules.setdefault("rfc3987_syntax", None)
    _speak_utf8()
    try:
        chosen = _parser().parse_args(arguments)
    except SystemExit as asked:  # argparse: 0 after --help, 2 after wrong usage
        return int(asked.code or 0)
    try:
        for line in chosen.verb(chosen):
            print(line)
        sys.stdout.flush()
    except UserError as mistake:
        _show(mistake)
        return USER_MUST_MEND
    except BrokenPipeError:
        # Whoever read along has seen enough. Python's own last flush must not fail either.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return FINE
    except KeyboardInterrupt:
        print("Interrupted.", file=sys.stderr)
        return INTERRUPTED
    except Exception:
        print(f"This is a fault of coldbench, not yours. Log: {_log_traceback()}", file=sys.stderr)
        return OUR_FAULT
    return FINE


def _new(chosen: argparse.Namespace) -> list[object]:
    from coldbench.sheets.new import new_campaign

    return [new_campaign(chosen.folder, demo=chosen.demo, workbook=chosen.workbook)]


def _check(chosen: argparse.Namespace) -> Iterator[object]:
    from coldbench.report.checking import check

    checked = check(chosen.place)
    if checked.text:
        yield checked.text
    if checked.faults:
        sys.stdout.flush()
        raise UserError(checked.faults)


def _report(chosen: argparse.Namespace) -> list[object]:
    return _reported(chosen.folder, chosen)


def _demo(chosen: argparse.Namespace) -> list[object]:
    return _reported(shipped("templates") / "campaign-demo", chosen)


def _reported(folder: Path, chosen: argparse.Namespace) -> list[object]:
    from coldbench.report.runner import report_campaign

    return list(
        report_campaign(
            folder, out=chosen.out, formats=chosen.formats, jobs=chosen.jobs, paper=chosen.paper,
            units=chosen.units,
        )
    )


def _design(chosen: argparse.Namespace) -> list[object]:
    from coldbench.report.runner import design_campaign

    return list(
        design_campaign(
            chosen.folder, out=chosen.out, formats=chosen.formats, jobs=chosen.jobs,
            paper=chosen.paper, units=chosen.units,
        )
    )


def _sheets(chosen: argparse.Namespace) -> list[object]:
    from coldbench.course import sheet_orders
    from coldbench.course.blank_sheets import write_sheets

    times = (chosen.step, chosen.hours)
    own = [f"--{name}" for name in ("kind", "run", "cooler", "roles") if getattr(chosen, name)]
    if (chosen.roster or chosen.card) and own:
        raise UserError(Fault("a roster and a card say themselves what is read of what",
                              found=", ".join(own), do="leave it out, or ask for kinds alone"))
    if chosen.roster:
        sheets = sheet_orders.sheets_of_class(chosen.roster, chosen.units, *times)
    elif chosen.card:
        sheets = tuple(sheet_orders.sheet_of_card(name, chosen.title, chosen.units, *times)
                       for name in chosen.card)
    else:
        sheets = sheet_orders.sheets_of_kinds(
            chosen.kind, chosen.run, chosen.cooler, chosen.copies, *times, chosen.roles,
            chosen.title, chosen.units)
    return list(write_sheets(sheets, chosen.out, chosen.paper, chosen.workbook))


def _class(chosen: argparse.Namespace) -> Iterator[object]:
    if chosen.hand_out:
        from coldbench.course.hand_out import hand_out
        from coldbench.course.roster import read_roster

        yield from hand_out(read_roster(chosen.roster), chosen.paper, chosen.units)
        return
    from coldbench.course.batch import run_class

    delivered = run_class(
        chosen.roster, out=chosen.out, key=chosen.key, formats=chosen.formats, jobs=chosen.jobs,
        paper=chosen.paper, units=chosen.units, cluster=chosen.cluster, bold=chosen.bold,
    )
    yield from delivered.made
    sys.stdout.flush()
    if delivered.broken:
        if delivered.faults:
            _show(UserError(delivered.faults))
        raise RuntimeError("\n".join(delivered.broken))
    if delivered.faults:
        raise UserError(delivered.faults)


def _lab(chosen: argparse.Namespace) -> list[object]:
    return [open_lab(chosen.folder)]


def open_lab(folder: Path | None = None) -> Path:
    """Open JupyterLab on the notebooks; returns when it is shut.

    Parameters
    ----------
    folder : Path, optional
        Where to work. Without it, a clone's own notebooks; from an installed wheel the folder
        ``coldbench-notebooks`` here. A folder that does not exist yet is filled with copies.

    Returns
    -------
    Path
        The folder.

    Raises
    ------
    UserError
        JupyterLab is not installed.
    """
    import importlib.util
    import shutil

    if importlib.util.find_spec("jupyterlab") is None:
        raise UserError(Fault("JupyterLab is not installed", do="pip install jupyterlab"))
    notebooks = shipped("notebooks")
    in_clone = notebooks.parent != Path(__file__).resolve().parent
    if folder is None:
        folder = notebooks if in_clone else Path("coldbench-notebooks")
    if not folder.exists():
        shutil.copytree(notebooks, folder)
    from jupyterlab.labapp import LabApp

    LabApp.launch_instance(argv=[str(folder)])
    return folder


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="coldbench",
        description="Bench measurements of portable coolers in, a fair comparison report out.",
        epilog="Exit code: 0 fine, 1 your data needs mending, 2 wrong usage, 3 our fault.",
    )
    parser.add_argument("--version", action="version", version=f"coldbench {__version__}")
    verbs = parser.add_subparsers(metavar="VERB", required=True)

    new = verbs.add_parser("new", help="start a campaign: a folder with commented blank sheets")
    new.add_argument("folder", type=Path, metavar="DIR", help="folder to make")
    new.add_argument("--demo", action="store_true", help="a copy of the demo to play with instead")
    new.add_argument("--workbook", action="store_true",
                     help="all sheets as pages of one workbook, campaign.xlsx")
    new.set_defaults(verb=_new)

    check = verbs.add_parser(
        "check", help="say what was understood and every fault; compute nothing"
    )
    check.add_argument("place", type=Path, metavar="DIR",
                       help="the campaign, or a log file that no campaign knows yet")
    check.set_defaults(verb=_check)

    report = verbs.add_parser("report", help="write the comparison report of a campaign")
    report.add_argument("folder", type=Path, metavar="DIR", help="the campaign")
    _add_report_options(report, out="default: DIR/out")
    report.set_defaults(verb=_report)

    demo = verbs.add_parser("demo", help="write the report of the invented demo campaign")
    _add_report_options(demo, out="default: ./coldbench-demo", default=Path("coldbench-demo"))
    demo.set_defaults(verb=_demo)

    design = verbs.add_parser("design", help="say what to build next, from what was measured")
    design.add_argument("folder", type=Path, metavar="DIR", help="the campaign")
    _add_report_options(design, out="default: DIR/design")
    design.set_defaults(verb=_design)

    _add_sheets(verbs)
    _add_class(verbs)

    lab = verbs.add_parser("lab", help="open JupyterLab on the notebooks")
    lab.add_argument("folder", type=Path, metavar="DIR", nargs="?", help="where to work")
    lab.set_defaults(verb=_lab)
    return parser


def _add_sheets(verbs: argparse._SubParsersAction) -> None:
    sheets = verbs.add_parser("sheets", help="write blank data sheets as PDF, one page a run")
    sheets.add_argument("roster", type=Path, metavar="ROSTER", nargs="?",
                        help="of a class: a page for each group and card")
    sheets.add_argument("--kind", action="append", default=[], metavar="KIND",
                        help="kind of run, may be repeated; default: one page of every kind")
    sheets.add_argument("--card", action="append", default=[], metavar="CARD",
                        help="lab card instead of a kind, may be repeated")
    sheets.add_argument("--step", default="", help='between readings, "5 min"')
    sheets.add_argument("--hours", default="", metavar="TIME",
                        help='from the first reading to the last, "2 h"')
    sheets.add_argument("--roles", type=_names, default=(), metavar="air,load,…",
                        help="what is read")
    sheets.add_argument("--run", default="", metavar="ID", help="id of the run")
    sheets.add_argument("--cooler", default="", metavar="ID", help="id of the cooler")
    sheets.add_argument("--title", default="", help="printed at the head")
    sheets.add_argument("--copies", type=_copies, default=1, metavar="N", help="of each page")
    sheets.add_argument("--paper", choices=("a4", "letter"), default="a4", help="default: a4")
    sheets.add_argument("--units", choices=("si", "us"), default="si", help="us: °F, oz, fl oz")
    sheets.add_argument("--workbook", action="store_true",
                        help="also the workbook to type them into, for a campaign's runs/")
    sheets.add_argument("--out", type=Path, metavar="FILE", default=Path("data-sheets.pdf"),
                        help="default: ./data-sheets.pdf")
    sheets.set_defaults(verb=_sheets)


def _add_class(verbs: argparse._SubParsersAction) -> None:
    course = verbs.add_parser("class", help="run a class: each group's lab cards, overlay, key")
    course.add_argument("roster", type=Path, metavar="ROSTER",
                        help="class.toml, or a roster as CSV or workbook")
    course.add_argument("--hand-out", action="store_true",
                        help="only write each group's folder; what is there stays as it is")
    _add_report_options(course, out="default: out beside ROSTER")
    course.add_argument("--key", type=Path, metavar="DIR",
                        help="where the key goes (default: key beside ROSTER)")
    course.add_argument("--bold", default="", metavar="ID",
                        help="group that stands out in the class's report")
    course.add_argument("--cluster", default="", metavar="tcp://HOST:PORT",
                        help="scheduler whose workers do the work; needs coldbench[cluster]")
    course.set_defaults(verb=_class)


def _add_report_options(
    verb: argparse.ArgumentParser, out: str, default: Path | None = None
) -> None:
    verb.add_argument(
        "--out", type=Path, metavar="DIR", default=default, help=f"where to write ({out})"
    )
    verb.add_argument(
        "--formats", type=_formats, default=FORMATS, metavar="html,pdf", help="default: both"
    )
    verb.add_argument("--jobs", type=_jobs, metavar="N", help="notebooks run at the same time")
    verb.add_argument("--paper", choices=("a4", "letter"), default="a4", help="default: a4")
    verb.add_argument("--units", choices=("si", "us"), default="si",
                      help="us: °F, quarts, inches, pounds beside SI; data files stay SI")


def _formats(text: str) -> tuple[str, ...]:
    asked = tuple(part.strip() for part in text.split(","))
    if not set(asked) <= set(FORMATS):
        raise argparse.ArgumentTypeError(f"{text!r} is not html, pdf or html,pdf")
    return asked


def _jobs(text: str) -> int:
    return _number(text, "jobs")


def _copies(text: str) -> int:
    return _number(text, "copies")


def _number(text: str, what: str) -> int:
    if not text.isdecimal() or int(text) < 1:
        raise argparse.ArgumentTypeError(f"{text!r} is not a number of {what}, 1 or more")
    return int(text)


def _names(text: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in text.split(",") if part.strip())


def _speak_utf8() -> None:
    # A Windows console may know neither "°" nor "…"; a "?" there beats a crash.
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")


def _show(mistake: UserError) -> None:
    from rich.console import Console
    from rich.text import Text

    console = Console(stderr=True, soft_wrap=True, highlight=False)
    console.print(Text("Your data needs mending:", style="bold red"))
    console.print(Text(str(mistake)))


def _log_traceback() -> Path:
    import traceback

    for folder in (Path.cwd(), Path(tempfile.gettempdir())):
        log = folder / ERROR_LOG
        try:
            log.write_text(traceback.format_exc(), encoding="utf-8", newline="\n")
        except OSError:
            continue
        return log
    return Path("(no folder to write it to)")

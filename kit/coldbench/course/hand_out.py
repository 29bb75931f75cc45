"""What each group is given before class: a folder with blank sheets, its numbers, its answers."""

from __future__ import annotations

import shutil
from pathlib import Path

from coldbench.course.answers import FILE as ANSWERS
from coldbench.course.cards import card_named
from coldbench.course.makeup import MADE, SYNTHETIC, make_up
from coldbench.course.parameters import FILE as PARAMETERS
from coldbench.course.roster import Group, Roster
from coldbench.course.sheet_orders import write_for_group
from coldbench.errors import Fault, UserError, gathered
from coldbench.sheets.new import new_campaign
from coldbench.sheets.reading import WORKBOOKS
from coldbench.sheets.toml_files import CAMPAIGN


def hand_out(roster: Roster, paper: str = "a4", units: str = "si") -> list[Path]:
    """Write each group's folder; what is there already stays as it is.

    Parameters
    ----------
    roster : Roster
        The class.
    paper, units : str
        Of the data sheets: ``a4`` or ``letter``, ``si`` or ``us``.

    Returns
    -------
    list of Path
        What was written.

    Raises
    ------
    UserError
        Folders that cannot be written, or hold other things; all others are done.
    """
    faults: list[Fault] = []
    written: list[Path] = []
    for group in roster.groups:
        with gathered(faults):
            try:
                written += _folder(roster, group, paper, units)
            except OSError as error:
                raise UserError(Fault("a group's folder cannot be written",
                                      found=f"{error.filename}",
                                      do="name a place in which you may write")) from None
    if faults:
        raise UserError(faults)
    return written


def parameters_text(roster: Roster, group: Group) -> str:
    """A group's ``parameters.toml``."""
    head = [SYNTHETIC] if group.makeup else []
    head += ["What the roster gave this group. Leave it as it is."]
    values = {"group": group.id, "seed": str(roster.seed), **roster.parameters(group)}
    return "".join([*(f"# {line}\n" for line in head),
                    *(f'{name} = "{value}"\n' for name, value in values.items())])


def answers_text(roster: Roster, group: Group) -> str:
    """A blank ``answers.toml``: what each card asks for, in which unit, and no value."""
    parts = [f"# {SYNTHETIC}\n" if group.makeup else "",
             "# Write each answer between the quotes, with its unit; leave open what you lack.\n"]
    for name in roster.cards:
        card = card_named(name)
        parts.append(f"\n# {card.title}\n[{name}]\n")
        parts += [f'# {one.title}{_unit(one.unit)}\n{one.name} = ""\n' for one in card.asked]
        parts.append('# Your answer to the question of your group.\nnote_1 = ""\n')
        parts.append('# What your numbers say of the aim.\nconclusion = ""\n')
    return "".join(parts)


def _unit(unit: str) -> str:
    return "" if unit in ("", "-") else f" [{unit}]"


def _folder(roster: Roster, group: Group, paper: str, units: str) -> list[Path]:
    folder = group.folder
    written = [] if _has_campaign(folder) else _campaign(roster, group)
    if roster.sheets == "typed" and not any((folder / "runs").glob("*.toml")):
        written += write_for_group(roster, group, paper, units)
    for name, text in ((PARAMETERS, parameters_text), (ANSWERS, answers_text)):
        path = folder / name
        if not path.exists():
            path.write_text(text(roster, group), encoding="utf-8", newline="\n")
            written.append(path)
    return written


def _has_campaign(folder: Path) -> bool:
    return any((folder / name).exists() for name in (CAMPAIGN, *WORKBOOKS))


def _campaign(roster: Roster, group: Group) -> list[Path]:
    """Blank sheets, or the data of a simulator."""
    folder = group.folder
    if group.makeup:
        cards = [card_named(name) for name in roster.cards]
        kinds = {kind for card in cards for kind in card.runs}
        roles = {role for card in cards for role in card.roles}
        make_up(folder, group.id, roster.seed, kinds or MADE, roles, roster.parameters(group))
    elif roster.bench is not None:
        _copy_bench(roster.bench, folder)
    else:
        new_campaign(folder, workbook=roster.sheets == "workbook")
        # The example of a run is in the way where runs are typed into data sheets.
        if roster.sheets == "typed":
            (folder / "runs" / "example-1.toml").unlink()
    return [folder]


def _copy_bench(bench: Path, folder: Path) -> None:
    """What all groups share; a trial run in it is nobody's data."""
    if not (bench / CAMPAIGN).is_file():
        raise UserError(Fault(f"the folder for all groups has no {CAMPAIGN}", found=str(bench),
                              do=f"coldbench new {bench}, then fill in {CAMPAIGN} and coolers/"))
    shutil.copytree(bench, folder, dirs_exist_ok=True,
                    ignore=shutil.ignore_patterns("runs", "logs", "out", ".*"))
    for name in ("runs", "logs"):
        (folder / name).mkdir(exist_ok=True)

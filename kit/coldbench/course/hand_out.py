"""What each group is given before class: a folder with blank sheets, its numbers, its answers."""

from __future__ import annotations

from pathlib import Path

from coldbench.course.answers import FILE as ANSWERS
from coldbench.course.cards import card_named
from coldbench.course.makeup import MADE, SYNTHETIC, make_up
from coldbench.course.parameters import FILE as PARAMETERS
from coldbench.course.roster import Group, Roster
from coldbench.errors import Fault, UserError
from coldbench.sheets.new import new_campaign
from coldbench.sheets.reading import WORKBOOKS
from coldbench.sheets.toml_files import CAMPAIGN


def hand_out(roster: Roster) -> list[Path]:
    """Write each group's folder; what is there already stays as it is.

    Parameters
    ----------
    roster : Roster
        The class.

    Returns
    -------
    list of Path
        What was written.

    Raises
    ------
    UserError
        A folder cannot be written.
    """
    try:
        return [path for group in roster.groups for path in _folder(roster, group)]
    except OSError as error:
        raise UserError(Fault("a group's folder cannot be written", found=f"{error.filename}",
                              do="name a place in which you may write")) from None


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


def _folder(roster: Roster, group: Group) -> list[Path]:
    folder = group.folder
    written = [] if _has_campaign(folder) else _campaign(roster, group)
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
    else:
        new_campaign(folder, workbook=roster.sheets == "workbook")
    return [folder]

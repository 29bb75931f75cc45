"""What a class may see of a group: coverage, flags, raw curves; and how a group is closed."""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))
from lab_group import made_up, opened

from coldbench.analysis.heat import load_mass
from coldbench.course.cards import NAMES, card_named
from coldbench.course.facts import POINTS, card_facts, coverage, curves, headline
from coldbench.course.marking import Marking, close
from coldbench.course.work import Work
from coldbench.errors import UserError
from coldbench.logs.record import Record, Trace
from coldbench.quantities import parse
from coldbench.report.job import OUTCOME, Outcome, load, store

CARD = "heat_leak_heater"
ANSWERS = f"""\
[{CARD}]
heat_leak = "0.45 W/K"
difference = "19 V"
heater_power = "9000 W"
note_1 = "We waited."
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    """A made-up group with a log that falls silent for two hours, and some answers."""
    folder = made_up(tmp_path_factory.mktemp("group") / "g01", CARD)
    log = folder / "logs" / "heater.csv"
    rows = log.read_text(encoding="utf-8").splitlines()
    at = next(n for n, row in enumerate(rows) if "T13:00" in row)
    log.write_text("\n".join(rows[:at] + rows[at + 60:]) + "\n", encoding="utf-8", newline="\n")
    (folder / "answers.toml").write_text(ANSWERS, encoding="utf-8", newline="\n")
    return folder


@pytest.fixture(scope="module")
def work(folder) -> Work:
    return opened(CARD, folder)


def trace(t: list[float], gap: float = 60.0) -> Trace:
    return Trace("air", np.array(t, float), np.arange(float(len(t))), gap, 60.0, "P1")


def record(*traces: Trace) -> Record:
    return Record("a", "box", {f"air_{n}": one for n, one in enumerate(traces)}, 0.0, "mark", 900.0)


def test_coverage_is_that_of_the_worst_log():
    whole, broken = trace([0, 60, 120, 180, 240]), trace([0, 60, 180, 240])
    assert coverage([record(whole)]) == 100
    assert coverage([record(whole, broken)]) == 50
    assert coverage([record(whole), record(broken)]) == 50
    assert coverage([]) is None
    assert coverage([record(replace(broken, by_hand=True))]) is None


def test_flags_and_headline(work):
    told = card_facts(work)
    asked = len(work.card.asked)
    assert told["flags"][0] == f"{asked - 3} of {asked} not answered"
    assert "Mean difference, inside − ambient: another unit" in told["flags"]
    assert "Heat put in, fan included: magnitude not plausible" in told["flags"]
    assert "gap in the log" in told["flags"]
    assert told["headline"] == "0.45 W/K"
    assert told["answers"]["heat_leak"] == {"text": "0.45 W/K", "value": 0.45}
    assert told["answers"]["difference"]["value"] is None
    # Two hours of some fourteen.
    assert 84 < told["coverage"] < 88


def test_curves_are_thin_and_break_where_the_log_does(work):
    curve = curves([work])["heater"]
    assert curve["role"] == "air" and len(curve["hours"]) == len(curve["values"])
    blank = [n for n, value in enumerate(curve["values"]) if value is None]
    assert len(blank) == 1 and len(curve["hours"]) <= POINTS + 1
    (at,) = blank
    assert curve["hours"][at + 1] - curve["hours"][at - 1] > 1.9
    logged = work.run().record.trace("air")
    assert curve["values"][-1] == round(float(logged.y[-1]), 2)


def test_every_card_has_a_headline():
    for name in NAMES:
        card = card_named(name)
        assert headline(card) in card.asked


def marking(folder: Path, made: Path, *cards: str) -> Marking:
    made.mkdir()
    return Marking("closing", str(folder), "g01", list(cards), str(made), ["html"])


def test_a_group_is_closed_card_by_card(folder, tmp_path):
    """A card whose run is missing costs itself only."""
    made = tmp_path / "made"
    assert close(marking(folder, made, "heat_leak_warm_up", CARD)) == Outcome("done")
    told = json.loads((made / "facts.json").read_text(encoding="utf-8"))
    assert told["group"] == "g01" and list(told["curves"]) == ["heater"]
    assert told["cards"][CARD]["headline"] == "0.45 W/K"
    assert {path.name for path in (made / "key").iterdir()} == {"key.csv", "g01.html"}
    assert CARD in (made / "key" / "key.csv").read_text(encoding="utf-8")


def test_a_slip_in_one_cards_answers_costs_that_card(folder, tmp_path):
    file = folder / "answers.toml"
    file.write_text(ANSWERS + '[heat_leak_warm_up]\nheat_laek = "1 W/K"\n', encoding="utf-8")
    try:
        close(marking(folder, tmp_path / "made", "heat_leak_warm_up", CARD))
    finally:
        file.write_text(ANSWERS, encoding="utf-8")
    told = json.loads((tmp_path / "made" / "facts.json").read_text(encoding="utf-8"))
    assert list(told["cards"]) == [CARD]


def test_a_folder_that_cannot_be_read_is_told_by_the_process(tmp_path, capsys):
    from coldbench.course import marking as module

    (tmp_path / "g01").mkdir()
    store(marking(tmp_path / "g01", tmp_path / "made", CARD), tmp_path / "job.json")
    module.main(tmp_path)
    outcome = load(Outcome, tmp_path / OUTCOME)
    assert outcome.kind == "user" and "campaign.toml" in outcome.message
    with pytest.raises(UserError):
        close(marking(tmp_path / "g01", tmp_path / "again", CARD))


@pytest.fixture(scope="module")
def with_load(tmp_path_factory) -> Work:
    return opened("pull_down_balance", made_up(tmp_path_factory.mktemp("load") / "g02",
                                               "pull_down_balance"))


def test_a_load_unlike_the_one_given_is_flagged(with_load):
    (run,) = {r.record.run for r in [with_load.run("pull-down")]}
    mass = load_mass(with_load.book.campaign.runs[run])
    flags = {}
    for name, given in {"as given": mass * 1.02, "another": mass * 0.8}.items():
        stated = parse(f"{given:.3f} kg", "water")
        work = replace(with_load, parameters={**with_load.parameters, "load": stated})
        flags[name] = [f for f in card_facts(work)["flags"] if "given was" in f]
    assert flags["as given"] == []
    assert flags["another"] == [f"load of {mass:.2f} kg, given was {0.8 * mass:.3f} kg"]

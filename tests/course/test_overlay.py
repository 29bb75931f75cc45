"""The report of a class: nobody but the bold group is named, nothing is worked out for anybody."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from coldbench.course import overlay
from coldbench.course.cards import card_named
from coldbench.course.summary import Row, csv_text, one_line
from coldbench.errors import UserError
from coldbench.figures.groups import Answered, group_answers, group_curves
from coldbench.quantities import us
from coldbench.report.display import Figure, Table

CARD = "heat_leak_heater"
IDS = [f"team-{name}" for name in ("ash", "birch", "cedar", "dogwood", "elm", "fir")]


@pytest.fixture(autouse=True)
def si():
    yield
    us.use("si")


def group(ident: str, n: int) -> dict:
    answers = {one.name: {"text": f"{n + 1}", "value": one.least + (n + 1) * 0.01}
               for one in card_named(CARD).asked}
    curve = {"role": "air", "hours": [0, 1, 2, 3], "values": [20 + n, None, 30 + n, 35 + n]}
    return {"group": ident, "cards": {CARD: {"answers": answers}}, "curves": {"heater": curve}}


def row(ident: str, **more: str) -> dict:
    told = Row(ident, CARD, "done", "98.5", "0.4 W/K", "gap in the log", "", "measured")
    return vars(told) | more


@pytest.fixture
def folder(tmp_path) -> Path:
    """Results of a class of six, of which one has to mend something."""
    rows = [row(one) for one in IDS[:-1]]
    rows.append(row(IDS[-1], status="needs mending", reason="runs/a.toml:3: no unit"))
    told = {"shape": 1, "title": "Cooling", "cards": [CARD], "rows": rows,
            "groups": [group(one, n) for n, one in enumerate(IDS[:-1])]}
    (tmp_path / "class.json").write_text(json.dumps(told), encoding="utf-8")
    return tmp_path


def figures(shown: list) -> list[Figure]:
    return [one for one in shown if isinstance(one, Figure)]


def words(shown: list) -> str:
    return "\n".join(one._repr_mimebundle_()["text/plain"] for one in shown)


@pytest.mark.parametrize("bold", ["", IDS[2]])
def test_figures_name_the_bold_group_and_no_other(folder, bold):
    book = overlay.open_class(str(folder), bold=bold, out=str(folder))
    found = figures([*overlay.curves(book), *overlay.answers(book)])
    assert [one.label for one in found] == ["class-heater-air", f"class-{CARD}"]
    data = [path.read_text(encoding="utf-8") for path in (folder / "figures").iterdir()]
    for text in (*(one.alt + one.caption for one in found), *data):
        assert not any(one in text for one in IDS if one != bold)
    assert all(bool(bold) == (bold in one.alt and bold != "") for one in found)


def test_data_behind_a_figure_stand_in_order_of_value():
    """In the roster's order a line would tell whose it is."""
    curves = {name: ([0, 1], [20, end]) for name, end in (("a", 9), ("b", 3), ("c", 6))}
    drawn = group_curves(curves, "Air temperature", "x", bold="c")
    last = drawn.data[drawn.data["hours"] == 1]
    assert last["value"].tolist() == [3, 6, 9] and last["bold"].tolist() == [False, True, False]
    values = {"a": 0.5, "b": 0.3, "c": 0.4}
    drawn = group_answers([Answered("Leak", "W/K", values, 0.05, 5)], "x")
    assert drawn.data["value"].tolist() == [0.3, 0.4, 0.5] and not drawn.data["bold"].any()


def test_an_answer_off_any_scale_does_not_hide_the_rest():
    values = {f"g{n}": 0.4 + n / 100 for n in range(5)} | {"g9": 400.0}
    drawn = group_answers([Answered("Leak", "W/K", values, 0.05, 5)], "x")
    low, high = drawn.figure.axes[0].get_xlim()
    assert 0.3 < low < 0.4 and 0.44 < high < 0.6
    assert "1 off any plausible scale" in drawn.alt and "0.400 to 0.440" in drawn.alt
    assert len(drawn.data) == 6


def test_a_break_stays_a_break():
    drawn = group_curves({"a": ([0, 1, 2], [20, None, 30])}, "Air temperature", "x")
    (line,) = [one for one in drawn.figure.axes[0].lines if len(one.get_xdata()) == 3]
    assert np.isnan(line.get_ydata()[1])


def test_nothing_to_draw():
    assert group_curves({}, "Air temperature", "x") is None
    assert group_answers([Answered("Leak", "W/K", {}, 0, 1)], "x") is None


def test_who_has_to_mend_what(folder):
    book = overlay.open_class(str(folder))
    head = overlay.head(book)
    assert "6 groups, 1 lab card: 5 of 6 reports were written" in words(head)
    (table,) = [one for one in head if isinstance(one, Table)]
    assert table.rows[0][0].text == IDS[-1]
    assert table.rows[0][1:] == ["all", "runs/a.toml:3: no unit"]
    (rows,) = overlay.table(book)
    assert [one[1].text for one in rows.rows] == ["done"] * 5 + ["needs mending"]
    assert rows.rows[0][2:] == ["98.5", "0.4 W/K", "gap in the log"]


def test_synthetic_groups_are_on_every_page(folder):
    file = folder / "class.json"
    told = json.loads(file.read_text(encoding="utf-8"))
    told["rows"][1]["data"] = "synthetic"
    file.write_text(json.dumps(told), encoding="utf-8")
    book = overlay.open_class(str(folder))
    assert overlay.head(book)[0].banner.startswith("1 of 6 groups: SYNTHETIC")
    assert overlay.table(book)[0].rows[1][4].startswith("SYNTHETIC data")


def test_what_cannot_be_opened(folder, tmp_path):
    with pytest.raises(UserError, match="no group of this id"):
        overlay.open_class(str(folder), bold="team-oak")
    with pytest.raises(UserError, match="cannot be read"):
        overlay.open_class(str(tmp_path / "nowhere"))
    (folder / "class.json").write_text('{"shape": 99}', encoding="utf-8")
    with pytest.raises(UserError, match="this version"):
        overlay.open_class(str(folder))
    with pytest.raises(UserError, match="unknown units"):
        overlay.open_class("demo", units="old")


def test_the_invented_class_says_so_and_is_the_same_again():
    book = overlay.open_class("demo", bold="g03")
    assert book.told == overlay.open_class("demo").told
    assert overlay.head(book)[0].banner.startswith("Invented class")
    assert len(figures(overlay.answers(book))) == 1


def test_a_summary_is_plain_csv():
    text = csv_text([Row("g01", "c", "done", "", "", "", one_line('a:\n  do: "x", y'), "measured")])
    assert text.splitlines()[1] == 'g01,c,done,,,,"a:; do: ""x"", y",measured'

"""What a notebook holds, opened from the demo."""

from __future__ import annotations

import pytest

from coldbench.errors import UserError
from coldbench.report.book import folder_of, open_campaign, show
from coldbench.report.display import Text
from coldbench.report.sections.summary import lead_figure


@pytest.fixture(scope="module")
def demo():
    return open_campaign("demo")


def test_rows_come_in_the_campaigns_order_and_once_each(demo):
    order = [row.cooler for row in demo.rows if row.cooler]  # a check of probes has none
    assert list(dict.fromkeys(order)) == demo.coolers
    keys = [(row.cooler, *row.key) for row in demo.rows]
    assert len(keys) == len(set(keys))


def test_each_cooler_has_a_mark_of_its_own(demo):
    marks = {(demo.mark(c).shape, demo.mark(c).colour) for c in demo.coolers}
    assert len(marks) == len(demo.coolers) == 4
    assert len({colour for _, colour in marks}) == 4


def test_the_run_at_the_coldest_setting_stands_for_a_cooler(demo):
    assert demo.main_run("chest", "pull-down").record.run == "chest-coldest"
    assert demo.main_run("ice-box", "freeze") is None


def test_ties_are_pairs_that_cannot_be_told_apart(demo):
    assert {"chest", "ice-box"} in demo.ties(("usable_volume", ""))
    assert {"chest", "small-te"} not in demo.ties(("usable_volume", ""))


def test_a_figure_is_written_beside_the_report_with_its_data(tmp_path):
    book = open_campaign("demo", out=str(tmp_path))
    (figure,) = lead_figure(book)
    (name,) = book.drawn
    assert (tmp_path / figure.csv).read_text(encoding="utf-8").count("\n") > 100
    assert (tmp_path / "figures" / f"{name}.svg").read_text(encoding="utf-8") == figure.svg
    assert book.figure(None) == []


def test_without_a_folder_nothing_is_written(demo, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert lead_figure(demo)[0].csv == ""
    assert list(tmp_path.iterdir()) == []


def test_a_folder_of_the_name_demo_wins_over_the_kits(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert (folder_of("demo") / "campaign.toml").is_file()
    (tmp_path / "demo").mkdir()
    assert folder_of("demo").resolve() == tmp_path / "demo"


def test_no_such_campaign_is_told(tmp_path):
    with pytest.raises(UserError, match="nowhere"):
        open_campaign(str(tmp_path / "nowhere"))


def test_show_takes_objects_and_lists_and_skips_nothing_to_show(monkeypatch):
    seen = []
    monkeypatch.setattr("IPython.display.display", seen.append)
    one, two, three = Text("a"), Text("b"), Text("c")
    show(one, [two, None, [three]])
    assert seen == [one, two, three]

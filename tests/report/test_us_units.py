"""A report in US units: page one, tables and figures have them, the data files do not."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd
import pytest
from matplotlib.figure import Figure

from coldbench.errors import UserError
from coldbench.figures import Drawn, svg_text
from coldbench.quantities import us
from coldbench.report.book import open_campaign
from coldbench.report.results import CSV, write_results
from coldbench.report.sections import answer, inputs, results, summary, tested


@pytest.fixture(scope="module")
def american():
    yield open_campaign("demo", units="us")
    us.use("si")


def test_page_one_is_in_the_other_units(american):
    us.use("us")
    card = summary.card(american, "chest")
    shown = " ".join([card.verdict, *(f"{r.label} {r.value} {r.conditions}" for r in card.rows)])
    assert "°F" in shown and "qt" in shown and "lb" in shown
    assert "°C" not in shown and " L" not in shown
    assert "5 °C (41 °F)" in answer.answer(american)[0].html()


def test_tables_have_both_or_the_other(american):
    us.use("us")
    sizes = results.size_and_money(american)[0].html()
    assert "17.50 ± 0.38 L (18.49 ± 0.40 qt)" in sizes.replace("\u00a0", " ")
    heads = [c.text for c in tested.tested(american)[1]._head[0]]
    assert "Mass [lb]" in heads and "Usable [qt]" in heads


def test_data_files_stay_si(american, tmp_path):
    for units in ("us", "si"):
        book = open_campaign("demo", units=units)
        write_results(tmp_path / units, book.rows, {}, (), book.campaign)
    assert (tmp_path / "us" / CSV).read_bytes() == (tmp_path / "si" / CSV).read_bytes()


def test_figures_differ_only_in_what_they_say(american):
    us.use("us")
    drawn = summary.lead_figure(american)
    us.use("si")
    plain = summary.lead_figure(open_campaign("demo"))
    assert drawn[0].svg != plain[0].svg


def test_words_in_a_figure_are_in_the_other_units(american):
    us.use("us")
    figure = Figure()
    texts = [figure.text(0, 0, words) for words in ("target −18 °C", "width 570 mm", "2.4 h")]
    svg_text(Drawn(figure, pd.DataFrame(), "", "", "words"))
    assert [text.get_text() for text in texts] == ["target 0 °F", "width 570 mm", "2.4 h"]


def test_the_end_says_which_data_stay_si(american, tmp_path):
    us.use("us")
    assert "in SI units" in inputs.finish(replace(american, out=tmp_path)).html()
    us.use("si")
    assert "SI" not in inputs.finish(replace(american, out=tmp_path)).html()


def test_other_units_are_refused():
    with pytest.raises(UserError, match="unknown units"):
        open_campaign("demo", units="imperial")

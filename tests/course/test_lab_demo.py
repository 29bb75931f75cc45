"""The invented group of the lab cards is the one that the kit makes up, and says that it is."""

from __future__ import annotations

from coldbench.course.lab_demo import build_lab
from coldbench.course.work import open_card


def test_the_committed_group_is_what_the_kit_makes_up(tmp_path, clone):
    """To renew it: ``build_lab(Path("templates/campaign-lab"))``."""
    build_lab(tmp_path)
    committed = clone / "templates" / "campaign-lab"
    made = {p.relative_to(tmp_path): p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()}
    kept = {p.relative_to(committed): p.read_bytes() for p in committed.rglob("*") if p.is_file()}
    assert set(made) == set(kept)
    assert [str(name) for name in made if made[name] != kept[name]] == []


def test_each_file_says_that_it_is_made_up(clone):
    for path in (clone / "templates" / "campaign-lab").rglob("*.*"):
        assert "SYNTHETIC" in path.read_text(encoding="utf-8").splitlines()[0], path.name


def test_its_answers_are_kept_nowhere(clone):
    work = open_card("design_sums", "lab").typed(heat_leak="0.4 W/K")
    assert work.number("heat_leak") == 0.4
    assert not (clone / "templates" / "campaign-lab" / "answers.toml").exists()

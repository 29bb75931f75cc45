"""The real notebooks from a campaign folder with an awkward name to HTML and PDF, once."""

from __future__ import annotations

import csv
import io
import json
import re
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from coldbench.cli import main
from coldbench.report.runner import report_campaign

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
pytestmark = [pytest.mark.notebooks, pytest.mark.pdf]


def files(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes()
            for path in sorted(folder.rglob("*")) if path.is_file()}


@pytest.fixture(scope="module")
def whole(tmp_path_factory, bench_in) -> SimpleNamespace:
    """One campaign of two coolers, reported as HTML and A4, its files kept as they were."""
    folder = tmp_path_factory.mktemp("whole") / "Käse stand {1} für alle"
    bench = bench_in(folder)
    bench.write(
        {"chest": bench.cooler("Chest"), "box": bench.cooler("Box", "passive")},
        {"chest": bench.run("chest"),
         "box": bench.run("box", kind='["pull-down"]', columns=("air", "load", "ambient"))},
        {"chest": bench.log(gap=(2.0, 2.6)), "box": bench.log(hours=10)},
    )
    made = report_campaign(folder, jobs=2)
    return SimpleNamespace(folder=folder, out=folder / "out", made=made,
                           files=files(folder / "out"))


def test_all_is_there(whole):
    assert [path.name for path in whole.made][-3:] == ["findings.csv", "report.html", "report.pdf"]
    assert {"findings.csv", "findings.json", "provenance.json", "report.html", "report.pdf",
            "coolers/chest.html", "coolers/chest.pdf", "coolers/box.html", "coolers/box.pdf",
            "notebooks/comparison.ipynb", "notebooks/cooler_chest.ipynb",
            "notebooks/cooler_box.ipynb", "notebooks/log_check.ipynb",
            "figures/pull-downs-air.svg", "figures/pull-downs-air.csv"} <= set(whole.files)
    svgs = {name[:-4] for name in whole.files if name.endswith(".svg")}
    assert svgs == {name[:-4] for name in whole.files
                    if name.startswith("figures/") and name.endswith(".csv")}


def test_executed_copies_hold_no_error_and_no_complaint(whole):
    copies = [name for name in whole.files if name.endswith(".ipynb")]
    for name in copies:
        for cell in json.loads(whole.files[name])["cells"]:
            for output in cell.get("outputs", []):
                assert output["output_type"] != "error", name
                assert output.get("name") != "stderr", f"{name}: {output['text']}"


def test_no_file_names_this_machine(whole):
    places = [str(whole.folder.parent), sys.prefix, str(Path.home()), str(NOTEBOOKS)]
    for name, content in whole.files.items():
        for place in places:
            assert place.encode() not in content, f"{name}: {place}"


@pytest.mark.parametrize("name", ["report.html", "coolers/chest.html", "coolers/box.html"])
def test_html_stands_alone(whole, name):
    from bs4 import BeautifulSoup

    page = whole.files[name].decode("utf-8")
    soup = BeautifulSoup(page, "html.parser")
    assert soup.html["lang"] == "en"
    assert soup.find("meta", charset=True)["charset"].lower() == "utf-8"
    assert not soup("script") and not soup("iframe")
    assert not re.search(r"https?://(?!www\.w3\.org/)", page)
    images = soup("img")
    assert images
    for image in images:
        assert len(image["alt"].split()) >= 5
        assert image["src"].startswith("data:")
    targets = {tag["id"] for tag in soup(id=True)}
    links = [a["href"] for a in soup("a", href=True)]
    assert all(link.startswith("#") and link[1:] in targets for link in links)
    assert soup("h1") and len(soup("h1")) == 1


def test_pdf_holds_the_findings(whole, pdf_pages):
    pages = pdf_pages(whole.files["report.pdf"])
    assert 6 <= len(pages) <= 25
    text = re.sub(r"\s+", "", "".join(pages))
    rows = list(csv.DictReader(io.StringIO(whole.files["findings.csv"].decode("utf-8"))))
    energy = next(r for r in rows if r["finding"] == "daily_energy" and r["cooler"] == "chest")
    assert f"{float(energy['value']):.0f}±" in text
    cold = next(r for r in rows if r["finding"] == "coldest_air" and r["cooler"] == "chest")
    assert f"{float(cold['value']):.2f}±" in text
    assert all(word in text for word in ("Boxesonabench", "Chest", "±", "Wh/d"))


def test_pdf_has_an_outline_and_tags(whole):
    import pypdf

    pdf = pypdf.PdfReader(io.BytesIO(whole.files["report.pdf"]))
    titles = [item.title for item in pdf.outline if not isinstance(item, list)]
    flat = str(pdf.outline)
    assert titles and "1 Summary" in flat and "12 Data behind the figures" in flat
    assert pdf.metadata.title == "Boxes on a bench"
    assert pdf.trailer["/Root"]["/MarkInfo"]["/Marked"]
    width, height = (float(pdf.pages[0].mediabox[i]) for i in (2, 3))
    assert (round(width), round(height)) == (595, 842)


def test_the_same_input_gives_the_same_files_and_letter_its_own_paper(whole, tmp_path):
    import pypdf

    again = tmp_path / "again"
    report_campaign(whole.folder, out=again, jobs=2, formats=("pdf",), paper="letter")
    same = files(again)
    compared = [name for name in whole.files
                if name == "findings.csv" or name.startswith("figures/")]
    assert len(compared) > 5
    for name in compared:
        assert same[name] == whole.files[name], name
    pdf = pypdf.PdfReader(io.BytesIO(same["report.pdf"]))
    assert [float(pdf.pages[0].mediabox[i]) for i in (2, 3)] == [612, 792]
    assert "report.html" not in same


def test_a_broken_log_leaves_the_last_good_report(whole, capsys):
    log = whole.folder / "logs" / "chest.csv"
    good = log.read_text(encoding="utf-8")
    lines = good.splitlines()
    lines[4] = re.sub(r"[\d.]+$", "rubbish", lines[4])
    log.write_text("\n".join(lines), encoding="utf-8", newline="\n")
    try:
        code = main(["report", str(whole.folder)])
    finally:
        log.write_text(good, encoding="utf-8", newline="\n")
    told = capsys.readouterr()
    assert code == 1
    assert "logs/chest.csv:5" in told.err and "rubbish" in told.err
    assert "Traceback" not in told.err and len(told.err.splitlines()) <= 8
    assert files(whole.out) == whole.files


def test_plain_papermill_and_nbconvert(whole, tmp_path):
    import papermill
    from traitlets.config import Config

    made = tmp_path / "made.ipynb"
    papermill.execute_notebook(
        str(NOTEBOOKS / "comparison.ipynb"), str(made),
        parameters={"campaign": str(whole.folder)}, progress_bar=False, kernel_name="python3",
        config=Config({"KernelManager": {"transport_encryption": "auto"}}),
    )
    for exporter, end, start in (("coldbench-html", "html", b"<!DOCTYPE html>"),
                                 ("coldbench-pdf", "pdf", b"%PDF")):
        subprocess.run(
            [sys.executable, "-m", "nbconvert", "--to", exporter, made.name],
            cwd=tmp_path, check=True, capture_output=True, timeout=120,
        )
        assert (tmp_path / f"made.{end}").read_bytes().startswith(start)
    assert not (whole.folder / "logs" / "out").exists()

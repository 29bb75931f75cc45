"""What a report must not give away: folders, serial numbers and users of the loggers."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from coldbench.report.runner import report_campaign

pytestmark = [pytest.mark.notebooks, pytest.mark.pdf]

PREAMBLE = "Serial number: SN-98765\nUser: somebody\n\n"
SECRETS = ("home of somebody", "SN-98765", "somebody")


@pytest.fixture(scope="module")
def made(tmp_path_factory, bench_in) -> Path:
    """The report of a campaign whose folder and whose log tell of a person."""
    folder = tmp_path_factory.mktemp("private") / "home of somebody" / "boxes"
    bench = bench_in(folder)
    bench.write({"a": bench.cooler()}, {"a": bench.run("a")},
                {"a": PREAMBLE + bench.log(hours=8)})
    report_campaign(folder, jobs=2)
    return folder / "out"


def test_no_file_tells_of_the_person(made):
    files = [path for path in made.rglob("*") if path.is_file()]
    assert {"report.html", "report.pdf", "findings.json", "provenance.json",
            "comparison.ipynb"} <= {path.name for path in files}
    for path in files:
        content = path.read_bytes()
        for secret in (*SECRETS, str(made.parent.parent)):
            assert secret.encode() not in content, f"{path.name}: {secret}"


def test_no_pdf_tells_of_the_person(made, pdf_pages):
    import pypdf

    for path in made.rglob("*.pdf"):
        data = path.read_bytes()
        words = " ".join([*pdf_pages(data), str(pypdf.PdfReader(io.BytesIO(data)).metadata)])
        told = "".join(words.split())
        assert len(told) > 1000
        for secret in SECRETS:
            assert "".join(secret.split()) not in told, f"{path.name}: {secret}"

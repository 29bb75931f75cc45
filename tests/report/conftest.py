"""Notebooks made in memory, and PDFs read back."""

from __future__ import annotations

import io
import re

import pytest

HOSTILE = (
    '<script>alert("x")</script>', "</style><b>", "#let x = 1", "#pagebreak()", "*b* _i_ `c` ~",
    "] [ } { ) (", "$5 and $6", "\\ \\n \\u{41}", '"q" \'s\'', "// a /* b */", "a -- b --- c ...",
    "1. one", "- two", "+ three", "= four", "@ref <label>", "%% {{ x }} {% y %}", "&amp; &lt;",
    "été ≤ ± − °C ½ Ω µ", "[x](javascript:alert)", "https:example", "-->", "]]>", "=>",
)


@pytest.fixture
def hostile() -> tuple[str, ...]:
    """Texts that mean something in one of the languages on the way."""
    return HOSTILE


@pytest.fixture
def make_notebook():
    """A function: display objects, Markdown texts and raw outputs to an executed notebook."""

    def make(*parts: object) -> dict:
        cells = []
        for part in parts:
            if isinstance(part, str):
                cells.append({"cell_type": "markdown", "metadata": {}, "source": part})
                continue
            output = part if isinstance(part, dict) else {
                "output_type": "display_data", "data": part._repr_mimebundle_(), "metadata": {},
            }
            cells.append({
                "cell_type": "code", "metadata": {}, "source": "x", "outputs": [output],
                "execution_count": 1,
            })
        return {"cells": cells, "metadata": {}, "nbformat": 4, "nbformat_minor": 4}

    return make


@pytest.fixture
def read_pages():
    """A function: PDF bytes to the text of each page."""
    pdfium = pytest.importorskip("pypdfium2")

    def read(pdf: bytes) -> list[str]:
        document = pdfium.PdfDocument(io.BytesIO(pdf))
        try:
            texts = []
            for page in document:
                words = page.get_textpage()
                texts.append(words.get_text_bounded())
                words.close()
                page.close()
            return texts
        finally:
            document.close()

    return read


@pytest.fixture
def squeeze():
    """A function: text without any blanks, which lines of a page do not keep."""
    return lambda text: re.sub(r"\s+", "", text)


@pytest.fixture
def plain_svg() -> str:
    """A small drawing twice as wide as high."""
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" width="200pt" height="100pt" '
        'viewBox="0 0 200 100"><rect width="200" height="100" fill="#0b5a66"/></svg>'
    )

"""Text made safe for HTML, Typst and Markdown: any text comes out as it went in."""

from __future__ import annotations

import html
import re

from coldbench.quantities import us

# Signs that no font can show and no page may hold: controls, lone surrogates, non-characters.
_UNPRINTABLE = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff]"
)
_PUNCTUATION = re.compile(r"([!-/:-@\[-`{-~])")
_TAG = re.compile("\x1b\\[[0-9;]*m")


def clean(text: object) -> str:
    """Text with unprintable signs replaced by U+FFFD and line ends made one kind.

    Examples
    --------
    >>> clean("a\\r\\nb")
    'a\\nb'
    """
    text = str(text).replace("\r\n", "\n").replace("\r", "\n").replace("\x85", "\n")
    return _UNPRINTABLE.sub("\ufffd", text)


def one_line(text: object) -> str:
    """Clean text with runs of blanks and line ends made one blank, in the units chosen.

    Examples
    --------
    >>> one_line(" a\\n b ")
    'a b'
    """
    return us.beside(re.sub(r"[ \t\n]+", " ", clean(text)).strip())


def without_colours(text: str) -> str:
    """Terminal text without its colour codes."""
    return _TAG.sub("", text)


def html_text(text: object) -> str:
    """Text for an HTML element or a quoted attribute.

    Examples
    --------
    >>> html_text('<b> & "c"')
    '&lt;b&gt; &amp; &quot;c&quot;'
    """
    return html.escape(one_line(text), quote=True)


def css_text(text: object) -> str:
    """Text as a CSS string; every sign that could end it is written as a number."""
    signs = (c if c.isalnum() and c.isascii() else f"\\{ord(c):06x}" for c in one_line(text))
    return f'"{"".join(signs)}"'


def typst_string(text: object, lines: bool = False) -> str:
    """Text as a Typst string literal, in which nothing is markup.

    Parameters
    ----------
    text : object
        Anything printable.
    lines : bool
        Keep line ends (for code blocks).

    Examples
    --------
    >>> typst_string('# a "b" [c]')
    '"# a \\\\"b\\\\" [c]"'
    """
    text = clean(text) if lines else one_line(text)
    text = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{text}"'


def typst_text(text: object) -> str:
    """Text as Typst content in markup; the semicolon ends it whatever follows."""
    return f"#{typst_string(text)};"


def typst_tuple(items: list[str]) -> str:
    """Typst array of ready expressions; one item needs its comma too.

    Examples
    --------
    >>> typst_tuple(["1"])
    '(1,)'
    """
    return f"({''.join(f'{item},' for item in items)})"


def markdown_text(text: object) -> str:
    """Text with every ASCII punctuation sign escaped, so that Markdown shows it as it is.

    Examples
    --------
    >>> markdown_text("a*b*")
    'a\\\\*b\\\\*'
    """
    return _PUNCTUATION.sub(r"\\\1", one_line(text))

"""What all display objects have in common."""

from __future__ import annotations


class Shown:
    """An object with a form for each reader: ``html()``, ``typst()`` and ``plain()``."""

    def html(self) -> str:
        """For the HTML report and for JupyterLab."""
        raise NotImplementedError

    def typst(self) -> str:
        """For the PDF."""
        raise NotImplementedError

    def plain(self) -> str:
        """For a terminal, or a notebook opened anywhere."""
        raise NotImplementedError

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, str]:
        return {
            "text/html": self.html(),
            "text/vnd.typst": self.typst(),
            "text/plain": self.plain(),
        }

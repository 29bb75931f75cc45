"""The HTML report as an nbconvert exporter: ``jupyter nbconvert --to coldbench-html run.ipynb``."""

from __future__ import annotations

from nbconvert.exporters import Exporter, ResourcesDict
from nbformat import NotebookNode
from traitlets import Unicode, default

from coldbench.report.page_html import html_report


class ReportHTML(Exporter):
    """One self-contained HTML file."""

    export_from_notebook = "coldbench report (HTML)"
    output_mimetype = "text/html"
    paper = Unicode("", help="a4 or letter; by default what the notebook says").tag(config=True)

    @default("file_extension")
    def _file_extension_default(self) -> str:
        return ".html"

    def from_notebook_node(
        self, nb: NotebookNode, resources: ResourcesDict | None = None, **kw: object
    ) -> tuple[str, ResourcesDict]:
        """The page as text, and nbconvert's resources."""
        nb, resources = super().from_notebook_node(nb, resources, **kw)
        return html_report(nb, self.paper or None), resources

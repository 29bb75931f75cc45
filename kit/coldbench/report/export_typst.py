"""The PDF report as an nbconvert exporter: ``jupyter nbconvert --to coldbench-pdf run.ipynb``."""

from __future__ import annotations

from nbconvert.exporters import Exporter, ResourcesDict
from nbformat import NotebookNode
from traitlets import Unicode, default

from coldbench.report.page_typst import pdf_report


class ReportPDF(Exporter):
    """A tagged PDF, set through Typst in this process."""

    export_from_notebook = "coldbench report (PDF)"
    output_mimetype = "application/pdf"
    paper = Unicode("", help="a4 or letter; by default what the notebook says").tag(config=True)

    @default("file_extension")
    def _file_extension_default(self) -> str:
        return ".pdf"

    def from_notebook_node(
        self, nb: NotebookNode, resources: ResourcesDict | None = None, **kw: object
    ) -> tuple[bytes, ResourcesDict]:
        """The PDF as bytes, and nbconvert's resources."""
        nb, resources = super().from_notebook_node(nb, resources, **kw)
        return pdf_report(nb, self.paper or None), resources

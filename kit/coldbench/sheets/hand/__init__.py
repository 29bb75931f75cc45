"""Data sheets filled in by hand: one page a run, on paper and in a workbook to type it into."""

"""One run to findings: pull-down, steady window, freezing."""

"""The whole campaign as one workbook, for people who do not write TOML."""

"""Run the command as ``python -m coldbench``."""

from coldbench.cli import main

if __name__ == "__main__":
    raise SystemExit(main())

"""Runs the command line as ``python -m stairs``."""

from stairs.cli import main

if __name__ == "__main__":
    main()

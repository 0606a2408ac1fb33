"""Runs the command line as a program of its own: ``stairs``, or ``python -m stairs``."""

from __future__ import annotations

import atexit
import gc


def run() -> None:
    """One command, and the end: the collector's walks over all that is held are spared."""
    gc.disable()
    atexit.register(gc.freeze)
    from stairs.cli.commands import main

    main()


if __name__ == "__main__":
    run()

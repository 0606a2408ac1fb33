"""Draws every example again: ``python figures/make.py`` from the project's folder.

Each file of ``examples/`` becomes ``figures/<name>.svg``, one sheet to a flight or level run; a job
of several sections gets ``<name>-2.svg`` and so on for the later ones.  A test draws them anew and
compares.  The picture of the names page comes from ``figures/names.py``.
"""

from __future__ import annotations

import sys
from pathlib import Path

from stairs.drawing import draw_elevation, write
from stairs.job import read_job
from stairs.solution import solution_for

HERE = Path(__file__).parent
EXAMPLES = HERE.parent / "examples"


def draw_all(folder: Path) -> list[Path]:
    """Draw every example into a folder and return the files written."""
    written = []
    for example in sorted(EXAMPLES.glob("*.toml")):
        solution = solution_for(read_job(str(example)))
        for number in range(1, len(solution.sections) + 1):
            suffix = "" if number == 1 else f"-{number}"
            target = folder / f"{example.stem}{suffix}.svg"
            write(draw_elevation(solution, section=number), str(target))
            written.append(target)
    return written


if __name__ == "__main__":
    from names import draw_names

    target = Path(sys.argv[1]) if len(sys.argv) > 1 else HERE
    for path in (*draw_all(target), draw_names(target)):
        sys.stdout.write(f"{path}\n")

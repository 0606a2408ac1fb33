"""Drawing an elevation costs little beside what the plotting library itself needs.

Whole processes are held against each other by their processor time, the best of several: on the one
side ``stairs draw`` from the job file to the PDF, on the other a script that imports the plotting
library and saves an empty page of the same size.  Both have their modules compiled beforehand, as
an installed package has.  A guard that fails takes longer: what to change is tried before it is
said, and most of all where every nosing was measured, since each may be a little off.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
from pathlib import Path

import pytest

EXAMPLES = Path(__file__).parents[2] / "examples"
PORCH = EXAMPLES / "porch.toml"

EMPTY = """
from matplotlib.backends.backend_pdf import FigureCanvasPdf
from matplotlib.figure import Figure
figure = Figure(figsize={size})
FigureCanvasPdf(figure)
figure.savefig({target!r}, format="pdf")
"""


def seconds(words: list[str], folder: Path) -> float:
    """Processor time of a process [s], the best of five after one that compiles."""
    around = {name: value for name, value in os.environ.items() if "BYTECODE" not in name}
    around["PYTHONPYCACHEPREFIX"] = str(folder / "compiled")
    spent = []
    for _ in range(6):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run([sys.executable, *words], check=True, capture_output=True, env=around)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        spent.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return min(spent[1:])


TABLOID, ARCH_C = (17, 11), (24, 18)


@pytest.mark.fuzz
@pytest.mark.parametrize(
    "job, number, size, most",
    [
        ("porch", 1, TABLOID, 2.0),
        ("raised-porch", 1, TABLOID, 2.0),
        ("raised-porch", 5, TABLOID, 2.0),
        ("two-bays", 1, TABLOID, 2.0),
        ("back-steps", 1, TABLOID, 2.0),
        ("old-stair", 1, ARCH_C, 2.3),
    ],
)
def test_an_elevation_takes_hardly_longer_than_an_empty_page(job, number, size, most, tmp_path):
    drawn = tmp_path / "elevation.pdf"
    words = ["-m", "stairs", "draw", str(EXAMPLES / f"{job}.toml"), "--section", str(number)]
    paper = "tabloid" if size == TABLOID else "ARCH C"
    ours = seconds([*words, "--paper", paper, "-o", str(drawn)], tmp_path)
    script = EMPTY.format(size=size, target=str(tmp_path / "empty.pdf"))
    empty = seconds(["-c", script], tmp_path)
    assert drawn.stat().st_size > 10_000
    assert ours < most * empty


def loaded(script: str, *names: str) -> set[str]:
    """Which of these modules a script leaves loaded."""
    script += f"\nimport sys\nprint(*[name for name in {names!r} if name in sys.modules])"
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    return set(run.stdout.splitlines()[-1].split())


def test_solving_loads_no_plotting_library():
    script = (
        "from stairs.solution import solution_for\nfrom stairs.job import read_job\n"
        f"solution_for(read_job({str(PORCH)!r}))"
    )
    assert loaded(script, "matplotlib", "stairs.solution") == {"stairs.solution"}


def test_an_elevation_as_pdf_loads_only_what_it_needs(tmp_path):
    script = (
        "from contextlib import suppress\nfrom stairs.cli.commands import main\n"
        f"with suppress(SystemExit): main(['draw', {str(PORCH)!r}, '-o',"
        f" {str(tmp_path / 'porch.pdf')!r}])"
    )
    heavy = ("ezdxf", "pypdf", "scipy", "sympy", "shapely", "matplotlib.pyplot")
    assert loaded(script, "matplotlib", *heavy) == {"matplotlib"}

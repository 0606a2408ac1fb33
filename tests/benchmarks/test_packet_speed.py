"""How long an elevation and a whole packet take beside an empty page of the plotting library.

Both are whole processes, from the start of the interpreter to the file on disk, their modules
compiled beforehand as an installed package has them, and what is compared is processor time, which
other work on the machine hardly changes.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
from pathlib import Path

import pytest
from pypdf import PdfReader

from stairs.job import read_job
from stairs.solution import solution_for

EXAMPLES = Path(__file__).parents[2] / "examples"
LARGEST = EXAMPLES / "quarter-landing.toml"
FAILING = EXAMPLES / "old-stair.toml"
EMPTY = """
import sys
from matplotlib.figure import Figure
from matplotlib.backends.backend_pdf import FigureCanvasPdf
figure = Figure(figsize=(float(sys.argv[2]), float(sys.argv[3])))
FigureCanvasPdf(figure)
figure.savefig(sys.argv[1], format="pdf")
"""
ARCH_C = 24, 18  # inches


def empty_page(target, size=ARCH_C):
    return [sys.executable, "-c", EMPTY, str(target), *map(str, size)]


def packet(target):
    return [sys.executable, "-m", "stairs", "packet", str(LARGEST), "-o", str(target)]


def elevation(target, job=FAILING):
    return [sys.executable, "-m", "stairs", "draw", str(job), "-o", str(target)]


def inches(pdf) -> tuple[float, float]:
    """Width and height of the first page."""
    box = PdfReader(pdf).pages[0].mediabox
    return float(box.width) / 72, float(box.height) / 72


def seconds(words, folder) -> float:
    """Processor time of a command, user and system, the best of three after one that compiles."""
    around = {name: value for name, value in os.environ.items() if "BYTECODE" not in name}
    around["PYTHONPYCACHEPREFIX"] = str(folder / "compiled")
    found = []
    for _ in range(4):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(words, check=True, capture_output=True, env=around)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        found.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return min(found[1:])


def test_the_largest_example_is_the_one_with_the_most_sections():
    def sections(path):
        return len(solution_for(read_job(str(path)), judged=()).sections)

    assert max(EXAMPLES.glob("*.toml"), key=sections) == LARGEST


@pytest.mark.fuzz
@pytest.mark.parametrize("job", sorted(EXAMPLES.glob("*.toml")), ids=lambda job: job.stem)
def test_an_elevation_takes_less_than_two_empty_pages(job, tmp_path):
    pdf, blank = tmp_path / "sheet.pdf", tmp_path / "blank.pdf"
    taken = seconds(elevation(pdf, job), tmp_path)
    assert taken < 2 * seconds(empty_page(blank, inches(pdf)), tmp_path)


@pytest.mark.fuzz
def test_a_packet_takes_less_than_five_empty_pages(tmp_path):
    pdf, blank = tmp_path / "set.pdf", tmp_path / "blank.pdf"
    taken = seconds(packet(pdf), tmp_path)
    assert taken < 5 * seconds(empty_page(blank, inches(pdf)), tmp_path)


@pytest.mark.benchmark(group="a packet, a failing elevation and an empty page, whole processes")
@pytest.mark.parametrize(
    "make",
    [empty_page, elevation, packet],
    ids=["an empty page", "elevation of a guard that fails", "packet"],
)
def test_process(benchmark, make, tmp_path):
    run = benchmark.pedantic(
        subprocess.run, (make(tmp_path / "set.pdf"),), {"capture_output": True}, rounds=3
    )
    assert run.returncode == 0

"""Drawing an elevation costs little beside what the plotting library itself needs."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

PORCH = Path(__file__).parents[2] / "examples" / "porch.toml"

EMPTY = """
import io, time
start = time.process_time()
from matplotlib.figure import Figure
from matplotlib.backends.backend_pdf import FigureCanvasPdf
figure = Figure(figsize=(17, 11))
FigureCanvasPdf(figure)
figure.savefig(io.BytesIO(), format="pdf")
print(time.process_time() - start)
"""

OURS = f"""
import time
from stairs.answer import answer_for
from stairs.job import read_job
answer = answer_for(read_job({str(PORCH)!r}), with_remedies=False)
start = time.process_time()
from stairs.drawing import draw_elevation
from stairs.drawing.writers import pdf_bytes
pdf_bytes(draw_elevation(answer))
print(time.process_time() - start)
"""


def seconds(script: str) -> float:
    """Processor time of a script in a fresh process, the best of three."""
    runs = [
        subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
        for _ in range(3)
    ]
    return min(float(run.stdout) for run in runs)


@pytest.mark.fuzz
def test_an_elevation_takes_less_than_twice_an_empty_page():
    assert seconds(OURS) < 2 * seconds(EMPTY)


def test_solving_loads_no_plotting_library():
    script = (
        "import sys\nfrom stairs.answer import answer_for\nfrom stairs.job import read_job\n"
        f"answer_for(read_job({str(PORCH)!r}))\nprint('matplotlib' in sys.modules)"
    )
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "False"

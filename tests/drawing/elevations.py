"""What tests ask of a drawn elevation: its strokes, points as in the guard, its words."""

from __future__ import annotations

from pathlib import Path

from stairs.drawing import draw_elevation
from stairs.drawing.paper.primitives import Stroke, Text
from stairs.job import read_job
from stairs.solution import solution_for

EXAMPLES = Path(__file__).parents[2] / "examples"


def strokes(drawn, group):
    return [one for one in drawn.work if isinstance(one, Stroke) and one.group == group]


def back(drawn, points):
    return [drawn.view.back(point) for point in points]


def words_of(primitives):
    return [one.content for one in primitives if isinstance(one, Text)]


def example(name, section=1):
    return draw_elevation(solution_for(read_job(str(EXAMPLES / f"{name}.toml"))), section=section)

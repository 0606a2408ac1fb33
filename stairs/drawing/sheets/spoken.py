"""Sheets in the words of a job's country.

All that is measured or broken into lines is in these words already while a sheet is drawn; what
was lettered as it stood follows at the end, when the sheet is finished.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, Concatenate, ParamSpec, TypeVar

from msgspec import Struct
from msgspec.structs import replace

from stairs.drawing.paper.primitives import Arc, Stroke, Text
from stairs.drawing.paper.sheet_sizes import Paper, Scale
from stairs.drawing.paper.view import View
from stairs.drawing.placing.dimensions import Dimension
from stairs.report.spoken import words_of_the_job
from stairs.solution import Solution
from stairs.words.speech import finished, is_spoken

P = ParamSpec("P")
Drawn = TypeVar("Drawn", bound=Struct)

_UNLETTERED = (Arc, Dimension, Paper, Scale, Stroke, View)


def drawn_in_words(
    drawn_by: Callable[Concatenate[Solution, P], Drawn],
) -> Callable[Concatenate[Solution, P], Drawn]:
    """Sheets, lettered in the words that go with their job."""

    @wraps(drawn_by)
    def drawn(solution: Solution, /, *given: P.args, **named: P.kwargs) -> Drawn:
        if is_spoken():
            return drawn_by(solution, *given, **named)
        with words_of_the_job(solution.job):
            return finished_sheet(drawn_by(solution, *given, **named))

    return drawn


def finished_sheet(drawn: Drawn) -> Drawn:
    """A sheet, drawn while a country is spoken, with all its lettering in that country's words."""
    told: Drawn = _told(drawn)
    return told


def _told(part: Any) -> Any:
    """A part of a sheet with all its lettering finished; the same where nothing changes."""
    if isinstance(part, str):
        return finished(part)
    if isinstance(part, tuple):
        told = tuple(map(_told, part))
        return part if all(new is old for new, old in zip(told, part, strict=True)) else told
    if isinstance(part, _UNLETTERED) or not isinstance(part, Struct):
        return part
    names = ("content",) if isinstance(part, Text) else part.__struct_fields__
    held = {name: getattr(part, name) for name in names}
    changed = {name: new for name, old in held.items() if (new := _told(old)) is not old}
    return replace(part, **changed) if changed else part

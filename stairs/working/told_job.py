"""The job with numbers that know their letters: what a section is solved with to be explained."""

from __future__ import annotations

from collections.abc import Container
from fractions import Fraction
from typing import Any, Self

import msgspec
from msgspec import Struct
from msgspec.structs import asdict, replace

from stairs.job import AsBuilt, Job, JobFlight
from stairs.job.key_notes import value_of
from stairs.parts.survey import COVER, ENDS, LINES, MEAN, Line, StepsOnLine
from stairs.relations.quantities import FLIGHT_KEYS, LENGTH, QUANTITIES, RATIO, TYPED
from stairs.relations.remembered import Remembered


class Reading(Struct, frozen=True):
    """One number of the job: its letter, what it measures, its unit, and where it is typed."""

    symbol: str
    meaning: str
    unit: str
    key: str


class Told(Remembered):
    """A number of the job, or what follows from such, by arithmetic and by closed forms."""

    __slots__ = ()

    def of_form(self, form: str, arguments: tuple[tuple[str, Any], ...]) -> Self:
        """This number as the value of a closed form."""
        return self._of(self, ("form", form, arguments))

    def called(self, symbol: str, meaning: str, unit: str = LENGTH) -> Self:
        """This number with a letter and a line of its own."""
        return self._of(self, ("called", Reading(symbol, meaning, unit, ""), self))


_OF_NOSINGS = {
    0: ("x", "nosing {n}, level from the first"),
    1: ("y", "nosing {n}, over the landing"),
}
_NOTHING_IF_NONE = {"filler", "side_gap", "nosing", "riser_slope"}
_UNTOLD = {"framing", "ground_slope", "name", "holes"}


def told_job(job: Job, index: int, chosen: Container[str] = ()) -> Job:
    """The job with the numbers of its parts, and of the section from 0, told by their letters.

    ``chosen`` has the keys that the job left open and that were chosen for it.
    """
    parts = {name: _told(getattr(job, name), name) for name in ("panel", "bracket", "post")}
    section = _told(job.sections[index], "section", chosen)
    if isinstance(section, JobFlight) and section.steps.nosings is not None:
        section = _on_told_line(section)
    sections = (*job.sections[:index], section, *job.sections[index + 1 :])
    return replace(job, sections=sections, **parts)


def _told(record: Any, table: str, chosen: Container[str] = ()) -> Any:
    """A record with every length and angle of it told, those of records within it too."""
    told = {}
    for name, value in asdict(record).items():
        if name in _UNTOLD or value is None or isinstance(value, bool | str):
            continue
        if isinstance(value, msgspec.Struct):
            inner = name if (name in ("slot", "body")) else table
            told[name] = _told(value, inner, chosen)
        elif isinstance(value, tuple):
            told[name] = _each_told(table, name, value, name in chosen)
        elif name in _NOTHING_IF_NONE and value == 0:
            continue
        elif isinstance(value, Fraction) or name in FLIGHT_KEYS:
            told[name] = Told.read(_reading(table, name, is_chosen=name in chosen), Fraction(value))
    return replace(record, **told)


def _each_told(table: str, name: str, values: tuple[Any, ...], is_chosen: bool) -> tuple[Any, ...]:
    if name == "nosings":
        return tuple(
            tuple(
                Told.read(Reading(f"{_OF_NOSINGS[axis][0]}{number}",
                                  _OF_NOSINGS[axis][1].format(n=number), LENGTH, name), value)
                for axis, value in enumerate(point)
            )
            for number, point in enumerate(values, 1)
        )  # fmt: skip
    if name == "as_built":
        return tuple(map(_as_it_stands, values))
    if not all(isinstance(value, Fraction) for value in values):
        return values
    own = name != "stock"
    return tuple(
        Told.read(_reading(table, name, number if own else 0, is_chosen), value)
        for number, value in enumerate(values, 1)
    )


_STANDING = {
    "surface": ("ys", "surface under post {n}, as it was measured there"),
    "clear_low": ("D", "clear from post {n} to the next at the bottom rail, as measured"),
    "clear_high": ("D", "clear from post {n} to the next at the top rail, as measured"),
}


def _as_it_stands(post: AsBuilt) -> AsBuilt:
    """What was measured of a post that is set; its lean is worked out of rounded numbers."""
    told = {}
    for name, (symbol, meaning) in _STANDING.items():
        value = getattr(post, name)
        if value is not None:
            reading = Reading(symbol, meaning.format(n=post.post), LENGTH, f"as_built: {name}")
            told[name] = Told.read(reading, value)
    return replace(post, **told)


def _reading(table: str, name: str, number: int = 0, is_chosen: bool = False) -> Reading:
    quantity = TYPED.get((table, name))
    if quantity is None and table == "section":
        quantity = QUANTITIES.get(FLIGHT_KEYS.get(name, ""))
    place = "" if table == "section" else f"{table}: "
    key = f"{place}{name}" + (f" {number}" if number else "")
    if is_chosen:
        key += ", chosen here"
    if quantity is None:
        return Reading(name.replace("_", " "), name.replace("_", " "), LENGTH, key)
    symbol = quantity.symbol + (str(number) if number else "")
    meaning = quantity.meaning
    if name == "posts":
        meaning = f"centre of post {number}"
    return Reading(symbol, meaning, quantity.unit, key)


_LINE = {ENDS: "from the first nosing to the last", MEAN: "least squares over all nosings"}


def _on_told_line(section: JobFlight) -> JobFlight:
    """A measured flight with the line of its rails told by the nosings that it leans on."""
    nosings = value_of(section, "nosings")
    plain = [(Fraction(x), Fraction(y)) for x, y in nosings]
    taken = section.steps.rail_line or COVER
    if taken == COVER:
        drawn = LINES[taken](plain).slope
        low, high = next(
            (place, other)
            for place, one in enumerate(plain)
            for other in range(place + 1, len(plain))
            if (plain[other][1] - one[1]) / (plain[other][0] - one[0]) == drawn
        )
        (x0, y0), (x1, y1) = nosings[low], nosings[high]
        slope = (y1 - y0) / (x1 - x0)
        meaning = f"slope of the rails' line, which runs as from nosing {low + 1} to {high + 1}"
    else:
        slope = LINES[taken](nosings).slope
        meaning = f"slope of the rails' line ({_LINE[taken]})"
    slope = slope.called("σ", meaning, RATIO)
    top = max(
        range(len(plain)), key=lambda place: Fraction(plain[place][1] - slope * plain[place][0])
    )
    x, y = nosings[top]
    height = y - slope * x
    touching = f"rails' line at the first nosing, over the landing: it touches nosing {top + 1}"
    line = Line(height.called("R", touching), slope)
    steps = StepsOnLine(**asdict(section.steps), line=line)
    return replace(section, steps=steps)

"""Results that a goal can be set for: numbers of the solved guard, by their names in ``--json``."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from typing import Any

from msgspec import Struct

from stairs.guard.solving import Bay, Section
from stairs.inverse.asked import COUNT, DEGREES, LENGTH
from stairs.parts.posts import Post
from stairs.relations.exact import Amount

Number = Amount | float
"""Exact where the solver has it so; a float of what follows from choices made on the way."""


class ResultNumber(Struct, frozen=True):
    """One number of the result: its name, its unit, of what it is one, and how it is read off."""

    name: str
    unit: str
    of: str  # "section", "bay" or "post"
    read: Callable[[Any], Number | None]

    @property
    def title(self) -> str:
        """In words."""
        return self.name.replace("_", " ")

    def read_off(self, section: Section, nth: int | None) -> Iterator[tuple[str, Number]]:
        """Each of them in a section, with where it is; of one bay or post alone for an ``nth``.

        ``nth`` counts from 1.  What a section has not is left out.
        """
        parts: tuple[Any, ...] = (section,)
        if self.of != "section":
            parts = section.bays if self.of == "bay" else section.posts
        for number, part in enumerate(parts, 1):
            value = self.read(part) if nth in (None, number) else None
            if value is not None:
                yield ("" if self.of == "section" else f"{self.of} {number}"), value


def _of_flight(name: str) -> Callable[[Section], Number | None]:
    return lambda section: None if section.flight is None else getattr(section.flight, name)


def _exact(name: str) -> Callable[[Section], Number | None]:
    return lambda section: section.exact.get(name)


def _used(name: str) -> Callable[[Bay], Number | None]:
    def read(bay: Bay) -> Number | None:
        value: Number | None = None if bay.trims.used is None else getattr(bay.trims.used, name)
        return value

    return read


def _end(name: str) -> Callable[[Bay], Number]:
    def read(bay: Bay) -> Number:
        value: Number = getattr(bay.ends, name)
        return value

    return read


def _post(name: str) -> Callable[[Post], Number | None]:
    def read(post: Post) -> Number | None:
        value: Number | None = getattr(post, name)
        return value

    return read


_ALL = (
    ResultNumber("risers", COUNT, "section", _of_flight("risers")),
    ResultNumber("treads", COUNT, "section", _of_flight("treads")),
    ResultNumber("unit_rise", LENGTH, "section", _of_flight("unit_rise")),
    ResultNumber("unit_run", LENGTH, "section", _of_flight("unit_run")),
    ResultNumber("total_rise", LENGTH, "section", _of_flight("total_rise")),
    ResultNumber("total_run", LENGTH, "section", _of_flight("total_run")),
    ResultNumber("rake", DEGREES, "section", _exact("rake")),
    ResultNumber("bottom_gap", LENGTH, "section", _exact("bottom_gap")),
    ResultNumber("guard_height", LENGTH, "section", _exact("guard_height")),
    ResultNumber("panel_height", LENGTH, "section", _exact("racked_height")),
    ResultNumber("rail_spacing", LENGTH, "section", lambda section: section.racked.rail_spacing),
    ResultNumber(
        "baluster_clear", LENGTH, "section", lambda section: section.racked.baluster_clear
    ),
    ResultNumber("max_rack", DEGREES, "section", lambda section: section.racked.max_rack),
    ResultNumber("clear", LENGTH, "bay", lambda bay: bay.clear),
    ResultNumber("spacing", LENGTH, "bay", lambda bay: bay.spacing),
    ResultNumber("spacing_along", LENGTH, "bay", lambda bay: bay.spacing_along),
    ResultNumber("rail_length", LENGTH, "bay", _end("rail_length")),
    ResultNumber("stock_needed", LENGTH, "bay", _end("stock_needed")),
    ResultNumber("corner_clearance", LENGTH, "bay", _end("corner_clearance")),
    ResultNumber("swing", DEGREES, "bay", _end("swing")),
    ResultNumber("angle_low", DEGREES, "bay", _end("angle_low")),
    ResultNumber("angle_high", DEGREES, "bay", _end("angle_high")),
    ResultNumber("saw_angle", DEGREES, "bay", _end("saw_angle")),
    ResultNumber("stock", LENGTH, "bay", _used("stock")),
    ResultNumber("trim_low", LENGTH, "bay", _used("low")),
    ResultNumber("trim_high", LENGTH, "bay", _used("high")),
    ResultNumber("balusters", COUNT, "bay", lambda bay: bay.balusters),
    ResultNumber("end_gap_low", LENGTH, "bay", lambda bay: bay.end_gap_low),
    ResultNumber("end_gap_high", LENGTH, "bay", lambda bay: bay.end_gap_high),
    ResultNumber("x", LENGTH, "post", lambda post: post.stand.centre),
    ResultNumber("surface", LENGTH, "post", lambda post: post.stand.surface),
    ResultNumber("height", LENGTH, "post", _post("exact_height")),
    ResultNumber("plate_edge", LENGTH, "post", lambda post: post.stand.plate_edge),
)

RESULTS = {one.name: one for one in _ALL}
"""By name; of bays and posts also as ``bays.rail_length``, or ``bays.2.rail_length`` for one."""

GROUPS = {"bays": "bay", "posts": "post", "sections": "section"}


def as_fraction(number: Number) -> Fraction:
    """A number as a fraction; of a root its nearest float."""
    return number if isinstance(number, Fraction) else Fraction(float(number))

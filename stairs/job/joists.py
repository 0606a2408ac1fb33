"""Joists in the building: one ``[framing]``, seen along every run of the guard.

Joists have one direction, whichever way the guard turns above them.  The job's own ``[framing]`` is
written as seen along the first level run that takes its direction from there; each run after it
sees the same joists and boards turned by as much as the guard has turned, and counted from its own
first post or its own deck edge.  What a run's own ``[section.framing]`` says stands as it is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Any

import msgspec
from msgspec import Struct

from stairs.job.framing import base_framing, read_framing
from stairs.job.records import Framing, JobFlight, JobLevel, PostKind
from stairs.job.sections import section_where
from stairs.job.table import Table, joined

ACROSS, ALONG = "across", "along"
_AXES = ((1, 0), (0, 1), (-1, 0), (0, -1))  # headings, in quarter turns to the left

Point = tuple[Fraction, Fraction]
Axis = tuple[int, int]


class _Lines(Struct, frozen=True):
    """Parallel lines at one spacing: ``axis`` square to them, and where one of them crosses it."""

    axis: Axis
    at: Fraction
    spacing: Fraction

    def along(self, way: Axis, start: Point) -> Fraction:
        """Where one of them lies, from a point on along a way that is square to them."""
        turned = _dot(self.axis, way)
        return turned * (self.at - _dot(self.axis, start))


def _dot(one: Point | Axis, other: Point | Axis) -> Fraction:
    return Fraction(one[0] * other[0] + one[1] * other[1])


class _Run(Struct, frozen=True):
    """A level run in plan: where its first post stands, its way, the way into the deck."""

    start: Point
    way: Axis
    inwards: Axis
    inset: Fraction

    def joists(self, framing: Framing) -> _Lines:
        """The joists of a framing that is written as seen along this run."""
        first, spacing = framing.first_joist, framing.joist_spacing
        if framing.direction == ACROSS:
            return _Lines(self.way, _dot(self.way, self.start) + first, spacing)
        at = _dot(self.inwards, self.start) + first - self.inset
        return _Lines(self.inwards, at, spacing)

    def boards(self, framing: Framing) -> _Lines | None:
        """The middles of its boards; None where it tells nothing of them."""
        if framing.board_width is None or framing.board_gap is None:
            return None
        pitch = framing.board_width + framing.board_gap
        on_x = _gaps_on_x(framing)
        first = framing.first_board
        if first is None:
            first = -self.inset if on_x else Fraction(0)
        middle = first + framing.board_width / 2
        if on_x:
            return _Lines(self.way, _dot(self.way, self.start) + middle, pitch)
        return _Lines(self.inwards, _dot(self.inwards, self.start) + middle - self.inset, pitch)

    def sees(self, framing: Framing, joists: _Lines, boards: _Lines | None) -> Framing:
        """The framing over such joists and boards, as it is written along this run."""
        across = _dot(joists.axis, self.way) != 0
        changes: dict[str, Any] = {"direction": ACROSS if across else ALONG}
        spacing = joists.spacing
        if across:
            place = joists.along(self.way, self.start) % spacing - spacing
        else:
            place = (self.inset + joists.along(self.inwards, self.start)) % spacing
        as_told = framing.direction == changes["direction"]
        as_told = as_told and (framing.first_joist - place) % spacing == 0
        if not as_told or (across and framing.first_joist > 0):  # joists before it are known here
            changes["first_joist"] = place
            changes["outside"] = not across and place > self.inset
        if boards is not None:
            changes["first_board"] = self._first_board(framing, boards)
        return msgspec.structs.replace(framing, **changes)

    def _first_board(self, framing: Framing, boards: _Lines) -> Fraction | None:
        half, pitch = (framing.board_width or Fraction(0)) / 2, boards.spacing
        given = framing.first_board
        on_x = _dot(boards.axis, self.way) != 0
        if on_x:  # boards lie side by side along the run
            begins = (boards.along(self.way, self.start) - half) % pitch - 3 * pitch
            usual = -self.inset
        else:
            begins = (self.inset + boards.along(self.inwards, self.start) - half) % pitch
            begins, usual = begins - pitch if begins else begins, Fraction(0)
        as_told = usual if given is None else given
        return given if on_x == _gaps_on_x(framing) and not (begins - as_told) % pitch else begins

    def end(self, length: Fraction) -> Point:
        """The point so far along it."""
        return (self.start[0] + length * self.way[0], self.start[1] + length * self.way[1])


def _gaps_on_x(framing: Framing) -> bool:
    return (framing.direction == ACROSS) == (framing.board_direction == ALONG)


def with_joists(
    top: Table, sections: Sequence[JobFlight | JobLevel], post: PostKind, assumed: list[str]
) -> tuple[JobFlight | JobLevel, ...]:
    """The sections with the job's own framing as each of them sees it.

    Of a level run under which the joists lie askew, or where it is not told how they lie, no more
    is known than its edge; ``assumed`` gets a line for it.  A flight that ends the guard has the
    framing under its head.
    """
    if "framing" not in top.values:
        return tuple(sections)
    return tuple(_Building(top, sections, post, assumed).seen())


class _Building:
    """The joists of one job, run by run."""

    def __init__(
        self,
        top: Table,
        sections: Sequence[JobFlight | JobLevel],
        post: PostKind,
        assumed: list[str],
    ) -> None:
        self.top, self.sections, self.post, self.assumed = top, sections, post, assumed
        self.turned = Fraction(0)  # since the run that the job's framing is written along
        self.known: tuple[_Run, Framing] | None = None
        self.place: Point | None = None  # the last post of the section before

    def seen(self) -> Iterator[JobFlight | JobLevel]:
        """The sections, each with the framing as it lies under it."""
        for index, section in enumerate(self.sections):
            self.turned += section.ends.turn if index else 0
            if isinstance(section, JobLevel):
                framing = section.framing
                yield section if framing is None else self._level(index, section, framing)
            else:
                self.place = None
                yield self._flight(index, section)

    def _own(self, index: int) -> Mapping[str, Any]:
        typed: Mapping[str, Mapping[str, Any]] = self.top.values["section"][index]
        return typed.get("framing", {})

    def _level(self, index: int, section: JobLevel, framing: Framing) -> JobLevel:
        own, begins, first = self._own(index), self._begins(section), False
        if self.known is None and "direction" not in own:
            self.turned, first, begins = Fraction(0), True, (Fraction(0), Fraction(0))
        run = self._run(begins, section, framing)
        if first and run is not None:
            self.known = (run, framing)
        self.place = None
        if run is not None and section.ends.end != "wall":
            self.place = run.end(section.span)
        if "direction" in own or first or self.known is None:
            return section
        seen = self._turned(run, framing, own, *self.known)
        if isinstance(seen, str):
            where = joined(section_where(index + 1, section.name), "framing")
            self.assumed.append(f"{where}: {seen}")
            seen = msgspec.structs.replace(framing, unknown=True)
        return msgspec.structs.replace(section, framing=seen)

    def _turned(
        self,
        run: _Run | None,
        framing: Framing,
        own: Mapping[str, Any],
        here: _Run,
        written: Framing,
    ) -> Framing | str:
        """The job's framing as a later run sees it; where it is not known, why."""
        if self.turned % 90:
            return "joists lie askew under this run; no blocks are listed"
        same = self.turned % 180 == 0
        if run is None:
            if not same and "first_joist" not in own:
                return "where the first joist lies after the turn is not told; no blocks are listed"
            other = ALONG if framing.direction == ACROSS else ACROSS
            return framing if same else msgspec.structs.replace(framing, direction=other)
        seen = run.sees(framing, here.joists(written), here.boards(written))
        kept = {key: getattr(framing, key) for key in ("first_joist", "first_board") if key in own}
        if "first_joist" in kept:
            kept["outside"] = None
        return msgspec.structs.replace(seen, **kept)

    def _run(self, start: Point | None, section: JobLevel, framing: Framing) -> _Run | None:
        if start is None or self.turned % 90:
            return None
        quarter = int(self.turned / 90)
        left = 1 if section.hand == "left" else -1
        inset = framing.edge_to_post
        if inset is None:
            inset = self.post.inset
        return _Run(start, _AXES[quarter % 4], _AXES[(quarter - left) % 4], inset)

    def _begins(self, section: JobLevel) -> Point | None:
        """Where a run's first post stands, where it goes on from a run that is placed."""
        if self.place is None or section.ends.start == "wall" or self.turned % 90:
            return None
        if section.ends.start != "own":
            return self.place
        way = _AXES[int(self.turned / 90) % 4]
        off = (section.ends.post_gap or 0) + self.post.width
        return (self.place[0] + off * way[0], self.place[1] + off * way[1])

    def _flight(self, index: int, section: JobFlight) -> JobFlight:
        """A flight that ends the guard stands with its head on the same joists."""
        if index + 1 < len(self.sections) or section.ends.end == "wall":
            return section
        short = section_where(index + 1, section.name)
        if self.known is not None and (self.turned - 90) % 180:  # seen along the top nosing
            self.assumed.append(
                f"{short}: framing: where the first joist lies under the stair's head is not told; "
                "no blocks are listed"
            )
            return section
        table = Table({}, self.top.units, joined(self.top.where, short), "[[section]]")
        framing = read_framing(base_framing(self.top), table, self.assumed, short)
        return msgspec.structs.replace(section, framing=framing)

"""Traced numbers: exact measurements that remember what was done with them.

A guard is solved once with traced measurements.  Its exact amounts are then the same fractions as
ever, and can be worked out again over enclosures, with every measurement anywhere in its range.
"""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from typing import Any

from msgspec import Struct

from stairs.certainty.enclosure import Enclosure, Unsure, form_of, greatest, least
from stairs.relations.exact import Amount, Derived, derived
from stairs.relations.remembered import Remembered

_BY_NAME: dict[str, Callable[..., Any]] = {
    "add": operator.add,
    "sub": operator.sub,
    "mul": operator.mul,
    "truediv": operator.truediv,
}


class Traced(Remembered):
    """A measurement, by its key, or what follows from measurements."""

    __slots__ = ()

    @classmethod
    def greatest(cls, values: Sequence[Fraction]) -> Traced:
        """The greatest of some, whichever of them that is."""
        return cls._of(max(values), ("greatest", *values))

    def __sub__(self, other: Any) -> Any:
        if self.made[0] == "add":
            # what steps add up to, less those below, is the last of them and no other
            for place, part in enumerate(self.made[1:]):
                if part is other:
                    return self.made[2 - place]
        return super().__sub__(other)


Range = tuple[Fraction, Fraction]
Box = Mapping[str, Range]
"""The least and the greatest that each measurement may be, by its key [its own unit]."""


class Worked:
    """Exact amounts worked out over a box of measurements."""

    def __init__(self, box: Box, with_slopes: bool) -> None:
        self._box, self._with_slopes = box, with_slopes
        self._known: dict[int, tuple[Any, Enclosure]] = {}

    def __call__(self, amount: Amount | int) -> Enclosure:
        """An amount in its unit; raises Unsure."""
        if not isinstance(amount, (Traced, Derived)):
            return Enclosure.of(amount)
        known = self._known.get(id(amount))
        if known is None:
            known = self._known[id(amount)] = amount, self._work(amount)
        return known[1]

    def _work(self, amount: Traced | Derived) -> Enclosure:
        if isinstance(amount, Derived):
            return self.form(amount.form, **dict(amount.arguments))
        name, *parts = amount.made
        if name == "read":
            return self._read(parts[0])
        if name == "greatest":
            return greatest([self(part) for part in parts])
        if name == "mul" and parts[0] is parts[1]:
            return self(parts[0]) ** 2
        done: Enclosure = _BY_NAME[name](*map(self, parts))
        return done

    def form(self, name: str, **arguments: Any) -> Enclosure:
        """A closed form at amounts or enclosures."""
        rise: Any = arguments.get("unit_rise")
        run: Any = arguments.get("unit_run")
        slope = None if name in _OF_ONE_STEP else _slope_of(rise, run)
        if slope is not None:
            # of a line by its height and slope the slope alone counts, but for where it starts
            if "x" in arguments:
                arguments["x"] = self(arguments["x"]) + self(rise) / self(slope) - 1
            arguments |= {"unit_rise": slope, "unit_run": 1}
        at = {
            key: value if isinstance(value, Enclosure) else self(value)
            for key, value in arguments.items()
        }
        return Enclosure.of(form_of(name)(**at))

    def slope(self, rise: Amount, run: Amount) -> Enclosure:
        """Of a line by its rise and run."""
        slope = _slope_of(rise, run)
        return self(rise) / self(run) if slope is None else self(slope)

    def _read(self, key: str) -> Enclosure:
        low, high = self._box[key]
        free = self._with_slopes and low < high
        slopes = {key: (1.0, 1.0)} if free else {}
        return Enclosure(Enclosure.of(low).low, Enclosure.of(high).high, slopes)


_OF_ONE_STEP = ("unit_slope", "step_sum")
"""Closed forms of the size of a step; all others go by its slope, and by where its line begins."""

_BY_RAKE = {
    "unit_run_from_unit_rise_and_rake": "unit_rise",
    "unit_rise_from_unit_run_and_rake": "unit_run",
}
"""Closed forms that give one side of a step from its rake and the other side."""


def _slope_of(rise: Any, run: Any) -> Any:
    """The slope that one side of a step was worked out of, with its other side; None of others."""
    if isinstance(run, Traced) and run.made[0] == "truediv" and run.made[1] is rise:
        return run.made[2]
    for side, other in ((run, rise), (rise, run)):
        if isinstance(side, Derived) and side.form in _BY_RAKE:
            given = dict(side.arguments)
            if given[_BY_RAKE[side.form]] is other:
                return derived("unit_rise_from_unit_run_and_rake", unit_run=1, rake=given["rake"])
    return None


Result = Callable[[Worked], Enclosure]
"""Something that can be worked out over a box."""


class End(Struct, frozen=True):
    """The least or the greatest of a result over a box, and where in the box it is.

    ``corner`` has the measurements that it depends on, each at the end that leads there; ``sure``
    tells whether nothing in the box goes beyond that corner.
    """

    value: float
    corner: dict[str, Fraction]
    sure: bool


_PARTS = 12
"""How often a box is parted for one bound, at most."""
_WORK, _MANY = 200, 50
"""As often as its measurements go into this, and never of more: they count for little each."""
_NEAR = 4e-4
"""Which part of the way from the middle of the box to its corner is near enough."""


def end_of(result: Result, box: Box, side: int) -> End:
    """A bound of a result over a box that nothing in it goes beyond: the greatest for 1, else -1.

    A measurement whose partial derivative keeps its sign over the whole box is put to that end of
    its range, and the rest looked at again, until no more can be put.  Where some are left the box
    is parted along the one that may matter most, again and again, as long as that brings the bound
    much nearer to what some corner comes to; of many measurements less often.  Where nothing can be
    told of the result its bound is infinite.

    Examples
    --------
    >>> width = Traced.read("width", Fraction(3))
    >>> box = {"width": (Fraction(2), Fraction(4))}
    >>> end = end_of(lambda worked: worked(60 - width / 2), box, 1)
    >>> round(end.value, 9), end.corner
    (59.0, {'width': Fraction(2, 1)})
    """
    found = _part_of(result, box, side)
    times = 0 if len(box) > _MANY else min(_PARTS, _WORK // max(len(box), 1))
    if not times or found.end.sure or math.isinf(found.end.value):
        return found.end
    middles = {key: ((low + high) / 2,) * 2 for key, (low, high) in box.items()}
    near = _NEAR * abs(found.reached - result(Worked(middles, False)).low)
    best, parts = found, [found]
    for _ in range(times):
        widest = max(parts, key=lambda part: side * part.end.value)
        if side * (widest.end.value - best.reached) <= near or not widest.loose:
            break
        parts.remove(widest)
        key = max(widest.loose, key=lambda one: widest.loose[one])
        low, high = widest.box[key]
        middle = (low + high) / 2
        for half in ((low, middle), (middle, high)):
            part = _part_of(result, {**widest.box, key: half}, side)
            if math.isinf(part.end.value):
                return found.end
            parts.append(part)
            if side * (part.reached - best.reached) > 0:
                best = part
    value = max((part.end.value for part in parts), key=lambda one: side * one)
    return End(value, best.end.corner, False)


class _Part(Struct, frozen=True):
    """A part of a box: the bound there, what its corner comes to, and what else may matter.

    ``loose`` has the measurements with influences of no sure sign, and how much each may move the
    result.
    """

    box: Box
    end: End
    reached: float
    loose: Mapping[str, float]


def _part_of(result: Result, box: Box, side: int) -> _Part:
    ranges: dict[str, Range] = dict(box)
    corner: dict[str, Fraction] = {}
    try:
        found = result(Worked(ranges, True))
        while found.slopes:
            if _put_at_ends(found, ranges, corner, side) == found.slopes.keys():
                break
            found = result(Worked(ranges, True))
        bound = found.high if side > 0 else found.low
        reached = bound
        for key, (low, high) in found.slopes.items():
            corner.setdefault(key, ranges[key][1 if (low + high > 0) == (side > 0) else 0])
        if found.slopes:
            around = _around_middle(result, found, ranges)
            bound = min(bound, around[1]) if side > 0 else max(bound, around[0])
            at = {key: (value, value) for key, value in corner.items()}
            ends = result(Worked({**ranges, **at}, False)).ends
            reached = ends[0] if side > 0 else ends[1]
    except Unsure:
        return _Part(box, End(side * math.inf, corner, False), math.nan, {})
    loose = {
        key: max(-low, high) * float(ranges[key][1] - ranges[key][0])
        for key, (low, high) in found.slopes.items()
    }
    return _Part(box, End(bound, corner, not found.slopes), reached, loose)


def _put_at_ends(
    found: Enclosure, ranges: dict[str, Range], corner: dict[str, Fraction], side: int
) -> set[str]:
    """Put the measurements whose influence has a sure sign to their ends; which ones are left."""
    loose = set()
    for key, (low, high) in found.slopes.items():
        if low >= 0 or high <= 0:
            corner[key] = ranges[key][1 if (low >= 0) == (side > 0) else 0]
            ranges[key] = corner[key], corner[key]
        else:
            loose.add(key)
    return loose


def _around_middle(result: Result, found: Enclosure, ranges: Box) -> tuple[float, float]:
    """Bounds by the mean value theorem: from the middle of the box along the steepest slopes."""
    middles = dict(ranges)
    off = Enclosure(0.0, 0.0)
    for key, slope in found.slopes.items():
        low, high = ranges[key]
        middles[key] = ((low + high) / 2,) * 2
        off += Enclosure(*slope) * Enclosure.of((high - low) / 2) * Enclosure(-1.0, 1.0)
    return (result(Worked(middles, False)) + off).ends


def ends_of(result: Result, box: Box) -> tuple[float, float]:
    """Both bounds of a result over a box."""
    return end_of(result, box, -1).value, end_of(result, box, 1).value


def greatest_of(amounts: Sequence[Amount]) -> Result:
    """The greatest of some amounts, whichever of them it is."""
    return lambda worked: greatest([worked(amount) for amount in amounts])


def least_of(amounts: Sequence[Amount]) -> Result:
    """The least of some amounts, whichever of them it is."""
    return lambda worked: least([worked(amount) for amount in amounts])

"""The ball of an opening told by what it touches, where no closed form gives it.

The center of the largest circle is found by search from the walls; what can be worked again on
paper is that it lies as far from each of the things that it touches, which is the proof that it
touches them.  Beside the stair each plane has a reach of its own.  Coordinates start at the front
edge of the step, level up-stair and plumb.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any

from stairs.openings.feature import (
    BOTTOM_RAIL,
    LOWER_LANDING,
    NOSING,
    POST,
    RISER,
    STRINGER_EDGE,
    STRINGER_END,
    TREAD,
    UPPER_LANDING,
    Feature,
)
from stairs.openings.opening import Opening
from stairs.openings.panel_ends import largest_beside_post
from stairs.openings.pocket import Pocket
from stairs.openings.under_rail import corner_form, largest_in_pocket
from stairs.relations.exact import Amount, derived
from stairs.relations.quantities import AREA, LENGTH, RATIO
from stairs.relations.steps import Tree, steps
from stairs.working.chain import Builder, Leaf
from stairs.working.formula import value_of_tree

_CLOSE = 1e-6  # of the radius: how near a distance must come to it to be the one that is meant
_SURFACES = {LOWER_LANDING.kind, UPPER_LANDING.kind, TREAD}
_OF_GUARD = {BOTTOM_RAIL.kind, POST}
_FOUND = "found by search"


def ball_leaf(drawn: Opening, told: Opening, builder: Builder) -> Leaf:
    """The diameter of an opening's ball, its lines added; from the opening as it was solved and
    with told numbers."""
    if drawn.ball is not None and told.under_rail is not None:
        return _beside_stair(drawn, told.under_rail, builder)
    return _flat(drawn, told, builder)


def _flat(drawn: Opening, told: Opening, builder: Builder) -> Leaf:
    """A circle: every distance is its radius."""
    pocket, exact = drawn.under_rail, told.under_rail
    if pocket is not None:
        circle = largest_in_pocket(pocket)[0]
    else:
        assert drawn.panel_end is not None
        circle = largest_beside_post(drawn.panel_end)
    work = _Work(builder, exact, circle.center, circle.radius)
    for number, name in enumerate(circle.leans_on, 1):
        work.touch(number, name, circle.radius, circle.contacts[number - 1])
    return work.ball()


def _beside_stair(drawn: Opening, pocket: Pocket, builder: Builder) -> Leaf:
    """A ball between stair and guard: its reach at either, and the sum where it is plain."""
    ball = drawn.ball
    assert ball is not None
    radius, gap = ball.diameter / 2, float(pocket.side_gap)
    work = _Work(builder, pocket, ball.center, radius)
    if ball.flat or ball.diameter <= gap:
        for number, name in enumerate(ball.leans_on, 1):
            work.touch(number, name, radius, None)
        return work.ball()
    near = math.sqrt(max(radius * radius - ball.out * ball.out, 0.0))
    far = math.sqrt(max(radius * radius - (gap - ball.out) ** 2, 0.0))
    work.reaches(pocket, ball.out)
    for number, name in enumerate(ball.leans_on, 1):
        kind = getattr(name, "kind", "")
        reach = far if kind in _OF_GUARD else near
        if kind == LOWER_LANDING.kind and pocket.step == 0:
            reach = radius  # the ground goes on beneath the guard
        work.touch(number, name, reach, None)
    if ball.corner and pocket.step > 0:
        work.total(pocket, ball.corner)
    return work.ball()


class _Work:
    """The lines of one ball."""

    def __init__(
        self, builder: Builder, pocket: Pocket | None, center: Sequence[float], radius: float
    ) -> None:
        self.builder, self.pocket = builder, pocket
        given = self.builder.given
        edge = "front edge of the step" if pocket is not None else "left side of the space"
        self.x = given(
            "cx", f"center of the ball, level from the {edge}", LENGTH, center[0], _FOUND
        )
        self.y = given("cy", "center of the ball, over that edge", LENGTH, center[1], _FOUND)
        self.radius = given("r", "radius of the largest ball", LENGTH, radius, _FOUND)
        self.untold: list[str] = []
        self._near: Leaf | None = None
        self._far: Leaf | None = None
        self._out: Leaf | None = None

    def ball(self) -> Leaf:
        """The diameter, after all that shows what the ball touches."""
        why = "the ball that is held against its limit"
        if self.untold:
            why += f"; it also touches {' and '.join(self.untold)}"
        letter = "Ø" if self._near is None else "Øb"
        return self.builder.line(letter, LENGTH, ["*", 2, self.radius], why)

    def touch(self, number: int, name: Any, reach: float, spot: Sequence[float] | None) -> None:
        """The line that says how far the center is from one of the things that the ball touches."""
        for tree in self._ways(name):
            value = value_of_tree(tree, lambda leaf: float(leaf.value), self.builder._roots)
            if abs(float(value) - reach) <= _CLOSE * float(self.radius.value):
                break
        else:
            if spot is None:
                self.untold.append(str(name))
                return
            tree = self._to_spot(number, name, spot)
        which = "its radius"
        if self._near is not None and abs(reach - float(self.radius.value)) > 1e-12:
            at_guard = getattr(name, "kind", "") in _OF_GUARD
            which = "its reach at the guard" if at_guard else "its reach at the stair"
        told = f"from the center to {name}: {which}, so it touches"
        self.builder.line(f"r{number}", LENGTH, tree, told, True)

    def _to_spot(self, number: int, name: Any, spot: Sequence[float]) -> Tree:
        given = self.builder.given
        x = given(f"x{number}", f"where it touches {name}, level", LENGTH, spot[0], _FOUND)
        y = given(f"y{number}", f"where it touches {name}, plumb", LENGTH, spot[1], _FOUND)
        across, up = ["+", x, ["neg", self.x]], ["+", y, ["neg", self.y]]
        return ["sqrt", ["+", ["^", across, 2], ["^", up, 2]]]

    # ------------------------------------------------------------------ distances

    def _ways(self, name: Any) -> Iterator[Tree]:
        """Every distance from the center that may be meant by the name of what is touched."""
        pocket, kind = self.pocket, getattr(name, "kind", "")
        if pocket is None or not isinstance(name, Feature):
            return
        x, y, form = self.x, self.y, pocket.form
        if kind in _SURFACES:
            yield y
        elif kind == BOTTOM_RAIL.kind:
            yield ["*", ["+", self._rail(), ["neg", y]], self._cosine()]
        elif kind == POST:
            yield from self._posts(name)
        elif kind == RISER and float(form.setback) == 0:
            depth = derived("tread_depth", unit_run=form.run, nosing=form.nosing)
            yield ["+", self._tree(depth, "tread_depth"), ["neg", x]]
        elif kind == STRINGER_END:
            yield ["+", self._run(), ["neg", x]]
        elif kind == STRINGER_EDGE:
            margin = self._tree(pocket.margin, "stringer_margin")
            yield ["*", ["+", y, ["neg", margin], ["neg", self._climb()]], self._cosine()]
        elif kind == NOSING:
            yield from self._nosings(name)

    def _nosings(self, name: Feature) -> Iterator[Tree]:
        pocket, x, y = self.pocket, self.x, self.y
        assert pocket is not None
        if name.number == pocket.step and not name.side:
            yield ["sqrt", ["+", ["^", x, 2], ["^", y, 2]]]
        if name.number != pocket.step + 1:
            return
        high: Tree = self._tree(pocket.form.rise, "unit_rise")
        if name.side:
            thick = self._tree(pocket.form.thickness, "tread_thickness")
            high = ["+", high, ["neg", thick]]
        across, up = ["+", self._run(), ["neg", x]], ["+", high, ["neg", y]]
        yield ["sqrt", ["+", ["^", across, 2], ["^", up, 2]]]
        yield up if name.side else across

    def _posts(self, name: Feature) -> Iterator[Tree]:
        pocket = self.pocket
        assert pocket is not None
        front = self._tree(pocket.front[0], "nosing_x")
        for post, sign in ((pocket.low, 1), (pocket.high, -1)):
            if post.number == name.number:
                face: Tree = self._tree(post.face, "face_x")
                if front != 0:
                    face = ["+", face, front[1] if _is_less(front) else ["neg", front]]
                pair = (self.x, face) if sign > 0 else (face, self.x)
                yield ["+", pair[0], ["neg", pair[1]]]

    def _tree(self, amount: Amount, name: str) -> Tree:
        """An amount as a leaf of its own, or a plain number."""
        if amount == 0 and type(amount) is Fraction:
            return 0
        return self.builder.leaf(amount, name)

    def _run(self) -> Tree:
        assert self.pocket is not None
        return self._tree(self.pocket.form.run, "unit_run")

    def _line(self) -> dict[str, Amount]:
        assert self.pocket is not None
        return {"unit_rise": self.pocket.line_rise, "unit_run": self.pocket.line_run}

    def _climb(self) -> Tree:
        """How far the rail climbs up to the center."""
        rise, run = (self._tree(amount, name) for name, amount in self._line().items())
        return ["/", ["*", self.x, rise], run]

    def _rail(self) -> Tree:
        """The rail's underside at the center."""
        assert self.pocket is not None
        return ["+", self._tree(self.pocket.front_gap, "bottom_gap"), self._climb()]

    def _cosine(self) -> Leaf:
        return self.builder.expand(steps().forms["cosine"], self._line())[-1]

    # ------------------------------------------------------------------ beside the stair

    def reaches(self, pocket: Pocket, out: float) -> None:
        """How far the ball reaches in the plane of the tread ends, and in the guard's."""
        told = "center beyond the tread ends where the way is tightest"
        self._out = self.builder.given("z", told, LENGTH, out, _FOUND)
        gap = self._tree(pocket.side_gap, "side_gap")
        squared = ["^", self.radius, 2]
        line = self.builder.line
        self._near = line(
            "rs", LENGTH, ["sqrt", ["+", squared, ["neg", ["^", self._out, 2]]]],
            "the ball's reach in the plane of the tread ends (Pythagoras)",
        )  # fmt: skip
        left = ["+", gap, ["neg", self._out]]
        self._far = line(
            "rg", LENGTH, ["sqrt", ["+", squared, ["neg", ["^", left, 2]]]],
            "the ball's reach in the guard's plane (Pythagoras)",
        )  # fmt: skip

    def total(self, pocket: Pocket, upright: str) -> None:
        """What both reaches take of a plain corner, and what the flat circle says there is."""
        rise, run = (self._tree(amount, name) for name, amount in self._line().items())
        slope = self.builder.expand(steps().forms["unit_slope"], self._line())[-1]
        flat = self.builder.leaf(corner_form(pocket, upright == POST), "corner_circle")
        stair, guard = (["+", rise, run], slope) if upright == RISER else (run, ["+", rise, slope])
        near, far, out = self._near, self._far, self._out
        gap = self._tree(pocket.side_gap, "side_gap")
        line = self.builder.line
        whole = ["+", rise, run, slope]
        line("Σ", AREA, ["+", ["*", stair, near], ["*", guard, far]],
             "what the reaches take, each times its sides: distances in a triangle, each times its "
             "side, add up to twice its area", True)  # fmt: skip
        line(
            "Σ0",
            AREA,
            ["/", ["*", whole, flat], 2],
            "what there is, by the flat circle: the ball just passes where both are alike",
            True,
        )
        line(
            "q1",
            RATIO,
            ["/", ["*", stair, out], near],
            "how fast the first part shrinks on the way out",
            True,
        )
        line(
            "q2",
            RATIO,
            ["/", ["*", guard, ["+", gap, ["neg", out]]], far],
            "how fast the second grows: alike, so that at every other place less is taken",
            True,
        )


def _is_less(tree: Tree) -> bool:
    return isinstance(tree, list) and tree[0] == "neg"

"""Room for posts: how every place of a post bears on openings, rails, plates and spacing.

A post on a landing closes the opening at the foot or the head; a post on a tread splits that
tread's opening in two.  How large the ball is that each of them lets through depends on the place
of that one post alone, and grows as the post moves away from it; so each is worked out once at a
few places and read off between them.  A bay's end gaps depend on its width alone.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from math import lcm

from msgspec import Struct
from msgspec.structs import replace

from stairs.checks.finding import allowed
from stairs.checks.gap_window import RuleFor
from stairs.guard.solving import LEVEL_STEP, Section
from stairs.job import Job
from stairs.job.key_notes import value_of
from stairs.job.records import USUAL_SPACING
from stairs.layout.bays import BayCut, BayKind
from stairs.lengths.tape_marks import exact_text, floor_to_mark, round_to_mark
from stairs.numbers.tolerances import SAME
from stairs.openings.opening import FOOT, HEAD, TRIANGLE, compare_opening
from stairs.openings.pocket import Pocket, PocketPost, is_open
from stairs.openings.side_gap.ball import flat_diameter
from stairs.parts.bays import ways_asked
from stairs.parts.flight import Flight
from stairs.parts.panel import AUTO
from stairs.parts.post_places import WHOLE, Places, Reach
from stairs.relations.exact import derived
from stairs.rules import Rule

PROVISIONAL = {"in": Fraction(1), "mm": Fraction(25)}
END_GAP, DOWN, UP = "end gap", "post on a tread, down-stair", "post on a tread, up-stair"
_SAMPLES = 17


class Curve:
    """A quantity known at some places of a post and read off between them.

    Examples
    --------
    >>> Curve(lambda x: 2 * x, 0, 8).at(3.0)
    6.0
    """

    def __init__(self, value: Callable[[float], float], low: float, high: float) -> None:
        self._value, self._low = value, low
        self._step = max(high - low, SAME) / (_SAMPLES - 1)
        self._known: dict[int, float] = {}

    def _sample(self, index: int) -> float:
        if index not in self._known:
            self._known[index] = self._value(self._low + index * self._step)
        return self._known[index]

    def at(self, x: float) -> float:
        """The quantity at ``x``, straight between the two nearest samples."""
        index = min(max(int((x - self._low) / self._step), 0), _SAMPLES - 2)
        part = (x - self._low) / self._step - index
        if not -1e-6 <= part <= 1 + 1e-6:
            return self._value(x)
        return self._sample(index) * (1 - part) + self._sample(index + 1) * part


class PostFit(Struct, frozen=True):
    """What one place of a post comes to.

    Parameters
    ----------
    rooms : tuple of (float, str)
        At every opening that the post bounds, limit less ball, and which opening it is.
    fails : bool
        Whether one of these openings does not pass.
    too_tall : bool
        Whether the post comes out longer than the longest one sold.
    near, under : bool
        Whether its plate comes nearer to an edge than it may, or reaches under a nosing.
    edge_room : float
        Room of the plate beyond its edge distance for each measurement that it rests on, infinite
        where there is no edge.
    """

    rooms: tuple[tuple[float, str], ...] = ()
    fails: bool = False
    too_tall: bool = False
    near: bool = False
    under: bool = False
    edge_room: float = float("inf")


class Rooms:
    """Everything that a layout of one section is scored by; see the module.

    Parameters
    ----------
    trial : Section
        The section solved with one bay, for the bottom gap that is given or the lowest one that
        may be chosen.
    """

    def __init__(self, job: Job, trial: Section, rule_for: RuleFor) -> None:
        self.job, self.trial, self.units = job, trial, job.units
        gap = trial.exact["bottom_gap"]
        assert isinstance(gap, Fraction)  # as it was given
        self.gap = gap
        kind = job.post
        self.plate = kind.base or kind.width
        self._plate = float(self.plate)
        self.half_plate, self.half_post = self.plate / 2, kind.width / 2
        self._tallest = float(max(kind.stock) - (kind.below or 0)) if kind.stock else None
        self.edge = kind.edge or Fraction(0)
        self._edge, self._reveal = float(self.edge), float(kind.reveal)
        flight = trial.flight
        self.step = LEVEL_STEP if flight is None else (flight.line_rise, flight.line_run)
        self.cosine = float(derived("cosine", unit_rise=self.step[0], unit_run=self.step[1]))
        self.most_along = kind.max_spacing or USUAL_SPACING[job.units]
        self.most_spacing = self.most_along * Fraction(self.cosine)  # level
        self.line = trial.rail_line
        self._bays: dict[tuple[object, ...], BayCut | None] = {}
        self._kinds: dict[tuple[object, ...], BayKind] = {}
        self.ends = trial.ends
        self._unlike = (
            bool(trial.ends.skew) or trial.ends.low_reach != self.half_post,
            trial.ends.high_reach != self.half_post,
        )
        self._low = Fraction(float(trial.ends.low_reach))
        self._high = Fraction(float(trial.ends.high_reach))
        self._faces = float(self._low), float(self.half_post), -float(self._high)
        self._roughness: dict[tuple[int, ...], int] = {}
        self._nosings = trial.nosings
        section = job.sections[trial.number - 1]
        self._trim = section.trim
        self._run_by_run = value_of(section, "unit_run") is not None
        self._splits: dict[int, tuple[tuple[Curve, str], ...]] = {}
        self._rules = {
            name: rule_for(check, trial)
            for name, check in (
                (FOOT, "opening-foot"),
                (HEAD, "opening-head"),
                (DOWN, "opening-head"),
                (UP, "opening-triangle"),
                (END_GAP, "opening-end"),
            )
        }
        self._limits = {
            name: None if rule is None else float(rule.limit) for name, rule in self._rules.items()
        }
        for name in (FOOT, DOWN, UP):
            rule = self._rules[name]
            if rule is not None and rule.when.above_nosing_line:
                self._rules[name] = None  # held against the strip, wherever posts stand
        self._pockets = {
            (opening.kind, opening.pocket.step): opening.pocket
            for opening in trial.openings
            if opening.pocket is not None and opening.kind in (FOOT, HEAD, TRIANGLE)
        }
        rule = self._rules[UP]
        self.plain_fails = rule is not None and any(
            opening.kind == TRIANGLE
            and opening.pocket is not None
            and not allowed(rule.limit_kind, compare_opening(opening, rule.limit))
            for opening in trial.openings
        )
        if self.plain_fails:
            self._rules[UP] = None
        self.widest = min(self.most_spacing, self._stock_reaches())
        self.reach = None if flight is None else self._landing_reach()

    def show(self, value: Fraction | float) -> str:
        """A length on the tape as text."""
        return exact_text(Fraction(value), self.units)

    # ---------------------------------------------------------------- bays

    @property
    def trims_as_is_better(self) -> bool:
        """Whether every rail is cut the better way already."""
        return ways_asked(self.job, 1, self._trim)[0] == AUTO

    def bay_key(self, index: int, count: int) -> tuple[bool, bool, str]:
        """How a bay of a row of ``count`` posts ends and is cut, for :meth:`bay`; from 0."""
        ways = ways_asked(self.job, count - 1, self._trim)
        first, last = index == 0 and self._unlike[0], index == count - 2 and self._unlike[1]
        return first, last, ways[index]

    def bay(
        self, spacing: float, first: bool = False, last: bool = False, way: str = ""
    ) -> BayCut | None:
        """A bay between two post centres; None where its brackets find no room.

        Parameters
        ----------
        spacing : float
            Post centre to post centre, or to the face of a wall.
        first, last : bool
            Whether the bay ends as the section does, at its first and its last post.
        way : str
            How its rails are cut; left out, as those of the section's first bay.
        """
        key = (spacing, first, last, way or ways_asked(self.job, 1, self._trim)[0])
        if key not in self._bays:
            kind = self._kinds.get(key[1:])
            if kind is None:
                kind = self._kinds[key[1:]] = self._kind(*key[1:])
            self._bays[key] = kind.cut(spacing)
        return self._bays[key]

    def _kind(self, first: bool, last: bool, way: str) -> BayKind:
        ends = replace(
            self.ends,
            low_reach=self.ends.low_reach if first else self.half_post,
            skew=self.ends.skew if first else Fraction(0),
            high_reach=self.ends.high_reach if last else self.half_post,
        )
        numbers = self.cosine, float(self.trial.racked.baluster_clear)
        return BayKind(self.job, self.step, self.line, ends, way, numbers)

    def least_spacing(self, index: int, count: int) -> Fraction:
        """How near to each other two posts of ``count`` may stand for their plates not to meet."""
        return self.plate * (2 - self._walls(index, count)) / 2

    def width(self, spacing: Fraction, index: int, count: int) -> Fraction:
        """A bay's width as it counts against the others: post centre to post centre.

        At a wall half a post is added, so that bays of one clear width count as alike.

        Parameters
        ----------
        spacing : Fraction
            Post centre to post centre, or to the face of a wall.
        index, count : int
            Which of its posts is the lower one, of how many.
        """
        return spacing + self.half_post * self._walls(index, count)

    def _walls(self, index: int, count: int) -> int:
        return self.ends.is_wall(index, count) + self.ends.is_wall(index + 1, count)

    def _stock_reaches(self) -> Fraction:
        """The greatest spacing of posts that the longest rail sold reaches."""
        stock = self.job.panel.stock
        if not stock:
            return self.most_spacing
        # rail and stock grow with the bay by one over the cosine; two bays tell the rest
        one = self.bay(float(self.most_spacing))
        if one is None or one.stock_needed <= float(max(stock)) + SAME:
            return self.most_spacing
        shorter = float(self.most_spacing) - (one.stock_needed - float(max(stock))) * self.cosine
        least = max(float(self.plate), float(self.job.tape))
        return floor_to_mark(max(shorter + SAME, least), self.job.tape) or self.job.tape

    def end_room(self, end_gap: float) -> float | None:
        """Limit less end gap; None where no rule holds."""
        limit = self._limits[END_GAP]
        return None if limit is None else limit - end_gap

    def divided(self, span: Fraction, bays: int) -> Places:
        """Posts that divide a level run into bays of one clear width, those between on marks.

        Notes
        -----
        With a post at either end the bays are alike from centre to centre as well.  At a wall the
        run counts from its face, so the bay there is half a post shorter on the tape.
        """
        between = (round_to_mark(x, self.job.tape) for x in self.dividing(span, bays)[1:-1])
        return self.on_level((Fraction(0), *between, span), WHOLE)

    def dividing(self, span: Fraction, bays: int) -> tuple[Fraction, ...]:
        """The same posts where they would stand if the tape had a mark everywhere."""
        low, high = self._low, self._high
        clear = (span - low - high - (bays - 1) * self.job.post.width) / bays
        first, pitch = low + clear + self.half_post, clear + self.job.post.width
        return Fraction(0), *(first + number * pitch for number in range(bays - 1)), span

    def on_level(self, positions: Sequence[Fraction], alike: int) -> Places:
        """Post centres of a level run, whose last one may lie between two marks."""
        mark = Fraction(1, lcm(*(x.denominator for x in positions)))
        return Places(tuple(int(x / mark) for x in positions), mark, (), alike)

    # ---------------------------------------------------------------- openings beside posts

    def passes(self, room: float, name: str) -> bool:
        """Whether so much room, limit less ball, passes by the rule for that place."""
        strict = self._rule(name).limit_kind in ("ball-smaller", "cube-smaller")
        return room > SAME if strict else room >= -SAME

    def _rule(self, name: str) -> Rule:
        rule = self._rules[name]
        assert rule is not None  # asked only where one holds
        return rule

    @property
    def _flight(self) -> Flight:
        flight = self.trial.flight
        assert flight is not None  # asked only of flights
        return flight

    def _room(self, name: str, pocket: Pocket) -> float:
        rule = self._rule(name)
        if not is_open(pocket):
            return float(rule.limit)
        return float(rule.limit) - flat_diameter(pocket)

    def _foot(self, low: float, high: float) -> Curve | None:
        pocket = self._pockets.get((FOOT, 0))
        if pocket is None or self._rules[FOOT] is None:
            return None

        def room(x: float) -> float:
            face = Fraction(x) + self._low
            return self._room(FOOT, replace(pocket, low=replace(pocket.low, number=1, face=face)))

        return Curve(room, low, high)

    def _head(self, low: float, high: float) -> Curve | None:
        pocket = self._pockets.get((HEAD, self._flight.risers))
        if pocket is None or self._rules[HEAD] is None:
            return None

        def room(x: float) -> float:
            face = Fraction(x) - self._high
            return self._room(HEAD, replace(pocket, high=replace(pocket.high, number=2, face=face)))

        return Curve(room, low, high)

    def _split(self, step: int) -> tuple[tuple[Curve, str], ...]:
        """Both parts of a tread's opening by the place of the post, measured from its nosing."""
        pocket = self._pockets.get((TRIANGLE, step))
        if pocket is None:
            return ()
        front = pocket.front
        run = float(pocket.form.run)

        def down(place: float) -> float:
            face = Fraction(place + float(front[0])) - self.half_post
            part = replace(pocket, high=PocketPost(2, face, step, front[1]))
            return self._room(DOWN, part)

        def up(place: float) -> float:
            face = Fraction(place + float(front[0])) + self.half_post
            part = replace(pocket, low=PocketPost(2, face, step, front[1]))
            return self._room(UP, part)

        ends = float(self.half_plate), run - float(self.half_post)
        return tuple(
            (Curve(value, *ends), name)
            for value, name in ((down, DOWN), (up, UP))
            if self._rules[name] is not None
        )

    def _landing_reach(self) -> Reach:
        """How far out on the landings the end posts may stand for their openings to pass."""
        mark, trial = self.job.tape, self.trial
        run = max(float(self._flight.unit_run), trial.rail_line.unit_run)
        top = trial.nosings[-1][0]
        nearest = -max(float(self.half_plate) - float(self._flight.nosing), float(self.half_post))
        outer = min(-run, -float(self.half_plate)) - float(mark)
        meets = -(trial.rail_line.unit_rise + trial.bottom_gap) / self.line.slope - float(self._low)
        outer = min(max(outer, meets + float(mark)), nearest)
        self.foot = self._foot(outer, nearest)
        first = top + float(self.half_plate)
        farthest = first + float(self.edge) + run
        self.head = self._head(first, farthest)
        low = self._last_that_passes(self.foot, FOOT, nearest, outer, -float(mark))
        high = self._last_that_passes(self.head, HEAD, first, farthest, float(mark))
        return Reach(
            Fraction(low).limit_denominator(10**9), Fraction(high).limit_denominator(10**9)
        )

    def _last_that_passes(
        self, curve: Curve | None, name: str, start: float, end: float, step: float
    ) -> float:
        if curve is None:
            return end
        x = start
        while (end - x) * step > 0 and self.passes(curve.at(x + step), name):
            x += step
        return x

    # ---------------------------------------------------------------- posts and plates

    def post(self, x: float, step: int | None, index: int, count: int) -> PostFit:
        """How one post fits where it stands.

        Parameters
        ----------
        step : int or None
            The step that it stands on; None on a level run, where no opening and no edge is near.
        index, count : int
            Which of how many posts, from 0.
        """
        first, last = index == 0, index == count - 1
        reach = self._faces[0 if first else 2 if last else 1]
        surface = self._nosings[step - 1][1] if step else 0.0
        over = self.trial.panel_height + self._reveal
        tall = self.line.under(x + reach) + over - surface
        too_tall = (
            self._tallest is not None
            and not self.ends.is_wall(index, count)
            and tall > self._tallest + SAME
        )
        if step is None:
            return PostFit(too_tall=too_tall)
        rooms = tuple(self._beside(x, step, first, last))
        half, beyond, errors = self._plate / 2, float("inf"), 1
        if step:
            beyond = x - half - self._nosings[step - 1][0] - self._edge
            errors = 2 + (step - 1 if self._run_by_run else 0)
        return PostFit(
            rooms=rooms,
            fails=any(not self.passes(room, name) for room, name in rooms),
            too_tall=too_tall,
            near=beyond < -SAME,
            under=step < self._flight.risers and x + half > self._nosings[step][0] + SAME,
            edge_room=beyond / errors,
        )

    def _beside(self, x: float, step: int, first: bool, last: bool) -> list[tuple[float, str]]:
        """Room at every opening that a post bounds, and which it is."""
        if first or last:
            curve = self.foot if first else self.head
            return [] if curve is None else [(curve.at(x), FOOT if first else HEAD)]
        known = 1 if self._flight.survey is None else step
        if known not in self._splits:
            self._splits[known] = self._split(known)
        place = x - self._nosings[step - 1][0]
        return [(curve.at(place), name) for curve, name in self._splits[known]]

    def rough(self, number: int, mark: Fraction) -> int:
        """How far from round a place is: one for each halving of an inch that it needs."""
        key = (number, mark.numerator, mark.denominator)
        if key not in self._roughness:
            x = number * mark
            if self.units == "mm":
                self._roughness[key] = 2 if x % 5 else 1 if x % 10 else 0
            else:
                self._roughness[key] = (x.denominator - 1).bit_length()
        return self._roughness[key]


def rooms_of(job: Job, trial: Section, rule_for: RuleFor) -> Rooms:
    """What the layouts of one section are scored by; see :class:`Rooms`."""
    return Rooms(job, trial, rule_for)

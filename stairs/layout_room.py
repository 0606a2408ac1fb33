"""Room for posts: how every place of a post bears on openings, rails, plates and spacing.

A post on a landing closes the opening at the foot or the head; a post on a tread splits that
tread's opening in two.  How large the ball is that each of them lets through depends on the place
of that one post alone, and grows as the post moves away from it; so each is worked out once at a
few places and read off between them.  A bay's end gaps depend on its width alone.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from itertools import pairwise
from math import lcm

from msgspec import Struct
from msgspec.structs import replace

from stairs.bays import bays_of, ways_asked
from stairs.errors import NoSuchShape
from stairs.exact import derived
from stairs.guard import LEVEL_STEP, Section
from stairs.job import Job
from stairs.job_records import USUAL_SPACING
from stairs.layout import WHOLE, Places, Reach
from stairs.marks import exact_text, floor_to_mark, round_to_mark
from stairs.openings import FOOT, HEAD, TRIANGLE
from stairs.panel import AUTO, EVEN, HALF_PITCH, better_trim, hole_pattern
from stairs.pockets import Pocket, is_open, largest_in_pocket
from stairs.rails import RailLine
from stairs.windows import RuleFor

PROVISIONAL = {"in": Fraction(1), "mm": Fraction(25)}
END_GAP, DOWN, UP = "end gap", "post on a tread, down-stair", "post on a tread, up-stair"
_SAMPLES = 17
_HAIR = 1e-9


class Curve:
    """A quantity known at some places of a post and read off between them.

    Parameters
    ----------
    value : callable
        The quantity at one place, worked out anew each time.
    low, high : float
        The places between which it is wanted.

    Examples
    --------
    >>> Curve(lambda x: 2 * x, 0, 8).at(3.0)
    6.0
    """

    def __init__(self, value: Callable[[float], float], low: float, high: float) -> None:
        self._value, self._low = value, low
        self._step = max(high - low, _HAIR) / (_SAMPLES - 1)
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


class BayCut(Struct, frozen=True):
    """What a bay of one width comes to: its end gaps, and whether stock reaches.

    ``worst_gap`` is the widest end gap where measuring error loses a baluster close to a cut.
    """

    end_gaps: tuple[float, float]
    no_stock: bool
    stock_needed: float
    worst_gap: float


class _QuickTrim(Struct, frozen=True):
    """What two ways of cutting a rail are compared by, see :class:`stairs.panel.Trim`."""

    stock: float
    end_gap_low: float
    end_gap_high: float
    sawn_holes: int
    worst: float


class _BayKind:
    """Bays that end alike: the rail grows with the bay by one over the rake's cosine.

    Where both ends of a rail stand off alike the middle of the rail is the middle of the bay, and
    the end gaps follow from the outermost holes that are left; a skewed bay is solved as it is.
    """

    def __init__(self, rooms: Rooms, spacing: float, first: bool, last: bool, way: str) -> None:
        job, self.way = rooms.job, way
        self.job, self.step, self._line = job, rooms.step, rooms.line
        self.ends = replace(
            rooms.ends,
            low_reach=rooms.ends.low_reach if first else rooms.half_post,
            skew=rooms.ends.skew if first else Fraction(0),
            high_reach=rooms.ends.high_reach if last else rooms.half_post,
        )
        self.cosine = rooms.cosine
        self.patterns = [
            (float(stock), [float(hole) for hole in hole_pattern(job.panel, stock)])
            for stock in sorted(job.panel.stock)
        ]
        self.baluster, self.pitch = float(job.panel.baluster), float(job.panel.pitch)
        self.half = self.baluster / 2 / self.cosine
        slot = job.panel.slot
        self.half_hole = self.half if slot is None else float(slot.length) / 2
        self.between = float(rooms.trial.baluster_clear)
        self.within = float(job.measured_within)
        self.held = 2 if job.panel.end_margin is None else 1
        self.solved = None
        self.taken = float(self.ends.low_reach) + float(self.ends.high_reach)
        if self.patterns and not self.ends.skew:
            wide = max(spacing, 4 * float(job.post.width))
            self.solved = self._solve(wide)
            self.at = wide

    def _solve(self, spacing: float):
        pair = (Fraction(0), Fraction(spacing))
        try:
            return bays_of(self.job, pair, self.step, self._line, "", self.ends, self.way)[0]
        except NoSuchShape:
            return None

    def cut(self, spacing: float) -> BayCut | None:
        """End gaps and stock of one such bay; None where its brackets find no room."""
        if self.solved is not None:
            more = (spacing - self.at) / self.cosine
            length, needed = self.solved.rail_length + more, self.solved.stock_needed + more
            clear = spacing - self.taken
            if length <= _HAIR or clear <= 0:
                return None
            trims = {
                way: self._from_stock(way, length, needed, clear)
                for way in ((EVEN, HALF_PITCH) if self.way == AUTO else (self.way,))
            }
            way = self.way
            if way == AUTO:
                way, _ = better_trim(trims[EVEN], trims[HALF_PITCH], self.between)
            taken = trims[way]
            if taken is not None:
                gaps = sorted((taken.end_gap_low, taken.end_gap_high))
                return BayCut((gaps[0], gaps[1]), False, needed, taken.worst)
        bay = self._solve(spacing)
        if bay is None:
            return None
        gaps = sorted((bay.end_gap_low, bay.end_gap_high))
        no_stock = bool(self.patterns) and bay.stock is None
        return BayCut((gaps[0], gaps[1]), no_stock, bay.stock_needed, gaps[1])

    def _from_stock(
        self, way: str, length: float, needed: float, clear: float
    ) -> _QuickTrim | None:
        """The rail from the shortest stock that reaches; None where none does."""
        shift = self.pitch / 2 if way == HALF_PITCH else 0.0
        for stock, holes in self.patterns:
            spare = stock - length
            if needed > stock + _HAIR or spare < 2 * shift + (needed - length) - _HAIR:
                continue
            along = [hole + shift - spare / 2 for hole in holes]
            kept = [x for x in along if self.half - _HAIR <= x <= length - self.half + _HAIR]
            if not kept:
                return _QuickTrim(stock, clear, clear, 0, clear)
            sawn = sum(
                any(abs(x - cut) < self.half_hole - _HAIR for x in along) for cut in (0.0, length)
            )
            # each pitch between the hole that is held and an end hole adds its error to that one
            error = self.within * max(1.0, (len(kept) - 1) / self.held)
            gaps, worst = [], 0.0
            for off in (kept[0], length - kept[-1]):
                gap = (clear - length * self.cosine) / 2 + off * self.cosine - self.baluster / 2
                gaps.append(gap)
                near = off - self.half <= error
                worst = max(worst, gap + self.pitch * self.cosine if near else gap)
            return _QuickTrim(stock, *gaps, sawn, worst)
        return None


class Rooms:
    """Everything that a layout of one section is scored by; see the module.

    Parameters
    ----------
    job : stairs.job.Job
        As read.
    trial : Section
        The section solved with one bay, for the bottom gap that is given or the lowest one that
        may be chosen.
    rule_for : callable
        Gives the rule for a check in a section, or None.
    """

    def __init__(self, job: Job, trial: Section, rule_for: RuleFor) -> None:
        self.job, self.trial, self.units = job, trial, job.units
        self.gap: Fraction = trial.exact["bottom_gap"]
        kind = job.post
        self.plate = kind.base or kind.width
        self._plate = float(self.plate)
        self.half_plate, self.half_post = self.plate / 2, kind.width / 2
        self._tallest = float(max(kind.stock) - (kind.below or 0)) if kind.stock else None
        self.edge = kind.edge or Fraction(0)
        flight = trial.flight
        self.step = LEVEL_STEP if flight is None else (flight.line_rise, flight.line_run)
        self.cosine = float(derived("cosine", unit_rise=self.step[0], unit_run=self.step[1]))
        self.most_along = kind.max_spacing or USUAL_SPACING[job.units]
        self.most_spacing = self.most_along * Fraction(self.cosine)  # level
        self.line = RailLine(trial.line_rise, trial.line_rise, trial.line_run, trial.bottom_gap)
        self._bays: dict[tuple, BayCut | None] = {}
        self._kinds: dict[tuple, _BayKind] = {}
        self.ends = trial.ends
        self._low = Fraction(float(trial.ends.low_reach))
        self._high = Fraction(float(trial.ends.high_reach))
        self._roughness: dict[tuple, int] = {}
        self._nosings = trial.nosings
        section = job.sections[trial.number - 1]
        self._trim = section.trim
        self._run_by_run = getattr(section, "unit_run", None) is not None
        self._splits: dict[int, tuple] = {}
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
        for name in (FOOT, DOWN, UP):
            rule = self._rules[name]
            if rule is not None and rule.when.above_nosing_line:
                self._rules[name] = None  # held against the strip, wherever posts stand
        self._pockets = {
            (opening.kind, opening.pocket.step): opening.pocket
            for opening in trial.openings
            if opening.pocket is not None and opening.kind in (FOOT, HEAD, TRIANGLE)
        }
        self.plain_fails = any(
            opening.kind == TRIANGLE
            and opening.pocket is not None
            and self._rules[UP] is not None
            and not self.passes(float(self._rules[UP].limit) - opening.diameter, UP)
            for opening in trial.openings
        )
        if self.plain_fails:
            self._rules[UP] = None
        self.widest = min(self.most_spacing, self._stock_reaches())
        self.reach = None if flight is None else self._landing_reach()

    def show(self, value) -> str:
        """A length on the tape as text."""
        return exact_text(Fraction(value), self.units)

    # ---------------------------------------------------------------- bays

    @property
    def trims_as_is_better(self) -> bool:
        """Whether every rail is cut the better way already."""
        return ways_asked(self.job, 1, self._trim)[0] == AUTO

    def bay(
        self, spacing: float, first: bool = False, last: bool = False, way: str = ""
    ) -> BayCut | None:
        """A bay between two post centres; None where its brackets find no room.

        Parameters
        ----------
        spacing : float
            Post centre to post centre, or to the face of a wall.
        first, last : bool
            Whether the bay is the section's first and its last, which end as the section does.
        way : str
            How its rails are cut; left out, as those of the section's first bay.
        """
        key = (spacing, first, last, way or ways_asked(self.job, 1, self._trim)[0])
        if key not in self._bays:
            kind = self._kinds.get(key[1:])
            if kind is None:
                kind = self._kinds[key[1:]] = _BayKind(self, spacing, *key[1:])
            self._bays[key] = kind.cut(spacing)
        return self._bays[key]

    def bays(self, positions: Sequence[float]) -> list[BayCut | None]:
        """Every bay between posts."""
        count = len(positions) - 1
        ways = ways_asked(self.job, count, self._trim)
        return [
            self.bay(high - low, index == 0, index == count - 1, ways[index])
            for index, (low, high) in enumerate(pairwise(positions))
        ]

    def overlap(self, positions: Sequence[float]) -> bool:
        """Whether two posts or their plates are in one place, or one of them in a wall."""
        count = len(positions)
        for index, (low, high) in enumerate(pairwise(positions)):
            room = self._plate
            if index == 0 or index == count - 2:
                walls = self.ends.is_wall(index, count) + self.ends.is_wall(index + 1, count)
                room *= (2 - walls) / 2
            if high - low < room - _HAIR or high <= low:
                return True
        return False

    def _stock_reaches(self) -> Fraction:
        """The greatest spacing of posts that the longest rail sold reaches."""
        stock = self.job.panel.stock
        if not stock:
            return self.most_spacing
        # rail and stock grow with the bay by one over the cosine; two bays tell the rest
        one = self.bay(float(self.most_spacing))
        if one is None or one.stock_needed <= float(max(stock)) + _HAIR:
            return self.most_spacing
        shorter = float(self.most_spacing) - (one.stock_needed - float(max(stock))) * self.cosine
        least = max(float(self.plate), float(self.job.tape))
        return floor_to_mark(max(shorter + _HAIR, least), self.job.tape) or self.job.tape

    def end_room(self, end_gap: float) -> float | None:
        """Limit less end gap; None where no rule holds."""
        rule = self._rules[END_GAP]
        return None if rule is None else float(rule.limit) - end_gap

    def divided(self, span: Fraction, bays: int) -> Places:
        """Posts that divide a level run into bays of one clear width, those between on marks.

        Notes
        -----
        With a post at either end the bays are alike from centre to centre as well.  At a wall the
        run counts from its face, so the bay there is half a post shorter on the tape.
        """
        low, high = self._low, self._high
        clear = (span - low - high - (bays - 1) * self.job.post.width) / bays
        first, pitch = low + clear + self.half_post, clear + self.job.post.width
        between = (first + number * pitch for number in range(bays - 1))
        marks = (Fraction(0), *(round_to_mark(x, self.job.tape) for x in between), span)
        mark = Fraction(1, lcm(*(x.denominator for x in marks)))
        return Places(tuple(int(x / mark) for x in marks), mark, (), WHOLE)

    # ---------------------------------------------------------------- openings beside posts

    def passes(self, room: float, name: str) -> bool:
        """Whether so much room, limit less ball, passes by the rule for that place."""
        strict = self._rules[name].limit_kind in ("ball-smaller", "cube-smaller")
        return room > _HAIR if strict else room >= -_HAIR

    def _room(self, name: str, pocket: Pocket) -> float:
        rule = self._rules[name]
        if not is_open(pocket):
            return float(rule.limit)
        return float(rule.limit) - largest_in_pocket(pocket, {})[0].diameter

    def _foot(self, low: float, high: float) -> Curve | None:
        pocket = self._pockets.get((FOOT, 0))
        if pocket is None or self._rules[FOOT] is None:
            return None

        def room(x: float) -> float:
            face = Fraction(x) + self._low
            return self._room(FOOT, replace(pocket, low_post=(1, face)))

        return Curve(room, low, high)

    def _head(self, low: float, high: float) -> Curve | None:
        pocket = self._pockets.get((HEAD, self.trial.risers))
        if pocket is None or self._rules[HEAD] is None:
            return None

        def room(x: float) -> float:
            face = Fraction(x) - self._high
            return self._room(HEAD, replace(pocket, high_post=(2, face)))

        return Curve(room, low, high)

    def _split(self, step: int) -> tuple[tuple[Curve, str], ...]:
        """Both parts of a tread's opening by the place of the post, measured from its nosing."""
        pocket = self._pockets.get((TRIANGLE, step))
        if pocket is None:
            return ()
        front = pocket.front
        run = float(pocket.unit_run)

        def down(place: float) -> float:
            face = Fraction(place + float(front[0])) - self.half_post
            part = replace(pocket, high_post=(2, face), high_step=step, high_surface=front[1])
            return self._room(DOWN, part)

        def up(place: float) -> float:
            face = Fraction(place + float(front[0])) + self.half_post
            part = replace(pocket, low_post=(2, face), low_step=step, low_surface=front[1])
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
        run = max(trial.unit_run, trial.line_run)
        top = trial.nosings[-1][0]
        nearest = -max(float(self.half_plate) - trial.nosing, float(self.half_post))
        outer = min(-run, -float(self.half_plate)) - float(mark)
        meets = -(trial.line_rise + trial.bottom_gap) / self.line.slope - float(self._low)
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

    def _last_that_passes(self, curve, name: str, start: float, end: float, step: float) -> float:
        if curve is None:
            return end
        x = start
        while (end - x) * step > 0 and self.passes(curve.at(x + step), name):
            x += step
        return x

    def beside(self, positions: Sequence[float], steps: Sequence[int]) -> list[tuple[float, str]]:
        """Room at every opening that a post bounds, and which it is.

        Parameters
        ----------
        positions : sequence of float
            Post centres.
        steps : sequence of int
            The step of each; empty on a level run.
        """
        if not steps:
            return []
        found = []
        if self.foot is not None:
            found.append((self.foot.at(positions[0]), FOOT))
        if self.head is not None:
            found.append((self.head.at(positions[-1]), HEAD))
        alike = self.trial.flight.survey is None
        for x, step in zip(positions[1:-1], steps[1:-1], strict=True):
            known = 1 if alike else step
            if known not in self._splits:
                self._splits[known] = self._split(known)
            place = x - self._nosings[step - 1][0]
            found += [(curve.at(place), name) for curve, name in self._splits[known]]
        return found

    # ---------------------------------------------------------------- posts and plates

    def too_tall(self, positions: Sequence[float], steps: Sequence[int]) -> bool:
        """Whether a post comes out longer than the longest one sold."""
        if self._tallest is None:
            return False
        over = self.trial.panel_height + float(self.job.post.reveal)
        half, count = float(self.half_post), len(positions)
        for index, x in enumerate(positions):
            if self.ends.is_wall(index, count):
                continue
            step = steps[index] if steps else 0
            surface = self._nosings[step - 1][1] if step else 0.0
            reach = half if index else float(self._low)
            face = x + (reach if index < count - 1 else -float(self._high))
            if self.line.under(face) + over - surface > self._tallest + _HAIR:
                return True
        return False

    def plates(
        self, positions: Sequence[float], steps: Sequence[int]
    ) -> tuple[tuple[bool, bool], float]:
        """Whether a plate comes too near an edge or under a nosing, and the least room to an edge.

        Parameters
        ----------
        positions : sequence of float
            Post centres.
        steps : sequence of int
            The step of each; empty on a level run, whose plates are not looked at.

        Returns
        -------
        tuple of (tuple of (bool, bool), float)
            Too near, under a nosing; and the least room beyond the edge distance for each
            measurement that it rests on, infinite without edges.
        """
        room, near, under = float("inf"), False, False
        half, edge = self._plate / 2, float(self.edge)
        for x, step in zip(positions, steps, strict=False):
            if step:
                beyond = x - half - self._nosings[step - 1][0] - edge
                near = near or beyond < -_HAIR
                errors = 2 + (step - 1 if self._run_by_run else 0)
                room = min(room, beyond / errors)
            if step < self.trial.risers and x + half > self._nosings[step][0] + _HAIR:
                under = True
        return (near, under), room

    def roughness(self, places: Places) -> int:
        """How far from round the places are: one for each halving of an inch that they need."""
        return sum(self._rough(number, places.mark) for number in places.marks)

    def _rough(self, number: int, mark: Fraction) -> int:
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

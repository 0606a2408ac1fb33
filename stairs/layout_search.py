"""Layout search: where the posts go when the job leaves that to be found.

A layout is the place of every post of one section.  It is looked for among all places on the
tape's marks: for each number of bays, for each place on the tread, and for each place of the two
posts on the landings.  Of two layouts the better one is told by the first of these in which they
differ:

1. what can be kept: rails come from stock; the openings beside posts, at the head and at the foot
   pass; the end gaps pass; posts come from stock; base plates keep their edge distance and stay
   clear of the nosing above; posts stand no farther apart than allowed.  What is named first is
   given up last;
2. fewest posts, one post more being accepted for equal bays;
3. bays alike: every post at the same place on its step, or the bays of a level run of one clear
   width; then bays of one width to a mark, then others;
4. room for measuring error: at the tightest opening beside a post up to eight times of what one
   measurement may be off, at the edge of a base plate once for each that its place rests on; then,
   of bays that differ, those that differ least;
5. least difference between the widest and the narrowest end gap, to a mark;
6. the widest room at the tightest opening, to a mark;
7. round numbers on the tape; then the shorter guard.

Where posts at the same place on their steps, or equal bays of a level run, give something up, all
rows of posts are weighed (:mod:`stairs.layout_rows`), up to five bays more than the fewest.  Scores
are computed in floating point; the layout that wins is then solved and held against the
rulebook, and gives way to the next one where that tells more than its score did.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from math import ceil, floor, inf, lcm

import msgspec
from msgspec import Struct
from msgspec.structs import replace

from stairs.bays import ways_asked
from stairs.checks import findings_of
from stairs.errors import MeasurementMissing, NoSuchShape
from stairs.guard import Section, solve_section
from stairs.job import Job, Level, section_where
from stairs.layout import EQUAL, NEARLY, WHOLE, Ground, Places, bay_counts
from stairs.layout_room import END_GAP, PROVISIONAL, Rooms, rooms_of
from stairs.layout_rows import Part, Rows, Width
from stairs.layout_words import differs, notes_on, score_lines
from stairs.openings import FOOT, HEAD, TRIANGLE
from stairs.panel import AUTO, EVEN, HALF_PITCH
from stairs.window_marks import choose_gap
from stairs.windows import RuleFor, window_of

KEPT = ("rail stock", "openings", "end gaps", "post stock", "edge distance", "nosings", "spacing")
"""What a layout keeps where it can, the most important first."""

_MOST_TRIED = 8
_MOST_ERRORS = 8
_HAIR = 1e-9
_MORE_BAYS = 5  # than the fewest that spacing and stock allow, where those keep not everything


class Candidate(Struct, frozen=True):
    """One layout and its score.

    Parameters
    ----------
    places : Places
        Post centres, the step of each, and how alike the bays are.
    given_up : tuple of bool
        For each of :data:`KEPT` whether it is given up.
    end_gaps : tuple of float
        The narrowest and the widest end gap.
    room : float or None
        At the tightest opening beside a post, limit less ball; None where no rule holds there.
    tightest : str
        Which opening that is.
    errors : int
        How many times what one measurement may be off by there is room for, up to eight: beside a
        post, also where measuring error loses a baluster close to a cut; of a plate beyond its edge
        distance once for each measurement that it rests on.
    uneven : Fraction
        By how much the widest bay is wider than the narrowest.
    """

    places: Places
    given_up: tuple[bool, ...]
    end_gaps: tuple[float, float]
    room: float | None
    tightest: str
    errors: int
    uneven: Fraction

    @property
    def positions(self) -> tuple[Fraction, ...]:
        """Post centres [job's unit of length]."""
        return self.places.positions

    @property
    def steps(self) -> tuple[int, ...]:
        """The step that each post stands on; empty on a level run."""
        return self.places.steps

    @property
    def alike(self) -> int:
        """See :class:`stairs.layout.Places`."""
        return self.places.alike

    @property
    def bays(self) -> int:
        """How many bays."""
        return len(self.places.marks) - 1

    @property
    def spacings(self) -> tuple[Fraction, ...]:
        """Post centre to post centre, level, foot of the section first."""
        return tuple(high - low for low, high in pairwise(self.positions))


class LayoutChoice(Struct, frozen=True):
    """The layout that was chosen, and why.

    Parameters
    ----------
    positions : tuple of Fraction
        Post centres on the tape's marks [job's unit of length].
    treads : tuple of int
        Treads in each bay; empty on a level run.
    score : tuple of str
        What speaks for it, in words, in the order of the objective.
    notes : tuple of str
        What could not be kept and what to change for it; advice on how the rails are cut.
    given_up : tuple of str
        Of :data:`KEPT`, what could not be kept.
    runner_up : tuple of Fraction or None
        The best layout with other bays, or else with other places; None where there is none.
    why_it_lost : str
        The first thing in which the two differ; empty without a runner-up.
    """

    positions: tuple[Fraction, ...]
    treads: tuple[int, ...]
    score: tuple[str, ...]
    notes: tuple[str, ...]
    given_up: tuple[str, ...]
    runner_up: tuple[Fraction, ...] | None
    why_it_lost: str


def laid_out(job: Job, rule_for: RuleFor) -> tuple[Job, tuple[LayoutChoice | None, ...]]:
    """The job with all posts in their places, and the choices that were made.

    Parameters
    ----------
    job : stairs.job.Job
        As read.
    rule_for : callable
        Gives the rule for a check in a section, or None.

    Returns
    -------
    tuple of (stairs.job.Job, tuple of (LayoutChoice or None))
        The job with ``posts`` in every section, and one choice for each section: None where the job
        gives the posts itself.

    Raises
    ------
    stairs.errors.JobError
        The measurements do not fix a stair, or there is no room for posts.
    """
    choices = tuple(
        choose_layout(job, index, rule_for) if section.posts is None else None
        for index, section in enumerate(job.sections)
    )
    for index, choice in enumerate(choices):
        if choice is not None:
            job = with_posts(job, index, choice.positions)
    return job, choices


def with_posts(job: Job, index: int, positions: tuple[Fraction, ...]) -> Job:
    """The job with one section's post centres written in [job's unit of length]."""
    return _with_section(job, index, posts=positions, bays=None)


def best_positions(job: Job, index: int, rule_for: RuleFor) -> tuple[Fraction, ...]:
    """Post centres of the layout that :func:`choose_layout` takes, without its reasons and advice.

    Parameters
    ----------
    job, index, rule_for
        As for :func:`choose_layout`.
    """
    return _Search(job, index, rule_for).ranked()[0].positions


def choose_layout(job: Job, index: int, rule_for: RuleFor) -> LayoutChoice:
    """The best places for the posts of one section.

    Parameters
    ----------
    job : stairs.job.Job
        As read; ``bays`` of the section is a number or ``"auto"``.
    index : int
        The section, from 0.
    rule_for : callable
        Gives the rule for a check in a section, or None.

    Returns
    -------
    LayoutChoice

    Raises
    ------
    stairs.errors.NoSuchShape
        So many bays, or any post at all, find no room.
    """
    search = _Search(job, index, rule_for)
    ranked = search.ranked()
    best = ranked[0]
    runner = next(
        (other for other in ranked[1:] if (other.bays, other.steps) != (best.bays, best.steps)),
        ranked[1] if len(ranked) > 1 else None,
    )
    notes = notes_on(best, search.facts, KEPT)
    notes += search.advice(best)
    return LayoutChoice(
        positions=best.positions,
        treads=tuple(high - low for low, high in pairwise(best.steps)),
        score=score_lines(best, search.facts),
        notes=notes,
        given_up=tuple(name for name, lost in zip(KEPT, best.given_up, strict=True) if lost),
        runner_up=None if runner is None else runner.positions,
        why_it_lost=""
        if runner is None
        else differs(best, runner, (search.key(best), search.key(runner)), search.facts, KEPT),
    )


def _with_section(job: Job, index: int, **changes) -> Job:
    sections = list(job.sections)
    sections[index] = msgspec.structs.replace(sections[index], **changes)
    return msgspec.structs.replace(job, sections=tuple(sections))


def _bits(lost: Sequence[bool]) -> int:
    return sum(each << bit for bit, each in enumerate(lost))


class _Search:
    """All layouts of one section, scored; the state of one search and nothing else."""

    def __init__(self, job: Job, index: int, rule_for: RuleFor) -> None:
        self.job, self.index, self.rule_for = job, index, rule_for
        section = job.sections[index]
        self.where = section_where(index + 1, section.name, file=job.where)
        self.level = isinstance(section, Level)
        if not self.level and "wall" in (section.start, section.end):
            raise MeasurementMissing(
                f"{self.where}: posts",
                "are left out, and the flight ends at a wall",
                "A wall stands where it stands: its face is measured, not chosen",
                "List the posts from the first nosing, the wall's face in the place of a post",
                ("posts",),
            )
        self.wanted = section.bays if isinstance(section.bays, int) else None
        one_bay = _with_section(job, index, bays=1, posts=None)
        under = getattr(section, "stringer_margin", None) or Fraction(0)
        provisional = under + section.filler + PROVISIONAL[job.units]
        gap = None if isinstance(section.bottom_gap, Fraction) else provisional
        if gap is not None:
            trial = solve_section(one_bay, index, gap, with_balls=False)
            lowest = window_of(trial, one_bay, rule_for).low
            gap = lowest_mark(lowest, job.tape)
        self.trial: Section = solve_section(one_bay, index, gap)
        self._mark, self._within = float(job.tape), float(job.measured_within)
        self.facts: Rooms = rooms_of(job, self.trial, rule_for)
        self._most = float(self.facts.most_spacing)
        self.ground = None
        if not self.level:
            self.ground = Ground(self.trial.flight, job.post, self.facts.reach, job.tape)

    # ---------------------------------------------------------------- all layouts

    def candidates(self) -> list[Candidate]:
        """Every layout that can stand, scored."""
        return self._on_level() if self.level else self._on_flight()

    def _on_level(self) -> list[Candidate]:
        span = self.job.sections[self.index].span
        counts = [self.wanted]
        if not self.wanted:
            counts = bay_counts(span, self.facts.widest, _MORE_BAYS)
        found = self._by_count(counts)
        if not found:
            raise NoSuchShape(
                f"{self.where}: {'bays' if self.wanted else 'span'}",
                f"{counts[0]} bays in a span of {self.facts.show(span)} leave no room for posts "
                "and brackets",
                "A bay is longer than its brackets",
                "Give fewer bays" if self.wanted and self.wanted > 1 else "Measure the span",
            )
        return found

    def _on_flight(self) -> list[Candidate]:
        facts, ground, risers = self.facts, self.ground, self.trial.flight.risers
        counts = [self.wanted]
        if not self.wanted:
            length = ground.fronts[-1] + ground.half + ground.least
            counts = bay_counts(Fraction(length), facts.widest, 2)
            # where those keep not everything, shorter bays, a tread at a time
            longest = max(risers // counts[0], 1)
            shorter = range(longest, max(longest - _MORE_BAYS, 0), -1)
            counts = sorted({*counts, *(-(-risers // treads) for treads in shorter)})
        found = self._by_count(counts)
        kept = any(not any(candidate.given_up) for candidate in found)
        if not self.wanted and not kept and 1 not in counts:
            found += self._with_bays(1, found)
        if not found:
            # says how many bays there may be, or that no plate fits a tread
            solve_section(_with_section(self.job, self.index, posts=None), self.index, facts.gap)
            raise NoSuchShape(
                f"{self.where}: bays",
                f"{counts[0]} bays leave no room for posts and brackets",
                "A bay is longer than its brackets",
                "Give fewer bays, or smaller base plates",
            )
        return found

    def _by_count(self, counts: list[int]) -> list[Candidate]:
        found: list[Candidate] = []
        for bays in counts:
            kept = [candidate for candidate in found if not any(candidate.given_up)]
            if kept and bays > min(candidate.bays for candidate in kept) + 1:
                break  # a post more is looked at, for equal bays; two are not
            found += self._with_bays(bays, found)
        return found

    def _with_bays(self, bays: int, found: Sequence[Candidate]) -> list[Candidate]:
        """Layouts with a number of bays, the better ones of those that differ, if worth a look."""
        if self.level:
            span = self.job.sections[self.index].span
            alike = [self.facts.divided(span, bays)]
        else:
            alike = self.ground.whole(bays) if bays > 1 else ()
        whole = [one for places in alike for one in self._scored(places)]
        best = min((self.key(one)[:2] for one in (*found, *whole)), default=None)
        if self.level and bays == 1 or any(not any(one.given_up) for one in whole):
            return whole

        def worth(lost: tuple[bool, ...]) -> bool:
            return best is None or (lost, bays) <= best

        told, more = {candidate.positions for candidate in whole}, []
        for widest in (self.facts.widest, None):
            rows = list(self._rows(bays, widest, worth))
            if rows and all(places.two_on_a_tread for places in rows):
                rows = list(self._rows(bays, widest, worth, self.ground.longest))
            rows = [places for places in rows if not places.two_on_a_tread]
            more = [one for places in rows for one in self._scored(places)] or more
            if any(not any(candidate.given_up) for candidate in more):
                break
        return whole + [one for one in more if one.positions not in told]

    def _rows(
        self, bays: int, widest: Fraction | None, worth, narrowest: float = 0.0
    ) -> Iterator[Places]:
        """The best of all rows of posts with a number of bays, none of them wider than asked."""
        facts, count = self.facts, bays + 1
        if self.level:
            span, mark = self.job.sections[self.index].span, self.job.tape
            end = int(span / mark)
            between = dict.fromkeys(range(1, end))
            steps = [{0: None}, *[between] * (bays - 1), {end: None}]
            fine = Fraction(1, lcm(mark.denominator, span.denominator, facts.half_post.denominator))
            beyond = span - end * mark
        else:
            steps, mark, beyond = self.ground.places(bays), self.ground.mark, Fraction(0)
            fine = mark
        if not all(steps) or (not self.level and bays > self.trial.risers):
            return
        length, unit = float(mark), int(mark / fine)
        known = {}
        for index, places in enumerate(steps):
            if id(places) not in known:
                known[id(places)] = {
                    place: self._post(place * length, step, index, count)
                    for place, step in places.items()
                }
        posts = [known[id(places)] for places in steps]
        longest, widths = max(steps[-1]) - min(steps[0]), {}
        for index in range(bays):
            # what a bay has beyond whole marks, what it counts beyond that, and how it is cut
            rest = beyond if index == bays - 1 else Fraction(0)
            more = int(facts.width(rest, index, count) / fine)
            kind = rest, more, facts.bay_key(index, count)
            if kind not in widths:
                most = longest if widest is None else min(longest, floor((widest - rest) / mark))
                near = max(float(facts.least_spacing(index, count)), narrowest) - float(rest)
                least = max(ceil(near / length - _HAIR), 1)
                each = (
                    (marks, self._bay(marks * length + float(rest), index, count))
                    for marks in range(least, most + 1)
                )
                widths[kind] = [Width(x, x * unit + more, part) for x, part in each if part]
            widths[index] = widths[kind]
        rows = Rows(posts, [widths[index] for index in range(bays)], self._mark, unit)
        for row in rows.best(len(KEPT), lambda x: facts.rough(x, mark), _MOST_TRIED, worth):
            on = tuple(places[place] for place, places in zip(row, steps, strict=True))
            if self.level:
                positions = (*(place * mark for place in row[:-1]), end * mark + beyond)
                yield facts.on_level(positions, EQUAL)
            else:
                yield Places(row, mark, on, EQUAL if bays > 1 else WHOLE)

    def _post(self, x: float, step: int | None, index: int, count: int) -> Part:
        """What one post gives to the score."""
        fit = self.facts.post(x, step, index, count)
        room, tightest = min(fit.rooms, default=(inf, ""))
        lost = (False, fit.fails, False, fit.too_tall, fit.near, fit.under, False)
        return Part(_bits(lost), self._errors(room, fit.edge_room), room, tightest)

    def _bay(self, spacing: float, index: int, count: int) -> Part | None:
        """What one bay gives to the score; None where its brackets find no room."""
        facts = self.facts
        cut = facts.bay(spacing, *facts.bay_key(index, count))
        if cut is None:
            return None
        room, sure = facts.end_room(cut.end_gaps[1]), facts.end_room(cut.worst_gap)
        told = (cut.end_gaps[1], cut.cut_gap)
        fails = room is not None and not all(facts.passes(facts.end_room(x), END_GAP) for x in told)
        apart = spacing > self._most + _HAIR
        lost = _bits((cut.no_stock, False, fails, False, False, False, apart))
        if room is None:
            return Part(lost, self._errors(inf, inf), gaps=cut.end_gaps)
        errors = self._errors(min(room, sure), inf)
        return Part(lost, errors, room, END_GAP, cut.end_gaps)

    def _errors(self, room: float, edge_room: float) -> int:
        """How many times what one measurement may be off by there is room for, up to eight."""
        within = self._within
        room = min(room, _MOST_ERRORS * edge_room)
        if not within:
            return 0
        return _MOST_ERRORS if room == inf else min(floor(room / within + _HAIR), _MOST_ERRORS)

    def _scored(self, places: Places) -> list[Candidate]:
        """A layout with its score, its bays told unequal where they are; none if none can stand."""
        facts, positions, count = self.facts, places.positions, len(places.marks)
        steps = places.steps or (None,) * count
        spacings = [high - low for low, high in pairwise(positions)]
        if any(x < facts.least_spacing(i, count) or x <= 0 for i, x in enumerate(spacings)):
            return []
        parts = [self._bay(float(x), index, count) for index, x in enumerate(spacings)]
        if None in parts:
            return []
        parts += [
            self._post(float(x), step, index, count)
            for index, (x, step) in enumerate(zip(positions, steps, strict=True))
        ]
        widths = [facts.width(x, index, count) for index, x in enumerate(spacings)]
        uneven = max(widths) - min(widths)
        if places.alike == EQUAL and uneven > self.job.tape:
            places = replace(places, alike=NEARLY)
        room, tightest = min((part.room, part.tightest) for part in parts)
        gaps = min(part.gaps[0] for part in parts), max(part.gaps[1] for part in parts)
        lost = tuple(any(part.lost >> bit & 1 for part in parts) for bit in range(len(KEPT)))
        errors = min(part.errors for part in parts)
        told = None if room == inf else room
        return [Candidate(places, lost, gaps, told, tightest, errors, uneven)]

    # ---------------------------------------------------------------- which is best

    def key(self, candidate: Candidate) -> tuple:
        """The objective: smaller is better."""
        mark, places = self._mark, candidate.places
        room = 0.0 if candidate.room is None else candidate.room
        spread = candidate.end_gaps[1] - candidate.end_gaps[0]
        return (
            candidate.given_up,
            candidate.bays + (places.alike == NEARLY),
            places.alike,
            -candidate.errors,
            candidate.uneven if places.alike == NEARLY else 0,
            floor(spread / mark + 0.5),
            -floor(room / mark + _HAIR),
            sum(self.facts.rough(number, places.mark) for number in places.marks),
            candidate.positions[-1] - candidate.positions[0],
            candidate.positions,
        )

    def ranked(self) -> list[Candidate]:
        """All layouts, best first; the first one is solved and checked."""
        ranked = sorted(self.candidates(), key=self.key)
        told: set[tuple] = set()
        for _ in range(_MOST_TRIED):
            best = ranked[0]
            if best.places.marks in told:
                break
            told.add(best.places.marks)
            real = self.checked(best)
            if real.given_up == best.given_up:
                break
            ranked[0] = real
            ranked.sort(key=self.key)
        return ranked

    def checked(self, candidate: Candidate) -> Candidate:
        """The layout with what the rulebook and the parts' own limits say of it."""
        job = _with_section(self.job, self.index, posts=candidate.positions, bays=None)
        job = msgspec.structs.replace(job, measured_within=Fraction(0))
        try:
            is_open = not isinstance(job.sections[self.index].bottom_gap, Fraction)
            section = solve_section(job, self.index, self.facts.gap, with_balls=not is_open)
            if is_open:
                gap = choose_gap(window_of(section, job, self.rule_for), job.tape)
                section = solve_section(job, self.index, gap)
                job = _with_section(job, self.index, bottom_gap=gap)
        except NoSuchShape:
            return replace(candidate, given_up=(True,) * len(KEPT))
        findings, openings = findings_of(section, job, self.rule_for, self.index, tolerance=False)
        failing = {finding.id for finding in findings if finding.fails}
        lost = dict(zip(KEPT, candidate.given_up, strict=True))
        lost["openings"] = any(
            told is not None and told.fails and self._moved_by_posts(opening)
            for opening, told in zip(section.openings, openings, strict=True)
        )
        lost["end gaps"] = "opening-end" in failing
        lost["post stock"] = "post-stock" in failing
        lost["edge distance"] = "post-edge-distance" in failing
        return replace(candidate, given_up=tuple(lost.values()))

    def _moved_by_posts(self, opening) -> bool:
        if opening.kind in (FOOT, HEAD):
            return True
        if opening.kind != TRIANGLE or opening.pocket is None:
            return False
        pocket = opening.pocket
        split = pocket.step in (pocket.low_step, pocket.high_step)
        return split and not (opening.has_riser and self.facts.plain_fails)

    def advice(self, best: Candidate) -> tuple[str, ...]:
        """A note where cutting the rails the other way would keep more."""
        word = ways_asked(self.job, 1, self.job.sections[self.index].trim)[0]
        if word == AUTO:
            return ()
        if not (best.given_up[KEPT.index("rail stock")] or best.given_up[KEPT.index("end gaps")]):
            return ()
        other = HALF_PITCH if word == EVEN else EVEN
        turned = _with_section(self.job, self.index, trim=other)
        rescue = _Search(turned, self.index, self.rule_for).ranked()[0]
        if rescue.given_up >= best.given_up:
            return ()
        places = ", ".join(self.facts.show(x) for x in rescue.positions)
        return (f'with trim = "{other}" in this section, posts at {places} keep more here',)


def lowest_mark(bound, tape: Fraction) -> Fraction:
    """The lowest bottom gap on the tape that a window's lower end allows, never below 0.

    Parameters
    ----------
    bound : stairs.windows.Bound
        The window's lower end.
    tape : Fraction
        Smallest mark, above 0.
    """
    from stairs.exact import compare
    from stairs.marks import ceil_to_mark

    mark = ceil_to_mark(max(float(bound.value), 0.0), tape)
    order = compare(bound.value, mark)
    return mark + tape if order > 0 or (order == 0 and not bound.included) else mark

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
rows of posts are weighed (:mod:`stairs.layout.rows`), up to five bays more than the fewest.  Scores
are computed in floating point; the layout that wins is then solved and held against the
rulebook, and gives way to the next one where that tells more than its score did.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Any, TypeVar

import msgspec
from msgspec import Struct
from msgspec.structs import replace

from stairs.checks.checking import findings_of
from stairs.checks.gap_window import Bound, RuleFor, low_end_of, window_of
from stairs.checks.window_marks import choose_gap
from stairs.errors import MeasurementMissing, NoSuchShape
from stairs.guard.solving import Section, solve_section
from stairs.job import Job, JobLevel, section_where
from stairs.job.key_notes import value_of
from stairs.layout.reasons import differs, notes_on, score_lines
from stairs.layout.room import PROVISIONAL, Rooms, rooms_of
from stairs.layout.scoring import KEPT, Candidate, Scores
from stairs.lengths.tape_marks import exact_text, round_to_mark
from stairs.openings.opening import FOOT, HEAD, TRIANGLE, Opening
from stairs.parts.bays import ways_asked
from stairs.parts.panel import AUTO, EVEN, HALF_PITCH
from stairs.parts.post_places import WHOLE, Ground, bay_counts
from stairs.progress import at_work

AnyJob = TypeVar("AnyJob", bound=Job)

_MOST_TRIED = 8
_MORE_BAYS = 5  # than the fewest that spacing and stock allow, where those keep not everything


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


def laid_out(job: AnyJob, rule_for: RuleFor) -> tuple[AnyJob, tuple[LayoutChoice | None, ...]]:
    """The job with all posts in their places, and the choice made for each section.

    None where the job gives the posts itself.

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


def with_posts(job: AnyJob, index: int, positions: tuple[Fraction, ...]) -> AnyJob:
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
    """The best places for the posts of one section."""
    search = _Search(job, index, rule_for)
    ranked = search.ranked()
    best = ranked[0]
    runner = next(
        (other for other in ranked[1:] if (other.bays, other.steps) != (best.bays, best.steps)),
        ranked[1] if len(ranked) > 1 else None,
    )
    notes = notes_on(best, search.facts, KEPT)
    notes += search.off_marks(best) + search.advice(best)
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


def _with_section(job: AnyJob, index: int, **changes: Any) -> AnyJob:
    sections = list(job.sections)
    sections[index] = msgspec.structs.replace(sections[index], **changes)
    return msgspec.structs.replace(job, sections=tuple(sections))


class _Search:
    """All layouts of one section, scored; the state of one search and nothing else."""

    def __init__(self, job: Job, index: int, rule_for: RuleFor) -> None:
        self.job, self.index, self.rule_for = job, index, rule_for
        section = job.sections[index]
        self.where = section_where(index + 1, section.name, file=job.where)
        self.level = isinstance(section, JobLevel)
        if not self.level and "wall" in (section.ends.start, section.ends.end):
            raise MeasurementMissing(
                f"{self.where}: posts",
                "are left out, and the flight ends at a wall",
                "A wall stands where it stands: its face is measured, not chosen",
                "List the posts from the first nosing, the wall's face in the place of a post",
                ("posts",),
            )
        self.wanted = section.bays if isinstance(section.bays, int) else None
        one_bay = _with_section(job, index, bays=1, posts=None)
        under = value_of(section, "stringer_margin") or Fraction(0)
        provisional = under + section.filler + PROVISIONAL[job.units]
        gap = None if isinstance(section.bottom_gap, Fraction) else provisional
        if gap is not None:
            trial = solve_section(one_bay, index, gap, with_balls=False)
            gap = lowest_mark(low_end_of(trial, one_bay, rule_for), job.tape)
        self.trial: Section = solve_section(one_bay, index, gap, with_balls=False)
        self.facts: Rooms = rooms_of(job, self.trial, rule_for)
        self._ground: Ground | None = None
        if self.trial.flight is not None and self.facts.reach is not None:
            fixed = section.ends.first_post, section.ends.last_post
            self._ground = Ground(self.trial.flight, job.post, self.facts.reach, job.tape, fixed)
        self._span = section.span if isinstance(section, JobLevel) else Fraction(0)
        span = self._span if self.level else None
        self.scores = Scores(job, self.facts, self._ground, span)
        self.key = self.scores.key

    @property
    def ground(self) -> Ground:
        """Of a flight."""
        assert self._ground is not None
        return self._ground

    # ---------------------------------------------------------------- all layouts

    def candidates(self) -> list[Candidate]:
        """Every layout that can stand, scored."""
        return self._on_level() if self.level else self._on_flight()

    def _on_level(self) -> list[Candidate]:
        span = self._span
        counts = [self.wanted] if self.wanted else []
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
        facts, ground = self.facts, self.ground
        risers = ground.risers
        counts = [self.wanted] if self.wanted else []
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
            alike = [self.facts.divided(self._span, bays)]
        else:
            alike = list(self.ground.whole(bays)) if bays > 1 else []
        whole = [one for places in alike for one in self.scores.scored(places)]
        best = min((self.key(one)[:2] for one in (*found, *whole)), default=None)
        if self.level and bays == 1 or any(not any(one.given_up) for one in whole):
            return whole

        def worth(lost: tuple[bool, ...]) -> bool:
            return best is None or (lost, bays) <= best

        told = {candidate.positions for candidate in whole}
        more: list[Candidate] = []
        for widest in (self.facts.widest, None):
            rows = self.scores.rows(bays, widest, worth, _MOST_TRIED)
            more = [one for places in rows for one in self.scores.scored(places)] or more
            kept = any(not any(candidate.given_up) for candidate in more)
            if kept or (more and self.facts.widest < self.facts.most_spacing):
                break  # wider bays than stock reaches give up more
        return whole + [one for one in more if one.positions not in told]

    # ---------------------------------------------------------------- which is best

    def ranked(self) -> list[Candidate]:
        """All layouts, best first; the first one is solved and checked."""
        ranked = sorted(self.candidates(), key=self.key)
        told: set[tuple[int, ...]] = set()
        for _ in range(_MOST_TRIED):
            at_work(f"section {self.index + 1}: where posts go")
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
        job = msgspec.structs.replace(job, measured_within=Fraction(0), measured=())
        window = None
        try:
            is_open = not isinstance(job.sections[self.index].bottom_gap, Fraction)
            section = solve_section(job, self.index, self.facts.gap, with_balls=False)
            if is_open:
                window = window_of(section, job, self.rule_for)
                gap = choose_gap(window, job.tape)
                section = solve_section(job, self.index, gap, with_balls=False)
                job = _with_section(job, self.index, bottom_gap=gap)
        except NoSuchShape:
            return replace(candidate, given_up=(True,) * len(KEPT))
        findings, openings = findings_of(section, job, self.rule_for, window=window)
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

    def _moved_by_posts(self, opening: Opening) -> bool:
        if opening.kind in (FOOT, HEAD):
            return True
        if opening.kind != TRIANGLE or opening.pocket is None:
            return False
        pocket = opening.pocket
        split = pocket.step in (pocket.low.step, pocket.high.step)
        return split and not (opening.has_riser and self.facts.plain_fails)

    def off_marks(self, best: Candidate) -> tuple[str, ...]:
        """A note with the exact places of posts that go to the nearest mark of the tape."""
        if best.alike != WHOLE or best.bays == 1:
            return ()
        if self.level:
            exact: Sequence[Fraction | float] = self.facts.dividing(self._span, best.bays)
        else:
            exact = self.ground.exact(best.places)
        told = [
            f"post {number} at {exact_text(round_to_mark(x, Fraction(1, 1000)), self.job.units)}"
            for number, (x, mark) in enumerate(zip(exact, best.positions, strict=True), 1)
            if abs(float(x) - float(mark)) > 1e-6
        ]
        if not told:
            return ()
        return (f"posts go to the nearest mark of the tape; exactly, {', '.join(told)}",)

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


def lowest_mark(bound: Bound, tape: Fraction) -> Fraction:
    """The lowest bottom gap on the tape that a window's lower end allows, never below 0."""
    from stairs.lengths.tape_marks import ceil_to_mark
    from stairs.relations.exact import compare

    mark = ceil_to_mark(max(float(bound.value), 0.0), tape)
    order = compare(bound.value, mark)
    return mark + tape if order > 0 or (order == 0 and not bound.included) else mark

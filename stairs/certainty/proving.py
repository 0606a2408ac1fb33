"""What each check comes to over the whole box of measurements: proved, or undone by a witness.

A check whose bounds keep the limit passes everywhere.  For each of the others the corners of the
box that the bounds point to are solved again, and the first at which the check fails is its
witness.  Where none of them fails the check is left as not proven.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from fractions import Fraction

from msgspec.structs import replace

from stairs.certainty.bounds import (
    UNKNOWN,
    Bounds,
    Corner,
    TracedSection,
    either_bounds,
)
from stairs.certainty.enclosure import Unsure
from stairs.certainty.moves import Moves
from stairs.certainty.other_limits import drop_and_width, other_rules
from stairs.certainty.readings import job_with, readings_of
from stairs.certainty.rooms import rooms_of
from stairs.certainty.sharing import sections_beside, with_neighbours
from stairs.certainty.step_counts import other_counts
from stairs.certainty.traced import end_of
from stairs.checks.cases import rule_source
from stairs.checks.checked_values import STRIP
from stairs.checks.checking import OF_SHARED_POSTS, as_drawn, with_shared_posts
from stairs.checks.finding import FAIL, MARGINAL, Finding
from stairs.checks.gap_window import RuleFor, check_of
from stairs.checks.part_values import BUILDABLE
from stairs.checks.step_values import OF_STEPS
from stairs.checks.tolerance import Refused, Spread
from stairs.errors import JobError, MeasurementsContradict
from stairs.guard.solving import Section, solve_section
from stairs.job import Job, section_where
from stairs.openings.opening import Opening
from stairs.progress import at_work
from stairs.rules import Rulebook


class Certainty:
    """One section, and how sure its checks are.

    The job has the bottom gap of every section, its posts and the way that each bay is cut, which
    stay decided whatever was measured; ``index`` is the section's, from 0.
    """

    def __init__(self, job: Job, section: Section, index: int, rulebook: Rulebook) -> None:
        self.job, self.section, self.index = job, section, index
        self.rulebook, self.rule_for = rulebook, rule_source(rulebook, job)
        self.readings = readings_of(job, index)
        self._beside = tuple(sections_beside(job, index)) if self.readings else ()
        every = (*self.readings, *(each for one in self._beside for each in one.readings))
        self._by_key = {reading.key: reading for reading in every}
        self.all_readings = tuple(self._by_key.values())
        """Also those of the sections beside, which may need the posts taller that they share."""
        self._built: dict[tuple[object, ...], Section | JobError | None] = {}
        self._moves = Moves(job, index, self.readings)
        self._moves_of_posts = Moves(job, index, self.all_readings, self._beside)
        self._past_limits: tuple[Corner, ...] = ()
        """Where drop and width are least and greatest, if other limits may rule there."""
        self.bounds, self.spread = self._found()

    def __eq__(self, other: object) -> bool:
        """Alike where the same is sure of the same section."""
        if not isinstance(other, Certainty):
            return NotImplemented
        mine, theirs = ((one.job, one.index, one.bounds) for one in (self, other))
        return mine == theirs

    def _found(self) -> tuple[Mapping[object, Bounds], Spread]:
        if not self.readings:
            return {}, Spread(None)
        at_work(f"section {self.index + 1}: every measurement a little off")
        try:
            traced = TracedSection(self.job, self.index, self.readings, self._beside)
            others = [
                (TracedSection(job, self.index, self.readings, self._beside), read)
                for job, read in other_counts(self.job, self.index)
            ]
        except (Unsure, JobError):
            return {}, Spread({})
        bounds = traced.bounds(cube_of=self._cube_of)
        for other, read in others:
            inside = {key: self._inside(key, value) for key, value in read.items()}
            there = other.bounds(cube_of=self._cube_of)
            bounds = either_bounds(bounds, {key: one.at(inside) for key, one in there.items()})
        told = {
            key: None if math.isinf(one.low) or math.isinf(one.high) else (one.low, one.high)
            for key, one in bounds.items()
        }
        drop, width = drop_and_width(traced)
        rules = other_rules(self.rulebook, self.job, self.section, drop, width)
        self._past_limits = tuple(
            corner
            for one in (drop, width)
            if one is not None and rules
            for corner in (*one.low_corners, *one.high_corners)
        )
        return bounds, Spread(told, tuple(self._refused(traced)), rules)

    def _inside(self, key: str, value: Fraction) -> Fraction:
        """A measurement, no farther off than it may be."""
        reading = self._by_key.get(key)
        return value if reading is None else min(max(value, reading.low), reading.high)

    def _cube_of(self, opening: Opening) -> Fraction | None:
        """The cube that an opening of the section is tried with."""
        rule = self.rule_for(check_of(opening), self.section)
        return rule.limit if rule is not None and rule.limit_kind == "cube-smaller" else None

    # ------------------------------------------------------------------ what cannot be built

    def _refused(self, traced: TracedSection) -> Iterator[Refused]:
        """Corners at which there is no guard, each with as few measurements off as are needed."""
        told = set()
        for room in rooms_of(traced.section, traced.job):
            end = end_of(room, traced.box, -1)
            if end.value > 0:
                continue
            corner = {key: value for key, value in end.corner.items() if key in self._by_key}
            alone = [self._refusal({key: value}) for key, value in corner.items()]
            found = [one for one in alone if one is not None]
            together = None if found else self._refusal(corner)
            for refused in found if together is None else [together]:
                if refused.off not in told:
                    told.add(refused.off)
                    yield refused

    def _refusal(self, corner: Corner) -> Refused | None:
        error = self._at(corner)
        if not isinstance(error, JobError) or not corner:
            return None
        name = self.job.sections[self.index].name
        section = section_where(self.index + 1, name, file=self.job.where)
        place = error.where.removeprefix(f"{section}: ")
        off = tuple((key, value - self._by_key[key].value) for key, value in corner.items())
        return Refused(off, f"{place}: {error.found}", tuple(corner.items()))

    # ------------------------------------------------------------------ witnesses

    def settled(self, findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
        """Findings of the section, those that bounds do not prove with a witness where one is."""
        return tuple(map(self._settled, findings))

    def _settled(self, finding: Finding) -> Finding:
        measured = finding.measured
        if finding.verdict != MARGINAL or measured.everywhere is not None:
            return finding
        corners = self._corners(finding)
        if measured.other_rule is not None:
            corners = ({**told, **past} for told in corners for past in self._past_limits)
        for told in corners:
            corner = {key: value for key, value in told.items() if key in self._by_key}
            if self._fails_at(corner, finding):
                measured = replace(measured, everywhere=False, witness=tuple(corner.items()))
                return replace(finding, measured=measured)
        return finding

    def _corners(self, finding: Finding) -> Iterator[Corner]:
        """Where to look for a witness, the likeliest first."""
        if finding.measure is None or finding.id == BUILDABLE:
            return
        side = -1 if finding.ruling.kind == "minimum" else 1
        key: object = finding.measure.keys[0]
        bounds = self.bounds.get(key, UNKNOWN)
        corners = bounds.low_corners if side < 0 else bounds.high_corners
        yield from corners
        if finding.measure.opening is not None and STRIP in self.bounds:
            yield from self.bounds[STRIP].high_corners  # what counts above the nosings only
        if finding.id not in OF_STEPS or not corners:
            low, high = self._moves_of(finding).towards(finding.measure)
            yield low if side < 0 else high

    def _fails_at(self, corner: Corner, finding: Finding) -> bool:
        """Whether a finding's check fails with some measurements off."""
        opening = None if finding.measure is None else finding.measure.opening
        flat = opening is not None and not opening.is_beside_stair
        section = self._at(corner, only_walls=not flat)
        if section is None or isinstance(section, JobError):
            return False
        job = self._job_with(corner)
        try:
            found = as_drawn(section, job, self._rule_for(job), finding.id)
            if finding.id in OF_SHARED_POSTS:
                found = iter(self._with_neighbours(tuple(found), section, job))
            return any(one.verdict == FAIL for one in found)
        except JobError:
            return False

    def _at(self, corner: Corner, only_walls: bool = True) -> Section | JobError | None:
        """The section with some measurements off, or why there is none.

        None where the others say that these are not so far off.
        """
        key = (*sorted(corner.items()), only_walls)
        if key not in self._built:
            found: Section | JobError | None
            try:
                job = self._job_with(corner)
                found = solve_section(job, self.index, with_balls=False, only_walls=only_walls)
            except MeasurementsContradict:
                found = None
            except JobError as error:
                found = error
            self._built[key] = found
        return self._built[key]

    def _with_neighbours(
        self, findings: tuple[Finding, ...], section: Section, job: Job
    ) -> tuple[Finding, ...]:
        """Findings of posts as tall as the sections beside need them, where those can be built."""
        if not self._beside:
            return findings
        try:
            joined = with_neighbours(section, job, self._beside)
        except JobError:
            return tuple(one for one in findings if one.id not in OF_SHARED_POSTS)
        return with_shared_posts(findings, joined, job)

    def _rule_for(self, job: Job) -> RuleFor:
        """The rules for the job with other measurements."""
        mine, theirs = self.job.sections[self.index], job.sections[self.index]
        alike = (mine.drop, mine.width) == (theirs.drop, theirs.width)
        return self.rule_for if alike else rule_source(self.rulebook, job)

    def _job_with(self, values: Mapping[str, Fraction]) -> Job:
        return job_with(self.job, self.all_readings, values)

    def shares(self, finding: Finding) -> list[tuple[str, float]]:
        """Which measurements move a finding's value, and which part of the whole, the most first.

        By how much it moves with each from one end of its range to the other, as parts of 1.
        """
        measure = finding.measure
        return [] if measure is None else self._moves_of(finding).shares(measure)

    def _moves_of(self, finding: Finding) -> Moves:
        """Moves of all measurements that a finding may hang on."""
        return self._moves_of_posts if finding.id in OF_SHARED_POSTS else self._moves

    def witness_job(self, finding: Finding) -> Job:
        """The job with the measurements with which a finding fails; it has to have a witness."""
        return self._job_with(dict(finding.measured.witness or ()))

"""Checks: the solved guard held against a rulebook and against its own parts' limits.

Nothing here stops at the first failure.  Every rule that the rulebook has for a section gives one
finding: what was measured, the limit, the clause, whether it passes, and if not what to change and
by how much.  A guard that cannot take its own shape (a rake past the panel's racking limit, a
bracket past its swing, a rail corner in the post, no stock long enough) still solves, and says so
here in the same way.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator

from msgspec.structs import replace

from stairs.checks.as_cut import CutBay, cut_bays, with_cut
from stairs.checks.cases import handrail_advice
from stairs.checks.checked_values import STRIP, above_nosings, measures_of
from stairs.checks.finding import (
    FAIL,
    MARGINAL,
    PASS,
    AsCut,
    Finding,
    Ruling,
    could_fail,
    counts_above_nosings,
    judged,
    ruling_of,
    worst_of,
)
from stairs.checks.gap_window import RuleFor, Window
from stairs.checks.measure import Measure, known
from stairs.checks.part_values import (
    BUILDABLE,
    PLATE_EDGE,
    PRACTICE,
    PRACTICE_ONLY,
    SLOT,
    edge_not_given,
    longest,
    over_holes,
)
from stairs.checks.tolerance import Bounds, Measured, Refused, Spread
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.lengths.tape_marks import exact_text, fall_text
from stairs.openings.cube import is_cube_smaller, largest_cube
from stairs.openings.opening import BELOW_RAIL, Opening
from stairs.openings.pocket import is_open
from stairs.openings.side_gap.ball import flat_diameter
from stairs.relations.exact import compare
from stairs.rules import CHECKS, Rule

NEEDED = ("needed-above", "needed-from", "needed-below")
"""The kinds of limit that ask nothing of the stair, but tell when something else is asked."""

_MEASURED = ("guard-needed-drop", "guard-needed-slope")


def _at_side(finding: Finding, opening: Opening) -> Finding:
    """The finding with what the elevation shows, where that alone would have passed."""
    if finding.verdict != FAIL or opening.flat_diameter is None:
        return finding
    if could_fail(finding.ruling.kind, opening.flat_diameter, known(finding.ruling.limit)):
        return finding
    note = (
        "the elevation alone would pass; the guard stands off to the side, so a larger ball gets "
        "through between tread ends and guard"
    )
    notes = "; ".join(part for part in (finding.note, note) if part)
    return replace(finding, flat=opening.flat_diameter, note=notes)


def findings_of(
    section: Section,
    job: Job,
    rule_for: RuleFor,
    spread: Spread | None = None,
    only: Container[str] | None = None,
    window: Window | None = None,
) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
    """Every check of one section.

    Parameters
    ----------
    job : stairs.job.Job
        With the bottom gap that the section was solved for.
    rule_for : callable
        See :func:`stairs.checks.cases.rule_source`.
    spread : Spread, optional
        What measuring error may make of its measures, by their keys and by ``STRIP``; without it
        nothing is marginal, and of a cube only the verdict is found: its value and note are then
        those of the ball.
    only : container of str, optional
        The checks that are wanted, by their names; all of them where it is left out.
    window : Window, optional
        Of the bottom gap, where it is known and no measuring error looked at: it tells of openings
        under the rail that they pass.

    Returns
    -------
    tuple of (tuple of Finding, tuple of Finding)
        One finding per check (for openings of one kind the one nearest to failing), and one per
        opening, in the order of ``section.openings``.
    """
    single = [_unbuildable(section, job, spread.refused)] if spread and spread.refused else []
    if edge := edge_not_given(section, job):
        single.append(replace(_of_parts(PLATE_EDGE, section, job), where=edge))
    per_opening: list[Finding] = []
    measures = (one for one in measures_of(section, job) if only is None or one.check in only)
    for finding in _each(measures, section, job, rule_for, spread, window):
        found = single if known(finding.measure).opening is None else per_opening
        found.append(finding)
    alike: dict[str, list[Finding]] = {}
    for finding in per_opening:
        alike.setdefault(finding.id, []).append(finding)
    if only is None:
        single += _untold(section, job, rule_for, single)
    everything = single + [
        one for one in map(worst_of, alike.values()) if one.ruling.limit is not None
    ]
    order = [*CHECKS, *PRACTICE]
    everything.sort(key=lambda finding: order.index(finding.id))
    return tuple(everything), tuple(per_opening)


def as_drawn(section: Section, job: Job, rule_for: RuleFor, check: str) -> Iterator[Finding]:
    """The findings of one check, one for each opening, without what cutting makes of them."""
    for measure in measures_of(section, job):
        finding = None
        if measure.check == check:
            finding = _finding(measure, section, job, rule_for, None)
        if finding is not None:
            yield finding


def passes(
    section: Section, job: Job, rule_for: RuleFor, checks: Container[str], window: Window
) -> bool:
    """Whether some checks pass, by their ids, as drawn and as cut; told at the first that fails.

    The section's bottom gap is inside its window; of its openings no more than the walls need be
    known.
    """
    measures = (one for one in measures_of(section, job) if one.check in checks)
    return not any(one.fails for one in _each(measures, section, job, rule_for, None, window))


def _each(
    measures: Iterable[Measure],
    section: Section,
    job: Job,
    rule_for: RuleFor,
    spread: Spread | None,
    window: Window | None,
) -> Iterator[Finding]:
    """The finding of each measure that a rule or a part's limit is held against."""
    cut = cut_bays(section, job)
    for measure in measures:
        finding = None
        if window is not None and _is_kept(measure.opening, section, cut, window):
            finding = _kept(measure, section, rule_for)
        if finding is None:
            finding = _finding(measure, section, job, rule_for, spread)
            if finding is not None:
                finding = with_cut(finding, section, cut, spread is not None)
        if finding is not None:
            yield finding


def _is_kept(
    opening: Opening | None, section: Section, cut: tuple[CutBay, ...], window: Window
) -> bool:
    """Whether the rail over an opening is well inside the window, as drawn and as cut."""
    if opening is None or opening.bay is None or opening.kind not in BELOW_RAIL:
        return False
    gaps = section.bottom_gap, cut[opening.bay - 1].gap_high
    return all(map(window.is_well_above, gaps))


def _kept(measure: Measure, section: Section, rule_for: RuleFor) -> Finding | None:
    """The finding of an opening that is sure to pass; None where no rule asks for it."""
    rule, about = rule_for(measure.check, section), CHECKS[measure.check]
    if rule is None:
        return None
    return Finding(
        id=measure.check,
        section=section.number,
        title=about.label,
        unit=about.unit,
        ruling=ruling_of(rule),
        value=measure.value,
        verdict=PASS,
        order=-1,
        cut=AsCut(verdict=PASS),
        where=measure.where,
        measure=measure,
    )


def _of_parts(check: str, section: Section, job: Job) -> Finding:
    """A check of the parts themselves, not yet judged."""
    part = PRACTICE[check]
    limit, set_by = part.limit(section, job)
    ruling = Ruling(float(limit), part.kind, set_by)
    return Finding(check, section.number, part.title, part.unit, ruling)


def _unbuildable(section: Section, job: Job, refused: tuple[Refused, ...]) -> Finding:
    """The finding of a guard that stands as drawn and could not with some measuring error."""
    return replace(
        _of_parts(BUILDABLE, section, job),
        value=0.0,
        verdict=MARGINAL,
        cut=AsCut(verdict=PASS),
        measured=Measured((0.0, float(len(refused))), False, refused[0].witness, refused),
    )


def _finding(
    measure: Measure,
    section: Section,
    job: Job,
    rule_for: RuleFor,
    spread: Spread | None,
) -> Finding | None:
    bounds = _bounds(measure, spread)
    if measure.check in PRACTICE:
        return _part_finding(measure, section, job, bounds)
    rule = rule_for(measure.check, section)
    about = CHECKS[measure.check]
    base = Finding(
        id=measure.check,
        section=section.number,
        title=about.label,
        unit=about.unit,
        value=measure.value,
        measured=Measured(bounds),
        where=measure.where,
        measure=measure,
    )
    if rule is None:
        return base if measure.opening is not None else None
    opening = measure.opening
    if counts_above_nosings(rule, opening):
        measure = above_nosings(measure.check, section)
        opening = None
        bounds = _bounds(measure, spread, STRIP)
    order = measure.compare(rule.limit)
    filled = replace(base, ruling=ruling_of(rule), value=measure.value, order=order, note=rule.note)
    if opening is not None and rule.limit_kind == "cube-smaller":
        filled, bounds = _as_cube(filled, opening, rule, spread)
    if rule.limit_kind in NEEDED:
        if measure.check == "handrail-needed-risers":
            return replace(filled, note=handrail_advice(section, rule_for, job.units))
        return filled
    if measure.check == "nosing-min" and _nosing_not_needed(section, rule_for):
        return filled
    finding = judged(filled, filled.order, bounds)
    if finding.verdict == PASS and spread is not None:
        others = spread.other_rules.get(finding.id, ())
        finding = _by_other_rules(finding, others, known(filled.measure), spread)
    return finding if opening is None else _at_side(_sized(finding, opening), opening)


def _by_other_rules(
    finding: Finding, others: tuple[Rule, ...], measure: Measure, spread: Spread
) -> Finding:
    """A check that passes, marginal where a rule that may hold instead is not proven to be kept.

    Of an opening the ball is taken, which is as large as any cube or strip in it.
    """
    for rule in others:
        instead = replace(finding, ruling=ruling_of(rule), value=measure.value)
        if judged(instead, measure.compare(rule.limit), _bounds(measure, spread)).verdict != PASS:
            measured = replace(finding.measured, everywhere=None, other_rule=rule)
            return replace(finding, verdict=MARGINAL, measured=measured)
    return finding


def _bounds(measure: Measure, spread: Spread | None, key: object = None) -> Bounds | None:
    """Those of a measure's value, which they hold whatever rounding there was."""
    value = measure.value
    if spread is None or spread.bounds is None:
        return value, value
    bounds = spread.bounds.get(measure.keys[0] if key is None else key)
    return None if bounds is None else (min(bounds[0], value), max(bounds[1], value))


def cube_key(measure: Measure) -> tuple[str, str]:
    """The key of the largest cube in an opening, beside that of its ball."""
    return ("cube", measure.keys[0])


def _sized(finding: Finding, opening: Opening) -> Finding:
    """A failure by an opening whose ball was not found, by its circle in the elevation."""
    pocket = opening.pocket
    if finding.verdict != FAIL or pocket is None or pocket.side_gap == 0 or opening.ball:
        return finding
    return replace(finding, value=flat_diameter(pocket) if is_open(pocket) else 0.0)


def _as_cube(
    finding: Finding, opening: Opening, rule: Rule, spread: Spread | None
) -> tuple[Finding, Bounds | None]:
    """The finding of a ball as that of a cube, and the bounds of that."""
    value, order = known(finding.value), finding.order
    is_tried = not opening.is_beside_stair  # there a ball stands for it
    if is_tried:
        order = -1 if is_cube_smaller(opening, rule.limit) else 1
        if spread is None:
            return replace(finding, order=order), (value, value) if order > 0 else (0.0, 0.0)
    cube = largest_cube(opening)
    if is_tried and order > 0:
        order = max(0, cube.compare(rule.limit))
    note = "; ".join(part for part in (finding.note, cube.note) if part)
    found: Bounds | None = (cube.edge, cube.edge)
    if spread is not None and spread.bounds is not None:
        found = spread.bounds.get(cube_key(known(finding.measure)))
        found = found and (min(found[0], cube.edge), max(found[1], cube.edge))
    return replace(finding, value=cube.edge, order=order, note=note), found


def _untold(
    section: Section, job: Job, rule_for: RuleFor, found: list[Finding]
) -> Iterator[Finding]:
    """What calls for a guard by something that the job does not tell, where nothing else does."""
    ruled = [one for one in found if one.id in (*_MEASURED, "guard-needed-risers")]
    if any(known(one.ruling.rule).needs(known(one.value)) for one in ruled):
        return
    for check in _MEASURED:
        rule = rule_for(check, section)
        if rule is None or any(one.id == check for one in found):
            continue
        if check == "guard-needed-slope":
            words = f"the ground falls more steeply than {fall_text(rule.limit)}"
        else:
            more = "more than " if rule.limit_kind == "needed-above" else ""
            words = f"the ground lies {more}{exact_text(rule.limit, job.units)} below"
            words += "" if more else " or more"
        yield Finding(
            id=check,
            section=section.number,
            title=rule.about.label,
            unit=rule.about.unit,
            ruling=ruling_of(rule),
            where=f"needed if {words}: measure it" if rule.limit else "needed at any drop",
        )


def _nosing_not_needed(section: Section, rule_for: RuleFor) -> bool:
    rule = rule_for("nosing-not-needed-tread", section)
    return rule is not None and compare(section.exact["unit_run"], rule.limit) >= 0


OF_SHARED_POSTS = ("post-stock", "bracket-holes-top")
"""Checks of how tall posts are, which a section beside may need taller."""


def with_shared_posts(
    findings: tuple[Finding, ...], section: Section, job: Job, spread: Spread | None = None
) -> tuple[Finding, ...]:
    """The findings of a section whose end posts are as tall as their neighbours need them.

    ``section`` has its shared posts at the height they get
    (:func:`stairs.guard.shared_posts.with_joins`); the bounds in ``spread`` are of those.
    """
    posts = [post for post in section.posts if not post.wall]
    found = []
    for finding in findings:
        if finding.id in OF_SHARED_POSTS:
            over = finding.id == "bracket-holes-top"
            measure = over_holes(posts) if over else longest(posts, job)
            if over or measure.value > known(finding.value):
                taller = replace(finding, value=measure.value, where=measure.where, measure=measure)
                order = measure.compare(finding.ruling.exact_limit)
                finding = judged(taller, order, _bounds(measure, spread))
        found.append(finding)
    return tuple(found)


def _part_finding(measure: Measure, section: Section, job: Job, bounds: Bounds | None) -> Finding:
    limit, set_by = PRACTICE[measure.check].limit(section, job)
    if set_by == SLOT:
        order = compare(section.exact["hole_needed"], known(job.panel.slot).length)
    else:
        order = measure.compare(limit)
    finding = replace(
        _of_parts(measure.check, section, job),
        value=measure.value,
        order=order,
        measured=Measured(bounds),
        where=measure.where,
        measure=measure,
    )
    return finding if set_by == PRACTICE_ONLY else judged(finding, order, bounds)

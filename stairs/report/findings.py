"""How a finding reads: value, limit and margin in words that never mislead.

A checked value is printed so that it never reads as if it were on the other side of its limit.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from stairs.checks.finding import NOT_APPLICABLE, Finding
from stairs.checks.part_values import BUILDABLE
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.lengths.tape_marks import (
    angle_against_limit,
    exact_text,
    fall_text,
    text_against_limit,
)
from stairs.numbers.tolerances import SAME
from stairs.openings.feature import WALKING_SURFACE
from stairs.openings.opening import FOOT, HEAD, Opening
from stairs.report.columns import counted, length, numbered
from stairs.solution import SectionSolution

LIMITS = {
    "ball-smaller": "below {}",
    "cube-smaller": "cube {}",
    "ball-at-most": "max {}",
    "maximum": "max {}",
    "minimum": "min {}",
    "needed-above": "if over {}",
    "needed-from": "from {}",
    "needed-below": "if under {}",
}
"""A limit in words, by its kind."""

NEEDED = {"needed-above": (1,), "needed-from": (0, 1), "needed-below": (-1,)}
"""On which side of its limit a value asks for a guard or a handrail, by the kind of the limit."""


def value_texts(job: Job, finding: Finding) -> tuple[str, str, str]:
    """Value, limit and margin of a finding as text.

    The limit's text says what kind it is; the margin is empty where nothing is judged, and says
    whether a guard or a handrail is needed where that is what the rule tells.  Where only rounding
    to the tape makes a check fail, the value is the one as it will be cut.
    """
    if finding.id == BUILDABLE:
        return "as drawn", "always", ""
    value, limit, margin = _measured_texts(job, finding)
    kind = finding.ruling.kind
    if finding.value is not None and kind in NEEDED:
        margin = "needed" if is_needed(finding) else "not needed"
    elif finding.verdict == NOT_APPLICABLE:
        margin = ""
    elif finding.fails:
        margin = f"{margin} {'short' if kind == 'minimum' else 'over'}"
    return value, LIMITS[kind].format(limit), margin


def _measured_texts(job: Job, finding: Finding) -> tuple[str, str, str]:
    """Value, limit and how far they are apart, by what is measured."""
    ruling, found, order = finding.ruling, finding.value, finding.order
    if finding.unit == "slope":
        amount = None if found is None or finding.measure is None else finding.measure.amount
        told = fall_text(amount) if isinstance(amount, Fraction) else "not told"
        return told, fall_text(ruling.exact_limit), ""
    if found is None or ruling.limit is None:
        return "not told", _limit_length(job, finding), ""
    if finding.unit == "length":
        if finding.fails_only_as_cut and finding.cut.value is not None:
            found, order = finding.cut.value, _side(finding.cut.value, ruling.limit)
        value = text_against_limit(found, ruling.exact_limit, job.units, job.tape, side=order)
        gap = abs(found - ruling.limit)
        margin = length(job, gap) if order else "0"
        if order and gap < float(job.tape) / 2:
            margin = f"<{length(job, job.tape)}"
        return value, _limit_length(job, finding), margin
    gap = abs(found - ruling.limit)
    if finding.unit == "degrees":
        value, limit = angle_against_limit(found, ruling.exact_limit, order)
        return value, limit, "<0.1°" if order and gap < 0.05 else f"{gap:.1f}°"
    return f"{found:g}", f"{ruling.limit:g}", f"{gap:g}"


def _side(value: float, limit: float) -> int:
    """-1, 0 or 1 as a value as it will be cut is below, at or above its limit."""
    if abs(value - limit) <= SAME * max(1.0, abs(limit)):
        return 0
    return 1 if value > limit else -1


def is_needed(finding: Finding) -> bool:
    """Whether a rule that tells when a guard or a handrail is needed asks for one here."""
    return finding.order in NEEDED.get(finding.ruling.kind, ())


def _limit_length(job: Job, finding: Finding) -> str:
    limit = finding.ruling.exact_limit
    text = exact_text(limit, job.units)
    if (limit / job.tape).denominator == 1 or len(text) <= 6:
        return text
    # a limit of the other system of units: decimals read better than odd fractions
    return f'{float(limit):.3f}"' if job.units == "in" else f"{float(limit):.1f} mm"


def openings_meant(part: SectionSolution, finding: Finding) -> tuple[int, ...]:
    """The openings that a check is about: all that fail it, or the one told where none does.

    By their places in the section's list, that of the opening told first; none for other checks.
    """

    def told(one: Finding) -> bool:
        return (one.where, one.value) == (finding.where, finding.value)

    found = [
        k
        for k, one in enumerate(part.openings)
        if one.id == finding.id and (one.fails if finding.fails else told(one))
    ]
    found.sort(key=lambda k: not told(part.openings[k]))
    return tuple(found if finding.fails else found[:1])


def touched_texts(section: Section, opening: Opening) -> list[str]:
    """What the ball of an opening touches, in words; of a level run, the deck or the landing."""
    found = [str(one) for one in opening.leans_on]
    if section.surface is None:
        return found
    return [section.surface.kind if one == str(WALKING_SURFACE) else one for one in found]


def also_failing(part: SectionSolution, finding: Finding) -> str:
    """Where else a check fails than at the opening that it tells; empty where nowhere."""
    meant = [part.section.openings[k] for k in openings_meant(part, finding)]
    if len(meant) < 2:
        return ""
    first = meant[0].place
    elsewhere = places_text([one for one in meant if one.place != first])
    return elsewhere or f"the other post of {first}"


def places_text(openings: Sequence[Opening]) -> str:
    """Where openings are, each place once, the numbers of treads and of bays put together."""
    treads, bays, others = set(), set(), []
    for one in openings:
        if one.kind in (FOOT, HEAD) or (one.tread is None and one.bay is None):
            others.append(one.place)
        elif one.tread is not None:
            treads.add(one.tread)
        elif one.bay is not None:
            bays.add(one.bay)
    told = [numbered("tread", sorted(treads))] if treads else []
    told += [numbered("bay", sorted(bays))] if bays else []
    return ", ".join([*told, *filter(None, dict.fromkeys(others))])


def count_of_failures(parts: Sequence[SectionSolution]) -> str:
    """How many checks fail and, where it is more, at how many places; empty where none does."""
    failing = [(part, one) for part in parts for one in part.findings if one.fails]
    if not failing:
        return ""
    checks = f"{counted(len(failing), 'check')} fail{'s' if len(failing) == 1 else ''}"
    places = sum(max(1, len(openings_meant(*pair))) for pair in failing)
    return checks + (f", at {places} places" if places > len(failing) else "")


def place_text(job: Job, finding: Finding) -> str:
    """Which tread, bay or post a finding is of; of a length along the rake how long it is level."""
    level = None if finding.measure is None else finding.measure.level
    if level is None:
        return finding.where
    return f"{finding.where} along the rake, {length(job, float(level))} level"


def what_text(job: Job, finding: Finding) -> str:
    """What was checked and where, as the rows of tables name it."""
    told = finding.where and finding.where not in finding.title
    return finding.title + (f", {place_text(job, finding)}" if told else "")


def measurement_text(key: str) -> str:
    """A measurement in words, from its key as :func:`stairs.certainty.readings.readings_of` has it.

    Examples
    --------
    >>> [measurement_text(key) for key in ("bottom_gap", "panel: slot: wall", "posts: post 2")]
    ['bottom gap', 'panel slot wall', 'x of post 2']
    >>> measurement_text("section 2: span")
    'span of section 2'

    What all measurements of a kind are called by goes as well:

    >>> measurement_text("posts"), measurement_text("panel.slot.wall")
    ('posts', 'panel slot wall')
    """
    kind, *rest = re.split(r": |\.", key)
    if kind.startswith("section "):
        return f"{measurement_text(': '.join(rest))} of {kind}"
    if kind == "posts" and rest:
        return f"x of {rest[0]}"
    if kind == "nosings" and rest:
        return f"{rest[1]} of {rest[0]}"
    if kind in ("rises", "runs") and rest:
        return rest[0]
    return " ".join((kind, *rest)).replace("_", " ")


_NUMBERS = re.compile(r"[-\d./ ]*\d")


def refused_texts(job: Job, finding: Finding) -> tuple[str, ...]:
    """What cannot be built with a measurement a little off, and which measurements those are.

    One text for each thing that cannot be built.
    """
    causes: dict[str, list[str]] = {}
    wholes: dict[str, str] = {}
    for one in finding.measured.refused:
        told = " with ".join(_off_text(job, key, by) for key, by in one.off)
        kind = _NUMBERS.sub("", one.because)  # whatever numbers it comes out with
        causes.setdefault(kind, []).append(told)
        wholes.setdefault(kind, one.because)
    return tuple(
        f"it cannot be built with {' or '.join(told)} ({wholes[kind]})"
        for kind, told in causes.items()
    )


def _off_text(job: Job, key: str, by: Fraction) -> str:
    """How far off a measurement is: ``"bottom gap 1/16 less"``."""
    off = f"{float(abs(by)):g}°" if is_angle(key) else exact_text(abs(by), job.units)
    return f"{measurement_text(key)} {off} {'less' if by < 0 else 'more'}"


def is_angle(key: str) -> bool:
    """Whether what is measured under a key is an angle [degrees]."""
    return key.split(": ")[-1] == "rake"


def off_text(job: Job) -> str:
    """How far off a measurement may be, where one may be off by more than others in words."""
    if job.measured:
        return "as far off as it may be"
    return f"{exact_text(job.measured_within, job.units)} off"


def witness_texts(job: Job, finding: Finding) -> dict[str, str] | None:
    """Measurements with which a check fails, as a job file has them; None where none were found."""
    witness = finding.measured.witness
    if witness is None:
        return None
    return {
        key: f"{float(value):g}" if is_angle(key) else exact_text(value, job.units)
        for key, value in witness
    }

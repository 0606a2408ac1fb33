"""The guard as it will be cut: solved again from the numbers that are printed.

Cuts and marks are printed on the tape's marks, so what is built differs a little from what was
solved.  Here the printed numbers are taken for true: every bracket mark, every rail length and
every trim rounded to the tape, with the posts where they stand.  The rails then lie where the
rounded marks hold them, not quite parallel to the nosing line, and the openings and heights are
those of that guard.
"""

from __future__ import annotations

import math
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from stairs.checks.finding import (
    FAIL,
    MARGINAL,
    NOT_APPLICABLE,
    PASS,
    AsCut,
    Finding,
    allowed,
    could_fail,
    counts_above_nosings,
)
from stairs.checks.measure import known
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.lengths.tape_marks import round_to_mark
from stairs.openings.cube import is_cube_smaller, largest_cube
from stairs.openings.opening import BALUSTER, END, HIGH, Opening
from stairs.openings.panel_ends import PanelEnd, largest_beside_post
from stairs.openings.panel_openings import BETWEEN_RAILS
from stairs.openings.pocket import Pocket, slot_matters_to, strip_width
from stairs.openings.rail_slots import RailCut
from stairs.openings.side_gap.ball import compare_in_pocket, diameter_in_pocket
from stairs.parts.bays import Bay, taped_cut
from stairs.relations.closed_forms import end_gap
from stairs.relations.exact import Amount


class CutBay(Struct, frozen=True):
    """One bay from its printed numbers; lengths in the job's unit.

    Gaps and heights are the least and the greatest at the bay's two brackets; end gaps are level,
    post face to the nearest baluster.
    """

    rail_length: Fraction
    gap_low: float
    gap_high: float
    height_low: float
    height_high: float
    end_gap_low: float
    end_gap_high: float
    baluster_clear: float


def cut_bays(section: Section, job: Job) -> tuple[CutBay, ...]:
    """Every bay of a section, solved again from its printed cuts and marks."""
    return tuple(_cut_bay(section, job, index) for index in range(len(section.bays)))


def _cut_bay(section: Section, job: Job, index: int) -> CutBay:
    bay = section.bays[index]
    tape = job.tape
    rise = section.rail_line.unit_rise
    slope = rise / section.rail_line.unit_run
    pins: dict[str, list[tuple[float, float]]] = {"bottom": [], "top": []}
    for post, side in ((section.posts[index], "up"), (section.posts[index + 1], "down")):
        for mark in post.marks:
            if mark.side == side:
                printed = post.surface + float(round_to_mark(mark.height, tape))
                pins[mark.rail].append((mark.pin[0], printed))
    tilt = _tilt(pins["bottom"])
    under = _half_plumb(job.panel.bottom_rail, tilt)
    over = _half_plumb(job.panel.top_rail, _tilt(pins["top"]))
    gaps = [y - under - rise - x * slope for x, y in pins["bottom"]]
    heights = [y + over - rise - x * slope for x, y in pins["top"]]
    cosine = 1 / (1 + tilt * tilt) ** 0.5
    baluster = float(job.panel.baluster)
    length, trim = round_to_mark(bay.rail_length, tape), Fraction(0)
    gap_low, gap_high = bay.end_gap_low, bay.end_gap_high
    if bay.trims.used is not None:
        length, trim, _ = taped_cut(bay.trims.used.stock, bay.rail_length, bay.trims.used.low, tape)
    if bay.trims.used is not None and bay.trims.used.holes:
        # with the pins N apart along the rail, a rail of printed length M sits (N - M) / 2 off each
        (x0, y0), (x1, y1) = pins["bottom"]
        apart = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
        setback = (apart - float(length)) / 2
        shift = bay.trims.used.low - (float(bay.trims.used.stock) - bay.rail_length) / 2
        first = float(bay.trims.used.holes[0]) + shift - float(trim)
        last = float(length) - (float(bay.trims.used.holes[-1]) + shift - float(trim))
        at_low, at_high = float(bay.ends.stand_off_low), float(bay.ends.stand_off)
        gap_low = float(end_gap(at_low, setback, first, baluster, tilt, 1.0))
        gap_high = float(end_gap(at_high, setback, last, baluster, tilt, 1.0))
    widest = bay.widest_gaps
    gap_low += widest[0] - bay.end_gap_low
    gap_high += widest[1] - bay.end_gap_high
    return CutBay(
        rail_length=length,
        gap_low=min(gaps),
        gap_high=max(gaps),
        height_low=min(heights),
        height_high=max(heights),
        end_gap_low=gap_low,
        end_gap_high=gap_high,
        baluster_clear=float(job.panel.pitch) * cosine - baluster,
    )


def _tilt(pins: list[tuple[float, float]]) -> float:
    """Rise per run of a rail between its two pins."""
    (x0, y0), (x1, y1) = pins
    return (y1 - y0) / (x1 - x0)


def _half_plumb(depth: Fraction, tilt: float) -> float:
    """Half a rail's depth, measured plumb."""
    secant: float = (1 + tilt * tilt) ** 0.5
    return float(depth) / 2 * secant


def _under(opening: Opening, bays: tuple[CutBay, ...], section: Section) -> float:
    """What is free under the rail, or the strip under it, at the higher of the bay's brackets."""
    return bays[known(opening.bay) - 1].gap_high - section.filler


def _lifted(opening: Opening, bays: tuple[CutBay, ...], section: Section) -> Pocket:
    """The space under the rail where that is as high as at the higher of the bay's brackets."""
    under = _under(opening, bays, section)
    if opening.strip is not None:  # rounding does not sink a rail into what it lies on
        under = max(under, section.stringer_margin or 0.0)
    return replace(known(opening.under_rail), bottom_gap=Fraction(under))


def _strip_size(strip: Pocket) -> float:
    """What passes over a straight edge far from all slots [job's unit of length]."""
    return min(float(strip_width(strip)), float(strip.clear))


def opening_as_cut(opening: Opening, bays: tuple[CutBay, ...], section: Section) -> float:
    """Diameter of the largest ball that passes an opening as it will be cut [job's unit].

    The bays are those of the same section; the rail is as high as at the higher of the bay's
    brackets.
    """
    if opening.bay is None or opening.leans_on == BETWEEN_RAILS:
        return opening.diameter
    cut = bays[opening.bay - 1]
    if opening.kind == BALUSTER:
        return cut.baluster_clear
    if opening.panel_end is not None:
        return _beside_post_as_cut(opening.panel_end, cut, section.bays[opening.bay - 1])
    if opening.kind == END:
        return cut.end_gap_high if opening.end == HIGH else cut.end_gap_low
    moved = _lifted(opening, bays, section)
    if opening.strip is None:
        return diameter_in_pocket(moved)
    size = _strip_size(moved)
    return max(size, diameter_in_pocket(moved)) if slot_matters_to(moved, size) else size


def with_cut(
    finding: Finding, section: Section, bays: tuple[CutBay, ...], measured: bool
) -> Finding:
    """The finding with what cutting to the tape makes of it; rounding never mends a failure.

    Where ``measured`` is false only the verdict is sure to be found.
    """
    opening = None if finding.measure is None else finding.measure.opening
    if finding.verdict == NOT_APPLICABLE or finding.measure is None:
        return finding
    if opening is not None and counts_above_nosings(finding.ruling.rule, opening):
        under = max(_under(opening, bays, section), 0.0) * section.rail_line.cosine
        # where the rail covers the line, what drops past it at the side
        return _judged(finding, math.hypot(under, section.side_gap))
    if opening is not None:
        if opening.bay is None:
            return finding
        return _opening(finding, opening, section, bays, measured)
    highest = max(bay.height_high for bay in bays)
    if finding.id in ("guard-height-min", "handrail-height-min"):
        return _judged(finding, min(bay.height_low for bay in bays))
    if finding.id in ("guard-height-max", "handrail-height-max"):
        return _judged(finding, highest + float(section.exact["lowest_nosing"]))
    if finding.id == "midrail-gap-max":  # it comes out higher by as much as the whole rail does
        return _judged(finding, known(finding.value) + highest - section.guard_height)
    return finding


def _opening(
    finding: Finding, opening: Opening, section: Section, bays: tuple[CutBay, ...], measured: bool
) -> Finding:
    limit = finding.ruling.exact_limit
    kind = finding.ruling.kind
    if not measured and finding.verdict == FAIL:
        return replace(finding, cut=AsCut(verdict=FAIL))
    if kind == "cube-smaller" and opening.pocket is not None and not opening.is_beside_stair:
        moved = replace(opening, pocket=_lifted(opening, bays, section))
        fails = not is_cube_smaller(moved, limit)
        if not measured:
            return replace(finding, cut=AsCut(verdict=FAIL if fails else PASS))
        cube = largest_cube(moved)
        return _judged(finding, cube.bound if fails else cube.edge, fails)
    if not measured and opening.is_beside_stair:
        # how the ball compares is told without finding it
        fails = _fails_beside(opening, _lifted(opening, bays, section), kind, limit)
        return replace(finding, cut=AsCut(verdict=FAIL if fails else PASS))
    return _judged(finding, opening_as_cut(opening, bays, section))


def _fails_beside(opening: Opening, moved: Pocket, kind: str, limit: Fraction) -> bool:
    """Whether a ball that passes beside the stair fails, of an opening as it will be cut."""
    if opening.strip is not None:
        size = _strip_size(moved)
        if could_fail(kind, size, float(limit)):
            return True
        if not slot_matters_to(moved, size):
            return False
    return not allowed(kind, compare_in_pocket(moved, limit))


def _judged(finding: Finding, value: float, fails: bool | None = None) -> Finding:
    """The finding with its value as it will be cut; whether that fails is told, or is seen."""
    if fails is None:
        fails = could_fail(finding.ruling.kind, value, known(finding.ruling.limit))
    verdict = FAIL if fails or finding.verdict == FAIL else PASS
    # with tolerance switched off nothing is marginal; the as-cut verdict still tells
    if verdict == FAIL and finding.verdict == PASS and finding.worst != finding.value:
        finding = replace(finding, verdict=MARGINAL)
    return replace(finding, cut=AsCut(value, verdict))


def _beside_post_as_cut(end: PanelEnd, cut: CutBay, bay: Bay) -> float:
    """The circle beside a post with the printed rail and the printed trim."""
    # a rail that is shorter by as much as it was rounded leaves half of that more at either end
    level = float(end.unit_run) / math.hypot(float(end.unit_rise), float(end.unit_run))
    more = (bay.rail_length - float(cut.rail_length)) / 2 * level

    def slot(length: Amount) -> Amount:
        return length if length == 0 else Fraction(max(float(length) + more, 0.0))

    def moved(rail: RailCut) -> RailCut:
        return replace(rail, low_slot=slot(rail.low_slot), high_slot=slot(rail.high_slot))

    width = end.width
    if end.low_post and not end.high_post:
        width = Fraction(cut.end_gap_low)
    elif end.high_post and not end.low_post:
        width = Fraction(cut.end_gap_high)
    as_cut = replace(end, width=width, bottom=moved(end.bottom), top=moved(end.top))
    return largest_beside_post(as_cut).diameter

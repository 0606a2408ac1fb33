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

from stairs.guard.solving import Section
from stairs.job import Job
from stairs.lengths.tape_marks import round_to_mark
from stairs.openings.opening import BALUSTER, END, HIGH, Opening
from stairs.openings.panel_ends import PanelEnd, largest_beside_post
from stairs.openings.rail_slots import RailCut
from stairs.openings.side_gap.ball import compare_in_pocket, diameter_in_pocket
from stairs.openings.under_rail import slot_matters_to, strip_width
from stairs.parts.bays import taped_cut


class CutBay(Struct, frozen=True):
    """One bay from its printed numbers; lengths in the job's unit.

    Parameters
    ----------
    rail_length, trim_low : Fraction
        On the tape's marks; ``trim_low`` is 0 where no stock is long enough.
    gap_low, gap_high : float
        Smallest and greatest bottom gap at the bay's two brackets.
    height_low, height_high : float
        Smallest and greatest guard height there.
    end_gap_low, end_gap_high : float
        Level, post face to the nearest baluster's face.
    baluster_clear : float
        Level, between balusters.
    """

    rail_length: Fraction
    trim_low: Fraction
    gap_low: float
    gap_high: float
    height_low: float
    height_high: float
    end_gap_low: float
    end_gap_high: float
    baluster_clear: float


def cut_bays(section: Section, job: Job) -> tuple[CutBay, ...]:
    """Every bay of a section, solved again from its printed cuts and marks.

    Parameters
    ----------
    section : Section
        As solved.
    job : stairs.job.Job
        For the tape and the panel.

    Returns
    -------
    tuple of CutBay

    Notes
    -----
    With the pins ``N`` apart along the rail, a rail of printed length ``M`` sits ``(N - M) / 2``
    off each pin.  A baluster ``u`` from the uncut end then stands
    ``q + ((N - M) / 2 + u - trim) cos θ - b / 2`` from the post face, its own half width taken off.
    """
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
    ends = pins["bottom"]
    cosine = 1 / (1 + tilt * tilt) ** 0.5
    if bay.trim is None:
        length, trim = round_to_mark(bay.rail_length, tape), Fraction(0)
    else:
        length, trim, _ = taped_cut(bay.trim.stock, bay.rail_length, bay.trim.low, tape)
    pin_slope = ((ends[1][0] - ends[0][0]) ** 2 + (ends[1][1] - ends[0][1]) ** 2) ** 0.5
    setback = (pin_slope - float(length)) / 2
    stand_off = float(bay.exact.stand_off)
    stand_off_low = float(bay.exact.stand_off_low)
    half = float(job.panel.baluster) / 2
    gap_low, gap_high = bay.end_gap_low, bay.end_gap_high
    if bay.trim is not None and bay.trim.holes:
        shift = bay.trim.low - (float(bay.trim.stock) - bay.rail_length) / 2
        first = float(bay.trim.holes[0]) + shift - float(trim)
        last = float(length) - (float(bay.trim.holes[-1]) + shift - float(trim))
        gap_low = stand_off_low + (setback + first) * cosine - half
        gap_high = stand_off + (setback + last) * cosine - half
    return CutBay(
        rail_length=length,
        trim_low=trim,
        gap_low=min(gaps),
        gap_high=max(gaps),
        height_low=min(heights),
        height_high=max(heights),
        end_gap_low=gap_low,
        end_gap_high=gap_high,
        baluster_clear=float(job.panel.pitch) * cosine - 2 * half,
    )


def _tilt(pins: list[tuple[float, float]]) -> float:
    """Rise per run of a rail between its two pins."""
    (x0, y0), (x1, y1) = pins
    return (y1 - y0) / (x1 - x0)


def _half_plumb(depth: Fraction, tilt: float) -> float:
    """Half a rail's depth, measured plumb."""
    return float(depth) / 2 * (1 + tilt * tilt) ** 0.5


def opening_as_cut(opening: Opening, bays: tuple[CutBay, ...], section: Section) -> float:
    """Diameter of the largest ball that passes an opening of the guard as it will be cut.

    Parameters
    ----------
    opening : Opening
        Of the section as solved.
    bays : tuple of CutBay
        Of the same section.
    section : Section
        As solved.

    Returns
    -------
    float
        In the job's unit; with the rail as high as it is at the higher of the bay's brackets.
    """
    if opening.bay is None:
        return opening.diameter
    cut = bays[opening.bay - 1]
    if opening.leans_on == ("bottom rail", "top rail"):
        return opening.diameter
    if opening.kind == BALUSTER:
        return cut.baluster_clear
    if opening.panel_end is not None:
        return _beside_post_as_cut(opening.panel_end, cut, section.bays[opening.bay - 1])
    if opening.kind == END:
        return cut.end_gap_high if opening.end == HIGH else cut.end_gap_low
    under = cut.gap_high - section.filler
    if section.flight is None:
        under = max(under, 0.0)  # rounding does not sink a rail into the surface it lies on
    if opening.pocket is not None:
        moved = replace(opening.pocket, bottom_gap=Fraction(under))
        return diameter_in_pocket(moved, {})
    strip = opening.strip
    if strip is None:
        return under
    if section.flight is not None:
        under = max(under, section.stringer_margin)
    moved = replace(strip, bottom_gap=Fraction(under))
    size = min(float(strip_width(moved)), float(strip.clear))
    return max(size, diameter_in_pocket(moved, {})) if slot_matters_to(moved, size) else size


def compare_as_cut(
    opening: Opening, limit: Fraction, bays: tuple[CutBay, ...], section: Section
) -> int | None:
    """How the ball of :func:`opening_as_cut` compares with a limit, without finding it.

    Parameters
    ----------
    opening, bays, section
        See :func:`opening_as_cut`.
    limit : Fraction
        Diameter [job's unit of length], above 0.

    Returns
    -------
    int or None
        See :func:`stairs.openings.side_gap.ball.compare_in_pocket`; None where no ball passes
        beside the stair.
    """
    if opening.pocket is None or opening.pocket.side_gap == 0:
        return None
    under = bays[opening.bay - 1].gap_high - section.filler
    return compare_in_pocket(replace(opening.pocket, bottom_gap=Fraction(under)), limit)


def strip_as_cut(
    opening: Opening, bays: tuple[CutBay, ...], section: Section, margin: float = 0.0
) -> float:
    """Diameter of the largest ball that passes between a line along the nosings and the rail.

    Parameters
    ----------
    opening : Opening
        In the bay that is meant.
    bays : tuple of CutBay
        Of the same section.
    section : Section
        A flight, as solved.
    margin : float
        How far the line lies above the nosing line, plumb [job's unit of length].

    Returns
    -------
    float
        In the job's unit; where the rail covers the line, what drops past it at the side.
    """
    under = bays[opening.bay - 1].gap_high - section.filler - margin
    cosine = section.rail_line.cosine
    return math.hypot(max(under, 0.0) * cosine, section.side_gap)


def tried_by_cube_as_cut(
    opening: Opening, bays: tuple[CutBay, ...], section: Section
) -> Opening | None:
    """The opening as it will be cut where a cube is tried in it; None where a ball stands for it.

    Parameters
    ----------
    opening : Opening
        Of the section as solved.
    bays : tuple of CutBay
        Of the same section.
    section : Section
        As solved.
    """
    if opening.pocket is None or opening.is_beside_stair:
        return None
    under = bays[opening.bay - 1].gap_high - section.filler
    return replace(opening, pocket=replace(opening.pocket, bottom_gap=Fraction(under)))


def _beside_post_as_cut(end: PanelEnd, cut: CutBay, bay) -> float:
    """The circle beside a post with the printed rail and the printed trim.

    Notes
    -----
    A rail that is shorter by as much as it was rounded leaves half of that more at either end.
    """
    level = float(end.unit_run) / math.hypot(float(end.unit_rise), float(end.unit_run))
    more = (bay.rail_length - float(cut.rail_length)) / 2 * level

    def moved(rail: RailCut) -> RailCut:
        slots = (
            Fraction(max(float(slot) + more, 0.0)) if slot != 0 else slot
            for slot in (rail.low_slot, rail.high_slot)
        )
        low, high = slots
        return replace(rail, low_slot=low, high_slot=high)

    width = end.width
    if end.low_post and not end.high_post:
        width = Fraction(cut.end_gap_low)
    elif end.high_post and not end.low_post:
        width = Fraction(cut.end_gap_high)
    as_cut = replace(end, width=width, bottom=moved(end.bottom), top=moved(end.top))
    return largest_beside_post(as_cut).diameter

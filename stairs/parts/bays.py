"""Bays: the panel between two posts, from the clear opening down to each cut and hole.

A bay's clear width is level, post face to post face.  Its two rails are cut alike; which holes
punched in the stock rail are left, and how wide the gaps beside the posts come out, follows from
how the rail is trimmed: evenly, half a pitch over, or the better of the two, bay by bay.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import lru_cache, partial

from msgspec import Struct

from stairs.job import Job, Panel
from stairs.lengths.tape_marks import floor_to_mark, length_text, round_to_mark
from stairs.parts.bracket import PIVOT, RailEnds, rail_ends
from stairs.parts.panel import (
    AUTO,
    EVEN,
    HALF_PITCH,
    KERF,
    Trim,
    as_sold,
    better_trim,
    cut_from_stock,
    cut_rail,
)
from stairs.parts.rails import Point, RailLine, rail_outline
from stairs.parts.section_ends import Ends
from stairs.relations.exact import Amount, derived


class Bay(Struct, frozen=True):
    """The panel between two posts; lengths in the job's unit, angles in degrees.

    Parameters
    ----------
    number : int
        From 1 at the foot of the section.
    clear : float
        Level, post face to post face.
    spacing, spacing_along : Fraction or Derived
        Post centre to post centre, level, and along the rake; a wall counts from its face.
    rail_length : float
        Along the rail axis; both rails alike.
    stock_needed : float
        Length of stock that the deeper rail takes, slanted tips included.
    stock : float or None
        Shortest stock length that is long enough, None where none is.
    trim_low, trim_high : float or None
        What comes off the stock at either end.
    balusters : int
        How many the bay keeps.
    end_gap_low, end_gap_high : float
        Level, post face to the nearest baluster's face.
    swing, angle_low, angle_high, saw_angle : float
        See :class:`stairs.parts.bracket.RailEnds`.
    corner_clearance : float
        Level, post face to the nearest corner of a rail end.
    trim, other_trim : Trim or None
        The way of cutting that is used, and the other one.
    way : str
        ``"even"`` or ``"half-pitch"``: the way that is asked for, or that is better where the job
        leaves it to ``"auto"``.
    better : str
        ``"even"`` or ``"half-pitch"``: which of the two is advised.
    better_because : str
        Why.
    baluster_x : tuple of float
        Baluster centres in the section's coordinates.
    hole_along_rail : tuple of float
        Baluster centres from the lower rail end, along the rail.
    top_rail, bottom_rail : tuple of tuple of float
        Outlines: lower end under and over, upper end over and under.
    exact : RailEnds
        Lengths of the rail's ends as verdicts are decided on.
    """

    number: int
    clear: float
    spacing: Fraction
    spacing_along: Amount
    rail_length: float
    stock_needed: float
    stock: float | None
    trim_low: float | None
    trim_high: float | None
    balusters: int
    end_gap_low: float
    end_gap_high: float
    swing: float
    angle_low: float
    angle_high: float
    saw_angle: float
    corner_clearance: float
    trim: Trim | None
    other_trim: Trim | None
    way: str
    better: str
    better_because: str
    baluster_x: tuple[float, ...]
    hole_along_rail: tuple[float, ...]
    top_rail: tuple[Point, ...]
    bottom_rail: tuple[Point, ...]
    exact: RailEnds


def taped_cut(
    stock: Fraction, rail_length: float, low: float, tape: Fraction
) -> tuple[Fraction, Fraction, Fraction]:
    """A rail's length and what comes off its lower and upper end, on marks, in [unit of length].

    Parameters
    ----------
    stock : Fraction
        The length as sold, not below ``rail_length`` [job's unit of length].
    rail_length, low : float
        The rail and what comes off its lower end, as solved, 0 or more [job's unit of length].
    tape : Fraction
        The smallest mark, above 0.

    Returns
    -------
    tuple of (Fraction, Fraction, Fraction)
        They add up to the stock length, so that a cut can be marked from either end.  Rounded each
        by itself they might not: what rounding leaves over comes off the upper end.

    Examples
    --------
    >>> parts = taped_cut(Fraction(72), 70.95, 0.525, Fraction(1, 16))
    >>> [str(length) for length in parts]
    ['1135/16', '1/2', '9/16']
    """
    length = round_to_mark(rail_length, tape)
    if length > stock:  # rounded up past a stock length that is on no mark
        length = floor_to_mark(stock, tape)
    low = min(round_to_mark(low, tape), stock - length)
    return length, low, stock - low - length


def bays_of(
    job: Job,
    positions: Sequence[Fraction],
    step: tuple[Amount, Amount],
    line: RailLine,
    where: str,
    ends: Ends,
    trim: str | Sequence[str] | None = None,
) -> tuple[Bay, ...]:
    """Every bay of a section.

    Parameters
    ----------
    job : stairs.job.Job
        Panel, bracket and post.
    positions : sequence of Fraction
        Post centres, from the foot up.
    step : tuple of (Fraction or Derived, Fraction or Derived)
        Unit rise and unit run; a level run is 0 over 1.
    line : RailLine
        Of the section.
    where : str
        The section as errors name it.
    ends : Ends
        What the section starts and ends at.
    trim : str or sequence of str, optional
        ``"even"``, ``"half-pitch"`` or ``"auto"``, or one of these for each bay; left out, the
        panel's own.

    Returns
    -------
    tuple of Bay

    Notes
    -----
    ``"auto"`` takes the way that :func:`stairs.parts.panel.better_trim` advises.
    """
    bays = []
    words = ways_asked(job, len(positions) - 1, trim)
    show = partial(length_text, units=job.units, mark=job.tape)
    for index, way in enumerate(words):
        clear = ends.clear(positions, index)
        skew = abs(ends.skew) if index == 0 else Fraction(0)
        place = f"{where}: bay {index + 1}"
        end = rail_ends(job.bracket, job.panel, clear, *step, place, skew, show)
        low_face = float(ends.up_face(positions, index))
        spacing = positions[index + 1] - positions[index]
        bays.append(_bay(job, index + 1, low_face, spacing, clear, end, step, line, way))
    return tuple(bays)


def ways_asked(job: Job, bays: int, trim: str | Sequence[str] | None) -> tuple[str, ...]:
    """How the job wants the rails of each bay cut: one word for each, as it stands in the job.

    Parameters
    ----------
    job : stairs.job.Job
        Whose panel says it where the section does not.
    bays : int
        How many, 1 or more.
    trim : str or sequence of str or None
        As a section has it; of a list for other bays than these the first ones count, and the
        last for all beyond.

    Examples
    --------
    >>> from stairs.job import quick_job
    >>> ways_asked(quick_job("42", "50", 5), 2, None)
    ('auto', 'auto')
    """
    trim = job.panel.trim if trim is None else trim
    if isinstance(trim, str):
        return (trim,) * bays
    return tuple(trim[min(index, len(trim) - 1)] for index in range(bays))


def _bay(
    job: Job,
    number: int,
    low_face: float,
    spacing: Fraction,
    clear: Amount,
    end: RailEnds,
    step: tuple[Amount, Amount],
    line: RailLine,
    way: str,
) -> Bay:
    panel = job.panel
    setback = job.bracket.rail_setback if job.bracket.kind == PIVOT else Fraction(0)
    trims, made, better, because = cut_both_ways(
        panel, clear, end, step, setback, job.tape, job.units
    )
    way = better if way == AUTO else way
    used = trims[way]
    layout = used or made
    cosine = float(derived("cosine", unit_rise=step[0], unit_run=step[1]))
    first = low_face + float(layout.end_gap_low) + float(panel.baluster) / 2
    xs = tuple(first + (place - layout.along_rail[0]) * cosine for place in layout.along_rail)
    axis = partial(rail_outline, job, end, low_face, float(clear), line)
    bottom = (
        float(derived("plumb_depth", depth=panel.bottom_rail, unit_rise=step[0], unit_run=step[1]))
        / 2
    )
    between_rails = float(
        derived(
            "rail_spacing_plumb",
            panel_height=panel.height,
            top_rail=panel.top_rail,
            bottom_rail=panel.bottom_rail,
        )
    )
    return Bay(
        number=number,
        clear=float(clear),
        spacing=spacing,
        spacing_along=derived(
            "spacing_along", centre_distance=spacing, unit_rise=step[0], unit_run=step[1]
        ),
        rail_length=float(end.rail_length),
        stock_needed=float(end.stock_needed),
        stock=None if used is None else float(used.stock),
        trim_low=None if used is None else used.low,
        trim_high=None if used is None else used.high,
        balusters=layout.balusters,
        end_gap_low=float(layout.end_gap_low),
        end_gap_high=float(layout.end_gap_high),
        swing=end.swing,
        angle_low=end.angle_low,
        angle_high=end.angle_high,
        saw_angle=end.saw_angle,
        corner_clearance=float(end.corner_clearance),
        trim=used,
        other_trim=trims[HALF_PITCH if way == EVEN else EVEN],
        way=way,
        better=better,
        better_because=because,
        baluster_x=xs,
        hole_along_rail=layout.along_rail,
        top_rail=axis(panel.top_rail, bottom + between_rails),
        bottom_rail=axis(panel.bottom_rail, bottom),
        exact=end,
    )


@lru_cache(maxsize=256)  # bays that are alike, and those that a changed measurement leaves alone
def cut_both_ways(
    panel: Panel,
    clear: Amount,
    end: RailEnds,
    step: tuple[Amount, Amount],
    setback: Fraction,
    tape: Fraction,
    units: str,
) -> tuple[Mapping[str, Trim | None], Trim | None, str, str]:
    """A bay's rails cut either way, or made to length; which way is better, and why."""
    unlike = None
    if end.stand_off_low != end.stand_off:
        unlike = (end.stand_off_low, end.stand_off, setback)
    tips = tips_of(panel, end, step)
    cut = partial(
        cut_rail,
        panel,
        clear=clear,
        rail_length=end.rail_length,
        unit_rise=step[0],
        unit_run=step[1],
        ends=unlike,
        tip=max(tips),
    )

    def sawable(trim: Trim) -> bool:
        _, low, high = taped_cut(trim.stock, float(end.rail_length), trim.low, tape)
        thickest = low + tips[0], high + tips[1]
        return not any(0 < off < KERF[units] for off in thickest)

    trims = {
        way: cut_from_stock(panel, way, end.stock_needed, cut, sawable)
        for way in (EVEN, HALF_PITCH)
    }
    clear_gap = float(
        derived(
            "baluster_clear",
            pitch=panel.pitch,
            baluster=panel.baluster,
            unit_rise=step[0],
            unit_run=step[1],
        )
    )
    better, because = better_trim(trims[EVEN], trims[HALF_PITCH], clear_gap)
    if not panel.stock:
        because = "no rail lengths are given (panel: stock)"
    made = _made_to_length(panel, end, cut) if None in trims.values() else None
    return trims, made, better, because


def tips_of(panel, end: RailEnds, step: tuple[Amount, Amount]) -> tuple[float, float]:
    """How far a rail's lower and upper slanted ends reach past its axis [unit of length].

    Both reach half a rail's depth times the slope; the lower one reaches the more where it meets
    its post askew, and takes the rest of the stock that the rail needs.
    """
    if end.saw_angle == 0:
        upper = 0.0
    else:
        upper = float(max(panel.top_rail, panel.bottom_rail)) / 2 * float(step[0]) / float(step[1])
    return float(end.stock_needed) - float(end.rail_length) - upper, upper


def _made_to_length(panel, end: RailEnds, cut) -> Trim:
    """The balusters of a rail that no stock length reaches: whole pitches, centred."""
    pitch = as_sold(panel).pitch
    pitches = -(-Fraction(float(end.stock_needed)) // pitch) + 1
    return cut(stock=pitches * pitch, way=EVEN)

"""Bays: the panel between two posts, from the clear opening down to each cut and hole.

A bay's clear width is level, post face to post face.  Its two rails are cut alike; which holes
punched in the stock rail are left, and how wide the gaps beside the posts come out, follows from
how the rail is trimmed: evenly, half a pitch over, or the better of the two, bay by bay.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from functools import lru_cache, partial

from msgspec import Struct
from msgspec.structs import replace

from stairs.job import AsBuilt, Job, Panel
from stairs.lengths.tape_marks import floor_to_mark, length_text, round_to_mark
from stairs.parts.bays_as_built import (
    BOTTOM,
    TOP,
    Axis,
    SecondRail,
    rail_as_built,
    second_rail,
)
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
from stairs.parts.rails import Outline, RailLine, rail_axes, rail_outline
from stairs.parts.section_ends import Ends
from stairs.parts.stands import Stand
from stairs.relations.exact import Amount, derived


class Trims(Struct, frozen=True):
    """How a bay's rails are cut from stock, and how else they could be.

    Parameters
    ----------
    way : str
        ``"even"`` or ``"half-pitch"``: the way that is asked for, or that is better where the job
        leaves it to ``"auto"``.
    used, other : Trim or None
        That way and the other one; None where no stock length is long enough for it.
    better, because : str
        Which of the two is advised, and why.
    """

    way: str
    used: Trim | None
    other: Trim | None
    better: str
    because: str


class BayRail(Struct, frozen=True):
    """One rail of a bay: its length along the axis, and how it is cut; None where no stock does."""

    name: str
    length: float
    cut: Trim | None


class Bay(Struct, frozen=True):
    """The panel between two posts; lengths in the job's unit.

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
    end_gap_low, end_gap_high : float
        Level, post face to the nearest baluster's face.
    ends : RailEnds
        How its two rails end, exactly.
    trims : Trims
        How they are cut from stock.
    made : Trim
        The rails as cut; of rails that no stock length reaches as made to length.
    baluster_x : tuple of float
        Baluster centres in the section's coordinates.
    top_rail, bottom_rail : tuple of tuple of float
        Outlines: lower end under and over, upper end over and under.
    second : SecondRail or None
        The bottom rail where it is cut otherwise than the top rail, whose all else then is.
    by_posts : mapping of str to float
        Clear at either rail by the places of the posts, where posts lean or more was measured.
    """

    number: int
    clear: float
    spacing: Fraction
    spacing_along: Amount
    rail_length: float
    stock_needed: float
    end_gap_low: float
    end_gap_high: float
    ends: RailEnds
    trims: Trims
    made: Trim
    baluster_x: tuple[float, ...]
    top_rail: Outline
    bottom_rail: Outline
    second: SecondRail | None = None
    by_posts: Mapping[str, float] = {}

    @property
    def balusters(self) -> int:
        """How many the bay keeps."""
        return self.made.balusters

    @property
    def rails(self) -> tuple[BayRail, BayRail]:
        """The top rail and the bottom rail, as they are cut."""
        return self.cut()

    def cut(self, other_way: bool = False) -> tuple[BayRail, BayRail]:
        """The top rail and the bottom rail, cut as they are or the other way."""
        trim = self.trims.other if other_way else self.trims.used
        top = BayRail(TOP, self.rail_length, trim)
        if self.second is None:
            return top, BayRail(BOTTOM, self.rail_length, trim)
        second = self.second.other if other_way else self.second.used
        return top, BayRail(BOTTOM, float(self.second.ends.rail_length), second)

    @property
    def clear_low(self) -> float:
        """Level, post face to post face, where the bottom rail goes [job's unit of length]."""
        return self.clear if self.second is None else self.second.clear

    @property
    def widest_gaps(self) -> tuple[float, float]:
        """Level, lower and upper post face to the nearest baluster, the wider of both rails'."""
        more = (0.0, 0.0) if self.second is None else self.second.wider
        low, high = (max(one, 0.0) for one in more)
        return self.end_gap_low + low, self.end_gap_high + high

    def __repr__(self) -> str:
        told = f"clear {self.clear}, rails {self.rail_length}, balusters {self.balusters}"
        return f"<bay {self.number}: {told}>"


def taped_cut(
    stock: Fraction, rail_length: float, off_low: float, tape: Fraction
) -> tuple[Fraction, Fraction, Fraction]:
    """A rail's length and what comes off its lower and upper end, on marks [unit of length].

    They add up to the stock length, so that a cut can be marked from either end.  Rounded each by
    itself they might not: what rounding leaves over comes off the upper end.

    Examples
    --------
    >>> parts = taped_cut(Fraction(72), 70.95, 0.525, Fraction(1, 16))
    >>> [str(length) for length in parts]
    ['1135/16', '1/2', '9/16']
    """
    length = round_to_mark(rail_length, tape)
    if length > stock:  # rounded up past a stock length that is on no mark
        length = floor_to_mark(stock, tape)
    low = min(round_to_mark(off_low, tape), stock - length)
    return length, low, stock - low - length


def bays_of(
    job: Job,
    positions: Sequence[Fraction],
    step: tuple[Amount, Amount],
    line: RailLine,
    where: str,
    ends: Ends,
    trim: str | Sequence[str] | None = None,
    stands: Sequence[Stand] = (),
    told: Mapping[int, AsBuilt] = {},  # noqa: B006
) -> tuple[Bay, ...]:
    """Every bay of a section, from the foot up.

    Parameters
    ----------
    step : tuple of (Fraction or Derived, Fraction or Derived)
        Unit rise and unit run; a level run is 0 over 1.
    trim : str or sequence of str, optional
        ``"even"``, ``"half-pitch"`` or ``"auto"``, or one of these for each bay; left out, the
        panel's own.
    stands : sequence of Stand
        Of posts that are set; left out, all are plumb.
    told : mapping of int to AsBuilt
        What was measured of them, by post from 0.

    Raises
    ------
    NoSuchShape
        A bay is too short for its two brackets.
    MeasurementsContradict
        A clear width that was measured and the places of the posts cannot both be.
    """
    words = ways_asked(job, len(positions) - 1, trim)
    show = partial(length_text, units=job.units, mark=job.tape)
    bays = []
    for index, way in enumerate(words):
        skew = abs(ends.skew) if index == 0 else Fraction(0)
        place = f"{where}: bay {index + 1}"
        hold = partial(rail_ends, job.bracket, job.panel)
        lifts = rail_axes(job.panel, step)
        by_posts: dict[str, float] = {}
        second, low_faces = None, (float(ends.up_face(positions, index)),) * 2
        if _is_as_drawn(stands, told, index):
            clear: Amount = ends.clear(positions, index)
            clears = clear, clear
            end = hold(clear, *step, place, skew, show)
        else:
            drawn = hold(ends.clear(positions, index), *step, place, skew, show)
            usual = drawn.stand_off_low, drawn.stand_off
            built = [
                rail_as_built(
                    job, stands, told, index, ends, Axis(line.under(0) + lift, line.slope), usual,
                    rail, where,
                )
                for rail, lift in ((TOP, lifts[1]), (BOTTOM, lifts[0]))
            ]  # fmt: skip
            held = [one.held(hold(one.between(usual), *step, place, skew, show)) for one in built]
            end, clear = held[0], built[0].clear
            by_posts = {TOP: float(built[0].by_posts), BOTTOM: float(built[1].by_posts)}
            clears, low_faces = (clear, built[1].clear), (built[0].low_face, built[1].low_face)
            if built[0] != built[1]:
                second = second_rail(built[0], built[1], held[1], _setback(job), line.cosine)
        trims, made = _trims(job, clear, end, step, way, second)
        if second is not None:
            second = replace(
                second, used=second.cut_as(trims.used), other=second.cut_as(trims.other)
            )
        outline = partial(rail_outline, job, line=line)
        bottom_end = end if second is None else second.ends
        spacing = positions[index + 1] - positions[index]
        bays.append(
            Bay(
                number=index + 1,
                clear=float(clear),
                spacing=spacing,
                spacing_along=derived(
                    "spacing_along", centre_distance=spacing, unit_rise=step[0], unit_run=step[1]
                ),
                rail_length=float(end.rail_length),
                stock_needed=float(end.stock_needed),
                end_gap_low=float(made.end_gap_low),
                end_gap_high=float(made.end_gap_high),
                ends=end,
                trims=trims,
                made=made,
                baluster_x=_baluster_x(job.panel, made, low_faces[0], step),
                top_rail=outline(
                    end=end,
                    low_face=low_faces[0],
                    clear=float(clears[0]),
                    depth=job.panel.top_rail,
                    lift=lifts[1],
                ),
                bottom_rail=outline(
                    end=bottom_end,
                    low_face=low_faces[1],
                    clear=float(clears[1]),
                    depth=job.panel.bottom_rail,
                    lift=lifts[0],
                ),
                second=second,
                by_posts=by_posts,
            )
        )
    return tuple(bays)


def _is_as_drawn(stands: Sequence[Stand], told: Mapping[int, AsBuilt], bay: int) -> bool:
    """Whether the posts of a bay, from 0, are plumb, and what is clear between them follows."""
    measured = told.get(bay)
    return not any(stand.lean for stand in stands[bay : bay + 2]) and (
        measured is None or (measured.clear_low is None and measured.clear_high is None)
    )


def _setback(job: Job) -> Fraction:
    return job.bracket.rail_setback if job.bracket.kind == PIVOT else Fraction(0)


def _trims(
    job: Job,
    clear: Amount,
    end: RailEnds,
    step: tuple[Amount, Amount],
    asked: str,
    second: SecondRail | None,
) -> tuple[Trims, Trim]:
    """The ways of cutting a bay's rails, and the rails as cut or made to length."""
    reaches = 0.0 if second is None else second.reaches
    trims, made, better, because = cut_both_ways(
        job.panel, clear, end, step, _setback(job), job.tape, job.units, reaches
    )
    way = better if asked == AUTO else asked
    used, other = trims[way], trims[HALF_PITCH if way == EVEN else EVEN]
    cut = used or made
    assert cut is not None  # what no stock reaches is made to length
    return Trims(way, used, other, better, because), cut


def _baluster_x(
    panel: Panel, cut: Trim, low_face: float, step: tuple[Amount, Amount]
) -> tuple[float, ...]:
    """``x`` of the baluster centres."""
    cosine = float(derived("cosine", unit_rise=step[0], unit_run=step[1]))
    first = low_face + float(cut.end_gap_low) + float(panel.baluster) / 2
    return tuple(first + (place - cut.along_rail[0]) * cosine for place in cut.along_rail)


def ways_asked(job: Job, bays: int, trim: str | Sequence[str] | None) -> tuple[str, ...]:
    """How the job wants the rails of each of so many bays cut: one word for each.

    Where ``trim`` of the section is None the panel says it.  Of a list for other bays than these
    the first ones count, and the last for all beyond.

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


@lru_cache(maxsize=256)  # bays that are alike, and those that a changed measurement leaves alone
def cut_both_ways(
    panel: Panel,
    clear: Amount,
    end: RailEnds,
    step: tuple[Amount, Amount],
    setback: Fraction,
    tape: Fraction,
    units: str,
    reaches: float = 0.0,
) -> tuple[Mapping[str, Trim | None], Trim | None, str, str]:
    """A bay's rails cut either way, or made to length; which way is better, and why.

    ``reaches`` is how far the bottom rail goes past the top one, along it [job's unit of length].
    """
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
        tip=max(tips) + reaches,
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
    made = _made_to_length(panel, end, cut, reaches) if None in trims.values() else None
    return trims, made, better, because


def tips_of(panel: Panel, end: RailEnds, step: tuple[Amount, Amount]) -> tuple[float, float]:
    """How far a rail's lower and upper slanted ends reach past its axis [unit of length].

    Both reach half a rail's depth times the slope; the lower one reaches the more where it meets
    its post askew, and takes the rest of the stock that the rail needs.
    """
    if end.saw_angle == 0:
        upper = 0.0
    else:
        upper = float(max(panel.top_rail, panel.bottom_rail)) / 2 * float(step[0]) / float(step[1])
    return float(end.stock_needed) - float(end.rail_length) - upper, upper


def _made_to_length(
    panel: Panel,
    end: RailEnds,
    cut: Callable[[Fraction, str], Trim | None],
    reaches: float,
) -> Trim | None:
    """The balusters of a rail that no stock length reaches: whole pitches, centred, and enough of
    them for a bottom rail that goes past it at both ends."""
    pitch = as_sold(panel).pitch
    pitches = -(-Fraction(float(end.stock_needed) + 2 * reaches) // pitch) + 1
    return cut(pitches * pitch, EVEN)

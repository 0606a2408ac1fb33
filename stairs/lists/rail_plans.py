"""Rail plans: the cutting plan over all rails of one job.

Top and bottom rails are one kind of stock where they are equally deep, which is all that a job says
of them; otherwise each kind has a plan of its own.  Where each rail must lie on the stock's holes
follows from how its bay is trimmed.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from stairs.errors import JobError
from stairs.guard.solving import Guard
from stairs.job import Job
from stairs.lengths.tape_marks import exact_text
from stairs.lists.cut_list import CutList, RailCut, hole_half
from stairs.lists.cutting_plan import (
    HOLES_ELSEWHERE,
    NO_ROOM_TO_MOVE,
    SECONDS,
    CuttingPlan,
    Piece,
    Placed,
    StockRail,
    plan_cuts,
    why_not,
)
from stairs.lists.post_cuts import BOTTOM, TOP
from stairs.parts.panel import HALF_PITCH, KERF, hole_pattern

WIDEST_KERF = {"in": Fraction(2), "mm": Fraction(50)}
"""Of any saw that is believed, by unit."""


class RailPlan(Struct, frozen=True):
    """The cutting plan for one kind of stock rail."""

    rails: tuple[str, ...]  # "top", "bottom" or both: which rails are cut from this stock
    plan: CuttingPlan  # how


def rail_plans(
    cuts: CutList, guard: Guard, kerf: Fraction | None = None, apart: bool = False
) -> tuple[RailPlan, ...]:
    """A cutting plan over all rails of a job.

    Parameters
    ----------
    guard : Guard
        The same job, solved.
    kerf : Fraction, optional
        Of the saw [job's unit of length], 0 or more; left out, 1/8 in or 3 mm.
    apart : bool
        Whether top and bottom rails are different stock although they are equally deep.

    Returns
    -------
    tuple of RailPlan
        One plan where top and bottom rails are equally deep and so taken for the same stock;
        otherwise one for the top rails and one for the bottom rails.

    Raises
    ------
    stairs.errors.JobError
        The kerf is below 0, or wider than any saw's.
    """
    job = guard.job
    kerf = KERF[job.units] if kerf is None else kerf
    if kerf > WIDEST_KERF[job.units]:
        most = exact_text(WIDEST_KERF[job.units], job.units)
        other = f'"{float(kerf):g} mm"' if job.units == "in" else "the kerf in mm"
        raise JobError(
            "kerf",
            f"is {exact_text(kerf, job.units)}",
            f"A saw's kerf is at most {most}",
            f"Measure the cut that the blade leaves, and give {other}",
        )
    alike = job.panel.top_rail == job.panel.bottom_rail and not apart
    stock = tuple(_stock_rail(job, length) for length in job.panel.stock)
    plans = []
    groups = ((TOP, BOTTOM),) if alike else ((TOP,), (BOTTOM,))
    for group in groups:
        pairs = [
            (cut, piece)
            for cut in cuts.rails
            if cut.rail in group and not cut.done
            for piece in _pieces(job, guard, cut)
        ]
        if not pairs:  # all of them are cut already
            continue
        plan = plan_cuts(
            [piece for cut, piece in pairs if cut.stock is not None],
            stock,
            job.panel.pitch,
            kerf,
            SECONDS / len(groups),
        )
        missing = tuple(
            (piece, _no_stock(cut.way, piece, stock, kerf))
            for cut, piece in pairs
            if cut.stock is None
        )
        plans.append(RailPlan(group, replace(plan, unplaced=plan.unplaced + missing)))
    return tuple(plans)


class PlacedRail(Struct, frozen=True):
    """Where the plans of a job have one rail."""

    number: int  # of its stock rail in the whole job, from 1
    stock: Fraction  # the length of that stock rail [job's unit of length]
    placed: Placed  # its place there


def placed_rails(plans: Sequence[RailPlan]) -> dict[str, PlacedRail]:
    """Every rail that is cut, by its name."""
    bought = (rail for one in plans for rail in one.plan.rails)
    return {
        placed.piece.name: PlacedRail(number, rail.stock.length, placed)
        for number, rail in enumerate(bought, start=1)
        for placed in rail.placed
    }


def _stock_rail(job: Job, length: Fraction) -> StockRail:
    punched = hole_pattern(job.panel, length)
    return StockRail(length, punched[0] if punched else Fraction(0), len(punched))


def _pieces(job: Job, guard: Guard, cut: RailCut) -> list[Piece]:
    """One for each that is cut of a rail."""
    section = guard.sections[cut.section - 1]
    pitch, half = job.panel.pitch, hole_half(job, section)
    first = cut.first_hole
    first_only = last_only = False
    if first is None:  # too short for a baluster: the pattern's place still counts
        own = _stock_rail(job, cut.stock) if cut.stock is not None else None
        first = Fraction(0) if own is None else (own.first_hole - (cut.low.trim or 0)) % pitch
    else:
        last = first + (cut.balusters - 1) * pitch
        first_only = cut.low.holes_lost == 0 and first - pitch > -half
        last_only = cut.high.holes_lost == 0 and last + pitch < cut.length + half
    return [
        Piece(
            name=name,
            length=cut.length,
            first_hole=first,
            holes=cut.balusters,
            low=cut.low.cut,
            high=cut.high.cut,
            first_only=first_only,
            last_only=last_only,
        )
        for name in cut.piece_names
    ]


def _no_stock(way: str, piece: Piece, stock: Sequence[StockRail], kerf: Fraction) -> str:
    reason = why_not(piece, stock, kerf)
    return NO_ROOM_TO_MOVE if way == HALF_PITCH and reason == HOLES_ELSEWHERE else reason

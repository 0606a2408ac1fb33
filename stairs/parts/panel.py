"""The panel: two rails and plumb balusters, made level and racked onto the rake.

Racking turns both rails by the rake while the balusters stay plumb.  What that does to heights and
gaps follows from the linkage (:mod:`stairs.relations.equations`); this page puts the numbers
together and works out which of the holes punched in a stock rail are left when the rail is cut.

A stock rail has its holes at one pitch.  Cutting the same amount off both ends (the even trim)
leaves matching end gaps; moving the pattern half a pitch along is the other choice.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Protocol, SupportsFloat

from msgspec import Struct

from stairs.job import Panel
from stairs.numbers.tolerances import ROUNDING, SAME
from stairs.relations.exact import Amount, compare, derived

EVEN, HALF_PITCH, AUTO = "even", "half-pitch", "auto"

KERF = {"in": Fraction(1, 8), "mm": Fraction(3)}
"""Kerf that is taken where none is given; a common blade, no source.  Nobody saws off less."""


class RackedPanel(Struct, frozen=True):
    """A panel on one rake; lengths exact, in the job's unit.

    Parameters
    ----------
    racked_height : Fraction or Derived
        Plumb, underside of bottom rail to top of top rail.
    rail_spacing : Fraction or Derived
        Square, between rail centre lines.
    rail_spacing_plumb : Fraction or Derived
        Plumb, between rail centre lines; racking does not change it.
    baluster_clear : Fraction or Derived
        Level, between baluster faces.
    hole_needed : Fraction or Derived or None
        Hole along the rail that a baluster needs at this rake; None where no slot is given.
    max_rack : float or None
        Degrees; the smaller of what the slot allows and what the maker states.
    max_rack_set_by : str
        ``"slot"``, ``"stated"`` or empty.
    """

    racked_height: Amount
    rail_spacing: Amount
    rail_spacing_plumb: Amount
    baluster_clear: Amount
    top_plumb_depth: Amount
    bottom_plumb_depth: Amount
    hole_needed: Amount | None
    max_rack: float | None
    max_rack_set_by: str


class Trim(Struct, frozen=True):
    """One way to cut a rail from a stock length, and where that leaves the balusters.

    Parameters
    ----------
    way : str
        ``"even"`` or ``"half-pitch"``.
    stock : Fraction
        The rail length as sold.
    low, high : float
        What comes off the lower and the upper end, along the rail axis.
    holes : tuple of Fraction
        Centres of the balusters that are left, from the uncut lower end, as the even trim sees
        them: half a pitch is already added or taken away.
    holes_lost_low, holes_lost_high : int
        Holes that are cut away or cut into at either end.
    along_rail : tuple of float
        Baluster centres from the lower cut end, along the rail.
    end_gap_low, end_gap_high : Fraction or Derived
        Level, post face to the nearest baluster's face.
    sawn_holes : int
        How many of the two cuts go through a hole.
    """

    way: str
    stock: Fraction
    low: float
    high: float
    holes: tuple[Fraction, ...]
    holes_lost_low: int
    holes_lost_high: int
    along_rail: tuple[float, ...]
    end_gap_low: Amount
    end_gap_high: Amount
    sawn_holes: int = 0

    @property
    def balusters(self) -> int:
        """How many balusters the rail keeps."""
        return len(self.holes)


def rack(panel: Panel, unit_rise: Amount, unit_run: Amount) -> RackedPanel:
    """The panel racked onto the rake of one step.

    Parameters
    ----------
    unit_rise, unit_run : Fraction or Derived
        One step of the flight; a level run is 0 over 1.

    Examples
    --------
    >>> panel = Panel(height=Fraction(32), top_rail=Fraction(2), bottom_rail=Fraction(2),
    ...               baluster=Fraction(1), pitch=Fraction(5))
    >>> float(rack(panel, Fraction(3), Fraction(4)).baluster_clear)
    3.0
    """
    step = {"unit_rise": unit_rise, "unit_run": unit_run}
    rails = {
        "panel_height": panel.height,
        "top_rail": panel.top_rail,
        "bottom_rail": panel.bottom_rail,
    }
    limits: list[tuple[float, str]] = []
    hole_needed: Amount | None = None
    if panel.slot is not None:
        hole = {"wall": panel.slot.wall, "baluster": panel.baluster}
        hole_needed = derived("hole_needed", **hole, **step)
        if panel.slot.length < panel.baluster:
            limits.append((0.0, "slot"))
        else:
            limit = derived("max_rack", hole_length=panel.slot.length, **hole)
            limits.append((float(limit), "slot"))
    if panel.max_rack is not None:
        limits.append((float(panel.max_rack), "stated"))
    most, set_by = min(limits) if limits else (None, "")
    return RackedPanel(
        racked_height=derived("racked_height", **rails, **step),
        rail_spacing=derived("rail_spacing", **rails, **step),
        rail_spacing_plumb=derived("rail_spacing_plumb", **rails),
        baluster_clear=derived(
            "baluster_clear", pitch=panel.pitch, baluster=panel.baluster, **step
        ),
        top_plumb_depth=derived("plumb_depth", depth=panel.top_rail, **step),
        bottom_plumb_depth=derived("plumb_depth", depth=panel.bottom_rail, **step),
        hole_needed=hole_needed,
        max_rack=most,
        max_rack_set_by=set_by,
    )


class PanelAsMeasured(Panel, frozen=True, kw_only=True):
    """A panel that is measured a little off, and the one with whose holes it was sold."""

    sold: Panel


def as_sold(panel: Panel) -> Panel:
    """The panel that tells how many holes there are, however it was measured."""
    return panel.sold if isinstance(panel, PanelAsMeasured) else panel


def hole_pattern(panel: Panel, stock: Fraction) -> tuple[Fraction, ...]:
    """Baluster centres punched in a stock rail, from its lower end [job's unit of length].

    Parameters
    ----------
    panel : stairs.job.Panel
        Its pitch, baluster width and, where given, end margin.
    stock : Fraction
        The rail length as sold, above 0.

    Notes ----- With an end margin the first hole is there and the others follow at the pitch while
    a whole baluster fits.  Without one, as many whole balusters as fit are centred on the rail.  Of
    a :class:`PanelAsMeasured` the holes are as many
    as were sold.

    Examples
    --------
    >>> panel = Panel(height=Fraction(32), top_rail=Fraction(2), bottom_rail=Fraction(2),
    ...               baluster=Fraction(3, 4), pitch=Fraction(9, 2))
    >>> holes = hole_pattern(panel, Fraction(72))
    >>> len(holes), str(holes[0]), str(holes[-1])
    (16, '9/4', '279/4')
    """
    count = _hole_count(as_sold(panel), stock)
    if panel.end_margin is None:
        first = (stock - (count - 1) * panel.pitch) / 2
    else:
        first = panel.end_margin
    return tuple(first + index * panel.pitch for index in range(count))


def _hole_count(panel: Panel, stock: Fraction) -> int:
    """How many holes a stock rail has."""
    if panel.end_margin is None:
        room = stock - panel.baluster
    else:
        room = stock - panel.baluster / 2 - panel.end_margin
    return int(room / panel.pitch) + 1 if room >= 0 else 0


def cut_rail(
    panel: Panel,
    stock: Fraction,
    way: str,
    clear: Amount,
    rail_length: Amount,
    unit_rise: Amount,
    unit_run: Amount,
    ends: tuple[Amount, Amount, Fraction] | None = None,
    tip: float = 0.0,
) -> Trim | None:
    """A rail cut from one stock length, evenly or with the pattern moved half a pitch.

    Notes
    -----
    Moving the pattern by half a pitch takes half a pitch more off one end and half a pitch less
    off the other.  It is moved towards the upper end first; both ends come out alike where the
    pattern is centred on the stock.
    """
    spare = float(stock) - float(rail_length)
    shift = Fraction(0) if way == EVEN else panel.pitch / 2
    if spare / 2 < float(shift) + tip - ROUNDING * float(stock):
        return None
    low = max(spare / 2 - float(shift), 0.0)
    high = max(spare / 2 + float(shift), 0.0)
    cosine = float(derived("cosine", unit_rise=unit_rise, unit_run=unit_run))
    half_width = float(panel.baluster) / 2 / cosine
    length = float(rail_length)
    punched = [hole + shift for hole in hole_pattern(panel, stock)]
    along = [float(hole) - spare / 2 for hole in punched]
    hair = SAME * length
    kept = [
        index
        for index, place in enumerate(along)
        if half_width - hair <= place <= length - half_width + hair
    ]
    half_hole = half_width if panel.slot is None else float(panel.slot.length) / 2
    sawn = sum(any(abs(place - cut) < half_hole - hair for place in along) for cut in (0.0, length))
    gap_low = gap_high = clear
    if kept:

        def gap(hole: Fraction, upper: bool) -> Amount:
            """From a post's face to a baluster, ``hole`` counted from that end of the stock."""
            sizes = {"hole_in_stock": hole, "stock": stock}
            if ends is None:
                return derived("trimmed_end_gap", clear=clear, **sizes, **baluster)
            place = derived("hole_position", rail_length=rail_length, **sizes)
            at = {"pivot_offset": ends[upper], "rail_setback": ends[2], "hole_position": place}
            return derived("end_gap", **at, **baluster)

        baluster = {"baluster": panel.baluster, "unit_rise": unit_rise, "unit_run": unit_run}
        gap_low = gap(punched[kept[0]], False)
        gap_high = gap(stock - punched[kept[-1]], True)
    return Trim(
        way=way,
        stock=stock,
        low=low,
        high=high,
        holes=tuple(punched[index] for index in kept),
        holes_lost_low=kept[0] if kept else len(along),
        holes_lost_high=len(along) - 1 - kept[-1] if kept else 0,
        along_rail=tuple(along[index] for index in kept),
        end_gap_low=gap_low,
        end_gap_high=gap_high,
        sawn_holes=sawn,
    )


def cut_from_stock(
    panel: Panel,
    way: str,
    needed: Amount,
    cut: Callable[[Fraction, str], Trim | None],
    sawable: Callable[[Trim], bool],
) -> Trim | None:
    """The rail cut from the shortest stock length that is long enough, and can be sawn off.

    A longer one is taken where what comes off is too little to saw; without a longer one it stays.
    """
    first = None
    for stock in sorted(panel.stock):
        if compare(needed, stock) <= 0:
            trim = cut(stock, way)
            if trim is not None and sawable(trim):
                return trim
            first = first or trim
    return first


class Weighed(Protocol):
    """What two ways of cutting a rail are compared by."""

    @property
    def stock(self) -> SupportsFloat: ...
    @property
    def end_gap_low(self) -> SupportsFloat: ...
    @property
    def end_gap_high(self) -> SupportsFloat: ...
    @property
    def sawn_holes(self) -> int: ...


def better_trim(
    even: Weighed | None, half: Weighed | None, widest: float | None
) -> tuple[str, str]:
    """Which of the two trims to take, and why, in words.

    Parameters
    ----------
    even, half : Trim or None
        Both ways of cutting, None where the stock does not allow it.
    widest : float or None
        The widest clear gap that is wanted; the gap between balusters is a fair choice.

    Returns
    -------
    tuple of (str, str)
        ``"even"`` or ``"half-pitch"``, and the reason.

    Notes
    -----
    An end gap that is too wide is an opening, so that comes first: where both ways have one, or
    where nothing is wanted, the narrower of the widest end gaps.  Then a way that saws through no
    hole, then the shorter stock, then the wider of the narrowest end gaps; the even way where all
    of that is alike.
    """
    if even is None or half is None:
        if even is None and half is None:
            return EVEN, "no stock length is long enough"
        return (
            (EVEN, "no stock length is long enough to move the pattern")
            if half is None
            else (HALF_PITCH, "only the moved pattern fits")
        )
    ends = [(float(trim.end_gap_low), float(trim.end_gap_high)) for trim in (even, half)]
    hair = SAME * max(map(max, ends))  # of what is equal on paper no rounding decides
    fits = [widest is not None and max(gaps) <= widest + hair for gaps in ends]
    if fits[0] != fits[1]:
        if fits[0]:
            return EVEN, "its end gaps are no wider than the gaps between balusters"
        return HALF_PITCH, "the even trim leaves an end gap wider than those between balusters"
    # less is better in each; why the even way is taken, and why the half-pitch way
    wide = [0.0 if fits[0] else max(gaps) for gaps in ends]
    narrow = [-min(gaps) for gaps in ends]
    sawn = [float(trim.sawn_holes > 0) for trim in (even, half)]
    stock = [float(trim.stock) for trim in (even, half)]
    criteria = (
        (wide, ("its widest end gap is the narrower of the two",) * 2),
        (sawn, [f"the {way} trim would saw through a hole" for way in (HALF_PITCH, EVEN)]),
        (stock, ("it takes the shorter stock",) * 2),
        (
            narrow,
            (
                "its narrowest end gap is the wider of the two",
                "the even trim leaves a baluster close to the post",
            ),
        ),
    )
    for (first, second), reasons in criteria:
        if abs(first - second) > hair:
            return (EVEN, reasons[0]) if first < second else (HALF_PITCH, reasons[1])
    return EVEN, "the two come out alike"

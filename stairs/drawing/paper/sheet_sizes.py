"""Paper and scale: the sheets a printer holds and the scales a scale rule has.

A drawing is worth measuring only on a standard sheet at a standard scale, since the rule in the
reader's hand has no others.  Sizes are in millimetres, landscape, and exact; a scale is the exact
ratio of paper to thing.  Inch sheets: ANSI/ASME Y14.1 and the ARCH sizes of US offices; metric
sheets: ISO 216.  Scales: the faces of an architect's rule, and ISO 5455 with the 1:25 that building
trades use beside it.  All of these are from memory; sheets lie on their long side but for lists.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction

from msgspec import Struct

from stairs.drawing.paper.primitives import HEAVY, Area
from stairs.errors import SheetError

MILLIMETRES_PER_INCH = Fraction(254, 10)
BORDER = 10.0
"""Width of the blank strip around the border line [mm]."""


class Paper(Struct, frozen=True):
    """One sheet size, landscape."""

    name: str  # as a user types it, e.g. "letter" or "A3".
    # width, height: edges [mm], the longer one first
    width: Fraction
    height: Fraction
    units: str  # "in" or "mm": whose users have it in the drawer

    @property
    def border(self) -> Area:
        """The border line's outer edge."""
        edge = BORDER - HEAVY / 2
        return edge, edge, float(self.width) - edge, float(self.height) - edge


def _inch_sheet(name: str, height: str, width: str) -> Paper:
    sizes = (Fraction(width) * MILLIMETRES_PER_INCH, Fraction(height) * MILLIMETRES_PER_INCH)
    return Paper(name, *sizes, "in")


PAPERS: tuple[Paper, ...] = (
    _inch_sheet("letter", "17/2", "11"),
    _inch_sheet("tabloid", "11", "17"),
    _inch_sheet("ANSI C", "17", "22"),
    _inch_sheet("ARCH C", "18", "24"),
    _inch_sheet("ARCH D", "24", "36"),
    Paper("A4", Fraction(297), Fraction(210), "mm"),
    Paper("A3", Fraction(420), Fraction(297), "mm"),
    Paper("A2", Fraction(594), Fraction(420), "mm"),
)
"""Every sheet, smallest first within its units."""

OFFERED = ("letter", "tabloid", "ARCH C", "ARCH D", "A4", "A3", "A2")
"""Sheets that are taken unasked; the others are there for who asks for them."""


class Scale(Struct, frozen=True):
    """One standard scale.

    >>> INCH_SCALES[3].words, INCH_SCALES[3].ratio
    ('3/4" = 1\\'-0"', Fraction(1, 16))
    """

    ratio: Fraction  # length on paper over length of the thing
    words: str  # as written beside a view, e.g. "1/2" = 1'-0" or "1:20
    units: str  # "in" or "mm"

    def paper_millimetres(self, units: str) -> Fraction:
        """Paper length of one unit of the thing [mm].

        >>> INCH_SCALES[4].paper_millimetres("in")
        Fraction(127, 120)
        """
        return self.ratio * (MILLIMETRES_PER_INCH if units == "in" else 1)


def _inch_scale(inches_to_the_foot: str) -> Scale:
    return Scale(
        sum(map(Fraction, inches_to_the_foot.split()), Fraction(0)) / 12,
        f'{inches_to_the_foot}" = 1\'-0"',
        "in",
    )


INCH_SCALES: tuple[Scale, ...] = tuple(
    map(_inch_scale, ("3", "1 1/2", "1", "3/4", "1/2", "3/8", "1/4", "3/16"))
)
METRIC_SCALES: tuple[Scale, ...] = tuple(
    Scale(Fraction(1, over), f"1:{over}", "mm") for over in (5, 10, 20, 25, 50, 100)
)
GOOD = {"in": Fraction(1, 24), "mm": Fraction(1, 25)}
"""The least scale at which an elevation reads well; a larger sheet is taken to reach it."""


def scales(units: str) -> tuple[Scale, ...]:
    """The standard scales of a job's units, largest first."""
    return INCH_SCALES if units == "in" else METRIC_SCALES


def paper_named(name: str) -> Paper:
    """The sheet of that name.

    Parameters
    ----------
    name : str
        As a user types it; capitals, spaces, dashes and underscores make no difference.

    Raises
    ------
    SheetError
        For a name that is not in the list.

    Examples
    --------
    >>> paper_named("arch-c").name, float(paper_named("LETTER").width)
    ('ARCH C', 279.4)
    """
    wanted = re.sub(r"[\s_-]+", " ", str(name)).strip().lower()
    for paper in PAPERS:
        if paper.name.lower() == wanted:
            return paper
    raise SheetError(
        "paper",
        f'"{str(name)[:40]}" is not a sheet size',
        "Sheets: " + ", ".join(paper.name for paper in PAPERS),
        "Name one of these",
    )


def papers_for(units: str, asked: str | None = None) -> list[Paper]:
    """The sheet that is asked for, or all that are taken unasked, smallest first."""
    if asked is not None:
        return [paper_named(asked)]
    return [one for one in PAPERS if one.units == units and one.name in OFFERED]


def scale_named(words: str, units: str) -> Scale:
    """The standard scale that the words mean.

    >>> scale_named("3/4", "in").ratio, scale_named("1:20", "mm").words
    (Fraction(1, 16), '1:20')
    """
    text = str(words).strip()
    for scale in scales(units):
        over = scale.ratio.denominator if scale.ratio.numerator == 1 else None
        short = scale.words.split('"')[0]
        forms = {scale.words, f"1:{over}", short, f'{short}"', f"{short} in"}
        if text in forms and not (units == "mm" and ":" not in text):
            return scale
    raise SheetError(
        "scale",
        f'"{text[:40]}" is not a standard scale',
        "Scales: " + ", ".join(scale.words for scale in scales(units)),
        "Name one of these, or leave it out to have the largest that fits",
    )


def choose_sheet(
    fits: Callable[[Paper, Scale], bool],
    units: str,
    paper: str | None = None,
    scale: str | None = None,
) -> tuple[Paper, Scale] | None:
    """The smallest sheet on which a good scale fits, and the largest standard scale that fits it.

    Where no sheet allows a good scale, the largest scale that any sheet allows; None where none
    allows any.

    >>> def fits(paper, scale):
    ...     return 2000 * scale.ratio <= paper.width - 60
    >>> [part.name if hasattr(part, "name") else part.words for part in choose_sheet(fits, "mm")]
    ['A4', '1:10']
    """
    papers = papers_for(units, paper)
    wanted = scales(units) if scale is None else (scale_named(scale, units),)
    best: tuple[Paper, Scale] | None = None
    for sheet in papers:
        largest = next((one for one in wanted if fits(sheet, one)), None)
        if largest is None:
            continue
        if largest.ratio >= GOOD[units] or scale is not None:
            return sheet, largest
        if best is None or largest.ratio > best[1].ratio:
            best = (sheet, largest)
    return best


def misfit(what: str, found: str, units: str, remedy: str) -> SheetError:
    """That something does not fit, with the sheets and scales that there are."""
    papers = ", ".join(one.name for one in PAPERS if one.units == units)
    listed = ", ".join(one.words for one in scales(units))
    return SheetError(what, found, f"Sheets: {papers}; scales: {listed}", remedy)

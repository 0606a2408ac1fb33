"""Lengths on the marks of a tape, and their print.

A tape shows no length between two of its marks, so whatever is cut or marked is rounded to one: to
the nearest, or to the safe side.  Print follows the marks, in feet, inches and fractions or in
millimetres, and never so that a length on one side of its limit reads as if it were at the limit
or on the other side.

Rounding: :func:`round_to_mark`, :func:`floor_to_mark`, :func:`ceil_to_mark`.  Printing:
:func:`fraction_text`, :func:`metric_text`, :func:`length_text`, :func:`exact_text`,
:func:`marked_text`, :func:`true_text`, :func:`slope_text`, :func:`text_against_limit`.
"""

from __future__ import annotations

import math
from fractions import Fraction

Number = Fraction | int | float


def round_to_mark(value: Number, mark: Number) -> Fraction:
    """The nearest multiple of the mark [unit of the value]; halves go away from zero.

    Examples
    --------
    >>> round_to_mark(Fraction(5, 2), 1), round_to_mark(Fraction(-5, 2), 1)
    (Fraction(3, 1), Fraction(-3, 1))
    """
    value, mark = Fraction(value), Fraction(mark)
    marks = math.floor(abs(value) / mark + Fraction(1, 2))
    return marks * mark if value >= 0 else -marks * mark


def floor_to_mark(value: Number, mark: Number) -> Fraction:
    """The greatest multiple of the mark that is not above the value [unit of the value].

    Examples
    --------
    >>> floor_to_mark(Fraction(79, 32), Fraction(1, 16))
    Fraction(39, 16)
    """
    return math.floor(Fraction(value) / Fraction(mark)) * Fraction(mark)


def ceil_to_mark(value: Number, mark: Number) -> Fraction:
    """The least multiple of the mark that is not below the value [unit of the value].

    Examples
    --------
    >>> ceil_to_mark(Fraction(79, 32), Fraction(1, 16))
    Fraction(5, 2)
    """
    return math.ceil(Fraction(value) / Fraction(mark)) * Fraction(mark)


def _mixed(magnitude: Fraction) -> str:
    whole, rest = divmod(magnitude, 1)
    if rest == 0:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)


def _decimal(magnitude: Fraction) -> str | None:
    """The exact decimal text, or None where the decimals do not end within twelve places."""
    scaled = magnitude * 10**12
    if scaled.denominator != 1:
        return None
    whole, rest = divmod(scaled.numerator, 10**12)
    return f"{whole}.{rest:012d}".rstrip("0").rstrip(".")


def fraction_text(value: Number, mark: Number, feet: bool = False, quote: bool = True) -> str:
    """The length [in] as read off a tape in feet, inches and fractions, to the nearest mark.

    With ``feet``, lengths of a foot and more are split into feet and inches, as on elevations; feet
    always carry their mark, inches with ``quote``.  A minus leads the whole of a negative length.

    Examples
    --------
    >>> print(fraction_text(7.74, Fraction(1, 16)), fraction_text(43.5, 0.0625, feet=True))
    7 3/4" 3'-7 1/2"
    >>> print(fraction_text(-36, Fraction(1, 16), feet=True), fraction_text(-0.001, 0.0625))
    -3'-0" 0"
    """
    shown = round_to_mark(value, mark)
    sign, magnitude = ("-" if shown < 0 else ""), abs(shown)
    inch_mark = '"' if quote else ""
    if feet and magnitude >= 12:
        whole_feet, inches = divmod(magnitude, 12)
        zero = "0 " if 0 < inches < 1 else ""
        return f"{sign}{whole_feet}'-{zero}{_mixed(inches)}{inch_mark}"
    return f"{sign}{_mixed(magnitude)}{inch_mark}"


def metric_text(value: Number, mark: Number = 1, unit: bool = True) -> str:
    """The length [mm] to the nearest mark, whole where the mark is 1 mm.

    Examples
    --------
    >>> metric_text(196.85), metric_text(-196.8, 0.5, unit=False)
    ('197 mm', '-197')
    """
    shown = round_to_mark(value, mark)
    return _metric(shown, unit)


def _metric(shown: Fraction, unit: bool) -> str:
    sign, magnitude = ("-" if shown < 0 else ""), abs(shown)
    return f"{sign}{_decimal(magnitude) or _mixed(magnitude)}{' mm' if unit else ''}"


def length_text(
    value: Number, units: str, mark: Number, feet: bool = False, unit: bool = True
) -> str:
    """The length [units] as read off the job's own tape, inch or metric, to the nearest mark.

    ``feet`` splits into feet and inches from a foot up, and has no effect in millimetres.
    :func:`stairs.lengths.tape.parse` reads the text back as the rounded length.

    Examples
    --------
    >>> print(length_text(7.75, "in", Fraction(1, 16)), length_text(7.75, "mm", 1))
    7 3/4" 8 mm
    """
    if units == "in":
        return fraction_text(value, mark, feet, unit)
    return metric_text(value, mark, unit)


def exact_text(value: Number, units: str, unit: bool = True) -> str:
    """The length [units] without any rounding, so that it reads back as the same number.

    Inches as a tape fraction where sixty-fourths are enough, otherwise as decimals where these end,
    otherwise as a fraction; millimetres as decimals where these end.

    Examples
    --------
    >>> print(exact_text(Fraction(31, 4), "in"), exact_text(Fraction(43, 10), "in"))
    7 3/4" 4.3"
    >>> print(exact_text(Fraction(-100, 3), "mm"))
    -33 1/3 mm
    """
    value = Fraction(value)
    if units == "mm":
        return _metric(value, unit)
    sign, magnitude = ("-" if value < 0 else ""), abs(value)
    plain = _mixed(magnitude) if 64 % magnitude.denominator == 0 else _decimal(magnitude)
    return f"{sign}{plain or _mixed(magnitude)}" + ('"' if unit else "")


def marked_text(value: Fraction, units: str, mark: Fraction) -> str:
    """The length [units] exactly where it is on a mark, else to the nearest one.

    Examples
    --------
    >>> print(marked_text(Fraction(15, 2), "in", Fraction(1, 4)))
    7 1/2"
    """
    if (value / mark).denominator == 1:
        return exact_text(value, units)
    return length_text(value, units, mark)


def true_text(
    value: Number, units: str, mark: Number, feet: bool = False, unit: bool = True
) -> str:
    """A length that is laid off more than once: as it is, or said to be near.

    On a mark, or in up to three decimals, exactly that; otherwise ``near`` the mark.  A float that
    is on a mark or ends in three decimals to ten digits is taken as that.

    Examples
    --------
    >>> print(true_text(Fraction("108.5"), "mm", 1), true_text(7.25, "in", Fraction(1, 16)))
    108.5 mm 7 1/4"
    >>> print(true_text(Fraction(36, 7), "in", Fraction(1, 16)), true_text(4.33, "in", 0.0625))
    near 5 1/8" 4.33"
    """
    shown = length_text(value, units, mark, feet, unit)
    if _is_at(value, round_to_mark(value, mark)):
        return shown
    places = round_to_mark(value, Fraction(1, 1000))
    return exact_text(places, units, unit) if _is_at(value, places) else f"near {shown}"


def _is_at(value: Number, place: Fraction) -> bool:
    return abs(float(value) - float(place)) <= 1e-10 * max(1.0, abs(float(place)))


def slope_text(rise: Number, run: Number, units: str, mark: Number, over: Number) -> str:
    """Two lengths that set out a slope with a tape: so much up in so much along.

    One step where both are on marks, otherwise the shortest pair from a foot or 300 mm of run on
    that is nowhere more than half a mark off over the level length ``over`` [units].

    Examples
    --------
    >>> print(slope_text(7.25, 10.5, "in", Fraction(1, 16), 52.5))
    7 1/4" in a run of 10 1/2"
    >>> print(slope_text(189.5, 263, "mm", 1, 1315), slope_text(189.5, 263, "mm", 1, 1e6))
    219 mm in a run of 304 mm 379 mm in a run of 526 mm
    """
    step, slope = Fraction(mark), Fraction(rise) / Fraction(run)
    up, along = round_to_mark(rise, step), round_to_mark(run, step)
    if not (_is_at(rise, up) and _is_at(run, along)):
        along = ceil_to_mark(12 if units == "in" else 300, step)
        up = round_to_mark(slope * along, step)
        while abs(up - slope * along) * max(Fraction(over), along) > step / 2 * along:
            along += step
            up = round_to_mark(slope * along, step)
    told = (length_text(one, units, mark) for one in (up, along))
    return " in a run of ".join(told)


def text_against_limit(
    value: Number,
    limit: Number,
    units: str,
    mark: Number,
    feet: bool = False,
    side: int | None = None,
) -> str:
    """The length to the nearest mark, on the same side of its limit in print as in truth.

    The nearest mark where that lies on the true side of the limit [units].  Otherwise decimals
    finer than the mark, the fewest of up to four that do; a length nearer to the limit than these
    can say is printed one unit of the fourth decimal to its own side.  A length at its limit prints
    as the limit exactly.  ``side`` says where the verdict was decided exactly: 1 above the limit, 0
    at it, -1 below; left out, the two numbers are compared.

    Examples
    --------
    >>> sixteenth = Fraction(1, 16)
    >>> print(text_against_limit(Fraction(60001, 10000), 6, "in", sixteenth))
    6.0001"
    >>> print(text_against_limit(5.99, 6, "in", sixteenth), text_against_limit(99.7, 100, "mm", 1))
    5.99" 99.7 mm
    >>> print(text_against_limit(6.3, 6, "in", sixteenth), text_against_limit(6, 6, "in", 0.0625))
    6 5/16" 6"
    """
    value, limit = Fraction(value), Fraction(limit)
    side = (value > limit) - (value < limit) if side is None else side
    if side == 0:
        on_mark = round_to_mark(limit, mark) == limit
        return length_text(limit, units, mark, feet) if on_mark else exact_text(limit, units)
    shown = round_to_mark(value, mark)
    if (shown - limit) * side > 0:
        return length_text(shown, units, mark, feet)
    step = Fraction(1)
    for _ in range(4):
        step /= 10
        shown = round_to_mark(value, step)
        if step <= Fraction(mark) and (shown - limit) * side > 0:
            return _decimal_length(shown, units)
    just_past = math.floor(limit / step) + 1 if side > 0 else math.ceil(limit / step) - 1
    return _decimal_length(just_past * step, units)


def _decimal_length(shown: Fraction, units: str) -> str:
    sign = "-" if shown < 0 else ""
    return f"{sign}{_decimal(abs(shown))}" + ('"' if units == "in" else " mm")


def angle_against_limit(value: Number, limit: Number, side: int | None = None) -> tuple[str, str]:
    """An angle and its limit [degrees] as text, on their true sides of each other.

    Value and limit to one decimal, and to as many more of up to nine as the limit is written with
    or as tell the two apart.  An angle nearer to the limit than that is printed one unit of the
    ninth decimal to its own side; one at its limit prints as the limit.  ``side`` as for
    :func:`text_against_limit`.

    Examples
    --------
    >>> print(*angle_against_limit(34.6, 38), *angle_against_limit(34.6237, Fraction("34.62")))
    34.6° 38° 34.624° 34.62°
    >>> print(*angle_against_limit(36.86989764584402, Fraction("36.86989764584402"), -1))
    36.869897645° 36.869897646°
    """
    value, limit = Fraction(value), Fraction(limit)
    side = (value > limit) - (value < limit) if side is None else side
    written = next((k for k in range(9) if (limit * 10**k).denominator == 1), 1)
    for places in range(max(1, written), 10):
        step = Fraction(1, 10**places)
        shown, at = round_to_mark(value, step), round_to_mark(limit, step)
        if side == 0:
            shown = at
        elif places == 9 and (shown - at) * side <= 0:
            shown = at + side * step
        if (shown - at) * side > 0 or side == 0:
            break
    plain = f"{float(at):.{places}f}"
    return f"{float(shown):.{places}f}°", f"{plain.rstrip('0').rstrip('.')}°"


def fall_text(slope: Fraction) -> str:
    """The fall of the ground over level distance, 0 or more, as people say it: so much in so much.

    Examples
    --------
    >>> fall_text(Fraction(1, 2)), fall_text(Fraction(3, 10)), fall_text(Fraction(0))
    ('1 in 2', '1 in 3.33', 'level')
    """
    return f"1 in {float(1 / slope):.3g}" if slope else "level"

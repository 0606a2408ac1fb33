"""Closed forms the other way round: from what a form is to give, the input that gives it.

Every closed form is, in each of its inputs, a polynomial of the first or second degree
(:mod:`stairs.relations.inverse_forms`).  Here the numbers are filled in, the polynomial is solved,
and each of its roots is accounted for: taken, or let go with the reason.  Nothing is rounded on the
way, and no computer algebra is loaded.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from fractions import Fraction
from types import SimpleNamespace

from msgspec import Struct

from stairs.errors import JobError
from stairs.numbers.angle import Angle, angle_of, angle_of_cosine, angle_of_tangent
from stairs.numbers.quadratic import zeros
from stairs.numbers.surd import Number, Roots, Surd, copied, quotient, sign, written
from stairs.relations.exact import Amount, Derived
from stairs.relations.inverse_forms import EQUATIONS, Equation
from stairs.relations.quantities import (
    ACUTE,
    ANGLE,
    ANY,
    COUNT,
    EITHER,
    NOT_NEGATIVE,
    POSITIVE,
    QUANTITIES,
)

Given = Amount | Surd | int

_ZERO, _ONE, _HALF = Fraction(0), Fraction(1), Fraction(1, 2)
_UNDER_ROOT, _SINE = "root", "sine"


class Root(Struct, frozen=True):
    """One root of the polynomial, and what became of it."""

    value: float | None  # of the input, an angle in degrees; none where no angle has the cosine
    exact: Number | None  # the same unrounded; none of an angle, nor where one of odd degrees is in
    taken: bool
    reason: str = ""  # why it was let go
    times: int = 1  # how often the polynomial has it
    tangent: Number | None = None  # of an angle, unrounded


class Inverse(Struct, frozen=True):
    """All that a closed form says about one of its inputs.

    ``times`` of the roots, ``imaginary`` and ``dropped`` add up to the degree of ``polynomial``,
    unless any value does.
    """

    form: str
    unknown: str
    polynomial: tuple[Number, ...] = ()  # its coefficients, that of the lowest power first
    variable: str = ""  # what it is a polynomial in: the input, or the cosine of an angle
    roots: tuple[Root, ...] = ()  # the real ones
    imaginary: int = 0  # how many are not real
    dropped: int = 0  # how many are not there, since the highest powers go out with these inputs
    any_value: bool = False  # the form gives what is wanted whatever the input is
    reason: str = ""  # why nothing is taken

    @property
    def taken(self) -> tuple[Root, ...]:
        """What the input can be; empty too where any value does."""
        return tuple(root for root in self.roots if root.taken)

    @property
    def account(self) -> tuple[str, ...]:
        """A line for each root, those taken first: what it is on paper, and why it was let go."""
        lines = [self._told(root) for root in self.taken]
        if self.any_value:
            lines.append(f"any {self.unknown} does")
        for root in self.roots:
            if not root.taken:
                twice = "twice " if root.times == 2 else ""
                told = f"{self._told(root)}: " if root.value is not None else ""
                lines.append(f"let go {twice}- {told}{root.reason}")
        if self.imaginary:
            lines.append(f"let go twice - {self.reason}")
        if self.dropped:
            twice = "twice " if self.dropped == 2 else ""
            why = "the equation is of a lower degree with these inputs"
            lines.append(f"let go {twice}- {why if self.roots else self.reason}")
        return tuple(lines) or (self.reason,)

    def _told(self, root: Root) -> str:
        if QUANTITIES[self.unknown].unit != ANGLE:
            told = format(root.value, ".9g") if root.exact is None else written(root.exact)
            return f"{self.unknown} = {told}"
        tangent = "" if root.tangent is None else f", of tangent {written(root.tangent)}"
        return f"{self.unknown} = {root.value:.9g} degrees{tangent}"


class NoValue(ArithmeticError):
    """The form has no value for these inputs, or never the one wanted."""


def solve_for(
    unknown: str, form: str, value: Amount | Surd | int, known: Mapping[str, Amount | Surd | int]
) -> Inverse:
    """The input with which a closed form gives the value wanted: all there are, exact.

    Parameters
    ----------
    unknown : str
        Name of the input looked for.
    form : str
        Name of a function of :mod:`stairs.relations.closed_forms`.
    value : Fraction, Derived, Surd or int
        What the form is to give [its unit, an angle in degrees].
    known : mapping of str to Fraction, Derived, Surd or int
        All the form's other inputs [one unit, angles in degrees].

    Returns
    -------
    Inverse
        Every root, taken or let go: a root is taken that satisfies the form itself and can be in a
        stair, as the names page says.  A count is whole, and an angle below 90 degrees.

    Raises
    ------
    stairs.errors.JobError
        There is no such form, or its inputs are not those given and the one looked for.

    Notes
    -----
    A form is ``A + B √S = 0`` with ``A``, ``B`` and ``S`` made of inputs and value.  Where what is
    looked for stands in ``S``, the polynomial is ``A² - B² S``, and a root of it is one of the form
    where ``A`` and ``B`` are of unlike signs.  An angle is looked for by its cosine; its sine is
    then the square root.  Angles are exact where their sine and cosine are made of square roots, as
    those of 30, 45 and 22 1/2 degrees; others are taken to sixty digits, and what follows
    from them is given as a float alone.

    Examples
    --------
    A rail 49 long on steps of 3 to 4, with 1/2 from pin to rail end at either end: it is 50 from
    pin to pin on the rake, 40 level, and the bay is 42 with 1 from post to pin on either side.

    >>> known = {"pivot_offset": 1, "rail_setback": Fraction(1, 2), "unit_rise": 3, "unit_run": 4}
    >>> [root.exact for root in solve_for("clear", "rail_length", 49, known).taken]
    [Fraction(42, 1)]

    A slope of 5 over a run of 4 rises 3; falling 3 would be as long.

    >>> for line in solve_for("unit_rise", "unit_slope", 5, {"unit_run": 4}).account:
    ...     print(line)
    unit_rise = 3
    let go - unit_rise = -3: unit_rise is above 0 in a stair

    A slope of 12 over a run of 10 rises the root of 144 less 100.

    >>> print(solve_for("unit_rise", "unit_slope", 12, {"unit_run": 10}).account[0])
    unit_rise = 2√11
    """
    _check_inputs(form, _equation(form).unknowns, unknown, known)
    roots = Roots()
    try:
        search = _Search(form, unknown, value, known, roots)
    except NoValue as none:
        return Inverse(form, unknown, reason=str(none))
    polynomial = search.polynomial()
    found = zeros(polynomial, roots)
    real = tuple(search.root(place, times) for place, times in found.real)
    reasons = [root.reason for root in real]
    if found.imaginary:
        reasons.append(f"no real {unknown} gives it")
    elif found.everywhere:
        # what is squared away everywhere has one sign for all that can be in a stair
        reasons.append(search.fault(_HALF) or search.no_stair)
    elif not real:
        reasons.append(f"the form gives another value whatever {unknown} is")
    any_value = reasons == [""] and found.everywhere
    reason = "" if "" in reasons else "; ".join(dict.fromkeys(reasons))
    variable = f"cosine of {unknown}" if search.is_angle else unknown
    return Inverse(
        form, unknown, polynomial, variable, real, found.imaginary, found.dropped, any_value, reason
    )


def exact_number(amount: Given, roots: Roots) -> Number:
    """An exact length, count or ratio as fractions and square roots.

    Examples
    --------
    >>> from stairs.relations.exact import derived
    >>> slope = exact_number(derived("unit_slope", unit_rise=7, unit_run=10), Roots())
    >>> slope * slope
    Fraction(149, 1)
    """
    if not isinstance(amount, Derived):
        return copied(amount, roots)
    equation = _equation(amount.form)
    q = _namespace(dict(amount.arguments), roots)
    _set_root(equation, q, roots)
    return _value(equation, q)


def _equation(form: str) -> Equation:
    if form not in EQUATIONS:
        near = difflib.get_close_matches(str(form), EQUATIONS, n=1)
        raise JobError(
            "solve_for",
            f'"{form}" is no closed form',
            "Names are those of the functions in stairs.closed_forms",
            f'The nearest is "{near[0]}"' if near else "Look there for what is meant",
        )
    return EQUATIONS[form]


def _check_inputs(
    form: str, inputs: Mapping[str, object], unknown: str, known: Mapping[str, object]
) -> None:
    if unknown not in inputs:
        has = f"It has {', '.join(inputs)}"
        raise JobError(form, f'"{unknown}" is no input of it', has, "Ask for one of those")
    others = [name for name in inputs if name != unknown]
    if set(known) != set(others):
        raise JobError(
            form,
            f"given are {', '.join(sorted(known)) or 'no inputs'}",
            f"To solve it for {unknown} takes {', '.join(others)}",
            "Give each of those, and no other",
        )


def _namespace(amounts: Mapping[str, Given], roots: Roots) -> SimpleNamespace:
    q = SimpleNamespace()
    for name, amount in amounts.items():
        angle = QUANTITIES[name].unit == ANGLE
        setattr(q, name, _angle(amount, roots) if angle else exact_number(amount, roots))
    return q


def _angle(amount: Given, roots: Roots) -> Angle:
    """An angle given in degrees, or by the closed form of one."""
    if isinstance(amount, Surd):
        raise JobError(
            "solve_for",
            "an angle is given by roots",
            "A fraction of degrees, or an amount derived from lengths",
            "Give it as one of those",
        )
    if not isinstance(amount, Derived):
        return angle_of(Fraction(amount), roots)
    equation = _equation(amount.form)
    assert equation.arc is not None
    q = _namespace(dict(amount.arguments), roots)
    _set_root(equation, q, roots)
    kind, scale, offset = equation.arc
    inside = _value(equation, q)
    arc = (angle_of_tangent if kind == "tan" else angle_of_cosine)(inside, roots)
    if not all(each.exact for each in vars(q).values() if isinstance(each, Angle)):
        arc = Angle(arc.cos, arc.sin, exact=False)
    if abs(scale) == 2:
        arc = arc.doubled()
    return (arc.mirrored() if scale < 0 else arc).turned(offset // 90)


def _value(equation: Equation, q: SimpleNamespace) -> Number:
    """What a form gives, all of its inputs being known: its residual is linear in that."""
    nothing, one = (_residual(equation, q, value=value) for value in (_ZERO, _ONE))
    if sign(nothing - one) == 0:
        raise NoValue("the form divides by 0 with these inputs")
    return quotient(nothing, nothing - one)


def _residual(equation: Equation, q: SimpleNamespace, **changed: Number | Angle) -> Number:
    vars(q).update(changed)
    residual: Number = equation.residual(q)
    return residual


def _set_root(equation: Equation, q: SimpleNamespace, roots: Roots) -> None:
    if equation.square:
        above, below = equation.square(q)
        if sign(below) == 0 or sign(above) * sign(below) < 0:
            raise NoValue("the form has no value with these inputs")
        q.root = roots.sqrt(quotient(above, below))


def _arc(wanted: Given, equation: Equation, roots: Roots) -> Angle:
    """The arc, of a tangent or a cosine, with which the form gives an angle."""
    assert equation.arc is not None
    kind, scale, offset = equation.arc
    if isinstance(wanted, (int, Fraction)):
        arc = angle_of((Fraction(wanted) - offset) / scale, roots)
    else:
        arc = _angle(wanted, roots).turned(-offset // 90)
        arc = arc.mirrored() if scale < 0 else arc
        arc = arc.halved(roots) if abs(scale) == 2 else arc
    within = sign(arc.cos) > 0 if kind == "tan" else sign(arc.sin) >= 0
    if not within or isinstance(wanted, (int, Fraction)) and not 0 <= wanted <= 180:
        ends = (-90, 90) if kind == "tan" else (0, 180)
        low, high = sorted(offset + scale * end for end in ends)
        raise NoValue(
            f"the form gives angles between {max(low, 0)} and {min(high, 180)} degrees only"
        )
    return arc


class _Search:
    """The polynomial for one input of a form, and what its roots are."""

    def __init__(
        self,
        form: str,
        unknown: str,
        value: Given,
        known: Mapping[str, Given],
        roots: Roots,
    ) -> None:
        self.equation, self.unknown, self.roots = EQUATIONS[form], unknown, roots
        self.degree, self.way = self.equation.unknowns[unknown]
        self.is_angle = QUANTITIES[unknown].unit == ANGLE
        self.q = _namespace(known, roots)
        if self.way != _UNDER_ROOT:
            _set_root(self.equation, self.q, roots)
        self.exact = all(each.exact for each in vars(self.q).values() if isinstance(each, Angle))
        self.no_stair = ""  # why the value wanted is in none
        if self.equation.arc:
            arc = _arc(value, self.equation, roots)
            self.exact &= arc.exact
            kind = self.equation.arc[0]
            self.wanted = quotient(arc.sin, arc.cos) if kind == "tan" else arc.cos
        else:
            self.wanted = exact_number(value, roots)
            self.no_stair = _outside(self.equation.target, self.wanted)

    def polynomial(self) -> tuple[Number, ...]:
        """Its coefficients, from its values at 0, 1 and -1."""
        at_0, at_1 = self._at(_ZERO), self._at(_ONE)
        if self.degree == 1:
            return at_0, at_1 - at_0
        at_minus_1 = self._at(-_ONE)
        return at_0, (at_1 - at_minus_1) * _HALF, (at_1 + at_minus_1) * _HALF - at_0

    def _at(self, place: Number) -> Number:
        plain, factor, above, below = self._parts(place, self.wanted)
        if not self.way:
            return plain
        return plain * plain * below - factor * factor * above

    def _parts(self, place: Number, value: Number) -> tuple[Number, Number, Number, Number]:
        """``A``, ``B`` and ``S`` above and below the line, of ``A + B √S``, the form's residual."""
        equation, q = self.equation, self.q
        if self.way == _SINE:
            plain, whole = (
                _residual(equation, q, value=value, **{self.unknown: Angle(place, sine)})
                for sine in (_ZERO, _ONE)
            )
            return plain, whole - plain, 1 - place * place, _ONE
        here = Angle(place, _ZERO) if self.is_angle else place
        vars(q).update({self.unknown: here, "value": value})
        if not self.way:
            return _residual(equation, q), _ZERO, _ZERO, _ONE
        plain, whole = (_residual(equation, q, root=root) for root in (_ZERO, _ONE))
        assert equation.square is not None
        above, below = equation.square(q)
        return plain, whole - plain, above, below

    def fault(self, place: Number) -> str:
        """Why the form does not give the value wanted there, or nothing."""
        plain, factor, above, below = self._parts(place, _ZERO)
        if sign(below) == 0 or sign(above) * sign(below) < 0:
            return "the form has no value there"
        # with a value v the residual is N - vD, and the form is N / D
        plain_1, factor_1, _, _ = self._parts(place, _ONE)
        under_plain, under_factor = plain - plain_1, factor - factor_1
        if _sign_of_sum(under_plain, under_factor, above, below) == 0:
            return "the form divides by 0 there"
        plain, factor = plain - self.wanted * under_plain, factor - self.wanted * under_factor
        if _sign_of_sum(plain, factor, above, below) != 0:
            return "it came in by squaring: the form gives another value there"
        return ""

    def root(self, place: Number, times: int) -> Root:
        """What is to be said of one root of the polynomial."""
        reason = self.fault(place) or _outside(self.unknown, place) or self.no_stair
        if not self.is_angle:
            exact = place if self.exact else None
            return Root(float(place), exact, not reason, reason, times)
        if sign(1 - place * place) < 0:
            return Root(None, None, False, "no angle has a cosine beyond 1", times)
        angle = angle_of_cosine(place, self.roots)
        tangent = angle.tangent if self.exact else None
        return Root(angle.degrees, None, not reason, reason, times, tangent)


def _sign_of_sum(plain: Number, factor: Number, above: Number, below: Number) -> int:
    """The sign of ``plain + factor √(above / below)``, which is real."""
    first, second = sign(plain), sign(factor) * abs(sign(above))
    if first == second or second == 0:
        return first
    if first == 0:
        return second
    return first * sign(plain * plain * below - factor * factor * above) * sign(below)


def _outside(name: str, number: Number) -> str:
    """Why a quantity is not so large in a stair, or nothing; an angle by its cosine."""
    quantity = QUANTITIES[name]
    if quantity.unit == COUNT and Fraction(1) != getattr(number, "denominator", 0):
        return f"{name} is a whole number"
    inside = {
        POSITIVE: sign(number) > 0,
        NOT_NEGATIVE: sign(number) >= 0,
        ACUTE: sign(number) > 0,
        EITHER: sign(number) == 0 or sign(number - 1) == 0,
        ANY: True,
    }[quantity.domain]
    return "" if inside else f"{name} is {quantity.domain} in a stair"

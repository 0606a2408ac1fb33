"""From what was measured to what is wanted: the chain of relations that fixes a flight.

Total rise, unit rise, riser count, total run, unit run, tread count and rake hang together, and any
three that do not say the same thing fix the rest.  The chain takes what is given, walks the
relations forward.

Too few measurements: it says which single one would be enough.  Too many: the surplus is compared
with what follows from the others, within what a tape allows, and a contradiction shows both values
and their difference.  Where two measurements disagree within that allowance, counts rule over
totals, totals over single steps and lengths over angles, since an error in a single step is
multiplied by their number.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import suppress
from fractions import Fraction
from math import atan2, degrees

from msgspec import Struct

from stairs.errors import MeasurementMissing, MeasurementsContradict, NoSuchShape
from stairs.lengths.tolerances import Tolerances
from stairs.numbers.roots import Number
from stairs.numbers.tolerances import ROUNDING, SAME
from stairs.relations.closed_forms import FLIGHT_STEPS
from stairs.relations.exact import Amount, derived
from stairs.relations.quantities import ANGLE, COUNT, FLIGHT, FLIGHT_KEYS, QUANTITIES

Step = tuple[str, tuple[str, ...], Callable[..., Number], str]
Show = Callable[[str, Amount | float], str]
"""A quantity's name and value as text, for errors and remarks."""


class FlightMeasure(Struct, frozen=True):
    """A flight that is fixed: every quantity's value and how it was found."""

    values: dict[str, Amount]  # of all that is in FLIGHT
    remarks: tuple[str, ...]  # on surplus that agreed only within the tape, and what was kept


WHOLE_FLIGHT = "slope of the whole flight"
MOST_RISERS = 1000


def _steps(flush: bool) -> list[Step]:
    """The steps of the chain; with a flush tread the totals' slope says nothing of the count."""
    return [step for step in FLIGHT_STEPS if not (flush and step[3] == WHOLE_FLIGHT)]


def _close(values: dict[str, Amount]) -> None:
    """Walk the relations forward until nothing new follows."""
    progress = True
    while progress:
        progress = False
        for target, given, function, _ in _steps(bool(values["flush_tread"])):
            if target in values or any(name not in values for name in given):
                continue
            arguments = {name: values[name] for name in given}
            values[target] = derived(function.__name__, **arguments)
            progress = True


def _count_from_totals(where: str, given: Mapping[str, Fraction], within: Tolerances) -> Fraction:
    """The only number of risers whose rake agrees with the one that was typed."""
    # with n risers and n - 1 treads the slope is H (n - 1) / (W n): it grows with n towards H / W,
    # so several counts may agree with a rake that was read roughly
    rise, run, rake = (given[name] for name in ("total_rise", "total_run", "rake"))
    slack = float(read_within("rake", rake, within))
    up_off, along_off = (float(within.of(name)) for name in ("rise", "run"))

    def angle(count: int, up: float, along: float) -> float:
        return degrees(atan2(up * (count - 1), along * count))

    def agrees(count: int) -> bool:
        low = angle(count, float(rise) - up_off, float(run) + along_off) - slack
        high = angle(count, float(rise) + up_off, float(run) - along_off) + slack
        return low - SAME <= float(rake) <= high + SAME

    counts = [count for count in range(2, MOST_RISERS + 1) if agrees(count)]
    candidates = ("risers", "treads", "unit_rise", "unit_run")
    remedy = "Add any one of: " + _asked(FLIGHT_KEYS[key] for key in candidates)
    if not counts:
        most = degrees(atan2(float(rise), float(run)))
        raise NoSuchShape(
            where,
            f"a rake of {float(rake):g}° agrees with no number of steps in this rise and run",
            f"The rake of any flight of them lies between {angle(2, float(rise), float(run)):.2f}° "
            f"and {most:.2f}°",
            "Measure again: rise from landing to landing, run from the first nosing to the last",
        )
    if len(counts) > 1:
        raise MeasurementMissing(
            where,
            f"rise, run and rake do not fix the number of steps: {counts[0]} to {counts[-1]} "
            "risers all agree with this rake",
            "",
            remedy,
            candidates,
        )
    return Fraction(counts[0])


def _reaches_all(names: set[str], flush: bool) -> bool:
    known = set(names) | {"flush_tread"}
    progress = True
    while progress:
        progress = False
        for target, given, _, _ in _steps(flush):
            if target not in known and known.issuperset(given):
                known.add(target)
                progress = True
    return known.issuperset(FLIGHT)


def _asked(names: Iterable[str]) -> str:
    return ", ".join(QUANTITIES[name].key_and_letter for name in names)


def _missing(where: str, given: Mapping[str, Fraction], flush: bool) -> MeasurementMissing:
    names = set(given)
    enough = tuple(
        name for name in FLIGHT if name not in names and _reaches_all(names | {name}, flush)
    )
    have = ", ".join(QUANTITIES[name].key for name in FLIGHT if name in names) or "nothing"
    if enough:
        remedy = "Add any one of: " + _asked(enough)
    else:
        pairs = [
            f"{QUANTITIES[one].key_and_letter} with {QUANTITIES[two].key_and_letter}"
            for one in FLIGHT
            for two in FLIGHT
            if FLIGHT.index(one) < FLIGHT.index(two)
            and not names & {one, two}
            and _reaches_all(names | {one, two}, flush)
        ]
        remedy = (
            "Two more measurements are needed, for example " + " or ".join(pairs[:3])
            if pairs
            else "Three measurements are needed, for example rise (H), run (W) and treads (T)"
        )
    return MeasurementMissing(
        where,
        f"{have} given, which is not enough to work the stair out",
        "",
        remedy,
        tuple(QUANTITIES[name].key for name in enough),
    )


def _whole_count(where: str, values: Mapping[str, Amount]) -> int:
    """The number of risers that the measurements come nearest to."""
    count = float(values["risers"])
    if not 1.5 <= count < MOST_RISERS + 0.5:
        raise NoSuchShape(
            where,
            f"these measurements come to {count:.4g} risers",
            f"A flight has 2 risers or more, and {MOST_RISERS} at most",
            "Check rise and unit_rise, or run and unit_run, against each other",
        )
    return round(count)


def read_within(name: str, value: Fraction, within: Tolerances) -> Fraction:
    """How far off a typed measurement may be [its own unit].

    A count is never off, an angle, where it has no tolerance of its own, by half of its last
    decimal place.

    Examples
    --------
    >>> within = Tolerances(Fraction(1, 16))
    >>> [str(read_within("rake", Fraction(typed), within)) for typed in ("35", "34.6")]
    ['1/2', '1/20']
    """
    unit, key = QUANTITIES[name].unit, QUANTITIES[name].key
    if unit == COUNT:
        return Fraction(0)
    if unit != ANGLE:
        return within.of(key)
    if key in dict(within.own):
        return within.of(key)
    places = next((k for k in range(7) if (value * 10**k).denominator == 1), 6)
    return Fraction(1, 2 * 10**places)


def fix_flight(
    given: Mapping[str, Fraction],
    *,
    top: str = "landing",
    within: Fraction | Tolerances = Fraction(0),
    where: str = "",
    show: Show = lambda name, value: f"{float(value):g}",
) -> FlightMeasure:
    """Every measurement of a flight from any sufficient set of them.

    Parameters
    ----------
    given : mapping of str to Fraction
        By names out of ``FLIGHT``; lengths in one unit, rake in degrees.
    top : str
        ``"landing"`` where the upper landing takes the place of the last tread, ``"tread"`` where
        the last tread is flush with it.
    within : Fraction or Tolerances
        How far off any one length may be, 0 or more, or each by its key.  An angle without a
        tolerance of its own is taken as good to half of its last typed digit.
    where : str
        Put before an error's text.

    Raises
    ------
    MeasurementMissing
        The set is too small.
    MeasurementsContradict
        A surplus measurement differs from what the others give by more than the tape allows.
    NoSuchShape
        The measurements come to fewer than two risers.

    Examples
    --------
    >>> flight = fix_flight({"total_rise": Fraction(42), "total_run": Fraction(50),
    ...                      "treads": Fraction(5)})
    >>> flight.values["unit_rise"], flight.values["unit_run"]
    (Fraction(7, 1), Fraction(10, 1))
    """
    flush = top == "tread"
    if not isinstance(within, Tolerances):
        within = Tolerances(within)
    names = [name for name in FLIGHT if name in given]
    if not _reaches_all(set(names), flush):
        raise _missing(where, given, flush)
    for name, more in (("risers", 0), ("treads", 0 if flush else 1)):
        if name in given:  # what has no steps has no run of one either
            _has_risers(where, given[name] + more, show)
    counted = dict(given)
    if set(names) == {"total_rise", "total_run", "rake"}:
        counted["risers"] = _count_from_totals(where, given, within)
        names = ["risers", *names]
    kept, surplus = _insert(names, counted, flush)
    if "risers" not in names and "treads" not in names:
        count = Fraction(_whole_count(where, kept))
        names, counted = ["risers", *names], {**given, "risers": count}
        if kept["risers"] != count:
            kept, surplus = _insert(names, counted, flush)
    chain = _Chain(given, names, kept, flush)
    remarks = tuple(_agree(name, chain, within, where, show) for name in surplus)
    _has_risers(where, kept["risers"], show)
    return FlightMeasure(kept, tuple(text for text in remarks if text))


def _has_risers(where: str, count: Amount, show: Show) -> None:
    """Refuse what is a single step or none."""
    if float(count) < 2:
        raise NoSuchShape(
            where,
            f"{show('risers', count)} riser",
            "A flight has 2 risers or more",
            "A single step has no rake: give it as a level section on either side",
        )


def _insert(
    names: Sequence[str], given: Mapping[str, Amount], flush: bool
) -> tuple[dict[str, Amount], list[str]]:
    """Take measurements in the order of authority; those that follow from earlier are surplus."""
    values: dict[str, Amount] = {"flush_tread": Fraction(int(flush))}
    surplus: list[str] = []
    for name in names:
        if name in values:
            surplus.append(name)
            continue
        values[name] = given[name]
        _close(values)
    del values["flush_tread"]
    return values, surplus


class _Chain(Struct, frozen=True):
    """What was typed, in the order in which it was taken, and what followed."""

    given: Mapping[str, Fraction]
    names: Sequence[str]
    kept: Mapping[str, Amount]
    flush: bool

    def without(self, name: str) -> list[str]:
        """The typed measurements but one."""
        return [other for other in self.names if other in self.given and other != name]

    def follows(self, names: Sequence[str], changed: Mapping[str, Fraction]) -> dict[str, Amount]:
        """What follows from some of them, the count as it is kept and others as changed."""
        values = {**self.given, "risers": self.kept["risers"], **changed}
        return _insert(names, values, self.flush)[0]

    def basis(self, name: str) -> list[str]:
        """What a surplus measurement is held against, without what that does not need."""
        basis = self.without(name)
        for other in reversed(tuple(basis)):
            fewer = [one for one in basis if one != other]
            if self.follows(fewer, {}).get(name) == self.kept[name]:
                basis = fewer
        return basis


def _allowance_text(allowance: str, compared: Iterable[str]) -> str:
    if allowance:
        return f"Up to {allowance} would pass as measuring error"
    if all(QUANTITIES[name].unit == COUNT for name in compared):
        return "They are counted and not measured, so that no error is allowed for"
    return "No measuring error is allowed for (measured_within is 0)"


def _agree(name: str, chain: _Chain, within: Tolerances, where: str, show: Show) -> str:
    """Compare a surplus measurement with what the others give; a remark where they differ."""
    typed, follows = chain.given[name], chain.kept[name]
    gap = abs(float(typed) - float(follows))
    if gap == 0:
        return ""
    allowance = float(read_within(name, typed, within))
    for other in chain.without(name):
        tolerance = read_within(other, chain.given[other], within)
        moved = [0.0]
        for shift in (-tolerance, tolerance):
            with suppress(ZeroDivisionError, ValueError):
                values = chain.follows(chain.names, {other: chain.given[other] + shift})
                moved.append(abs(float(values[name]) - float(follows)))
        allowance += max(moved)
    key = QUANTITIES[name].key
    basis = chain.basis(name)
    others = " and ".join(QUANTITIES[one].key for one in basis)
    if gap > allowance * (1 + ROUNDING):
        raise MeasurementsContradict(
            where,
            f"{key} is given as {show(name, typed)}, but {others} make it {show(name, follows)}: "
            f"they differ by {show(name, gap)}",
            _allowance_text(show(name, allowance) if allowance else "", (name, *basis)),
            "Measure again, or leave out the one that is in doubt",
            (float(typed), float(follows)),
        )
    return (
        f"{key} is given as {show(name, typed)}; {others} make it {show(name, follows)}, which is "
        "within the measuring error, and is used"
    )

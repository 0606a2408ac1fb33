"""The goal: what has to pass, and what of a solved guard misses it.

All checks, one check, or a number of the result that is to be at least, at most or just so much.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from stairs.checks.finding import Finding
from stairs.checks.part_values import BUILDABLE, PRACTICE
from stairs.errors import JobError
from stairs.guard.solving import Section
from stairs.inverse.asked import COUNT, DEGREES, LENGTH
from stairs.inverse.results import GROUPS, RESULTS, Number, ResultNumber
from stairs.job.tables import plain_word
from stairs.lengths.tape import as_typed, parse, parse_degrees
from stairs.relations.exact import compare
from stairs.rules import CHECKS, Rulebook

Side = Literal["at least", "at most", "equal"]
_KIND = {"at least": "minimum", "at most": "maximum", "equal": "equal"}


class Target(Struct, frozen=True):
    """A number of the result, or the value of a check, that is to be so much [its unit].

    ``nth`` is the bay or post that is meant, from 1; None where all are.
    """

    name: str
    unit: str
    side: Side
    value: Fraction
    result: ResultNumber | None = None
    nth: int | None = None

    @property
    def title(self) -> str:
        """In words."""
        return self.name.replace("_", " ") if self.result else CHECKS[self.name].label

    def keeps(self, order: int) -> bool:
        """Whether a number below (-1), at (0) or above (1) the value is as wanted."""
        return {"at least": order >= 0, "at most": order <= 0, "equal": order == 0}[self.side]


class Miss(Struct, frozen=True):
    """One thing that a guard does not keep: which, where, and by how much.

    ``as_cut_only`` tells whether it is kept as drawn; ``finding`` is the check's, where it is one;
    ``because`` says why there is no guard at all, and then nothing else is told.
    """

    id: str
    section: int = 0
    where: str = ""
    unit: str = LENGTH
    value: float | None = None
    limit: float | None = None
    kind: str = ""
    order: int = 0
    as_cut_only: bool = False
    finding: Finding | None = None
    because: str = ""

    @property
    def over(self) -> float:
        """How far the value is past its limit [its unit]; infinite where there is no guard."""
        if self.value is None or self.limit is None:
            return float("inf")
        value = self.value
        if self.as_cut_only and self.finding is not None and self.finding.cut.value is not None:
            value = self.finding.cut.value
        return abs(value - self.limit)

    @property
    def key(self) -> tuple[int, str]:
        """Section, from 1, and name."""
        return self.section, self.id


class Goal(Struct, frozen=True):
    """What has to pass.

    Parameters
    ----------
    check : str or None
        The one check; None for all of them, or where a number is wanted.
    target : Target or None
        The number, and how much it is to be.
    section : int or None
        The only section that counts, from 1; all of them where None.
    aside : frozenset of (int, str)
        Checks that are left aside, by section, from 1, and name.
    """

    check: str | None = None
    target: Target | None = None
    section: int | None = None
    aside: frozenset[tuple[int, str]] = frozenset()

    @property
    def is_of_openings(self) -> bool:
        """Whether a number is wanted that is the size of an opening."""
        return self.target is not None and self.target.name.startswith("opening-")

    def without(self, aside: frozenset[tuple[int, str]]) -> Goal:
        """The goal with more checks left aside."""
        return replace(self, aside=self.aside | aside)

    def counts(self, number: int) -> bool:
        """Whether a section counts, by its number from 1."""
        return self.section in (None, number)

    def asks(self, finding: Finding) -> bool:
        """Whether it is one of the checks that have to pass."""
        if self.target is not None or not self.counts(finding.section):
            return False
        if (finding.section, finding.id) in self.aside:
            return False
        return self.check in (None, finding.id)

    def misses(self, sections: Sequence[Section], findings: Sequence[Finding]) -> Iterator[Miss]:
        """What a solved guard with these findings does not keep."""
        if self.target is None:
            yield from (miss_of(one) for one in findings if self.asks(one) and one.fails)
            return
        for section in sections:
            if self.counts(section.number):
                yield from self._off(self.target, section, findings)

    def _off(self, target: Target, section: Section, findings: Sequence[Finding]) -> Iterator[Miss]:
        for where, number, order in numbers_of(target, section, findings):
            if not target.keeps(order):
                yield Miss(
                    target.name,
                    section.number,
                    where,
                    target.unit,
                    float(number),
                    float(target.value),
                    _KIND[target.side],
                    order,
                )


def numbers_of(
    target: Target, section: Section, findings: Sequence[Finding]
) -> Iterator[tuple[str, Number, int]]:
    """Where each number of a section is, how much, and how it compares with what is wanted.

    The comparison is exact where the solver has the number so.
    """
    if target.result is not None:
        for where, number in target.result.read_off(section, target.nth):
            yield where, number, _order(number, target.value)
        return
    for one in findings:
        if one.id == target.name and one.section == section.number and one.measure is not None:
            order = one.measure.compare(target.value)
            yield one.where, one.value or 0.0, order


def _order(number: Number, value: Fraction) -> int:
    if isinstance(number, int | float):
        return (number > value) - (number < value)
    return compare(number, value)


def miss_of(finding: Finding) -> Miss:
    """A failing check as a miss."""
    ruling = finding.ruling
    return Miss(
        finding.id,
        finding.section,
        finding.where,
        finding.unit,
        finding.value,
        ruling.limit,
        ruling.kind,
        finding.order,
        finding.fails_only_as_cut,
        finding,
    )


# --------------------------------------------------------------------------- as it is typed


def goal_of(
    name: str | None,
    limits: dict[Side, str | None],
    rulebook: Rulebook,
    units: str,
    section: int | None,
) -> Goal:
    """The goal that was typed: all checks, one of them, or a number and how much it is to be.

    Parameters
    ----------
    name : str or None
        A check of the vocabulary, or a number of the result by its name in ``--json``.
    limits : dict
        What was typed for at least, at most and equal; at most one of them.

    Raises
    ------
    JobError
        There is no such check or number, or it is not said how much it is to be.
    """
    told = [(side, typed) for side, typed in limits.items() if typed is not None]
    options = [f"--{side.replace(' ', '-')}" for side, _ in told]
    if len(told) > 1:
        raise JobError(options[0], f"is given with {options[1]}", "", "Give one of them")
    if name is None:
        if told:
            raise JobError(
                options[0],
                "is given, and not of what",
                "It is of a number of the result, or of what a check measures",
                "Add --for and its name, as in --for guard_height",
            )
        return Goal(section=section)
    check, result, nth = _named(name)
    if check is not None and not told:
        _refuse_unasked(check, rulebook)
        return Goal(check=check, section=section)
    unit = result.unit if result is not None else CHECKS[check].unit if check in CHECKS else ""
    if unit not in (LENGTH, DEGREES, COUNT):
        raise JobError(
            "--for", f"{name} is no length, angle or count", "", "Leave the limit out, or ask for "
            "another",
        )  # fmt: skip
    if not told:
        raise JobError(
            "--for",
            f"{name} is a number of the result, and nothing says how much it is to be",
            "",
            "Add --at-least, --at-most or --equal, as in --at-least 36",
        )
    side, typed = told[0]
    value = _value(typed, unit, units, options[0])
    return Goal(target=Target(check or (result and result.name) or "", unit, side, value, result,
                              nth), section=section)  # fmt: skip


def _refuse_unasked(check: str, rulebook: Rulebook) -> None:
    if check in PRACTICE or any(rule.check == check for rule in rulebook.rules):
        return
    raise JobError(
        "--for",
        f"{rulebook.id} has no rule for {check}",
        "",
        "Say how much it is to be, as in --at-most, or ask for a check that stairs rules "
        f"{rulebook.id} lists",
    )


def _value(typed: str, unit: str, units: str, option: str) -> Fraction:
    if unit == DEGREES:
        return parse_degrees(typed, option)
    if unit == LENGTH:
        return parse(typed, units, option)
    if not re.fullmatch(r"[0-9]{1,6}", typed.strip()):
        raise JobError(option, f"{as_typed(typed)} is no whole number", "", "Write it in digits")
    return Fraction(int(typed))


def _named(name: str) -> tuple[str | None, ResultNumber | None, int | None]:
    """The check or the number of the result that is meant, and of which bay or post."""
    word = name.strip().lower().replace("_", "-")
    checks = {one: one for one in (*CHECKS, *PRACTICE) if one != BUILDABLE}
    if word in checks:
        return word, None, None
    parts = re.fullmatch(
        r"(?:(bays|posts|sections)(?:\[\]|\[?\.?(\d{1,3})\]?)?\.)?(\w+)", plain_word(name)
    )
    if parts and parts[3] in RESULTS:
        result, group = RESULTS[parts[3]], parts[1]
        if group is None or GROUPS[group] == result.of:
            nth = int(parts[2]) if parts[2] and result.of != "section" else None
            return None, result, nth
    names = [*checks, *RESULTS]
    near = difflib.get_close_matches(word, names, n=3) or [
        one for one in names if plain_word(word) in plain_word(one)
    ]
    raise JobError(
        "--for",
        f"{as_typed(name)} is no check and no number of the result",
        "",
        f"The nearest: {', '.join(near[:3])}"
        if near
        else "Checks are those that stairs rules lists, numbers those that --json names",
    )

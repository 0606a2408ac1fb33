"""Answers: the values of a key that pass, the ends of each stretch of them, and what fails beyond.

Lengths are in the job's unit, angles in degrees; values that can be set are exact fractions.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from msgspec import Struct

from stairs.inverse.asked import CHOICE, DEGREES, LENGTH, Asked
from stairs.inverse.goal import Goal, Miss
from stairs.inverse.span import Span
from stairs.job.key_notes import toml_text
from stairs.lengths.tape_marks import exact_text

_SHORT = 9  # letters of a length that is told as exactly as it is


class End(Struct, frozen=True):
    """One end of a stretch of values that pass as drawn.

    Parameters
    ----------
    inside, outside : Fraction
        Next to each other: the last that was tried and passes, and the first that does not.  Alike
        where the range that was asked for ends.
    value : Fraction
        The end itself: a plain number between the two where there is one, else the middle.
    plain : bool
        Whether it is such a number.
    included : bool
        Whether the end itself passes.
    misses : tuple of Miss
        What fails just beyond, as drawn; empty where the range ends.
    held : float or None
        The value of the first of them on the passing side.
    leans : tuple of (str, str)
        What the ball of an opening touches, on the passing side and beyond; empty for all else.
    """

    inside: Fraction
    outside: Fraction
    value: Fraction
    plain: bool = True
    included: bool = True
    misses: tuple[Miss, ...] = ()
    held: float | None = None
    leans: tuple[str, str] = ("", "")

    @property
    def of_range(self) -> bool:
        """Whether nothing fails here and only the range ends."""
        return not self.misses

    @property
    def jumps(self) -> bool:
        """Whether what fails beyond changes by a leap here, and does not cross its limit."""
        if self.held is None or not self.misses or self.misses[0].value is None:
            return bool(self.misses and self.misses[0].because)
        return abs(self.misses[0].value - self.held) > 1e-6 * max(1.0, abs(self.held))


class Stretch(Struct, frozen=True):
    """Values next to each other that all pass as drawn; ``proved`` where that is proved."""

    low: End
    high: End
    proved: bool


class Failing(Struct, frozen=True):
    """Values next to each other that all fail, and what fails at every one of them."""

    low: Fraction
    high: Fraction
    misses: tuple[Miss, ...]
    proved: bool


class Run(Struct, frozen=True):
    """Values next to each other that can be set and pass: the lowest and the highest.

    ``below`` and ``above`` tell what is missed at the next value that can be set, as drawn or as it
    will be cut; empty where the range ends.
    """

    low: Any
    high: Any
    below: tuple[Miss, ...] = ()
    above: tuple[Miss, ...] = ()

    def __repr__(self) -> str:
        return f"<{self.low}>" if self.low == self.high else f"<{self.low} to {self.high}>"


class Tried(Struct, frozen=True):
    """One value that was solved again: what fails there, and what is marginal.

    ``anew`` is what fails where posts that the job leaves open are laid out anew for the value;
    None where that is the same, or was not tried.
    """

    value: Any
    misses: tuple[Miss, ...]
    marginal: tuple[Miss, ...] = ()
    anew: tuple[Miss, ...] | None = None


class Rails(Struct, frozen=True):
    """How the rails of a bay are made: what may change by a leap.

    Section and bay count from 1; ``stock`` is None where no length sold is long enough.
    """

    section: int
    bay: int
    balusters: int
    stock: Fraction | None


class Change(Struct, frozen=True):
    """A leap inside what passes: between which values it is, and the rails on either side."""

    low: Fraction
    high: Fraction
    below: Rails
    above: Rails


class Contact(Struct, frozen=True):
    """Where a ball comes to touch something else: between which values, and what on either side."""

    low: Fraction
    high: Fraction
    below: str
    above: str


class Way(Struct, frozen=True):
    """How the range was gone through.

    Parameters
    ----------
    proved : bool
        Whether it is proved what comes of every value, but for the brackets about the ends.
    open_width : Fraction
        How much of the range in all is not proved [the key's unit].
    steps : Fraction or None
        Of what is not proved, how far apart the values are at most that were solved; None where
        all is proved but for what cannot be built.
    solved : int
        How many values were solved.
    laid_out : bool
        Whether posts were laid out anew at each.
    unbuilt : Fraction or None
        How far apart they are at most where no guard can be built; None where one always can.
    """

    proved: bool
    open_width: Fraction
    steps: Fraction | None
    solved: int
    laid_out: bool
    unbuilt: Fraction | None = None


class Nearest(Struct, frozen=True):
    """Where nothing passes: the value that comes nearest, and what it misses by how much."""

    value: Any
    misses: tuple[Miss, ...]


class Found(Struct, frozen=True):
    """For which values of a key the goal is reached.

    Parameters
    ----------
    units : str
        Of the job: ``"in"`` or ``"mm"``.
    span : Span
        The values that were looked at.
    drawn : tuple of Stretch
        All that pass as drawn, ends and all; empty for counts and choices.
    marks : tuple of Run
        Of the values that can be set those that pass, as drawn and as it will be cut.
    sure : tuple of Run
        Of these the ones that pass wherever within their tolerances all measurements are.
    sure_every : int
        Every how many of the values were tried for ``sure``, where each had to be tried by itself.
    aside : tuple of Miss
        What is marginal at each of them, so that it was left aside for ``sure``.
    fails : tuple of Failing
        All other values.
    tried : tuple of Tried
        The safe ends, solved again; of a count or a choice every value.
    changes : tuple of Change
        Leaps inside the stretches.
    contacts : tuple of Contact
        Where what the ball touches changes, if one check of openings is asked for.
    constant : tuple of Miss
        What fails at every value alike, on which the key has no influence.
    without : Found or None
        The answer with those left aside, where there are any.
    elsewhere : tuple of Miss
        What fails in sections on which the key has no influence; left aside in all of this.
    notes : tuple of str
        What else follows where the key takes another value, in words.
    """

    asked: Asked
    goal: Goal
    units: str
    tape: Fraction
    within: Fraction
    span: Span
    way: Way
    drawn: tuple[Stretch, ...] = ()
    marks: tuple[Run, ...] = ()
    sure: tuple[Run, ...] = ()
    sure_every: int = 1
    aside: tuple[Miss, ...] = ()
    fails: tuple[Failing, ...] = ()
    tried: tuple[Tried, ...] = ()
    changes: tuple[Change, ...] = ()
    contacts: tuple[Contact, ...] = ()
    nearest: Nearest | None = None
    constant: tuple[Miss, ...] = ()
    without: Found | None = None
    elsewhere: tuple[Miss, ...] = ()
    notes: tuple[str, ...] = ()

    def shown(self, value: Any) -> str:
        """A value of the key as it is set or typed; exact where it is on the tape, else near."""
        kind = self.asked.kind
        if value is None:
            return "none"
        if kind == DEGREES:
            return f"{float(value):.4f}".rstrip("0").rstrip(".") + "°"
        if kind != LENGTH:
            return toml_text(value) if kind == CHOICE else str(value)
        exact = exact_text(value, self.units)
        if Fraction(value) % self.tape == 0 or len(exact) <= _SHORT:
            return exact
        near = f"{float(value):.6f}".rstrip("0").rstrip(".")
        return near + ('"' if self.units == "in" else " mm")

    def listed(self, runs: tuple[Run, ...]) -> str:
        """Runs of values, each from its lowest to its highest; ``nowhere`` where there are none."""
        texts = [
            self.shown(run.low)
            if run.low == run.high
            else f"{self.shown(run.low)} to {self.shown(run.high)}"
            for run in runs
        ]
        return ", ".join(texts) or "nowhere"

    def __repr__(self) -> str:
        return (
            f"<{self.asked.path}: everywhere {self.listed(self.sure)}; "
            f"as drawn {self.listed(self.marks)}>"
        )

"""How far off measurements may be: one length for all of them, and those that have their own."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct


class Tolerances(Struct, frozen=True):
    """How far off each measurement of a job may be, by its key as the job file has it.

    ``usual`` is that of every length that is not among ``own`` [job's unit]; those are in the unit
    of the measurement itself.
    """

    usual: Fraction
    own: tuple[tuple[str, Fraction], ...] = ()

    def of(self, key: str) -> Fraction:
        """How far off a length may be either way [job's unit of length].

        Examples
        --------
        >>> within = Tolerances(Fraction(1, 16), (("panel.pitch", Fraction(1, 32)),))
        >>> str(within.of("panel.pitch")), str(within.of("span"))
        ('1/32', '1/16')
        """
        return dict(self.own).get(key, self.usual)

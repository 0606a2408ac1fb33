"""The flight: treads, risers and nosings between two landings, as points and lines.

A nosing is the front edge of a tread, and the line through all nosings is what a stair guard is
set out from.  ``x`` grows up the stair from the first nosing, ``y`` up from the lower landing.
Nosing ``n``, the last, is the edge of the upper landing.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from stairs.chain import FlightMeasure, fix_flight
from stairs.errors import NoSuchShape
from stairs.exact import Amount, derived
from stairs.job import Flight as FlightJob
from stairs.quantities import FLIGHT_KEYS

THIN = Fraction(0)


@dataclass(frozen=True, slots=True)
class Flight:
    """A flight that is fixed, with exact measurements.

    Parameters
    ----------
    risers, treads : int
        Counts.
    unit_rise, unit_run, total_rise, total_run : Fraction or Derived
        In the job's unit of length.
    rake : float
        Degrees from level.
    nosing : Fraction
        How far a nosing stands out over the riser below it.
    tread_thickness : Fraction
        How far the nosing's front face reaches down; 0 where the job does not say, which leaves
        the larger opening.
    """

    risers: int
    treads: int
    unit_rise: Amount
    unit_run: Amount
    total_rise: Amount
    total_run: Amount
    rake: float
    nosing: Fraction
    tread_thickness: Fraction
    measure: FlightMeasure

    @property
    def nosings(self) -> tuple[tuple[float, float], ...]:
        """Nosing points, lowest first, in the job's unit of length."""
        rise, run = float(self.unit_rise), float(self.unit_run)
        return tuple(((k - 1) * run, k * rise) for k in range(1, self.risers + 1))

    def step_at(self, x: float) -> int:
        """The tread that lies under ``x``: 0 for the lower landing, ``risers`` for the upper.

        Examples
        --------
        >>> from stairs.job import Flight as FlightJob
        >>> from fractions import Fraction
        >>> job = FlightJob(rise=Fraction(28), run=Fraction(30), treads=3)
        >>> flight = flight_of(job, Fraction(0), "section 1")
        >>> [flight.step_at(x) for x in (-1, 0, 9.5, 10, 31)]
        [0, 1, 1, 2, 4]
        """
        if x < 0:
            return 0
        return min(int(x / float(self.unit_run) + 1e-12) + 1, self.risers)

    def surface_name(self, step: int) -> str:
        """What the surface of a step is called: a landing or a numbered tread."""
        if step == 0:
            return "lower landing"
        return "upper landing" if step == self.risers else f"tread {step}"

    def surface_height(self, step: int) -> float:
        """Height of a step's surface over the lower landing [job's unit of length]."""
        return step * float(self.unit_rise)


def flight_of(section: FlightJob, within: Fraction, where: str, show=None) -> Flight:
    """The flight that a section's measurements fix.

    Parameters
    ----------
    section : stairs.job.Flight
        As read from the job file.
    within : Fraction
        How far off any one measurement may be.
    where : str
        The section as errors name it.
    show : callable, optional
        Turns a quantity's name and value into text for errors.

    Returns
    -------
    Flight

    Raises
    ------
    MeasurementMissing, MeasurementsContradict, NoSuchShape
        See :func:`stairs.chain.fix_flight`; also where treads are thicker than a riser is high.

    Examples
    --------
    >>> job = FlightJob(unit_rise=Fraction(7), unit_run=Fraction(11), risers=4)
    >>> float(flight_of(job, Fraction(0), "section 1").total_run)
    33.0
    """
    given = {
        name: Fraction(value)
        for key, name in FLIGHT_KEYS.items()
        if (value := getattr(section, key)) is not None
    }
    options = {} if show is None else {"show": show}
    measure = fix_flight(given, top=section.top, within=within, where=where, **options)
    values = measure.values
    thickness = THIN if section.tread_thickness is None else section.tread_thickness
    if float(values["unit_rise"]) <= float(thickness):
        raise NoSuchShape(
            f"{where}: tread_thickness",
            f"a tread {float(thickness):g} thick under a riser of {float(values['unit_rise']):g}",
            "A tread is thinner than a riser is high",
            "Measure the tread's front edge, top to bottom",
        )
    if float(section.nosing) >= float(values["unit_run"]):
        raise NoSuchShape(
            f"{where}: nosing",
            f"a nosing of {float(section.nosing):g} over a run of {float(values['unit_run']):g}",
            "A nosing is shorter than the run",
            "Measure how far the tread stands out over the riser below it",
        )
    return Flight(
        risers=int(values["risers"]),
        treads=int(values["treads"]),
        unit_rise=values["unit_rise"],
        unit_run=values["unit_run"],
        total_rise=values["total_rise"],
        total_run=values["total_run"],
        rake=float(derived("rake", unit_rise=values["unit_rise"], unit_run=values["unit_run"])),
        nosing=section.nosing,
        tread_thickness=thickness,
        measure=measure,
    )

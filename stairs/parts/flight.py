"""The flight: treads, risers and nosings between two landings, as points and lines.

A nosing is the front edge of a tread, and the line through all nosings is what a stair guard is
set out from.  ``x`` grows up the stair from the first nosing, ``y`` up from the lower landing.
Nosing ``n``, the last, is the edge of the upper landing.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import Any

from msgspec import Struct

from stairs.errors import NoSuchShape
from stairs.job import JobFlight
from stairs.job.key_notes import value_of
from stairs.lengths.tolerances import Tolerances
from stairs.numbers.tolerances import ROUNDING
from stairs.parts.survey import COVER, StepsOnLine, Survey, survey_of
from stairs.relations.exact import Amount, derived
from stairs.relations.measured_flight import FlightMeasure, fix_flight
from stairs.relations.quantities import FLIGHT_KEYS

ShowQuantity = Callable[[str, Any], str]
"""Text of a measurement of a flight, by its name and value."""


class Flight(Struct, frozen=True):
    """A flight that is fixed, with exact measurements.

    Parameters
    ----------
    unit_rise, unit_run, total_rise, total_run : Fraction or Derived
        In the job's unit of length; of a measured flight the mean step.
    points : tuple of (Fraction or Derived, Fraction or Derived)
        Every nosing, lowest first; the last is the edge of the upper landing.
    line_rise, line_run : Fraction or Derived
        The nosing line: it passes ``line_rise`` above ``x = 0`` and climbs ``line_rise`` in
        ``line_run``.  Of a designed flight that is one step.
    rake : float
        Of that line, degrees from level.
    nosing : Fraction
        How far a nosing stands out over the riser below it.
    tread_thickness : Fraction
        How far the nosing's front face reaches down; 0 where the job does not say, which leaves
        the larger opening.
    riser_slope : Fraction
        How far the risers are raked back from plumb, degrees.
    measure : FlightMeasure or None
        How a designed flight was fixed; None for a measured one.
    survey : Survey or None
        What was found out about a measured flight; None for a designed one.
    """

    risers: int
    treads: int
    unit_rise: Amount
    unit_run: Amount
    total_rise: Amount
    total_run: Amount
    points: tuple[tuple[Amount, Amount], ...]
    line_rise: Amount
    line_run: Amount
    rake: float
    nosing: Fraction
    tread_thickness: Fraction
    riser_slope: Fraction
    measure: FlightMeasure | None
    survey: Survey | None = None

    @property
    def nosings(self) -> tuple[tuple[float, float], ...]:
        """Nosing points, lowest first, in the job's unit of length."""
        return tuple((float(x), float(y)) for x, y in self.points)

    @property
    def lowest_nosing(self) -> Fraction:
        """How far the lowest nosing lies under the nosing line, plumb [job's unit of length].

        The nosings of a designed flight all lie on their line; of a measured one the rails clear
        the highest, and stand over each of the others by so much more.
        """
        return Fraction(0) if self.survey is None else max(self.survey.line_gaps)

    def step_at(self, x: float) -> int:
        """The step that lies under ``x``: 0 for the lower landing, ``risers`` for the upper.

        Parameters
        ----------
        x : float
            Level, from the first nosing [job's unit of length]; at a nosing its own step counts.

        Examples
        --------
        >>> from stairs.job.key_notes import record_of
        >>> from fractions import Fraction
        >>> job = record_of(JobFlight, rise=Fraction(28), run=Fraction(30), treads=3)
        >>> flight = flight_of(job, Fraction(0), "section 1")
        >>> [flight.step_at(x) for x in (-1, 0, 9.5, 10, 31)]
        [0, 1, 1, 2, 4]
        """
        hair = ROUNDING * max(1.0, abs(x))
        return sum(float(front) <= x + hair for front, _ in self.points)

    def surface_name(self, step: int) -> str:
        """What the surface of a step is called: a landing or a numbered tread."""
        if step == 0:
            return "lower landing"
        return "upper landing" if step == self.risers else f"tread {step}"

    def surface(self, step: int) -> Amount:
        """Height of a step's surface over the lower landing [job's unit of length].

        Parameters
        ----------
        step : int
            From 0, the lower landing, to ``risers``, the upper one.
        """
        return self.points[step - 1][1] if step else Fraction(0)


def flight_of(
    section: JobFlight, within: Fraction | Tolerances, where: str, show: ShowQuantity | None = None
) -> Flight:
    """The flight that a section's measurements fix.

    Parameters
    ----------
    within : Fraction or Tolerances
        How far off any one measurement may be.
    show : callable, optional
        Turns a quantity's name and value into text for errors.

    Raises
    ------
    MeasurementMissing, MeasurementsContradict, NoSuchShape
        See :func:`stairs.relations.measured_flight.fix_flight`; also where treads are thicker than
        a riser is high.

    Examples
    --------
    >>> from stairs.job.key_notes import record_of
    >>> job = record_of(JobFlight, unit_rise=Fraction(7), unit_run=Fraction(11), risers=4)
    >>> float(flight_of(job, Fraction(0), "section 1").total_run)
    33.0
    """
    say = show or (lambda name, value: f"{float(value):g}")
    if section.steps.nosings is not None:
        flight = _measured(section, section.steps.nosings, where)
    else:
        flight = _designed(section, within, where, show)
    for number, (one, other) in enumerate(pairwise(((0, 0), *flight.nosings)), start=1):
        rise = other[1] - one[1]
        if rise <= float(flight.tread_thickness):
            raise NoSuchShape(
                f"{where}: tread_thickness",
                f"a tread {say('tread_thickness', flight.tread_thickness)} thick under riser "
                f"{number}, which is {say('unit_rise', rise)} high",
                "A tread is thinner than a riser is high",
                "Measure the tread's front edge, top to bottom",
            )
        if number > 1 and float(section.build.nosing) >= other[0] - one[0]:
            raise NoSuchShape(
                f"{where}: nosing",
                f"a nosing of {say('nosing', section.build.nosing)} over a run of "
                f"{say('unit_run', other[0] - one[0])}",
                "A nosing is shorter than the run",
                "Measure how far the tread stands out over the riser below it",
            )
    return flight


def _designed(
    section: JobFlight, within: Fraction | Tolerances, where: str, show: ShowQuantity | None
) -> Flight:
    given = {
        name: value if isinstance(value, Fraction) else Fraction(value)
        for key, name in FLIGHT_KEYS.items()
        if (value := value_of(section, key)) is not None
    }
    options = {} if show is None else {"show": show}
    measure = fix_flight(given, top=section.steps.top, within=within, where=where, **options)
    values = measure.values
    step = values["unit_rise"], values["unit_run"]
    risers = int(float(values["risers"]))
    points = tuple(
        (
            derived("nosing_x", treads_in_front=number - 1, unit_run=step[1]),
            derived("step_surface", step=number, unit_rise=step[0]),
        )
        for number in range(1, risers + 1)
    )
    total = values["total_rise"], values["total_run"]
    treads = int(float(values["treads"]))
    return _flight(section, treads, step, total, points, step, measure=measure)


_surveyed = lru_cache(maxsize=64)(survey_of)
"""Where changes are tried, the same nosings come again and again."""


def _measured(
    section: JobFlight, points: tuple[tuple[Fraction, Fraction], ...], where: str
) -> Flight:
    steps = section.steps
    line = steps.line if isinstance(steps, StepsOnLine) else None
    survey = _surveyed(
        points, where, steps.rises is not None, steps.rail_line or COVER, steps.totals, line
    )
    (first, _), (run, rise) = points[0], points[-1]
    treads = len(points) - 1
    over = survey.line.at_zero, survey.line.at_zero / survey.line.slope
    mean = rise / len(points), (run - first) / treads
    return _flight(section, treads, mean, (rise, run), points, over, survey=survey)


def _flight(
    section: JobFlight,
    treads: int,
    step: tuple[Amount, Amount],
    total: tuple[Amount, Amount],
    points: tuple[tuple[Amount, Amount], ...],
    line: tuple[Amount, Amount],
    measure: FlightMeasure | None = None,
    survey: Survey | None = None,
) -> Flight:
    """Pairs are a rise and a run."""
    return Flight(
        risers=len(points),
        treads=treads,
        unit_rise=step[0],
        unit_run=step[1],
        total_rise=total[0],
        total_run=total[1],
        points=points,
        line_rise=line[0],
        line_run=line[1],
        rake=float(derived("rake", unit_rise=line[0], unit_run=line[1])),
        nosing=section.build.nosing,
        tread_thickness=section.build.tread_thickness or Fraction(0),
        riser_slope=section.build.riser_slope,
        measure=measure,
        survey=survey,
    )


def step_amounts(flight: Flight) -> dict[str, Amount]:
    """What rules ask of the steps, by name; of a measured flight the extremes and differences.

    Lengths are in the job's unit; ``risers`` and ``treads`` are counts.

    Examples
    --------
    >>> from stairs.job.key_notes import record_of
    >>> step = {"unit_rise": Fraction(7), "unit_run": Fraction(11), "nosing": Fraction(1)}
    >>> job = record_of(JobFlight, risers=4, **step)
    >>> amounts = step_amounts(flight_of(job, Fraction(0), "section 1"))
    >>> float(amounts["step_sum"]), float(amounts["tread_depth"])
    (25.0, 12.0)
    """
    amounts: dict[str, Amount] = {
        "risers": Fraction(flight.risers),
        "treads": Fraction(flight.treads),
        "total_rise": flight.total_rise,
        "total_run": flight.total_run,
    }
    steps, survey = step_sizes(flight), flight.survey
    if survey is not None:
        for name, sizes in (("riser", survey.rises), ("tread", survey.runs)):
            amounts[f"{name}_spread"] = max(sizes) - min(sizes)
            amounts[f"{name}_spread_adjacent"] = max(
                (abs(high - low) for low, high in pairwise(sizes)), default=Fraction(0)
            )
    amounts |= {
        "unit_rise": max(steps["rise"], key=float),
        "least_unit_rise": min(steps["rise"], key=float),
        "unit_run": min(steps["run"], key=float),
        "greatest_unit_run": max(steps["run"], key=float),
        "step_sum": max(steps["step sum"], key=float),
        "least_step_sum": min(steps["step sum"], key=float),
        "tread_depth": min(steps["tread depth"], key=float),
    }
    return amounts


def step_sizes(flight: Flight) -> dict[str, tuple[Amount, ...]]:
    """What rules ask of the steps, of each of them from the foot up [job's unit of length].

    ``rise`` and ``run``, ``step sum`` and ``tread depth`` of each tread, ``open riser``; of a
    flight whose steps are alike there is one of each.
    """
    if flight.survey is not None:
        return steps_of(flight.survey.rises, flight.survey.runs, flight)
    return steps_of((flight.unit_rise,), (flight.unit_run,), flight)


def steps_of(
    rises: Sequence[Amount], runs: Sequence[Amount], flight: Flight
) -> dict[str, tuple[Amount, ...]]:
    """The same of other steps, with a flight's nosing and treads; see :func:`step_sizes`."""
    after = rises[1:] or rises  # a tread goes with the riser behind it
    return {
        "rise": tuple(rises),
        "run": tuple(runs),
        "step sum": tuple(
            derived("step_sum", unit_rise=rise, unit_run=run)
            for rise, run in zip(after, runs, strict=False)
        ),
        "tread depth": tuple(
            derived("tread_depth", unit_run=run, nosing=flight.nosing) for run in runs
        ),
        "open riser": tuple(
            derived("open_riser", unit_rise=rise, tread_thickness=flight.tread_thickness)
            for rise in rises
        ),
    }

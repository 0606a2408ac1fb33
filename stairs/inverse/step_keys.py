"""Steps: how the other measurements of a flight follow where one of them takes another value.

A flight is fixed by any set of measurements that is enough.  Where one of them is turned like a
dial, those that it contradicts have to give: the fewest that do, the ones that a person would let
go first.  Posts stay on the step that they stand on.
"""

from __future__ import annotations

from fractions import Fraction
from functools import partial
from itertools import combinations
from typing import Any

from stairs.errors import JobError, MeasurementMissing, MeasurementsContradict
from stairs.guard.solving import FlightSection
from stairs.job import JobFlight
from stairs.job.key_notes import value_of, with_values
from stairs.parts.flight import Flight, flight_of
from stairs.remedies.job_changes import STEP_KEYS, Change
from stairs.remedies.job_changes import posts_on_steps as on_steps

COUNTS = ("risers", "treads")

_GIVE_WAY = {
    "rise": ("unit_rise", "rake", "risers", "treads", "unit_run", "run"),
    "unit_rise": ("rise", "rake", "risers", "treads", "unit_run", "run"),
    "run": ("unit_run", "rake", "treads", "risers", "unit_rise", "rise"),
    "unit_run": ("run", "rake", "treads", "risers", "unit_rise", "rise"),
    "rake": ("run", "unit_run", "unit_rise", "rise", "treads", "risers"),
    "risers": ("treads", "unit_rise", "rake", "unit_run", "run", "rise"),
    "treads": ("risers", "unit_rise", "rake", "unit_run", "run", "rise"),
}
"""What gives way to each key, first what is let go first."""


def given_steps(record: JobFlight) -> tuple[str, ...]:
    """The keys by which the job fixes the steps."""
    return tuple(key for key in STEP_KEYS if value_of(record, key) is not None)


def let_go(section: FlightSection, record: JobFlight, key: str, where: str) -> tuple[str, ...]:
    """The keys that have to be left out of the job where one of the steps' takes another value.

    Raises
    ------
    JobError
        The stair was measured step by step, or no other value goes with what is given.
    """
    if section.flight.survey is not None or record.steps.nosings is not None:
        raise JobError(
            where,
            f"{key} is asked for, and the steps of this stair were measured one by one",
            "Each step has a rise and a run of its own there",
            "Ask for bottom_gap or another key of the guard, or for rises.1 or runs.1, one step "
            "of those that the job lists",
        )
    others = [one for one in _GIVE_WAY[key] if value_of(record, one) is not None]
    now = now_of(section.flight, key)
    for size in range(len(others) + 1):
        for gone in combinations(others, size):
            if any(map(partial(_goes, record, key, gone), _others(key, now))):
                return gone
    raise JobError(
        where,
        f"{key} is asked for, and no other value of it goes with what the job gives",
        "",
        f"Give the steps by {key} and a count of risers or treads",
    )


def now_of(flight: Flight, key: str) -> Any:
    """What a key of the steps comes to, whether the job gives it or not."""
    if key == "rake":
        return Fraction(flight.rake).limit_denominator(10**6)
    name = {"rise": "total_rise", "run": "total_run"}.get(key, key)
    value = getattr(flight, name)
    if key in COUNTS or isinstance(value, Fraction):
        return value
    return Fraction(float(value)).limit_denominator(10**9)


def _others(key: str, now: Any) -> tuple[Any, ...]:
    """Values near the one that is, and too far off for any tolerance."""
    if key in COUNTS:
        return now + 1, now - 1
    return now * Fraction(97, 90), now * Fraction(89, 97)


def _goes(record: JobFlight, key: str, gone: tuple[str, ...], value: Any) -> bool:
    """Whether a flight is fixed, by a value of the key and all that is not let go."""
    changed = with_values(record, **dict.fromkeys(gone), **{key: value})
    try:
        flight_of(changed, Fraction(0), "")
    except (MeasurementMissing, MeasurementsContradict):
        return False
    except JobError:
        return True
    return True


def step_changes(
    section: FlightSection, record: JobFlight, key: str, gone: tuple[str, ...], value: Any
) -> tuple[Change, ...]:
    """The changes that give one key of the steps a value; listed posts stay on their steps.

    ``section`` and ``record`` are those of the job as it is, ``gone`` what is let go.  Raises
    JobError where a post stands on a step that there is no more.
    """
    values = {**dict.fromkeys(gone), key: value}
    changes = [Change("section", name, one) for name, one in values.items()]
    if record.posts is None:
        return tuple(changes)
    flight = flight_of(with_values(record, **values), Fraction(0), "")
    run = flight.unit_run
    if not isinstance(run, Fraction):
        run = Fraction(float(run)).limit_denominator(10**9)
    posts = on_steps(section, record, flight.risers, run)
    if posts is None:
        raise JobError(
            "posts",
            f"a post of the job stands on a step that {flight.risers} risers do not have",
            "",
            "List the posts anew for that stair",
        )
    if posts != record.posts:
        changes.append(Change("section", "posts", posts))
    return tuple(changes)

"""What the answers make of each other: what is missing still, what cannot be, what is unusual.

A job that is not whole is judged by making up what it leaves out.  An answer is refused only where
no way to make up the rest saves it: with examples, with the least that is believed, and with the
most.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from copy import deepcopy
from fractions import Fraction
from typing import Any

from msgspec import Struct

from stairs.asking.walk import Place, is_table, keys_at, record_at, sections_of, table_of
from stairs.errors import JobError, MeasurementMissing, MeasurementsContradict
from stairs.job.agreement import job_from_mapping
from stairs.job.key_notes import KeyOf, keys_of
from stairs.job.measured import tolerances_of
from stairs.job.ranges import near_text, unusual_text
from stairs.job.records import Job, JobFlight
from stairs.job.table import Table
from stairs.relations.measured_flight import FlightMeasure, fix_flight
from stairs.relations.quantities import ANGLE, COUNT, FLIGHT_KEYS, QUANTITIES

_MOST_GAPS = 1000
_PLACE = re.compile(r"(?:section ([0-9]+): |([a-z]+): )?([a-z_]+)(?:: ([a-z_]+))?(?: [0-9]+)?")
_STEPS = ("unit_run", "unit_rise")  # either is enough where a rise or a run alone is known


class Judgement(Struct, frozen=True):
    """A job that may not be whole: what it leaves out, and what is wrong with it."""

    missing: tuple[MeasurementMissing, ...]
    trouble: JobError | None


def place_in(where: str) -> Place | None:
    """The key that a message is about; None where it is about none."""
    match = _PLACE.fullmatch(where)
    if match is None or match[3] == "section" or not is_table(match[2] or ""):
        return None
    return Place("section" if match[1] else match[2] or "", match[3], int(match[1] or 0))


def judged(mapping: Mapping[str, Any], end: str = "") -> Judgement:
    """What a job file that is not whole leaves out, and the first thing that cannot be.

    What is left out is made up: by ``"least"`` or ``"most"`` that is believed of it, or by its
    example.
    """
    trial, missing = _with_tables(mapping), list[MeasurementMissing]()
    for _ in range(_MOST_GAPS):
        try:
            job = job_from_mapping(trial)
        except MeasurementMissing as gap:
            if gap.where in [one.where for one in missing]:  # it is there, and tells too little
                return Judgement(tuple(missing), gap)
            missing.append(gap)
            if not _made_up(trial, gap.where, end):
                return Judgement(tuple(missing), gap)
        except JobError as error:
            return Judgement(tuple(missing), error)
        else:
            break
    filled = False
    for number, section in enumerate(job.sections, 1):
        if not isinstance(section, JobFlight) or section.steps.nosings is not None:
            continue
        try:
            _fixed(job, number)
        except MeasurementMissing as gap:
            missing.append(gap)
            for key in [key for key in _STEPS if key in gap.candidates][:1]:
                example = keys_of(JobFlight)[key].written(job.units)
                trial["section"][number - 1][key], filled = example, True
        except JobError as error:
            return Judgement(tuple(missing), error)
    if filled:
        try:
            job_from_mapping(trial)
        except JobError as error:
            return Judgement(tuple(missing), error)
    return Judgement(tuple(missing), None)


def trouble_of(mapping: Mapping[str, Any]) -> JobError | None:
    """What cannot be, whatever the answers are that are missing still; None where nothing is."""
    first = None
    for end in ("", "least", "most"):
        found = judged(mapping, end).trouble
        if found is None:
            return None
        first = first or found
    return first


def _with_tables(mapping: Mapping[str, Any]) -> dict[str, Any]:
    """The mapping with all the tables that a job has, and with no names in its messages."""
    trial: dict[str, Any] = deepcopy({"panel": {}, "bracket": {}, "post": {}, **mapping})
    if not trial.get("section"):
        trial["section"] = [{"kind": "flight"}]
    for section in sections_of(trial):
        if isinstance(section, dict):
            section.pop("name", None)
    return trial


def _made_up(trial: dict[str, Any], where: str, end: str) -> bool:
    """Give what is missing a value; False where its place cannot be told."""
    place = place_in(where)
    if place is None:
        return False
    table: Any = table_of(trial, place)
    if place.key in ("rises", "runs"):  # nobody can make up how many there are
        for key in ("rises", "runs", "rise", "run"):
            table.pop(key, None)
        place = place._replace(key="nosings")
    keys = keys_at(trial, place)
    match = _PLACE.fullmatch(where)
    inner = match[4] if match else None
    if inner and isinstance(table.get(place.key), dict):
        sample: Any = keys[place.key].written(trial["units"])
        table[place.key].setdefault(inner, sample[inner])
        return True
    if place.key not in keys:
        return False
    table[place.key] = _example(keys[place.key], str(trial.get("units", "in")), end)
    return True


def _example(what: KeyOf, units: str, end: str) -> Any:
    if not end or what.range is None or not what.is_length:
        return what.written(units)
    believed = what.range[units]
    return believed.least or believed.low if end == "least" else believed.most


def _show(units: str) -> Callable[[str, Any], str]:
    """Text of any measurement of a flight, by its name."""

    def text(name: str, value: Any) -> str:
        unit = QUANTITIES[name].unit
        if unit in (COUNT, ANGLE):
            return f"{float(value):.4g}" + ("°" if unit == ANGLE else "")
        return near_text(value if isinstance(value, Fraction) else Fraction(float(value)), units)

    return text


def _fixed(job: Job, number: int) -> FlightMeasure:
    """The steps of a flight; where its measurements contradict, what each would have to be."""
    section = job.sections[number - 1]
    assert isinstance(section, JobFlight)
    steps, show = section.steps, _show(job.units)
    given = {
        name: Fraction(value)
        for key, name in FLIGHT_KEYS.items()
        if (value := getattr(steps, key)) is not None
    }
    within, where = job.tolerances, f"section {number}"
    try:
        return fix_flight(given, top=steps.top, within=within, where=where, show=show)
    except MeasurementsContradict as error:
        agreeing = []
        for name, typed in given.items():
            others = {one: value for one, value in given.items() if one != name}
            try:
                value = fix_flight(others, top=steps.top, within=within).values[name]
            except JobError:
                continue
            if QUANTITIES[name].unit == COUNT and abs(float(value) - round(float(value))) > 0.05:
                continue
            off = abs(float(value) / float(typed) - 1)
            agreeing.append((off, f"{QUANTITIES[name].key} is {show(name, value)}"))
        said = ", or ".join(text for _, text in sorted(agreeing))
        remedy = (
            f"Take one of them again: if the others are right, {said}" if said else error.remedy
        )
        raise MeasurementsContradict(
            error.where, error.found, error.allowed, remedy, error.values
        ) from None


def steps_text(mapping: Mapping[str, Any], number: int) -> tuple[str, bool]:
    """What is known of the steps of a flight, in words, and whether all of it is usual.

    Empty where nothing is known.

    Examples
    --------
    >>> steps_text({"units": "in", "section": [{"rise": "36 1/4", "risers": 5}]}, 1)
    ('5 risers of 7 1/4 in', True)
    """
    trial, keys = _with_tables(mapping), keys_of(JobFlight)
    units = str(trial.get("units", "in"))
    sides = {"unit_rise": "risers", "unit_run": "treads"}
    try:
        top, table = Table(trial, units, "", ""), Table(trial["section"][number - 1], units, "", "")
        try:
            values = _steps(top, table).values
        except MeasurementMissing as gap:
            also = next(key for key in (*_STEPS, "") if not key or key in gap.candidates)
            del sides[also]  # what is made up itself
            values = _steps(top, table.with_({also: keys[also].written(units)})).values
    except (JobError, KeyError, IndexError):
        return "", True
    texts, usual = [], True
    for unit, count in sides.items():
        each = Fraction(float(values[unit]))
        texts.append(f"{float(values[count]):g} {count} of {near_text(each, units)}")
        usual &= (keys[unit].range or {})[units].expects(each)
    return " and ".join(texts), usual


def _steps(top: Table, table: Table) -> FlightMeasure:
    """The steps of a flight as far as they are answered."""
    given = {
        name: Fraction(table.read_one(JobFlight, key))
        for key, name in FLIGHT_KEYS.items()
        if key in table.values
    }
    within = tolerances_of(top)
    return fix_flight(given, top=table.read_one(JobFlight, "top"), within=within)


def unusual(mapping: Mapping[str, Any], place: Place) -> str:
    """What is unusual about an answer, in words; empty where nothing is."""
    record, units = record_at(mapping, place), str(mapping.get("units", "in"))
    what = keys_of(record)[place.key]
    if what.range is None or place.key in ("holes", "posts"):
        return ""
    read = Table(table_of(mapping, place), units, "", "").read_one(record, place.key)
    unit = "degrees" if what.note.reads == "degrees" else units
    texts = (
        unusual_text(place.spoken, one, unit, what.range[units])
        for one in (read if isinstance(read, tuple) else (read,))
        if isinstance(one, Fraction)
    )
    return next(filter(None, texts), "")


def is_fixed(mapping: Mapping[str, Any], number: int) -> bool:
    """Whether the answers fix the steps of a flight."""
    return " and " in steps_text(mapping, number)[0]

"""The quick look, and a job written out.

With rise, run and treads alone a guard can be looked at before anything is bought: the panel, the
bracket and the post are then assumed, and every assumption is listed.  The other direction writes a
job's records as the keys of a job file, nothing left out.
"""

from __future__ import annotations

import functools
import re
import tomllib
from collections.abc import Mapping
from fractions import Fraction
from importlib import resources
from typing import Any

import msgspec

from stairs.errors import JobError
from stairs.job.agreement import job_from_mapping
from stairs.job.key_notes import assumed_text, keys_of, value_of
from stairs.job.measured import measured_places
from stairs.job.records import Bracket, Job, JobFlight, LocalOverride, Panel, PostKind, SheetKeys
from stairs.job.table import joined
from stairs.lengths.tape import as_typed
from stairs.lengths.tape_marks import exact_text


@functools.cache
def usual(units: str) -> dict[str, dict[str, Any]]:
    """The commonest panel, bracket and post, as ``usual.toml`` tells them, by table."""
    text = (resources.files("stairs.job") / "usual.toml").read_text(encoding="utf-8")
    tables: dict[str, dict[str, Any]] = tomllib.loads(text)[units]
    return tables


def quick_job(
    rise: object,
    run: object,
    treads: object,
    units: str = "in",
    rules: str | None = None,
) -> Job:
    """The job of one flight of which only rise, run and treads are known [units].

    Everything else is assumed, from the commonest panel, bracket and post, and listed in
    ``Job.assumed``; bays and bottom gap are left to the solver.

    Raises
    ------
    JobError
        Where a value cannot be used; the message names ``--rise``, ``--run`` or ``--treads``.

    Examples
    --------
    >>> job = quick_job(42, "50", 5)
    >>> job.sections[0].steps.rise, job.sections[0].steps.treads, job.assumed[5]
    (Fraction(42, 1), 5, 'panel: height 33 1/2"')
    """
    if units not in ("in", "mm"):
        raise JobError(
            "--units", f"{as_typed(units)} cannot be used", 'units is "in" or "mm"', "Give one"
        )
    if isinstance(treads, str):
        if not re.fullmatch(r" *[0-9]{1,6} *", treads):
            raise JobError(
                "--treads",
                f"{as_typed(treads)} is not a count",
                "Treads are counted as a whole number of 1 or more",
                "Count the treads between the landings",
            )
        treads = int(treads)
    assumed_tables = usual(units)
    measured = {"rise": rise, "run": run, "treads": treads}
    mapping = {
        "units": units,
        "title": "Quick look",
        **{name: dict(assumed_tables[name]) for name in ("panel", "bracket", "post")},
        "section": [{"kind": "flight", **assumed_tables["section"], **measured}],
    }
    if rules is not None:
        mapping["rules"] = rules
    try:
        job = job_from_mapping(mapping)
    except JobError as error:
        raise _as_options(error, measured) from error
    filled = [
        line
        for name, record, values in (
            ("panel", Panel, job.panel),
            ("bracket", Bracket, job.bracket),
            ("post", PostKind, job.post),
            ("section 1", JobFlight, job.sections[0]),
        )
        for line in _filled_lines(name, record, values, assumed_tables, units)
    ]
    own = [line for line in job.assumed if not line.startswith(("section", "post"))]
    rest = [line for line in job.assumed if line.startswith(("section", "post"))]
    return msgspec.structs.replace(job, assumed=(f"units {units}", *own, *filled, *rest))


def _as_options(error: JobError, measured: Mapping[str, object]) -> JobError:
    key = error.where.rpartition(": ")[2]
    where = f"--{key}" if key in measured else error.where
    return JobError(where, error.found, error.allowed, error.remedy)


def _filled_lines(
    name: str,
    record: type[msgspec.Struct],
    values: msgspec.Struct,
    tables: Mapping[str, Mapping[str, Any]],
    units: str,
) -> list[str]:
    lines = []
    for key in tables["section" if name == "section 1" else name]:
        value = value_of(values, key)
        if isinstance(value, tuple):
            text = ", ".join(exact_text(length, units) for length in value)
        else:
            text = assumed_text(value, keys_of(record)[key], units)
        lines.append(joined(name, f"{key} {text}"))
    return lines


def job_to_mapping(job: Job) -> dict[str, Any]:
    """The mapping that reads back as the same job, every value written out.

    Lengths as exact text with the job's unit, angles as exact text in degrees; keys without a value
    are left out.

    Examples
    --------
    >>> job_to_mapping(quick_job(42, 50, 5))["panel"]["pitch"]
    '4 1/2 in'
    """
    mapping = _plain_table(job, Job, job.units)
    mapping["panel"] = _plain_table(job.panel, Panel, job.units)
    mapping["bracket"] = _plain_table(job.bracket, Bracket, job.units)
    mapping["post"] = _plain_table(job.post, PostKind, job.units)
    mapping["section"] = [_plain_table(s, type(s), job.units) for s in job.sections]
    if job.measured:
        mapping["measured"] = {
            one.key: _plain_value(one.within, measured_places()[one.key].note.reads, job.units)
            for one in job.measured
        }
    if job.local:
        mapping["local"] = {o.check: _plain_table(o, LocalOverride, job.units) for o in job.local}
    if job.sheet != SheetKeys():
        mapping["sheet"] = _plain_table(job.sheet, SheetKeys, job.units)
    return mapping


def _plain_table(values: msgspec.Struct, record: type, units: str) -> dict[str, Any]:
    table = {}
    for key, what in keys_of(record).items():
        value = _plain_value(value_of(values, key), what.note.reads, units)
        if value not in (None, [], ""):
            table[key] = value
    return table


def _plain_value(value: Any, reads: str, units: str) -> Any:
    if isinstance(value, Fraction):
        if reads == "degrees":
            return str(value)
        return f"{exact_text(value, units, unit=False)} {units}"  # with its unit: it is meant
    if isinstance(value, tuple):
        return [_plain_value(part, reads, units) for part in value]
    if isinstance(value, msgspec.Struct):
        return _plain_table(value, type(value), units)
    return value

"""The sections of a job file, read and checked: flights of a stair and level runs.

A section is one straight stretch of guard.  Its keys say what was measured there; some stand
instead of others (measured nosings instead of rise and run), some only beside others (a stringer's
margin beside a closed stringer).  Steps measured singly are put together in
:mod:`stairs.job.measured_steps`.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from stairs.errors import (
    JobError,
    MeasurementMissing,
    MeasurementsContradict,
    NoSuchShape,
)
from stairs.job.as_built import check_as_built, check_done, shifted
from stairs.job.framing import base_framing, read_framing
from stairs.job.key_notes import keys_of, record_of
from stairs.job.measured import tolerances_of
from stairs.job.measured_steps import nosings_of_steps
from stairs.job.ranges import near_text, refuse_drop, refuse_slip
from stairs.job.records import MOST_STEPS, JobFlight, JobLevel
from stairs.job.table import Table, joined
from stairs.lengths.tape import as_typed
from stairs.lengths.tape_marks import exact_text
from stairs.relations.measured_flight import fix_flight
from stairs.relations.quantities import FLIGHT_KEYS

MOST_SECTIONS = 200
INSTEAD_OF_NOSINGS = ("rise", "run", "unit_rise", "unit_run", "risers", "treads", "rake")


def section_where(number: int, name: str = "", key: str = "", file: str = "") -> str:
    """The place of a section (from 1, foot of the stair first) or of one of its keys, for messages.

    Examples
    --------
    >>> section_where(1, "lower flight", "unit_run")
    'section 1 (lower flight): unit_run'
    """
    shown = f"section {number}" + (f" ({as_typed(name)[1:-1]})" if name else "")
    return joined(file, shown, key)


def read_sections(top: Table, assumed: list[str]) -> tuple[JobFlight | JobLevel, ...]:
    """All sections of a job file, one for each ``[[section]]``, foot of the stair first.

    ``assumed`` gets a line for each value that was left out and bears on the result.
    """
    typed = top.values.get("section", [])
    if isinstance(typed, Mapping):
        raise JobError(
            top.at("section"),
            "is a single table",
            "Sections are a list, each headed [[section]]",
            "Write [[section]] with double brackets",
        )
    if not isinstance(typed, list):
        raise JobError(
            top.at("section"),
            f"{as_typed(typed)} is not a list of sections",
            "Each section is headed [[section]]",
            "Write [[section]] on a line of its own and its keys below it",
        )
    if not typed:
        raise JobError(
            top.at("section"),
            "there is none",
            "A job has one section or more, foot of the stair first",
            "Add a table headed [[section]] with rise, run and treads",
        )
    if len(typed) > MOST_SECTIONS:
        raise JobError(
            top.at("section"),
            f"there are {len(typed)}",
            f"At most {MOST_SECTIONS} are read",
            "Split the job",
        )
    framing = base_framing(top)
    read = [_section(top, framing, n, values, assumed) for n, values in enumerate(typed, 1)]
    sections = tuple(section for section, _ in read)
    if sections[0].ends.start == "own":
        raise JobError(
            joined(top.where, section_where(1, sections[0].name), "start"),
            'is "own" in the first section',
            "A post of its own stands beside the last post of the section before",
            'Leave start out, or write start = "wall"',
        )
    _check_hands(top, sections)
    _check_drops(top, read)
    return sections


def _check_hands(top: Table, sections: tuple[JobFlight | JobLevel, ...]) -> None:
    """Sections that go on from each other have a guard on one hand in common."""
    for number, (before, section) in enumerate(zip(sections, sections[1:], strict=False), 2):
        if {before.hand, section.hand} != {"left", "right"}:
            continue
        if section.ends.start == "wall" or before.ends.end == "wall":
            continue
        raise JobError(
            joined(top.where, section_where(number, section.name), "hand"),
            f'is "{section.hand}", and the guard of section {number - 1}, from which it goes on, '
            f"is on the {before.hand} hand",
            "A guard does not change over to the other side of the stair between two posts",
            'Write the same hand for both, or "both", or make two jobs of them',
        )


def _section(
    top: Table, framing: Table | None, number: int, values: object, assumed: list[str]
) -> tuple[JobFlight | JobLevel, Fraction | None]:
    """A section, and the rise of a flight where its measurements fix it."""
    name = values.get("name", "") if isinstance(values, Mapping) else ""
    short = section_where(number, name if isinstance(name, str) else "")
    table = Table(values, top.units, joined(top.where, short), "[[section]]")
    if "kind" in table.values:
        kind = table.values["kind"]
        if kind not in ("flight", "level"):
            meant = keys_of(JobFlight)["kind"].meant(kind)
            raise JobError(
                table.at("kind"),
                f"{as_typed(kind)} cannot be used",
                'kind is "flight" or "level"',
                f"Write kind = {meant}" if meant else "It states the kind of section",
            )
    else:
        kind = "level" if {"span", "edge"} & table.values.keys() else "flight"
    record, other = (JobFlight, JobLevel) if kind == "flight" else (JobLevel, JobFlight)
    elsewhere = {
        key: f'It belongs to a section of kind "{"level" if kind == "flight" else "flight"}"'
        for key in keys_of(other)
        if key not in keys_of(record)
    }
    table.refuse_unknown(keys_of(record), elsewhere)
    if kind == "level":
        return _level(table, framing, assumed, short), None
    return _flight(top, table, assumed, short)


def _check_counts(table: Table, section: dict[str, Any]) -> None:
    for key, why in (
        ("risers", "One riser is a step: it has no nosing line and no rake"),
        ("treads", "A flight has one tread or more between its landings"),
        ("bays", "A guard has one bay or more"),
    ):
        count, least = section.get(key), keys_of(JobFlight)[key].note.least
        if not isinstance(count, int):
            continue
        if count < least:
            raise JobError(
                table.at(key),
                f"is {table.typed(key)}",
                why,
                f"Give {least} or more",
            )
        if count > MOST_STEPS:
            raise JobError(
                table.at(key),
                f"is {table.typed(key)}",
                f"At most {MOST_STEPS} are read",
                "Check the number",
            )
    posts, bays = section["posts"], section["bays"]
    if posts is not None and isinstance(bays, int) and bays != len(posts) - 1:
        raise MeasurementsContradict(
            table.at("bays"),
            f"is {bays}, and the {len(posts)} posts listed make {len(posts) - 1}",
            "There is one bay fewer than posts",
            "Leave out bays, or correct the list of posts",
            (float(bays), float(len(posts) - 1)),
        )


def _check_trim(table: Table, section: dict[str, Any]) -> None:
    """A list of trims has a word for each bay, whose number is then known."""
    trim, posts, bays = section["trim"], section["posts"], section["bays"]
    if not isinstance(trim, tuple):
        return
    found = f"is a list of {len(trim)}"
    if posts is not None:
        bays = len(posts) - 1
    if not isinstance(bays, int):
        raise JobError(
            table.at("trim"),
            f"{found}, and how many bays there are is left open",
            "A list of trims has one for each bay",
            "List the posts, give bays as a number, or write one word for all bays, as in "
            'trim = "auto"',
        )
    if len(trim) != bays:
        raise JobError(
            table.at("trim"),
            f"{found}, and there {'is 1 bay' if bays == 1 else f'are {bays} bays'}",
            "A list of trims has one for each bay, foot of the section first",
            "Give as many as there are bays, or one word for all of them",
        )


def _check_ends(table: Table, section: dict[str, Any]) -> None:
    """A post of its own goes with the gap to its neighbour, and only it does."""
    own, gap = section["start"] == "own", section["post_gap"]
    if own and gap is None:
        sample = keys_of(JobFlight)["post_gap"].sample(table.units)
        raise MeasurementMissing(
            table.at("post_gap"),
            "is missing",
            'With start = "own" two posts stand side by side, and the gap between them is an '
            "opening",
            f"Measure it, face to face, and add it, as in {sample}",
        )
    for end in ("start", "end"):
        if section[end] == "wall" and section["posts"] is None and "risers" in section:
            raise JobError(
                table.at("posts"),
                f'is missing beside {end} = "wall"',
                "On a flight the list of posts also says where the wall's face is",
                "List the post centres, and the face of the wall in its place among them",
            )
    if gap is not None and not own:
        raise JobError(
            table.at("post_gap"),
            f'stands beside start = "{section["start"]}"',
            "Only a post of its own stands beside the post of the section before",
            'Write start = "own", or leave post_gap out',
        )


def _settle_bays(section: dict[str, Any], assumed: list[str], short: str) -> None:
    if section["posts"] is None and section["bays"] is None:
        section["bays"] = "auto"
        assumed.append(joined(short, 'as many bays as it takes (bays = "auto")'))
    elif section["posts"] is not None:
        section["bays"] = None


def _level(table: Table, base: Table | None, assumed: list[str], short: str) -> JobLevel:
    framing = read_framing(base, table, assumed, short)
    table = table.with_({}, without=("framing",))
    if "span" not in table.values and "posts" in table.values:
        posts = table.read_one(JobLevel, "posts")
        table = table.with_({"span": posts[-1] - posts[0]})
    elif "span" not in table.values and "edge" in table.values:
        edge = table.read_one(JobLevel, "edge")  # stands for the span until its ends are known
        table = table.with_({"span": f"{edge} {table.units}"})
    elif "span" not in table.values:
        edge_key, span_key = (keys_of(JobLevel)[key] for key in ("edge", "span"))
        raise MeasurementMissing(
            table.at("edge"),
            "is missing",
            f"It is {edge_key.meaning}",
            f"{edge_key.action} and add it under [[section]], as in "
            f"{edge_key.sample(table.units)}; or give the centres of the end posts "
            f"({span_key.letter}), as in {span_key.sample(table.units)}",
            ("edge", "span"),
        )
    if "opening" in table.values and "edge" not in table.values:
        raise JobError(
            table.at("opening"),
            "stands without edge",
            "It tells where a measured edge is opened by a stair",
            f"Add {keys_of(JobLevel)['edge'].sample(table.units)}, or leave opening out",
        )
    section = table.read(JobLevel, (), assumed, short)
    _check_counts(table, section)
    _check_trim(table, section)
    _check_gap(table, section)
    _check_ends(table, section)
    check_as_built(table, section)
    check_done(table, section)
    posts = section["posts"]
    if posts is not None:
        between = posts[-1] - posts[0]
        if between != section["span"]:
            units = table.units
            raise MeasurementsContradict(
                table.at("span"),
                f"is {exact_text(section['span'], units)}, and the posts listed stand "
                f"{exact_text(between, units)} from first to last, which differs by "
                f"{exact_text(abs(between - section['span']), units)}",
                "span is centre of first post to centre of last",
                "Leave out span, or correct the list of posts",
                (float(section["span"]), float(between)),
            )
        section["posts"] = tuple(x - posts[0] for x in posts)
        section["as_built"] = shifted(section["as_built"], posts[0])
        section["listed_from"] = posts[0]
    _settle_bays(section, assumed, short)
    section["framing"] = framing
    return record_of(JobLevel, **section)


def _flight(
    top: Table, table: Table, assumed: list[str], short: str
) -> tuple[JobFlight, Fraction | None]:
    section = table.read(JobFlight, (), assumed, short)
    nosings_of_steps(top, table, section)
    _check_counts(table, section)
    _check_trim(table, section)
    _check_gap(table, section)
    _check_ends(table, section)
    check_as_built(table, section)
    check_done(table, section)
    typed = table.values
    if section["nosings"] is not None and section["rises"] is None:
        for key in INSTEAD_OF_NOSINGS:
            if key in typed:
                raise JobError(
                    table.at(key),
                    "stands beside nosings",
                    "Measured nosings already say every rise and run; they stand instead of "
                    + ", ".join(sorted(INSTEAD_OF_NOSINGS)),
                    f"Leave out {key} or nosings",
                )
    if section["nosings"] is None and "rail_line" in typed:
        raise JobError(
            table.at("rail_line"),
            "stands without measured nosings",
            "Only over nosings that were measured is there a line to choose",
            "Leave rail_line out, or measure nosings, or rises and runs",
        )
    if section["stringer"] == "closed" and section["stringer_margin"] is None:
        margin = keys_of(JobFlight)["stringer_margin"]
        raise MeasurementMissing(
            table.at("stringer_margin"),
            "is missing",
            "A closed stringer's straight edge lies this far, plumb, above the nosing line",
            f"{margin.action} and add it, as in {margin.sample(table.units)}; it may be 0",
        )
    if section["stringer"] == "cut" and section["stringer_margin"] is not None:
        raise JobError(
            table.at("stringer_margin"),
            "stands beside a cut stringer",
            "Only a closed stringer has an edge above the nosing line",
            'Write stringer = "closed", or leave stringer_margin out',
        )
    if section["top"] == "tread" and section["treads"] == 1:
        raise JobError(
            table.at("treads"),
            'is 1 with top = "tread", which makes one riser',
            "One riser is a step: it has no nosing line and no rake",
            'Give 2 or more, or write top = "landing"',
        )
    rise = _check_steps(top, table, section)
    _settle_bays(section, assumed, short)
    return record_of(JobFlight, **section), rise


def _check_gap(table: Table, section: dict[str, Any]) -> None:
    gap, filler = section["bottom_gap"], section["filler"]
    if gap == "auto" or section.get("side_gap", 0) > 0:
        return
    if 0 <= gap < filler:
        units = table.units
        raise NoSuchShape(
            table.at("filler"),
            f"is {table.typed('filler')}, and the gap under the rail is {exact_text(gap, units)}",
            "A strip under the bottom rail is no deeper than the gap",
            f"Give a filler of {exact_text(gap, units)} or less",
        )
    if gap >= 0:
        return
    flight = "side_gap" in section
    raise JobError(
        table.at("bottom_gap"),
        f"{table.typed('bottom_gap')} is negative",
        "A bottom rail goes below the nosing line only where the guard stands outside the tread "
        "ends (side_gap above 0)"
        if flight
        else "A bottom rail stays above the deck or the landing",
        'Give side_gap, or a bottom_gap of 0 or more, or "auto"'
        if flight
        else 'Give a bottom_gap of 0 or more, or "auto"',
    )


def _check_steps(top: Table, table: Table, section: dict[str, Any]) -> Fraction | None:
    """Refuse a flight whose steps nobody could walk; the rise of the others, None where unknown.

    Measurements that are each believed may still make no riser or no tread together.  Those that
    do not fix the flight, or contradict each other, are left to the solver and its words.
    """
    if section["nosings"] is not None:
        run: Fraction
        rise: Fraction
        run, rise = section["nosings"][-1]
        key = "nosings" if "nosings" in table.values else ""
        _refuse_steps(table, key or "rises", rise, rise / len(section["nosings"]), "unit_rise")
        _refuse_steps(table, key or "runs", run, run / (len(section["nosings"]) - 1), "unit_run")
        return rise
    given = {
        name: Fraction(section[key])
        for key, name in FLIGHT_KEYS.items()
        if section[key] is not None
    }
    within = tolerances_of(top)
    try:
        values = fix_flight(given, top=section["top"], within=within).values
    except JobError:
        return None
    for total, unit in (("rise", "unit_rise"), ("run", "unit_run")):
        if section[unit] is None:
            whole = Fraction(float(values[f"total_{total}"])) if section[total] is None else None
            each = Fraction(float(values[unit]))
            _refuse_steps(table, total, whole or section[total], each, unit)
    return Fraction(float(values["total_rise"]))


def _refuse_steps(table: Table, key: str, whole: Fraction, each: Fraction, unit: str) -> None:
    """Refuse a riser or a tread that is none, worked out of a whole rise or run."""
    believed = (keys_of(JobFlight)[unit].range or {})[table.units]
    count = round(whole / each)
    what = "riser" if unit == "unit_rise" else "tread"
    typed, place = table.values.get(key), key
    instead = f"Measure {key} again, and count the {what}s"
    if typed is None:  # from an angle and a single step
        place = "rake" if "rake" in table.values else key
    elif believed.expects(whole):
        instead = (
            f"Is it one {what}? Then write {unit} = {as_typed(typed)}. Else measure {key} again, "
            f"and count the {what}s"
        )
    if typed is None or isinstance(typed, list):
        typed = near_text(whole, table.units)
    refuse_slip(
        table.at(place), typed, whole, table.units, believed,
        parts=whole / each, made=f"{count} {what}s", instead=instead,
    )  # fmt: skip


def _check_drops(top: Table, sections: list[tuple[JobFlight | JobLevel, Fraction | None]]) -> None:
    """Refuse a drop that the flights up to it rule out in the unit in which it is read."""
    climbed: Fraction | None = Fraction(0)
    for number, (section, rise) in enumerate(sections, 1):
        if isinstance(section, JobFlight):
            climbed = None if rise is None or climbed is None else climbed + rise
        if section.drop is not None and climbed:
            typed = top.values["section"][number - 1]["drop"]
            place = joined(top.where, section_where(number, section.name), "drop")
            refuse_drop(place, typed, section.drop, climbed, top.units)

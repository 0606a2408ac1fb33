"""Units do not matter: a job scaled by any factor is the same guard, an inch job is the mm job, and
raising the bottom rail makes no opening smaller."""

from fractions import Fraction

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stairs.checks.part_values import PRACTICE
from stairs.guard.solving import solve_section
from stairs.job import Bracket, Job, JobFlight, JobLevel, Panel, PostKind, Slot, job_from_mapping
from stairs.job.key_notes import record_of
from stairs.parts.bays import cut_both_ways
from stairs.parts.panel import KERF
from stairs.report.result import result_of
from stairs.rules import CHECKS, LOADS
from stairs.solution import solution_for

PROPERTY = settings(deadline=None, derandomize=True, max_examples=24)
INCH = Fraction(254, 10)  # mm


@pytest.fixture(autouse=True, scope="module")
def a_saw_without_thickness():
    """A saw takes as much of a small guard as of a large one: it does not scale with them."""
    kept = dict(KERF)
    KERF.update(dict.fromkeys(kept, Fraction(0)))
    cut_both_ways.cache_clear()
    yield
    KERF.update(kept)
    cut_both_ways.cache_clear()


def part(low, high):
    return st.fractions(min_value=low, max_value=high, max_denominator=16)


def job_of(section, **changes):
    """A job around one section."""
    parts = {
        "units": "in", "rules": "irc-2021", "tape": Fraction(1, 16),
        "measured_within": Fraction(1, 16),
        "panel": Panel(height=Fraction(32), top_rail=Fraction(7, 4), bottom_rail=Fraction(3, 2),
                       baluster=Fraction(3, 4), pitch=Fraction(9, 2),
                       stock=(Fraction(72), Fraction(96)),
                       slot=Slot(length=Fraction(9, 8), wall=Fraction(1, 16))),
        "bracket": Bracket(kind="pivot", pivot_offset=Fraction(9, 8), rail_setback=Fraction(3, 8)),
        "post": PostKind(width=Fraction(3), base=Fraction(5), edge_distance=Fraction(11, 4),
                         reveal=Fraction(1), stock=(Fraction(39), Fraction(45))),
        "sections": (section,),
    }  # fmt: skip
    return Job(**{**parts, **changes})


@st.composite
def flights(draw, stringer="cut"):
    rise, run, risers = draw(part(5, 9)), draw(part(9, 13)), draw(st.integers(3, 7))
    low = -Fraction(5, 2) - draw(part(0, 4))
    high = (risers - 1) * run + Fraction(5, 2) + draw(part(0, 8))
    posts = [low, high]
    if risers > 3 and draw(st.booleans()):
        posts.insert(1, 2 * run + Fraction(5, 2) + (run - Fraction(5)) * draw(part(0, 1)))
    margin = draw(part(0, 3)) if stringer == "closed" else None
    return record_of(
        JobFlight, unit_rise=rise, unit_run=run, risers=risers, nosing=draw(part(0, 1)),
        tread_thickness=draw(st.one_of(st.none(), part(1, 2))), posts=tuple(posts),
        stringer=stringer, stringer_margin=margin, handrail=draw(st.booleans()),
        open_risers=draw(st.booleans()),
        bottom_gap=draw(part(Fraction(1, 16), 6)) + (margin or 0),
    )  # fmt: skip


LENGTHS_OF_A_JOB = {
    "tape", "measured_within", "height", "top_rail", "bottom_rail", "baluster", "pitch", "stock",
    "end_margin", "length", "wall", "pivot_offset", "rail_setback", "end_clearance", "width",
    "base", "edge_distance", "reveal", "rise", "unit_rise", "run", "unit_run", "nosing",
    "tread_thickness", "stringer_margin", "side_gap", "nosings", "posts", "bottom_gap", "span",
    "drop",
}  # fmt: skip


def scaled(record, factor, name=""):
    """A job with every length times a factor."""
    if isinstance(record, msgspec.Struct):
        return type(record)(
            **{key: scaled(getattr(record, key), factor, key) for key in record.__struct_fields__}
        )
    if isinstance(record, tuple):
        return tuple(scaled(value, factor, name) for value in record)
    if isinstance(record, Fraction) and name in LENGTHS_OF_A_JOB:
        return record * factor
    return record


NO_LENGTHS = {"rake", "max_rack", "swing", "angle_low", "angle_high", "saw_angle", "turn", "number",
              "risers", "treads", "balusters", "bay", "tread", "step", "holes_lost_low",
              "holes_lost_high", "sawn_holes"}  # fmt: skip
# what was read, and what is told by name below; a level run's slope is 0 over 1 in any unit
LEFT_OUT = {
    "arguments",
    "record",
    "unit_rise",
    "unit_run",
    "level",
    "flight",
    "exact",
    "pocket",
    "strip",
    "closed_form",
    "exact_height",
    "exact_plate_edge",
}


def numbers(record, path=""):
    """Every number of a solved section, with whether it is a length."""
    if isinstance(record, msgspec.Struct):
        for key in record.__struct_fields__:
            if key not in LEFT_OUT:
                yield from numbers(getattr(record, key), f"{path}.{key}")
    elif isinstance(record, tuple):
        for index, value in enumerate(record):
            yield from numbers(value, f"{path}[{index}]")
    elif isinstance(record, (int, float, Fraction)) and not isinstance(record, bool):
        key = path.rsplit(".", 1)[-1].split("[")[0]
        yield path, key not in NO_LENGTHS, float(record)
    else:
        yield path, False, record


def compare_scaled(one, other, factor):
    first, second = list(numbers(one)), list(numbers(other))
    assert [path for path, _, _ in first] == [path for path, _, _ in second]
    for (path, is_length, here), (_, _, there) in zip(first, second, strict=True):
        if isinstance(here, float):
            wanted = here * float(factor) if is_length else here
            assert there == pytest.approx(wanted, rel=1e-7, abs=1e-7 * float(factor)), path
        else:
            assert here == there, path
    for name in ("guard_height", "panel_height", "bottom_gap", "filler", "side_gap", "total_rise"):
        assert getattr(other, name) == pytest.approx(getattr(one, name) * float(factor)), name
    for point, scaled_point in zip(one.nosings, other.nosings, strict=True):
        assert scaled_point == pytest.approx([length * float(factor) for length in point])
    assert other.rake == pytest.approx(one.rake)


factors = st.fractions(min_value=Fraction(1, 1000), max_value=1000).filter(lambda f: f > 0)


@PROPERTY
@given(section=flights(), factor=factors)
def test_scaling_a_job_scales_every_length_of_the_flight(section, factor):
    """All lengths times the factor; angles, counts and what a circle leans on unchanged."""
    job = job_of(section)
    compare_scaled(solve_section(job, 0), solve_section(scaled(job, factor), 0), factor)


@PROPERTY
@given(section=flights("closed"), factor=factors)
def test_scaling_a_job_with_a_closed_stringer(section, factor):
    job = job_of(section)
    compare_scaled(solve_section(job, 0), solve_section(scaled(job, factor), 0), factor)


@PROPERTY
@given(span=part(60, 140), gap=part(Fraction(1, 8), 6), factor=factors)
def test_scaling_a_level_run(span, gap, factor):
    job = job_of(record_of(JobLevel, span=span, bays=2, bottom_gap=gap),
                 bracket=Bracket(kind="plumb-cut", end_clearance=Fraction(1, 8)))  # fmt: skip
    compare_scaled(solve_section(job, 0), solve_section(scaled(job, factor), 0), factor)


# ------------------------------------------------------------------ inches and millimetres

INCH_JOB = {
    "tape": "1/16", "measured_within": "1/16", "rules": "irc-2021",
    "panel": {"height": "33 1/2", "top_rail": "1 3/4", "bottom_rail": "1 1/2", "baluster": "3/4",
              "pitch": "4 1/2", "stock": ["72", "96"], "max_rack": 38,
              "slot": {"length": "1 1/8", "wall": "1/16"}},
    "bracket": {"kind": "pivot", "pivot_offset": "1 1/8", "rail_setback": "3/8", "max_swing": 40},
    "post": {"width": "3", "base": "5", "edge_distance": "2 3/4", "reveal": "1",
             "stock": ["39", "45", "54"]},
    "section": [
        {"kind": "flight", "rise": "43 1/2", "run": "52 1/2", "treads": 5, "nosing": "1",
         "tread_thickness": "1 1/4", "posts": ["-4", "25 5/8", "58"], "bottom_gap": "5/8",
         "handrail": True},
        {"kind": "level", "span": "132", "bays": 3, "bottom_gap": "2"},
    ],
}  # fmt: skip
TEXT = {"rules", "kind", "bays", "treads", "handrail", "max_rack", "max_swing"}


def in_inches(value, key=""):
    """The same mapping with the unit written behind every length."""
    if isinstance(value, dict):
        return {name: in_inches(part_, name) for name, part_ in value.items()}
    if isinstance(value, list):
        return [in_inches(part_, key) for part_ in value]
    return value if key in TEXT or value == "auto" else f"{value} in"


def lengths_apart(result):
    """A result's numbers, each with whether it is a length."""
    plain = {"rake", "max_rack", "swing", "angle_low", "angle_high", "saw_angle", "risers",
             "treads", "balusters", "sawn_holes", "bay", "tread", "section", "post", "sides",
             "turn",
             "governed_by", "skew", "true_angle"}  # fmt: skip
    units = {name: check.unit for name, check in CHECKS.items()}
    units |= {name: part.unit for name, part in PRACTICE.items()}
    units |= dict.fromkeys(LOADS, "load")

    def walk(value, path, key):
        if isinstance(value, dict):
            bare = "id" in value and units[value["id"]] != "length"
            for name, inner in value.items():
                yield from walk(inner, f"{path}.{name}", "risers" if bare else name)
        elif isinstance(value, (list, tuple)):
            for index, inner in enumerate(value):
                yield from walk(inner, f"{path}[{index}]", key)
        elif isinstance(value, (int, float)) and not isinstance(value, bool):
            yield path, key not in plain, float(value)
        else:
            yield path, False, value

    return list(walk(result, "", ""))


@pytest.mark.parametrize("gap", ["5/8", "0", "3 1/4", "auto"])
def test_inch_job_is_the_same_job_in_millimetres(gap):
    """Every length in the result is 25.4 times as many; every verdict is the same."""
    mapping = {**INCH_JOB, "section": [{**INCH_JOB["section"][0], "bottom_gap": gap},
                                       INCH_JOB["section"][1]]}  # fmt: skip
    inch_job = job_from_mapping({"units": "in", **mapping})
    inch = result_of(solution_for(inch_job))
    metric_job = job_from_mapping({"units": "mm", **in_inches(mapping), "tape": "1"})
    # no metric tape has the marks of an inch tape, so the file cannot ask for them
    metric_job = msgspec.structs.replace(metric_job, tape=inch_job.tape * INCH)
    metric = result_of(solution_for(metric_job))
    left, right = lengths_apart(inch), lengths_apart(metric)
    assert [path for path, _, _ in left] == [path for path, _, _ in right]
    compared = 0
    # posts are placed at most 72 in or 1800 mm apart, each round in its own unit
    usual = [
        (f".checks[{index}].limit", 72.0)
        for index, check in enumerate(inch["checks"])
        if check["id"] == "post-spacing"
    ]
    for (path, is_length, here), (_, _, there) in zip(left, right, strict=True):
        if path in (".units", ".title") or path.startswith(".assumed"):
            continue
        if path.endswith((".remedy", ".remarks[0]")) or (path, here) in usual:
            continue
        if path.endswith(".where") and str(here).startswith("needed if"):
            continue  # from which drop on a guard is needed
        if ".witness." in path and isinstance(here, str):  # as one types them: 25 9/16" and mm
            read = sum(Fraction(part) for part in here.strip('-"').split())
            read = -read if here.startswith("-") else read
            assert there == f"{float(read * INCH)} mm", path
            continue
        if ".layout." in path and isinstance(here, str):
            continue  # words with lengths in them
        if isinstance(here, float):
            wanted = here * float(INCH) if is_length else here
            assert there == pytest.approx(wanted, rel=1e-9, abs=1e-7), path
            compared += is_length
        else:
            assert here == there, path
    assert compared > 150


# ------------------------------------------------------------------ a higher rail


@settings(deadline=None, derandomize=True, max_examples=36)
@given(section=flights(), rises=st.lists(part(Fraction(1, 16), 4), min_size=1, max_size=3))
def test_raising_the_rail_shrinks_no_opening(section, rises):
    """Every opening, by kind, bay and tread, is at least as large under a higher rail."""
    check_raising(section, rises)


@settings(deadline=None, derandomize=True, max_examples=24)
@given(section=flights("closed"), rises=st.lists(part(Fraction(1, 16), 4), min_size=1, max_size=3))
def test_raising_the_rail_over_a_closed_stringer_shrinks_no_opening(section, rises):
    """The strip over the stringer, foot and head likewise."""
    check_raising(section, rises)


@PROPERTY
@given(span=part(60, 140), gap=part(0, 6), rises=st.lists(part(Fraction(1, 16), 4), min_size=1))
def test_raising_the_rail_of_a_level_run_shrinks_no_opening(span, gap, rises):
    check_raising(record_of(JobLevel, span=span, bays=2, bottom_gap=gap), rises)


def check_raising(section, rises):
    job = job_of(section)
    gap = section.bottom_gap
    before = {}
    for step in (Fraction(0), *rises):
        gap += step
        sizes = {}
        for opening in solve_section(job, 0, gap).openings:
            key = (opening.kind, opening.bay, opening.tread)
            sizes.setdefault(key, []).append(opening.diameter)
        for key, diameters in before.items():
            assert len(sizes[key]) == len(diameters), key
            for low, high in zip(diameters, sizes[key], strict=True):
                assert high >= low - 1e-9 * max(1, low), key
        before = sizes
    assert {"triangle", "under-rail"} & {kind for kind, _, _ in before}

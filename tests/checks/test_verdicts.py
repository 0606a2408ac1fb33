"""Each kind of limit at equality and a hair to either side, through the whole chain.

The guard is a 3-4-5 stair whose lengths all come out as fractions, so that a limit can be set
exactly on a value that the solver reaches through roots.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import msgspec
import pytest
from guards import changed

from stairs.checks.finding import allowed
from stairs.report.result import result_of
from stairs.rules import KINDS, available, load
from stairs.solution import solution_for

GUARD = {
    "section.rise": "45",
    "section.risers": 6,
    "section.unit_run": "10",
    "section.nosing": "0",
    "section.posts": ["-4", "58"],
    "section.bottom_gap": "3/2",
    "panel.height": "33",
    "panel.top_rail": "2",
    "panel.bottom_rail": "2",
    "panel.end_margin": None,
    "panel.slot": None,
    "top.measured_within": "0",
}
HAIR = Fraction(1, 10**13)

VALUES = {
    "unit-rise-max": "15/2",
    "unit-rise-min": "15/2",
    "unit-run-min": "10",
    "unit-run-max": "10",
    "tread-depth-min": "10",
    "step-formula-max": "25",
    "step-formula-min": "25",
    "flight-rise-max": "45",
    "guard-height-min": "35",  # 33 + 1/2 for the rake + 3/2
    "guard-height-max": "35",
    "handrail-height-min": "35",
    "handrail-height-max": "35",
    "opening-triangle": "6",  # 2 (10 * 3/2 + 10 * 15/2) / (15/2 + 10 + 25/2)
    "opening-baluster": "57/20",  # 9/2 * 4/5 - 3/4
}
"""Exact values of that guard in inches, by the check that they are held against."""

SMALLER = ("ball-smaller", "cube-smaller")


def finding(rules: str, check: str, limit: Fraction):
    own = {check: {"limit": str(limit), "reason": "to try the limit"}}
    solution = solution_for(changed("in", {**GUARD, "top.local": own}, rules), with_remedies=False)
    return next((item for item in solution.sections[0].findings if item.id == check), None)


def expected(kind: str, order: int) -> str:
    if kind in SMALLER:
        return "pass" if order < 0 else "fail"
    if kind == "minimum":
        return "pass" if order >= 0 else "fail"
    return "pass" if order <= 0 else "fail"


# an own value this far below the code's 19 in is asked back, so it cannot be tried
FAR = ("osha-1910-2016", "opening-baluster")


@pytest.mark.parametrize(
    ("rules", "check"),
    [pair for pair in product(available(), VALUES) if pair != FAR],
    ids="-".join,
)
def test_a_limit_on_the_value_and_a_hair_beside_it(rules, check):
    value = Fraction(VALUES[check])
    if (rules, check) == ("ncc-2022", "opening-triangle"):
        value = Fraction(6, 5)  # tried above the nosing line only: 3/2 * 4/5
    if (rules, check) == ("din-18065-2015", "opening-triangle"):
        value = Fraction(36, 7)  # a cube: its square in the corner, (3/2 + 10 * 3/4) / (1 + 3/4)
    for order in (-1, 0, 1):
        limit = value - order * HAIR
        if limit < 0:
            continue
        found = finding(rules, check, limit)
        assert found is not None
        assert found.order == order
        assert found.verdict == expected(found.ruling.kind, order), (found.ruling.kind, order)
        assert found.cut.verdict in ("pass", "fail")
        if found.verdict == "fail":
            assert found.cut.verdict == "fail"


def test_a_hair_is_finer_than_any_float_near_the_ball():
    assert float(Fraction(6)) == float(Fraction(6) + HAIR / 10**4)
    found = finding("irc-2021", "opening-triangle", Fraction(6) + HAIR / 10**4)
    assert (found.order, found.verdict) == (-1, "pass")
    found = finding("irc-2021", "opening-triangle", Fraction(6) - HAIR / 10**4)
    assert (found.order, found.verdict) == (1, "fail")


@pytest.mark.parametrize("kind", [kind for kind in KINDS if not kind.startswith("needed")])
def test_equality_by_kind(kind):
    assert allowed(kind, 0) == (kind not in SMALLER)
    assert allowed(kind, -1) == (kind != "minimum")
    assert allowed(kind, 1) == (kind == "minimum")


def test_the_ball_of_the_code_itself_ties():
    # the 6 in ball and the 3-4-5 stair of 7 1/2 in risers, the rail 1 1/2 in over the nosings
    job = changed("in", GUARD)
    solution = solution_for(job, with_remedies=False)
    found = next(item for item in solution.sections[0].findings if item.id == "opening-triangle")
    assert (found.ruling.limit, found.order, found.verdict) == (6.0, 0, "fail")
    assert solution.ok is False
    row = next(row for row in result_of(solution)["checks"] if row["id"] == "opening-triangle")
    assert (row["verdict"], row["limit"]) == ("fail", 6.0)


@pytest.mark.parametrize(
    ("rise", "risers", "run", "gap", "limit"),
    [
        # 5-12-13 by 3/2, v such that 2 G (v + R) / (R + G + L) = 6: 18 * 6 / 36 - 7.5 + ...
        ("75/2", 5, "18", "0", "6"),
        ("30", 4, "10", "3/2", "6"),
        ("24", 3, "15", "0", "6"),
    ],
)
def test_pythagorean_stairs_tie_with_their_circle(rise, risers, run, gap, limit):
    R, G, v = Fraction(rise) / risers, Fraction(run), Fraction(gap)
    slope = (R * R + G * G) ** 0.5
    assert slope == int(2 * slope) / 2
    circle = 2 * G * (v + R) / (R + G + Fraction(slope))
    changes = {
        **GUARD,
        "section.rise": rise,
        "section.risers": risers,
        "section.unit_run": run,
        "section.bottom_gap": gap,
        "section.posts": ["-4", str((risers - 1) * G + 8)],
        "top.local": {"opening-triangle": {"limit": str(circle), "reason": "to try the limit"}},
    }
    solution = solution_for(changed("in", changes), with_remedies=False)
    found = next(item for item in solution.sections[0].findings if item.id == "opening-triangle")
    assert (found.order, found.verdict) == (0, "fail")
    assert (circle == Fraction(limit)) == (R in (Fraction(15, 2), Fraction(8)) and circle == 6)


@pytest.mark.parametrize("rules", available())
def test_an_inch_job_and_a_millimetre_job_of_the_same_size_agree(rules):
    inch = changed("in", {}, rules)
    scale = Fraction(127, 5)

    def scaled(value):
        if isinstance(value, Fraction):
            return value * scale
        if isinstance(value, tuple):
            return tuple(scaled(part) for part in value)
        return value

    keep = {"max_rack", "max_swing", "turn", "riser_slope", "rake"}

    def record(struct):
        return msgspec.structs.replace(
            struct,
            **{
                name: record(value) if isinstance(value, msgspec.Struct) else scaled(value)
                for name in struct.__struct_fields__
                if name not in keep and (value := getattr(struct, name)) is not None
            },
        )

    metric = msgspec.structs.replace(
        inch,
        units="mm",
        tape=inch.tape * scale,
        measured_within=inch.measured_within * scale,
        panel=record(inch.panel),
        bracket=record(inch.bracket),
        post=record(inch.post),
        sections=tuple(record(section) for section in inch.sections),
    )
    rows = [
        [(found.id, found.where, found.order, found.verdict, found.cut.verdict)
         for part in solution_for(job, with_remedies=False).sections for found in part.findings]
        for job in (inch, metric)
    ]  # fmt: skip
    assert rows[0] == rows[1]


def measured(rises: list[str], runs: list[str], **changes):
    steps = {"section.rise": None, "section.risers": None, "section.unit_run": None}
    job = changed("in", {**steps, "section.rises": rises, "section.runs": runs, **changes})
    return {one.id: one for one in solution_for(job, with_remedies=False).sections[0].findings}


def test_a_finding_on_uneven_steps_names_the_step_it_was_taken_at():
    # risers 7, 7 1/4, 8, 7; treads 10 1/2, 10, 10 1/4: the extremes by eye
    found = measured(["7", "7 1/4", "8", "7"], ["10 1/2", "10", "10 1/4"],
                     **{"section.posts": ["-4", "38"], "section.bottom_gap": "auto"})  # fmt: skip
    assert (found["unit-rise-max"].value, found["unit-rise-max"].where) == (8.0, "riser 3")
    assert (found["unit-run-min"].value, found["unit-run-min"].where) == (10.0, "tread 2")
    assert (found["riser-uniformity"].value, found["riser-uniformity"].where) == (
        1.0,
        "risers 1 and 3",
    )
    assert found["tread-uniformity"].where == "treads 1 and 2"


def test_steps_that_are_all_alike_name_none():
    found = measured(["7 1/4"] * 4, ["10 1/2"] * 3,
                     **{"section.posts": ["-4", "39"], "section.bottom_gap": "auto"})  # fmt: skip
    assert found["unit-rise-max"].where == found["riser-uniformity"].where == ""


def test_measuring_error_follows_the_highest_riser_and_not_its_number():
    # riser 2 is 7 3/4 and riser 3 only 1/32 less: a tape 1/16 off moves both past the limit,
    # and whichever is the higher then must not be lost
    found = measured(["7 1/2", "7 3/4", "7 23/32", "7 1/2"], ["10 1/2"] * 3,
                     **{"section.posts": ["-4", "39"], "section.bottom_gap": "auto"})  # fmt: skip
    high = found["unit-rise-max"]
    assert (high.verdict, high.where) == ("marginal", "riser 2")
    assert high.worst > 7.75


UNEVEN = {"section.rise": None, "section.risers": None, "section.unit_run": None,
          # nosing 2 lies 1/2 in under the line of the others
          "section.nosings": [["0", "7"], ["10", "13 1/2"], ["20", "21"], ["30", "28"]],
          "section.posts": ["-4", "38"]}  # fmt: skip


def heights(**changes) -> dict:
    part = solution_for(changed("in", {**UNEVEN, **changes}), with_remedies=False).sections[0]
    return part, {one.id: one for one in part.findings if "height" in one.id}


def test_over_uneven_nosings_a_height_is_least_over_the_highest_and_greatest_over_the_lowest():
    _, found = heights(**{"section.bottom_gap": "1"})
    least, greatest = found["handrail-height-min"], found["handrail-height-max"]
    # 33 1/2 - 1 5/8 + 1 5/8 sqrt(149) / 10 + 1, and 1/2 more
    assert least.value == pytest.approx(33.5 - 1.625 + 1.625 * 149**0.5 / 10 + 1, abs=1e-12)
    assert greatest.value == pytest.approx(least.value + 0.5, abs=1e-12)
    assert greatest.where == "nosing 2"
    assert greatest.cut.value == pytest.approx(greatest.value, abs=1 / 16)


def test_the_window_ends_where_the_handrail_is_too_high_over_the_lowest_nosing():
    part, _ = heights(**{"section.bottom_gap": "1"})
    high = next(end for end in part.window.highs if end.set_by == "greatest handrail height")
    mark = Fraction(int(float(high.value) * 16), 16)
    for gap, verdict in ((mark, "pass"), (mark + Fraction(1, 16), "fail")):
        _, found = heights(**{"section.bottom_gap": str(gap), "top.measured_within": "0"})
        assert found["handrail-height-max"].verdict == verdict


@pytest.mark.parametrize("rules", ["nbc-2020", "england-ad-k-2013", "iso-14122-3-2016"])
def test_the_use_that_a_rulebook_takes_for_a_job_is_told_as_assumed(rules):
    book = load(rules)
    told = [
        text
        for text in solution_for(changed("mm", {}, rules), with_remedies=False).job.assumed
        if "(use = " in text
    ]
    assert len(told) == bool(book.uses)
    for text in told:
        assert text.startswith(f'the building is for "{book.default_use}" use, not "')
        assert all(f'"{use}"' in text for use in book.uses)
    for use in book.uses[:1]:
        job = changed("mm", {"top.use": use}, rules)
        assert not [
            one for one in solution_for(job, with_remedies=False).job.assumed if "use" in one
        ]

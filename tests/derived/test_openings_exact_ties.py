"""Values that lie exactly at their limit, or a hair from it, are decided exactly.

A circle of just the ball's size touches all its sides and lets the ball through, so "must not pass"
needs a smaller circle; a plain maximum or minimum includes its limit.  The steps are Pythagorean,
so that the circle is worked out on paper: with legs a and b and hypotenuse c the inscribed circle
is a + b - c across.
"""

import subprocess
import sys
from fractions import Fraction
from math import isqrt

import pytest

from stairs.guard.solving import solve_section
from stairs.job import Bracket, Job, JobFlight, Panel, PostKind
from stairs.job.key_notes import record_of
from stairs.openings.opening import compare_opening
from stairs.relations.exact import compare
from stairs.solution import solution_for

HAIR = Fraction(1, 10**15)


def flight_of(rise, run, gap=0, nosing=0, posts=None, **more):
    rise, run = Fraction(rise), Fraction(run)
    return record_of(
        JobFlight, unit_rise=rise, unit_run=run, risers=5, nosing=Fraction(nosing),
        tread_thickness=Fraction(1) if nosing else None, bottom_gap=Fraction(gap),
        posts=posts or (Fraction(-4), 4 * run + 4), **more,
    )  # fmt: skip


def job_of(section, rules="irc-2021", **changes):
    parts = {
        "units": "in", "rules": rules, "tape": Fraction(1, 16), "measured_within": Fraction(0),
        "panel": Panel(height=Fraction(34), top_rail=Fraction(7, 4), bottom_rail=Fraction(3, 2),
                       baluster=Fraction(3, 4), pitch=Fraction(9, 2)),
        "bracket": Bracket(kind="pivot", pivot_offset=Fraction(9, 8), rail_setback=Fraction(3, 8)),
        "post": PostKind(width=Fraction(3)), "sections": (section,),
    }  # fmt: skip
    return Job(**{**parts, **changes})


# legs of the corner (riser with what the gap adds, tread with its overhang) and a 6 in circle
TIES = {
    "9 by 12 on the line": flight_of(9, 12),
    "7.5 by 10, 1 1/2 gap": flight_of(Fraction(15, 2), 10, Fraction(3, 2)),
    "8 by 15 on the line": flight_of(8, 15),
    "8 1/4 by 11, 1 overhang": flight_of(Fraction(33, 4), 11, 0, 1),
}


def tread_opening(section):
    return next(o for o in section.openings if o.kind == "triangle")


@pytest.mark.parametrize("section", TIES.values(), ids=TIES)
def test_circle_of_exactly_six_inches_lets_the_ball_through(section):
    """The circle is 6 in exactly; a hair less gap and it is smaller, a hair more and it is not."""
    opening = tread_opening(solve_section(job_of(section), 0))
    assert opening.diameter == pytest.approx(6, abs=1e-12)
    assert compare_opening(opening, Fraction(6)) == 0
    gap = section.bottom_gap
    for shift, order in ((HAIR, 1), (-HAIR, -1)):
        moved = tread_opening(solve_section(job_of(section), 0, gap + shift))
        assert compare_opening(moved, Fraction(6)) == order
        assert compare_opening(opening, 6 - shift) == order


@pytest.mark.parametrize("section", TIES.values(), ids=TIES)
def test_tie_fails_a_ball_that_must_not_pass(section):
    """The IRC's 6 in sphere must not pass; at a tie it does."""
    solution = solution_for(job_of(section))
    finding = next(f for f in solution.sections[0].findings if f.id == "opening-triangle")
    assert (finding.ruling.limit, finding.ruling.kind, finding.order) == (6.0, "ball-smaller", 0)
    assert finding.verdict == "fail"
    if section.bottom_gap > 0:
        steps, gap = section.steps, section.bottom_gap - HAIR
        lower = flight_of(steps.unit_rise, steps.unit_run, gap, section.build.nosing)
        findings = solution_for(job_of(lower)).sections[0].findings
        finding = next(f for f in findings if f.id == "opening-triangle")
        assert (finding.order, finding.verdict) == (-1, "pass")


def finding_of(job, name):
    return next(f for f in solution_for(job).sections[0].findings if f.id == name)


@pytest.mark.parametrize(
    ("rise", "run", "name"),
    [(Fraction(31, 4), 11, "unit-rise-max"), (7, 10, "unit-run-min")],
    ids=["unit-rise-max", "unit-run-min"],
)
def test_equal_to_a_plain_limit_passes(rise, run, name):
    """7 3/4 in of rise and 10 in of run are allowed, a hair beyond is not."""
    finding = finding_of(job_of(flight_of(rise, run)), name)
    assert (finding.order, finding.verdict) == (0, "pass")
    beyond = (rise + HAIR, run) if name.endswith("max") else (rise, run - HAIR)
    assert finding_of(job_of(flight_of(*beyond)), name).verdict == "fail"


def test_guard_height_exactly_at_its_minimum_passes():
    """A 3-4-5 step makes every plumb depth a fraction: the guard comes to 34 in exactly.

    Rails 2 and 2 deep are 2 1/2 plumb, so a panel 32 in level stands 32 1/2 and 1 1/2 is missing.
    """
    panel = Panel(height=Fraction(32), top_rail=Fraction(2), bottom_rail=Fraction(2),
                  baluster=Fraction(3, 4), pitch=Fraction(9, 2))  # fmt: skip
    section = flight_of(Fraction(15, 2), 10, Fraction(3, 2))
    finding = finding_of(job_of(section, panel=panel), "guard-height-min")
    assert (finding.value, finding.ruling.limit, finding.order) == (pytest.approx(34), 34.0, 0)
    assert finding.verdict == "pass"
    lower = flight_of(Fraction(15, 2), 10, Fraction(3, 2) - HAIR)
    assert finding_of(job_of(lower, panel=panel), "guard-height-min").verdict == "fail"


def test_baluster_gap_exactly_at_the_ball_fails():
    """4 3/8 in between balusters lets the 4 3/8 in ball through: pitch 6 13/32 on a 3-4-5 rake."""
    panel = Panel(height=Fraction(34), top_rail=Fraction(7, 4), bottom_rail=Fraction(3, 2),
                  baluster=Fraction(3, 4), pitch=Fraction(205, 32))  # fmt: skip
    finding = finding_of(job_of(flight_of(Fraction(15, 2), 10), panel=panel), "opening-baluster")
    assert finding.ruling.limit == 4.375
    assert (finding.order, finding.verdict) == (0, "fail")
    closer = Panel(height=Fraction(34), top_rail=Fraction(7, 4), bottom_rail=Fraction(3, 2),
                   baluster=Fraction(3, 4), pitch=Fraction(205, 32) - HAIR)  # fmt: skip
    finding = finding_of(job_of(flight_of(Fraction(15, 2), 10), panel=closer), "opening-baluster")
    assert (finding.order, finding.verdict) == (-1, "pass")


def test_circle_that_leans_on_a_post_is_decided_from_the_walls():
    """A foot as wide as the ball: post face to riser 6 in exactly, with room above.

    The rail goes up to the post; beside a slot the circle could rise over the nosing and grow.
    """
    section = flight_of(9, 12, 6, posts=(Fraction(-15, 2), Fraction(52)))
    solved = solve_section(job_of(section, bracket=Bracket(kind="plumb-cut")), 0)
    foot = next(o for o in solved.openings if o.kind == "foot")
    assert foot.diameter == pytest.approx(6, abs=1e-12)
    assert compare_opening(foot, Fraction(6)) == 0
    assert compare_opening(foot, 6 - HAIR) == 1
    assert compare_opening(foot, 6 + HAIR) == -1


@pytest.mark.parametrize("order", [-1, 0, 1])
def test_comparison_of_roots_within_a_hair(order):
    """Two sides of the rake that agree to a quadrillionth and still differ."""
    from stairs.relations.exact import derived

    slope = derived("unit_slope", unit_rise=Fraction(9), unit_run=Fraction(12))
    assert compare(slope, 15 - order * HAIR) == order
    root = derived("unit_slope", unit_rise=Fraction(1), unit_run=Fraction(1))
    # the convergents of the square root of two fall on either side of it
    below, above = Fraction(54608393, 38613965), Fraction(131836323, 93222358)
    assert below**2 < 2 < above**2 or above**2 < 2 < below**2
    assert compare(root, min(below, above)) == 1
    assert compare(root, max(below, above)) == -1


LOADED = """
import sys
from stairs.cli.commands import main
try:
    main(sys.argv[1:], standalone_mode=False)
except SystemExit:
    pass
heavy = {"sympy", "matplotlib", "numpy", "scipy", "shapely", "ezdxf"}
sys.stderr.write(" ".join(sorted(heavy & set(sys.modules))))
"""


@pytest.mark.parametrize("command", ["solve", "check"])
@pytest.mark.parametrize(
    "measured",
    [("43 1/2", "52 1/2", "5"), ("1100", "1250", "5", "--units", "mm")],
    ids=["in", "mm"],
)
def test_everyday_commands_load_no_computer_algebra_and_no_plotting(command, measured):
    """``solve`` and ``check`` of an ordinary job leave the heavy libraries on disk."""
    rise, run, treads, *more = measured
    done = subprocess.run(
        [sys.executable, "-c", LOADED, command, "--rise", rise, "--run", run, "--treads", treads,
         *more],
        capture_output=True, text=True, timeout=60,
    )  # fmt: skip
    assert done.stderr == ""
    assert "Traceback" not in done.stdout and len(done.stdout.splitlines()) > 10


def test_ordinary_verdicts_do_not_ask_for_an_expression(monkeypatch):
    """Where floats are sure, nothing exact is built."""
    from stairs.relations import exact

    def refuse(amount):
        raise AssertionError(f"an exact expression of {amount} was asked for")

    monkeypatch.setattr(exact, "expression", refuse)
    solution = solution_for(job_of(flight_of(Fraction(29, 4), Fraction(21, 2), Fraction(5, 8))))
    assert {f.verdict for f in solution.sections[0].findings} >= {"pass"}


def test_even_tie_is_settled_by_fractions_alone(monkeypatch):
    """A 9-12-15 step has no root left, so its tie is a comparison of two fractions."""
    from stairs.relations import exact

    monkeypatch.setattr(exact, "expression", None)
    opening = tread_opening(solve_section(job_of(TIES["9 by 12 on the line"]), 0))
    assert opening.closed_form == Fraction(6)
    assert compare_opening(opening, Fraction(6)) == 0


def test_near_tie_does_ask_for_exact_numbers(monkeypatch):
    """The guard against the test above passing for the wrong reason.

    On a 7 by 7 step the circle is ``2 (7 v + 49) / (14 + 7 sqrt 2)``; a gap is taken that brings it
    within a hair of 6 from below.
    """
    from stairs.relations import exact

    asked = []
    plain = exact.expression

    def listen(amount):
        asked.append(amount)
        return plain(amount)

    monkeypatch.setattr(exact, "expression", listen)
    root = Fraction(isqrt(2 * 10**30), 10**15)  # just below the square root of 2
    gap = 3 * (14 + 7 * root) / 7 - 7
    flight = flight_of(Fraction(7), Fraction(7), gap)
    opening = tread_opening(solve_section(job_of(flight), 0))
    assert compare_opening(opening, Fraction(6)) == -1
    assert asked

"""What is told of the ball beside a stair without searching for it, and where it is not sought."""

import random
from fractions import Fraction

import pytest
from path_search import UNDER, job_of, solved_flights

from stairs.guard.solving import solve_section
from stairs.job import JobFlight
from stairs.job.key_notes import record_of
from stairs.openings import section_openings
from stairs.openings.pocket import is_open
from stairs.openings.side_gap.ball import compare_in_pocket


def test_ball_is_told_smaller_only_where_it_is():
    """Just below a limit it is told without the ball; at the limit and above it never is."""
    flights = solved_flights(random.Random(21))
    seen = 0
    while seen < 60:
        for opening in next(flights)[2].openings:
            if opening.kind not in UNDER or not is_open(opening.pocket):
                continue
            size = Fraction(opening.diameter)
            for part in (Fraction(1, 2), 1 - Fraction(1, 10**6), 1 - Fraction(1, 10**11)):
                assert compare_in_pocket(opening.pocket, size * part) >= 0
            assert compare_in_pocket(opening.pocket, size * (1 + Fraction(1, 10**6))) < 0
            seen += 1


@pytest.mark.parametrize("bottom_gap", [Fraction(1, 4), Fraction(-5)])
def test_section_for_a_window_has_its_pockets_and_seeks_no_ball(monkeypatch, bottom_gap):
    job = job_of(
        record_of(
            JobFlight,
            unit_rise=Fraction(29, 4),
            unit_run=Fraction(21, 2),
            risers=6,
            nosing=Fraction(1),
            tread_thickness=Fraction(5, 4),
            bottom_gap=bottom_gap,
            side_gap=Fraction(5, 2),
            posts=(Fraction(-4), Fraction(241, 4)),
            handrail=True,
        )
    )
    whole = solve_section(job, 0)
    assert any(opening.ball for opening in whole.openings)

    def sought(*_):
        raise AssertionError("a ball was sought")

    monkeypatch.setattr(section_openings, "ball_in_pocket", sought)
    bare = solve_section(job, 0, with_balls=False)
    with pytest.raises(AssertionError):
        solve_section(job, 0, bottom_gap + Fraction(1, 8))
    assert [o.pocket for o in bare.openings] == [o.pocket for o in whole.openings]
    assert not any(o.outline for o in bare.openings if o.pocket)

"""A circle grows without a jump while the rail is raised, whatever it comes to lean on.

Raising the rail by ``d``, plumb, moves each of its points by ``d cos θ`` square to itself, so a
circle's diameter can grow by no more than ``2 d`` and cannot shrink.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from msgspec.structs import replace

from stairs.guard.solving import solve_section
from stairs.job import job_from_mapping
from stairs.openings.under_rail import largest_in_pocket

STEPS = {
    "thin treads": {"nosing": "1"},
    "thick treads": {"nosing": "1", "tread_thickness": "3"},
    "no overhang": {},
    "raked-back risers": {"riser_slope": 20, "tread_thickness": "1"},
    "post on a tread": {"nosing": "1", "posts": ["-4", "25", "47"]},
}


def openings_of(**section):
    job = job_from_mapping(
        {
            "units": "in",
            "measured_within": 0,
            "panel": {"height": 36, "top_rail": "3/2", "bottom_rail": "3/2", "baluster": "3/4",
                      "pitch": "9/2"},
            "bracket": {"kind": "pivot", "pivot_offset": 1, "rail_setback": "1/2"},
            "post": {"width": 3},
            "section": [{"unit_rise": "29/4", "unit_run": "21/2", "treads": 4,
                         "posts": ["-4", "47"], "bottom_gap": "1/16", **section}],
        }
    )  # fmt: skip
    return solve_section(job, 0).openings


def pockets(**section):
    return [opening.pocket for opening in openings_of(**section) if opening.pocket]


@pytest.mark.parametrize("name", STEPS)
def test_raising_the_rail_changes_what_a_circle_leans_on_without_a_jump(name):
    step = Fraction(1, 16)
    leans = set()
    for pocket in pockets(**STEPS[name]):
        before = None
        for turn in range(160):
            raised = replace(pocket, bottom_gap=step * (turn + 1))
            circle, _, _ = largest_in_pocket(raised)
            leans.add((pocket.step, circle.leans_on))
            if before is not None:
                growth = circle.diameter - before
                assert -1e-9 <= growth <= 2 * float(step) + 1e-9, (pocket.step, turn)
            before = circle.diameter
    # the sweep does cross changes of what is leant on, over more than one step
    assert len(leans) > len({step for step, _ in leans}) > 2


def test_without_risers_a_circle_leans_on_the_stringer_in_their_plane():
    closed, opened = (openings_of(open_risers=word) for word in (False, True))
    assert opened[-1].kind == "open-riser"
    for one, other in zip(closed, opened[:-1], strict=True):
        assert one.diameter == other.diameter
        names = [
            f"stringer at {side}" if side.startswith("riser") else side
            for side in map(str, one.leans_on)
        ]
        assert [str(side) for side in other.leans_on] == names
    assert ("tread 1", "stringer at riser 2", "bottom rail") in {
        tuple(map(str, one.leans_on)) for one in opened
    }

"""The invented guards that are lettered; inches, and nothing that anybody would build."""

from __future__ import annotations

from collections.abc import Mapping

from stairs.guard.solving import FlightSection
from stairs.job import job_from_mapping
from stairs.solution import Solution, solution_for

PARTS = {
    "units": "in",
    "rules": "irc-2021",
    "panel": {
        "height": 24,
        "top_rail": 2,
        "bottom_rail": 2,
        "baluster": 1,
        "pitch": 6,
        "stock": [24],
        "end_margin": 3,
        "rail_width": 2,
        "slot": {"length": "1 1/2", "wall": "1/4"},
    },
    "bracket": {"kind": "pivot", "pivot_offset": "1 1/2", "rail_setback": 1},
    "post": {"width": 3, "base": 5, "reveal": 2},
}
STEPS = {
    "kind": "flight",
    "rise": 21,
    "run": 20,
    "risers": 3,
    "nosing": "1 1/2",
    "handrail": True,
    "tread_thickness": "1 1/2",
    "riser_slope": 12,
    "bottom_gap": 2,
    "posts": ["-5", "26"],
}
UNEVEN = {
    **{key: value for key, value in STEPS.items() if key not in ("rise", "run", "risers")},
    "rises": ["6 1/2", "7 1/2", "7"],
    "runs": ["9 1/2", "10 1/2"],
    "bottom_gap": 3,
}
LEVEL_RUN = {"kind": "level", "posts": [0, 32], "bottom_gap": 2, "handrail": True}
STANDING = {
    **LEVEL_RUN,
    "posts": [0, 20],
    "as_built": [{"post": 2, "surface": 3, "lean": -4}],
}
BESIDE = {
    **PARTS,
    "bracket": {"kind": "plumb-cut", "end_clearance": "1 1/2"},
    "post": {"width": 3, "reveal": 2, "below": 7},
}
CLOSED = {
    **STEPS,
    "bottom_gap": 4,
    "filler": "1 1/4",
    "riser_slope": 0,
    "stringer": "closed",
    "stringer_margin": "1 1/4",
    "side_gap": 2,
}


def the_flight(solution: Solution) -> FlightSection:
    """The flight of an invented guard that has nothing else."""
    section = solution.sections[0].section
    assert isinstance(section, FlightSection)
    return section


def solved(section: Mapping[str, object], keys: Mapping[str, object] = PARTS) -> Solution:
    """An invented guard of one section."""
    return solution_for(
        job_from_mapping({**keys, "section": [section]}), judged=(), for_sheets=True
    )

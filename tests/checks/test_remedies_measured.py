"""Remedies for a flight that was measured step by step: the steps that break a rule, by number.

Each is followed as a mason would, by rebuilding the step that is named to the size that is named,
and the guard is solved again: the check must then pass.
"""

from __future__ import annotations

import random
from fractions import Fraction as F
from itertools import combinations, pairwise

import pytest

from stairs.job import job_from_mapping
from stairs.remedies.measured_steps import rebuilt_risers
from stairs.solution import solution_for

GUARD = {
    "units": "mm",
    "panel": {"height": 900, "top_rail": 40, "bottom_rail": 30, "baluster": 16, "pitch": 110},
    "bracket": {"kind": "plumb-cut", "end_clearance": 3},
    "post": {"width": 60},
}


def solved(rules, rises, runs, **more):
    """A flight of these risers and treads, with a post on either landing."""
    nosings, x, y = [], F(0), F(0)
    for rise, run in zip(rises, [0, *runs], strict=True):
        x, y = x + run, y + rise
        nosings.append([str(x), str(y)])
    section = {
        "kind": "flight", "nosings": nosings, "tread_thickness": 30, "bottom_gap": "auto",
        "posts": [-60, str(x + 80)], **more,
    }  # fmt: skip
    return solution_for(job_from_mapping({**GUARD, "rules": rules, "section": [section]}, "test"))


def failing(solution) -> dict[str, list[str]]:
    part = solution.sections[0]
    return {
        one.id: [remedy.text for remedy in part.remedies[one.id]]
        for one in part.findings
        if one.fails
    }


@pytest.mark.parametrize(
    ("rules", "check", "rises", "runs", "text", "mended"),
    [
        ("iso-14122-3-2016", "step-formula-min", [170, 170, 120, 170], [260, 260, 260],
         "Rebuild tread 2 and riser 3: two rises and a run make 500 mm there, and have to make "
         "600 mm or more; with the floors where they are, that takes risers of 157.5 mm and runs "
         "of "
         "285 mm or more", ([F("157.5")] * 4, [285] * 3)),
        ("iso-14122-3-2016", "step-formula-max", [200, 200, 200, 240], [255, 255, 255],
         "Rebuild tread 3 and riser 4: two rises and a run make 735 mm there, and have to make "
         "660 mm or less; with the floors where they are, that takes risers of 210 mm and runs of "
         "240 mm or less", ([210] * 4, [240] * 3)),
        ("england-ad-k-2013", "step-formula-min", [160, 150, 150, 160], [225, 230, 260],
         "Rebuild tread 1 and riser 2, and 1 more: two rises and a run make 525 mm there, and have "
         "to make 550 mm or more; with the floors where they are, that takes risers of 155 mm and "
         "runs of 240 mm or more", ([155] * 4, [240, 240, 260])),
        ("england-ad-k-2013", "unit-rise-max", [200, 230, 200, 225], [260, 260, 260],
         "Rebuild risers 2 and 4, which are 230 mm and 225 mm, to 220 mm or less: with the floors "
         "where they are, risers 1, 2, 3 and 4 become 215 mm, 215 mm, 213 mm and 212 mm",
         ([215, 215, 213, 212], [260, 260, 260])),
        ("england-ad-k-2013", "unit-rise-min", [160, 140, 160, 160], [260, 260, 260],
         "Rebuild riser 2, which is 140 mm, to 150 mm or more: with the floors where they are, "
         "risers 1 and 2 become 150 mm each", ([150, 150, 160, 160], [260, 260, 260])),
        ("england-ad-k-2013", "unit-run-min", [180, 180, 180, 180], [215, 250, 210],
         "Rebuild treads 1 and 3, whose runs are 215 mm and 210 mm, to 220 mm or more",
         ([180, 180, 180, 180], [220, 250, 220])),
        ("england-ad-k-2013", "unit-run-max", [170, 170, 170, 170], [260, 310, 260],
         "Rebuild tread 2, whose run is 310 mm, to 300 mm or less",
         ([170, 170, 170, 170], [260, 300, 260])),
    ],
)  # fmt: skip
def test_the_steps_that_break_a_rule_are_named_and_mend(rules, check, rises, runs, text, mended):
    assert failing(solved(rules, rises, runs))[check] == [text]
    assert check not in failing(solved(rules, *mended))
    assert sum(mended[0]) == sum(rises)  # the floors stay where they are


@pytest.mark.parametrize("seed", range(40))
def test_rebuilt_risers_add_up_to_the_same_rise_and_move_the_fewest_treads(seed):
    """Against every choice of treads that stay, by plain sums."""
    dice = random.Random(seed)
    count = dice.randint(2, 7)
    rises = [F(dice.randint(140, 240)) for _ in range(count)]
    least, most = F(150), F(dice.choice((190, 200, 220)))
    found = rebuilt_risers(rises, least, most, F(1))
    heights = [sum(rises[:k]) for k in range(count + 1)]
    stays = [
        kept
        for size in range(count)
        for inner in combinations(range(1, count), size)
        for kept in [(0, *inner, count)]
        if all(
            least * (high - low) <= heights[high] - heights[low] <= most * (high - low)
            for low, high in pairwise(kept)
        )
    ]
    if found is None:
        assert not stays
        return
    assert sum(found) == sum(rises) and len(found) == count
    assert all(least <= rise <= most for rise in found)
    reached = [sum(found[:k]) for k in range(count + 1)]
    moved = sum(one != other for one, other in zip(reached, heights, strict=True))
    assert moved <= count + 1 - max(map(len, stays))


def test_a_rise_that_so_many_risers_cannot_make_is_divided_anew():
    """Four risers of 230 mm are 920 mm, which takes 5 of 184 mm where 220 mm are the most."""
    (text,) = failing(solved("england-ad-k-2013", [230] * 4, [260] * 3))["unit-rise-max"]
    assert text == (
        "Rebuild the flight with 5 risers of 184 mm: the rise of 920 mm cannot be made of 4 that "
        "are 220 mm or less"
    )


def test_what_a_rebuilt_tread_breaks_is_told():
    """ISO 14122-3: runs of at least 210 mm, 600 to 660 mm in two rises and a run.  At a riser of
    230 a run of 200 makes 660, which passes; one of 210 makes 670."""
    iso = "iso-14122-3-2016"
    rises, runs = [220, 230, 220, 220], [200, 220, 220]
    (text,) = failing(solved(iso, rises, runs))["unit-run-min"]
    assert text == (
        "Rebuild tread 1, whose run is 200 mm, to 210 mm or more; but then fails: two rises and a "
        "run (670 mm, at most 660 mm)"
    )
    assert "step-formula-max" not in failing(solved(iso, rises, runs))
    assert "step-formula-max" in failing(solved(iso, rises, [210, 220, 220]))


def test_a_longer_nosing_is_tried_and_a_longer_tread_is_named():
    """OSHA asks for 9 1/2 in, 241.3 mm, of run and nosing together; on a tape of whole millimetres
    that is a nosing of 12 mm on a run of 230 mm, or a run of 237 mm before a nosing of 5 mm."""
    told = failing(solved("osha-1910-2016", [200] * 4, [230, 260, 260], nosing=5))
    assert told["tread-depth-min"] == [
        "Make the nosing 12 mm or more (now 5 mm)",
        "Rebuild tread 1, whose run is 230 mm, to 237 mm or more",
    ]
    for runs, nosing in (([230, 260, 260], 12), ([237, 260, 260], 5)):
        mended = failing(solved("osha-1910-2016", [200] * 4, runs, nosing=nosing))
        assert "tread-depth-min" not in mended


def test_a_rake_is_a_matter_of_all_steps():
    told = failing(solved("england-ad-k-2013", [219] * 4, [221] * 3))["rake-max"]
    assert told == [
        "Rebuild the steps so that the line over their nosings lies at 42° or less (now 44.7°, 4 "
        "risers on 663 mm of run)"
    ]


def test_a_stair_that_is_still_to_be_built_is_divided_anew():
    """The same steps, given by their size and not measured: the numbers are tried."""
    job = {
        **GUARD, "rules": "iso-14122-3-2016",
        "section": [{"kind": "flight", "unit_rise": 150, "unit_run": 260, "risers": 4,
                     "tread_thickness": 30, "nosing": 15, "bottom_gap": "auto",
                     "posts": [-60, 860]}],
    }  # fmt: skip
    told = failing(solution_for(job_from_mapping(job, "test")))["step-formula-min"]
    assert told[0].startswith("Make each run 300 mm or more (now 260 mm)")

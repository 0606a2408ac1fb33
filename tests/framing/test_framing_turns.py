"""Joists have one direction in the building: what each run of a guard that turns sees of them.

The other route is the plan: posts and joists as points and lines in one system of coordinates.
"""

from __future__ import annotations

import random
from math import cos, radians, sin

import pytest

from stairs.job import job_from_text
from stairs.report.result import result_of
from stairs.report.screen import solve_text
from stairs.solution import solution_for

HEAD = """
units = "in"
measured_within = 0
[panel]
height = "33 1/2"
top_rail = "1 3/4"
bottom_rail = "1 1/2"
baluster = "3/4"
pitch = "4 1/2"
[bracket]
kind = "pivot"
pivot_offset = "1 1/8"
rail_setback = "3/8"
[post]
width = "3"
base = "5"
edge_distance = "2 3/4"
"""
FRAMING = """
[framing]
direction = "{direction}"
joist_spacing = "16"
first_joist = "{first}"
joist_thickness = "1 1/2"
joist_depth = "7 1/4"
board_width = "5 1/2"
board_gap = "1/8"
edge_to_post = "5 1/4"
"""
STAIR = """
[[section]]
rise = "36 1/4"
run = "42"
treads = 4
nosing = "1"
tread_thickness = "1 1/4"
posts = ["-4", "48"]
bottom_gap = "1"
width = "48"
hand = "both"
"""


def run(span, turn=0, more="", posts=None):
    text = f'\n[[section]]\nspan = "{span}"\nturn = {turn}\nbottom_gap = "2 1/2"\n{more}\n'
    return text + (f"posts = {posts}\n" if posts else "bays = 2\n")


def framings(*sections, direction="across", first="4"):
    job = job_from_text(HEAD + FRAMING.format(direction=direction, first=first) + "".join(sections))
    solution = solution_for(job, with_remedies=False)
    return solution, [section["framing"] for section in result_of(solution)["sections"]]


def told(post):
    return post["lands"], post["to_joist"], [block["length"] for block in post["blocks"]]


def test_a_corner_turns_the_joists_for_the_guard():
    """Joists square to the front at 4, 20 .. 132 from its first post; the corner post stands at
    126 1/2, so seen along the side they lie 5 1/4 + 126 1/2 - 132 = -1/4, then 15 3/4 in."""
    _, (front, side) = framings(run("126 1/2"), run("140", 90))
    assert (front["direction"], side["direction"]) == ("across", "along")
    assert [joist["centre"] for joist in side["joists"]] == [-0.25, 15.75]
    assert told(side["posts"][1]) == ("between joists 1 and 2", -5.5, [14.5])
    assert any("past the deck edge" in note for note in side["notes"])


def test_a_shared_post_has_one_story():
    solution, (front, side) = framings(run("126 1/2"), run("140", 90))
    low, up = front["posts"][-1], side["posts"][0]
    assert up["same_as"] == (1, 3)
    assert (up["lands"], up["to_joist"]) == (low["lands"], low["to_joist"])
    assert not up["blocks"]
    assert low["blocks"]
    assert "is post 1.3" in solve_text(solution)


def test_a_run_with_framing_of_its_own_keeps_it():
    own = '[section.framing]\ndirection = "across"\nfirst_joist = "7"\n'
    _, (_, side) = framings(run("126 1/2"), run("140", 90, posts=[0, 70, 140]) + own)
    assert side["direction"] == "across"
    assert side["posts"][1]["to_joist"] == 7 + 4 * 16 - 70


def test_joists_that_lie_askew_are_not_guessed():
    solution, (_, clipped) = framings(run("126 1/2"), run("60", 45))
    assert clipped is None
    assert "framing: joists lie askew under this run" in " ".join(solution.job.assumed)


def test_over_another_flight_only_the_direction_is_known():
    """The first run leaves its stair to the right, and the next stair goes straight on from it."""
    right = STAIR.replace("both", "right")
    _, plans = framings(right, run("48", -90), right, run("60"))
    assert plans[3]["direction"] == "across"
    solution, plans = framings(right, run("48", -90), right, run("60", 90))
    assert plans[3] is None
    assert "where the first joist lies after the turn is not told" in " ".join(solution.job.assumed)


def test_the_heads_of_a_stair_alone_stand_on_joists():
    """Seen along the top nosing from the right-hand post: joists at 4, -12, -28, -44 and -60; the
    left-hand post stands 48 to the left, and both 48 - 42 = 6 behind the nosing."""
    solution, (plan,) = framings(STAIR)
    right, left = plan["posts"]
    assert [(one["hand"], one["x"], one["inset"]) for one in (right, left)] == [
        ("right", 0, 6), ("left", -48, 6),
    ]  # fmt: skip
    assert [one["to_joist"] for one in (right, left)] == [4, 4]
    assert [block["length"] for one in (right, left) for block in one["blocks"]] == [14.5, 14.5]
    assert "2 left" in solve_text(solution)


def test_the_head_on_the_other_hand_of_the_next_run_stands_on_its_joists():
    """The front goes on to the right, and its first post is the right-hand head."""
    _, (stair, front) = framings(STAIR, run("126 1/2", -90))
    (left,) = stair["posts"]
    assert (left["hand"], left["x"], left["inset"], left["to_joist"]) == ("left", -48, 5.25, 4)
    assert [block["length"] for block in left["blocks"]] == [14.5]
    assert told(front["posts"][0])[1:] == (4, [14.5])  # the deck goes on beside the stair


# --------------------------------------------------------------------------- by the plan


def plan_of(spans, turns, side):
    """First post, way and way inwards of each run, by vectors."""
    at, heading, found = (0.0, 0.0), 0.0, []
    for span, turn in zip(spans, turns, strict=True):
        heading += radians(turn)
        way = (cos(heading), sin(heading))
        inwards = (-side * way[1], side * way[0])
        found.append((at, way, inwards))
        at = (at[0] + span * way[0], at[1] + span * way[1])
    return found


def off(value, lattice, spacing):
    """From a value to the nearest of evenly spaced ones."""
    rest = (value - lattice) % spacing
    return min(rest, spacing - rest)


@pytest.mark.parametrize("seeds", [range(25), pytest.param(range(25, 400), marks=pytest.mark.fuzz)])
def test_every_run_sees_the_joists_and_boards_that_stand_in_the_plan(seeds):
    compared = 0
    for seed in seeds:
        dice = random.Random(seed)
        direction, first = dice.choice(["across", "along"]), dice.randrange(1, 15 * 16) / 16
        hand = dice.choice(["right", "left"])
        spans = [dice.randrange(40 * 16, 160 * 16) / 16 for _ in range(dice.randint(2, 4))]
        turns = [0, *(dice.choice([90, -90, 0]) for _ in spans[1:])]
        places = [[0, round(span * dice.uniform(0.3, 0.7)), span] for span in spans]
        sections = [
            run(span, turn, f'hand = "{hand}"', posts)
            for span, turn, posts in zip(spans, turns, places, strict=True)
        ]
        _, plans = framings(*sections, direction=direction, first=first)
        side = 1 if hand == "right" else -1
        made = plan_of(spans, turns, side)
        # joists lie square to the first run's way, or square to its way into the deck
        axis = made[0][1] if direction == "across" else made[0][2]
        joists = first if direction == "across" else first - 5.25
        # boards across the joists: their gaps follow each other along the joists
        beside = made[0][2] if direction == "across" else made[0][1]
        gaps = -5.25 + 5.5 + 1 / 16  # the first board begins at the deck edge, or at its end
        for (at, way, _), plan, posts in list(zip(made, plans, places, strict=True))[1:]:
            for post, x in list(zip(plan["posts"], posts, strict=True))[1:]:
                point = (at[0] + x * way[0], at[1] + x * way[1])
                along = axis[0] * point[0] + axis[1] * point[1]
                assert abs(post["to_joist"]) == pytest.approx(off(along, joists, 16), abs=1e-6)
                along = beside[0] * point[0] + beside[1] * point[1]
                assert abs(post["to_gap"]) == pytest.approx(off(along, gaps, 5.625), abs=1e-6)
                compared += 1
    assert compared >= 2 * len(seeds)

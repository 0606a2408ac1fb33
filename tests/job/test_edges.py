"""Decks and landings by their edges, against plain coordinates.

The deck is drawn here by its own corners, and its posts are walked along it by the spans that the
job gives; nothing of the program's geometry is used.  The rule is common practice, no source: half
a base plate and the distance that the plate keeps from an edge; flush with a stair's opening; up to
the face of a wall.
"""

import random
from fractions import Fraction as F
from math import cos, radians, sin

import pytest
from job_tables import GOOD, METRIC, refusal, text_of

from stairs.errors import JobError, MeasurementMissing, MeasurementsContradict, NoSuchShape
from stairs.guard.plan import plan_of
from stairs.job import job_from_mapping, job_from_text, job_to_mapping
from stairs.report.result import result_of
from stairs.report.screen import solve_text
from stairs.solution import solution_for

POST = {"width": "3", "base": "5", "edge_distance": "2 3/4"}
RULE = F(21, 4)  # 5/2 + 2 3/4
FLIGHT = {"rise": "29", "run": "31 1/2", "treads": 3}
"""Its top nosing, the edge of what it leads to, lies 31 1/2 from its first one."""


def tables(sections, units="in", post=POST, **more):
    """A job file as its mapping."""
    read = {"in": GOOD, "mm": METRIC}[units]
    parts = {
        name: {key: value.strip('"') for key, value in read[name].items()}
        for name in ("panel", "bracket")
    }
    return {"units": units, **parts, "post": post, "section": sections, **more}


def job_of(*sections, **more):
    return job_from_mapping(tables(list(sections), **more), "deck.toml")


def spans(job):
    return [one.span for one in job.sections if one.kind == "level"]


# --------------------------------------------------------------------------- worked by hand


def test_wall_corner_and_end_of_the_deck():
    """120 from the wall less 5 1/4 at the corner; 96 less 5 1/4 there and at the deck's end."""
    job = job_of({"edge": "120", "start": "wall"}, {"edge": "96", "turn": 90})
    assert spans(job) == [F(459, 4), F(171, 2)]


def test_a_plate_stands_flush_with_an_opening():
    """96 less 5 1/4 in the corner and half a plate of 5 at the stair's opening."""
    job = job_of({"edge": "120", "start": "wall"}, {"edge": "96", "turn": 90, "opening": "end"})
    assert spans(job)[1] == 96 - RULE - F(5, 2)


def test_a_corner_that_goes_in_makes_the_run_longer_than_its_edge():
    """Round a corner turned outwards the posts stand behind it, 5 1/4 past the end of the edge."""
    job = job_of({"edge": "60"}, {"edge": "80", "turn": -90, "end": "wall"})
    assert spans(job) == [60 - RULE + RULE, 80 + RULE]


def test_run_beside_a_stair_takes_the_line_of_its_top_post():
    """The stair's post stands 39 1/4 - 31 1/2 = 7 3/4 behind the edge, and so does its run; round
    the next corner the post is 7 3/4 from that edge's line as well.
    """
    stair = FLIGHT | {"posts": ["-4", "39 1/4"], "side_gap": "1 1/2"}
    job = job_of(stair, {"edge": "60", "turn": -90}, {"edge": "98", "turn": 90, "end": "wall"})
    assert spans(job) == [60 - F(3, 2) - RULE, 98 - F(31, 4)]


def test_quarter_landing_by_its_two_edges_tells_the_width_and_both_hands():
    """A landing of 45 by 47, flights 4 before and 5 1/4 behind their nosings.

    Along the side 45 less 5 1/4 behind the top nosing and 5 1/4 in the corner; along the far edge
    47 less 5 1/4 in the corner and 4 in front of the next flight.  One post in the inner corner
    makes each flight as wide as the run across its end is long.
    """
    flight = FLIGHT | {"hand": "both", "posts": ["-4", "36 3/4"]}
    side, far = {"edge": "45", "hand": "both"}, {"edge": "47", "hand": "both", "turn": 90}
    job = job_of(flight, side, far, flight)
    assert spans(job) == [F(69, 2), F(151, 4)]
    assert [one.width for one in job.sections] == [F(151, 4), None, None, F(69, 2)]
    told = [line for line in job.assumed if "width" in line]
    assert told[0].endswith('width 37 3/4", by the edges of the landing, with one post in its '
                            "inner corner")  # fmt: skip
    solution = solution_for(job, with_remedies=False)
    left = [one for one in solution.guard.sections if one.line.opposite_of]
    assert [one.kind for one in left] == ["flight", "flight"]  # no run: one post in the corner


@pytest.mark.parametrize(("outside", "out"), [("0", F(3, 2)), ("3/4", F(9, 4))])
def test_posts_on_the_face_of_a_deck_stand_outside_its_edge(outside, out):
    """Half a post of 3, and the skirt; a run is longer than its edge by both its ends."""
    post = {"width": "3", "below": "7", "outside": outside}
    job = job_of({"edge": "90"}, {"edge": "70", "turn": 90, "end": "wall"}, post=post)
    assert spans(job) == [90 + 2 * out, 70 + out]


def test_posts_on_the_face_of_a_deck_are_not_in_line_with_the_post_of_a_stair():
    """Along the side of a landing they are: the stair's post stands half a post behind the edge."""
    post = {"width": "3", "below": "7", "outside": "0"}
    runs = [{"edge": "90", "turn": -90}, {"edge": "60"}]
    error = refused(MeasurementMissing, FLIGHT, runs[0], post=post)
    assert "section 2: edge: does not tell where the run stands" in str(error)
    assert error.candidates == ("span",)
    straight = FLIGHT | {"posts": ["-4", "33"]}
    assert spans(job_of(straight, runs[1], post=post)) == [60 - F(3, 2) + F(3, 2)]


def test_own_posts_in_a_corner_and_on_one_edge():
    """The second post stands 3 + 2 beyond the first: past the corner, or half of it either way."""
    own = {"start": "own", "post_gap": "2"}
    corner = job_of({"edge": "60"}, {"edge": "70", "turn": 90, **own})
    assert spans(corner) == [60 - 2 * RULE, 70 - RULE - 5 - RULE]
    straight = job_of({"edge": "60"}, {"edge": "70", **own})
    assert spans(straight) == [60 - RULE - F(5, 2), 70 - F(5, 2) - RULE]


def test_open_posts_of_a_flight_are_put_where_the_edge_has_them():
    """The top post goes to 31 1/2 + 5 1/4 and room for what the run, the places of two posts and
    half the plate may be off, 1/16 each: 7/32, which is 1/4 on the tape.  The foot post stands half
    a plate before the first riser.
    """
    job = job_of(FLIGHT, {"edge": "60"}, {"edge": "50", "turn": 90}, FLIGHT)
    assert spans(job) == [60 - 2 * RULE - F(1, 4), 50 - RULE - F(5, 2)]
    solution = solution_for(job, with_remedies=False)
    low, _, _, high = solution.guard.sections
    assert low.posts[-1].x == 37
    edges = [one for one in solution.sections[0].findings if one.id == "post-edge-distance"]
    assert [one.verdict for one in edges] == ["pass"]  # not marginal
    assert high.posts[0].x == -2.5


def test_edge_by_the_framing_where_it_tells_how_far_in_posts_stand():
    framing = {"direction": "across", "joist_spacing": "16", "first_joist": "-4",
               "joist_thickness": "1 1/2"}  # fmt: skip
    runs = [{"edge": "96"}, {"edge": "80", "turn": 90, "end": "wall"}]
    far = job_of(*runs, framing=framing | {"edge_to_post": "7"})
    assert spans(far) == [96 - 14, 80 - 7]
    assert spans(job_of(*runs, framing=framing)) == [96 - 2 * RULE, 80 - RULE]
    agreeing = job_of(runs[0] | {"span": "82"}, framing=framing | {"edge_to_post": "7"})
    assert spans(agreeing) == [82]


def test_what_was_found_is_told_and_reads_back():
    job = job_of({"edge": "96", "name": "front", "start": "wall"}, {"edge": "80", "turn": 90})
    assert [line for line in job.assumed if "edge" in line] == [
        'section 1 (front): edge 96": posts up to the wall and 5 1/4" in from the corner: span '
        '90 3/4"',
        'section 2: edge 80": posts 5 1/4" in from the corner and 5 1/4" in from the end of the '
        'edge: span 69 1/2"',
    ]
    assert job_from_mapping(job_to_mapping(job), job.where).sections == job.sections
    told = result_of(solution_for(job, with_remedies=False))["sections"]
    assert told[0]["edge"] == {"length": 96, "start": 0, "end": 5.25, "span": 90.75}
    shown = " ".join(solve_text(solution_for(job, with_remedies=False)).split())
    assert '90 3/4" between end posts on an edge of 96", bottom gap' in shown
    plain = result_of(solution_for(job_of({"span": "96"}), with_remedies=False))["sections"]
    assert "edge" not in plain[0]


# --------------------------------------------------------------------------- refused


def refused(kind, *sections, **more):
    with pytest.raises(kind) as caught:
        job_of(*sections, **more)
    return caught.value


def test_edge_and_span_that_disagree_show_both_and_the_gap_between_them():
    error = refused(MeasurementsContradict, {"edge": "96", "span": "86"})
    assert str(error).startswith(
        'deck.toml: section 1: edge: is 96", which with posts 5 1/4" in from the end of the edge '
        'and 5 1/4" in from the end of the edge leaves a span of 85 1/2", and span is 86", which '
        'differs by 1/2"'
    )
    assert (error.values, error.difference) == ((85.5, 86.0), 0.5)
    error = refused(MeasurementsContradict, {"edge": "96", "posts": ["0", "40", "80"]})
    assert 'the posts listed stand 80" from first to last, which differs by 5 1/2"' in str(error)


def test_edge_and_span_that_agree_within_the_tape_are_taken_as_the_span_has_them():
    assert spans(job_of({"edge": "96", "span": "85 9/16"})) == [F(1369, 16)]
    assert spans(job_of({"edge": "96", "posts": ["1", "44", "86 1/2"]})) == [F(171, 2)]


def test_a_stair_post_off_the_line_that_edge_to_post_tells_is_refused():
    framing = {"direction": "across", "joist_spacing": "16", "first_joist": "-4",
               "joist_thickness": "1 1/2", "edge_to_post": "5 1/4"}  # fmt: skip
    stair = FLIGHT | {"posts": ["-4", "39 1/4"]}
    error = refused(MeasurementsContradict, stair, {"edge": "60", "turn": -90}, framing=framing)
    assert str(error).startswith(
        "deck.toml: section 2: framing: edge_to_post: is 5 1/4\", and the stair's last post stands "
        '7 3/4" behind its top nosing, which is the edge: they differ by 2 1/2"'
    )
    job = job_of(FLIGHT, {"edge": "60", "turn": -90}, framing=framing | {"edge_to_post": "6"})
    assert solution_for(job, with_remedies=False).guard.sections[0].posts[-1].x == 37.5


def test_a_landing_too_small_says_by_how_much():
    """Two plates of 5 need 5 + 2 x 5 1/4 = 15 1/2; beside a wall one needs 2 1/2 + 5 1/4."""
    error = refused(NoSuchShape, {"edge": "14"})
    assert str(error).startswith('deck.toml: section 1: edge: 14" is 1 1/2" too small for what '
                                 "stands on it. With posts 5 1/4\" in from the end of the edge "
                                 "and")  # fmt: skip
    assert 'two plates 5" wide need an edge of 15 1/2" at least' in str(error)
    wall = refused(NoSuchShape, {"edge": "7", "start": "wall"})
    assert '7" is 3/4" too small' in str(wall)
    assert 'a plate 5" wide needs an edge of 7 3/4" at least' in str(wall)


def test_a_run_that_leaves_a_stair_otherwise_than_square_asks_for_its_span():
    for turn in (90, 45, -45):
        error = refused(MeasurementMissing, FLIGHT, {"edge": "60", "turn": turn})
        assert f"from which section 2 turns by {turn} degrees" in str(error)
        assert error.candidates == ("span",)
    back = refused(MeasurementMissing, {"edge": "60"}, {"span": "70", "turn": 180})
    assert "section 1: edge: does not tell where the post stands at the run before" in str(back)


def test_an_opening_where_the_guard_goes_on_is_refused():
    error = refused(JobError, {"edge": "60", "opening": "end"}, {"edge": "70", "turn": 90})
    assert str(error).startswith(
        'deck.toml: section 1: opening: is "end", and at the end section 2 has its post there.'
    )
    error = refused(JobError, {"edge": "60"}, {"edge": "70", "turn": 90, "opening": "both"})
    assert 'section 2: opening: is "both", and at the start section 1 has its post' in str(error)
    error = refused(JobError, {"edge": "60", "end": "wall", "opening": "end"})
    assert "at the end there is a wall" in str(error)


def test_keys_that_go_with_an_edge_are_refused_without_it():
    level = {"kind": '"level"', "span": '"132"', "opening": '"end"'}
    assert "section 1: opening: stands without edge" in str(refusal(text_of(GOOD, None, level)))
    error = refusal(text_of(GOOD, {"post.outside": '"1"'}))
    assert "post: outside: stands without below" in str(error)
    assert job_from_text(text_of(GOOD, {"post.outside": "0", "post.below": "7"}), "")


# --------------------------------------------------------------------------- random decks

TURNS = (90, 90, 90, 45, 30, 60, -90, -45, 120)


def random_deck(dice):
    """The sections of a deck or a landing of up to five edges, and what its posts keep."""
    units = dice.choice(("in", "mm"))
    one = F(1, 16) if units == "in" else F(1)
    size = 1 if units == "in" else 25

    def length(low, high):
        return dice.randint(int(low * size / one), int(high * size / one)) * one

    hand = dice.choice(("right", "left"))
    post = {"width": str(length(2, 4)), "base": str(length(5, 7)),
            "edge_distance": str(length(0, 4))}  # fmt: skip
    inset = F(post["base"]) / 2 + F(post["edge_distance"])
    starts, ends = dice.choice(["free", "wall", "opening", "beside", "head"]), None
    sections, count = [], dice.randint(1, 5)
    flight = {"rise": str(29 * size), "run": str(F(63, 2) * size), "treads": 3, "hand": hand}
    first = F(0)  # of the first run, from where its edge starts to its post
    if starts in ("beside", "head"):
        gap, behind = length(0, 3), length(4, 10)
        top = F(63, 2) * size + behind
        sections.append(flight | {"posts": [str(-4 * size), str(top)], "side_gap": str(gap)})
        first = gap if starts == "beside" else behind
    elif starts != "wall":
        first = inset if starts == "free" else F(post["base"]) / 2
    insets = [inset] * count
    if starts == "beside":
        insets[0] = behind
    ends = dice.choice(["free", "wall", "opening", "foot"])
    turns = [0] + [dice.choice(TURNS) for _ in range(count - 1)]
    side = 1 if hand == "right" else -1
    for number in range(count):
        run = {"edge": str(length(60, 200)), "hand": hand, "turn": side * turns[number]}
        if number == 0 and starts == "beside":
            run["turn"] = -90 * side
        sections.append(run)
    runs = [section for section in sections if "edge" in section]
    if starts == "wall":
        runs[0]["start"] = "wall"
    at = [name for name, kind in (("start", starts), ("end", ends)) if kind == "opening"]
    for name, run in (("start", runs[0]), ("end", runs[-1])):
        if name in at:
            run["opening"] = "both" if len(runs) == 1 and len(at) == 2 else name
    if ends == "wall":
        runs[-1]["end"] = "wall"
    last = {"free": insets[-1], "wall": F(0), "opening": F(post["base"]) / 2, "foot": 4 * size}[
        ends
    ]
    if ends == "foot":
        sections.append(flight | {"posts": [str(-4 * size), str(40 * size)]})
    return units, post, sections, side, turns, insets, first, last


@pytest.mark.parametrize(
    "seed", [pytest.param(n, marks=[pytest.mark.fuzz] * (n >= 20)) for n in range(200)]
)
def test_posts_of_random_decks_stand_inside_every_edge_by_the_rule(seed):
    """The corners of the deck in plain coordinates, and the posts walked along by their spans."""
    dice = random.Random(seed)
    units, post, sections, side, turns, insets, first, last = random_deck(dice)
    job = job_from_mapping(tables(sections, units, post), "deck.toml")
    runs = [one for one in job.sections if one.kind == "level"]
    ways, heading = [], dice.uniform(0, 360)
    for turn in turns:
        heading += side * turn
        ways.append((cos(radians(heading)), sin(radians(heading))))
    inwards = [(-side * y, side * x) for x, y in ways]
    corners = [(0.0, 0.0)]
    for run, way in zip(runs, ways, strict=True):
        x, y = corners[-1]
        edge = float(run.measured.edge)
        corners.append((x + edge * way[0], y + edge * way[1]))

    def along(vector, point, origin):
        return sum(v * (p - o) for v, p, o in zip(vector, point, origin, strict=True))

    post_at = tuple(
        float(first) * ways[0][axis] + float(insets[0]) * inwards[0][axis] for axis in (0, 1)
    )
    for number, run in enumerate(runs):
        way, inward, corner = ways[number], inwards[number], corners[number]
        assert along(inward, post_at, corner) == pytest.approx(float(insets[number]), abs=1e-6)
        post_at = tuple(p + float(run.span) * w for p, w in zip(post_at, way, strict=True))
        # the corner's post serves both runs: it stands by the rule from this edge and the next
        assert along(inward, post_at, corner) == pytest.approx(float(insets[number]), abs=1e-6)
        start, end = run.measured.at_start, run.measured.at_end
        assert run.span + start + end == run.measured.edge
        left = along(way, corners[number + 1], post_at)
        assert left == pytest.approx(float(end), abs=1e-6)
    assert left == pytest.approx(float(last), abs=1e-6)


@pytest.mark.parametrize(
    "seed", [pytest.param(n, marks=[pytest.mark.fuzz] * (n >= 202)) for n in range(200, 220)]
)
def test_corner_posts_of_random_decks_are_there_once_and_all_stand_by_their_edge(seed):
    """Solved: every post in plan lies by the rule from its own edge, no two in the same place."""
    units, post, sections, side, turns, insets, first, _ = random_deck(random.Random(seed))
    solution = solution_for(job_from_mapping(tables(sections, units, post)), with_remedies=False)
    plan, solved = plan_of(solution.guard), solution.guard.sections
    runs = [one for one in plan.sections if solved[one.number - 1].kind == "level"]
    corner = runs[0].at(-float(first), -side * float(insets[0]))  # where the first edge starts
    for place, inset in zip(runs, insets, strict=True):
        run = solution.job.sections[place.number - 1]
        heading = radians(place.heading)
        way = (cos(heading), sin(heading))
        inward = (-side * way[1], side * way[0])
        posts = [one for one in plan.posts if one.section == place.number]
        for one in posts:
            off = [one.centre[axis] - corner[axis] for axis in (0, 1)]
            along = off[0] * way[0] + off[1] * way[1]
            across = off[0] * inward[0] + off[1] * inward[1]
            assert across == pytest.approx(float(inset), abs=1e-6)
            assert along <= float(run.measured.edge - run.measured.at_end) + 1e-6
        corner = tuple(c + float(run.measured.edge) * w for c, w in zip(corner, way, strict=True))
    centres = {(round(one.centre[0], 4), round(one.centre[1], 4)) for one in plan.posts}
    assert len(centres) == len(plan.posts)

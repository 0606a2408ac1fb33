"""The left-hand guard of a stair that turns: corners on the mitre, flights as long as they are.

The second route is plain geometry: each line moved to the left by the width, and the corners where
such lines cross (shapely), instead of the shifts along either section.
"""

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from job_texts import head
from shapely.geometry import LineString, Point

from stairs.errors import JobError, NoSuchShape
from stairs.guard.left_line import guard_job, open_questions
from stairs.guard.lines import line_widths
from stairs.guard.plan import plan_of
from stairs.guard.sides import standings
from stairs.job import job_from_text, read_job
from stairs.job.mitre import mitre_shift
from stairs.lists.cut_list import cut_list
from stairs.remedies.job_changes import Change
from stairs.remedies.remedies import apply
from stairs.remedies.trial_solve import Bench
from stairs.report.result import result_of
from stairs.report.screen import solve_text
from stairs.rules import load
from stairs.solution import solution_for

PROPERTY = settings(deadline=None, derandomize=True, max_examples=15)

HEAD = head(post="stock = [40, 46, 60]")
BOTH = 'hand = "both"'


def flight(more=BOTH, width="width = 40"):
    return f"""
[[section]]
kind = "flight"
unit_rise = 6
unit_run = 12
risers = 4
posts = [-4, 43]
bottom_gap = 1
drop = 48
{width}
{more}
"""


def level(more=BOTH, span=96, gap=2):
    return f"""
[[section]]
kind = "level"
span = {span}
bottom_gap = {gap}
drop = 24
{more}
"""


def turned(degrees, more=BOTH):
    return f"turn = {degrees}\n{more}"


def read(*sections, head=HEAD):
    return job_from_text(head + "".join(sections), "both.toml")


def answered(*sections, head=HEAD):
    return solution_for(read(*sections, head=head), with_remedies=False)


def left_of(solution):
    """Each section of the left-hand line: its plan place, its record, the place of its right."""
    plan = plan_of(solution.guard)
    for place, record, line in zip(
        plan.sections, solution.job.sections, solution.job.lines, strict=True
    ):
        if line.opposite_of:
            yield place, record, plan.sections[line.opposite_of - 1]


def opposites(job):
    """The section that each is the left-hand guard of, from 1."""
    return [line.opposite_of for line in job.lines]


@pytest.mark.parametrize(
    ("turn", "below", "above", "end", "start"),
    [
        (90, 40, 40, -40, 40),
        (-90, 40, 40, 40, -40),
        (90, 40, 50, -50, 40),
        (-90, 40, 50, 50, -40),
        (0, 40, 40, 0, 0),
    ],
)
def test_shift_at_a_right_angle_is_the_other_width(turn, below, above, end, start):
    shift = mitre_shift(Fraction(turn), Fraction(below), Fraction(above))
    assert (shift.end, shift.start) == (end, start)


@pytest.mark.parametrize(("turn", "widths"), [(180, (4, 4)), (-180, (4, 4)), (0, (4, 5))])
def test_parallel_lines_do_not_meet(turn, widths):
    assert mitre_shift(Fraction(turn), *map(Fraction, widths)) is None


@PROPERTY
@given(
    turn=st.integers(-170, 170).filter(lambda turn: abs(turn) > 4),
    below=st.integers(20, 60),
    above=st.integers(20, 60),
)
def test_shifts_meet_where_the_moved_lines_cross(turn, below, above):
    """Two long lines through the corner, each moved to the left; shapely finds the crossing."""
    from math import cos, radians, sin

    u = (cos(radians(turn)), sin(radians(turn)))
    first = LineString([(-9000, below), (9000, below)])
    foot = (-u[1] * above, u[0] * above)
    second = LineString([(foot[0] + s * u[0] * 9000, foot[1] + s * u[1] * 9000) for s in (-1, 1)])
    corner = first.intersection(second)
    shift = mitre_shift(Fraction(turn), Fraction(below), Fraction(above))
    assert float(shift.end) == pytest.approx(corner.x, abs=1e-6)
    along = (corner.x - foot[0]) * u[0] + (corner.y - foot[1]) * u[1]
    assert float(shift.start) == pytest.approx(along, abs=1e-6)


# --------------------------------------------------------------------------- a quarter landing


def quarter(first=100, second=120, **kinds):
    return answered(
        flight(), level(span=first, **kinds), level(turned(90), second, **kinds), flight()
    )


def test_quarter_landing_by_hand():
    """40 wide, to the left: 100 and 120 on the outside leave 60 and 80 on the inside."""
    solution = quarter()
    sections = solution.job.sections
    assert [section.hand for section in sections] == ["right"] * 4 + ["left"] * 4
    assert [getattr(section, "span", None) for section in sections[4:]] == [None, 60, 80, None]
    assert opposites(solution.job)[4:] == [1, 2, 3, 4]
    assert [section.ends.turn for section in sections[4:]] == [0, 0, 90, 0]
    places = [place for place, _, _ in left_of(solution)]
    assert places[1].end == pytest.approx((43 + 60, 40))
    assert places[3].start == pytest.approx((43 + 60, 40 + 80))


def test_outside_of_the_turn_is_longer():
    solution = answered(flight(), level(span=60), level(turned(-90), 60), flight())
    assert [record.span for _, record, _ in left_of(solution) if record.kind == "level"] == [
        100,
        100,
    ]


def test_flights_stay_as_long_and_lie_a_width_to_the_left():
    for place, record, right in left_of(quarter()):
        if record.kind == "flight":
            assert place.start == pytest.approx(right.at(-4, 40))
            assert place.end == pytest.approx(right.at(43, 40))
            assert (place.datum, place.heading) == (right.datum, right.heading)


def test_a_landing_as_long_as_the_stair_is_wide_leaves_one_post_in_the_inner_corner():
    solution = quarter(40, 40)
    left = [section for section in solution.guard.sections if section.hand == "left"]
    assert [section.kind for section in left] == ["flight", "flight"]
    corner = left[0].posts[-1]
    assert corner.shared_with == (left[1].number, 1)
    assert (left[1].turn, left[1].ends.skew) == (90, 0)
    assert sum("one post stands at the corner" in line for line in solution.job.assumed) == 2
    # 3 + 3 + 3 + 3 posts less 3 shared on the right; 2 + 2 less 1 on the left
    bought = sum(each.quantity for each in standings(solution.guard.sections))
    assert bought == 5 + 3 == sum(post.quantity for post in cut_list(solution).posts)


def test_flights_that_meet_at_the_inner_corner_get_level_runs_on_the_outside():
    """A turn to the right with the right-hand guard on the inside: 40 on either side of it."""
    solution = answered(flight(), flight(turned(-90)))
    left = solution.job.sections[2:]
    assert [section.kind for section in left] == ["flight", "level", "level", "flight"]
    assert opposites(solution.job) == [0, 0, 1, 1, 2, 2]
    assert [section.span for section in left if section.kind == "level"] == [40, 40]
    assert [section.ends.turn for section in left] == [0, 0, -90, 0]
    assert [section.drop for section in left] == [48, 48, 48, 48]
    for place, record, right in left_of(solution):
        if record.kind == "flight":
            assert place.start == pytest.approx(right.at(-4, 40))


def test_side_gaps_widen_the_line():
    job = guard_job(
        read(flight(BOTH + "\nside_gap = 2"), level(), level(turned(90)), level(turned(45)))
    )
    assert [line.apart for line in job.lines] == [44] * 8
    assert job.sections[5].span == 96 - 44
    # 44 tan 22.5 degrees is 18.2254
    assert float(job.sections[6].span) == pytest.approx(96 - 44 - 18.2254, abs=1e-4)


def test_level_run_between_flights_takes_the_width_that_it_goes_straight_on_to():
    job = read(flight(), level(), level(turned(90)), flight(width="width = 36"))
    assert line_widths(job) == (40, 40, 36, 36)
    left = guard_job(job).sections[4:]
    assert [getattr(section, "span", None) for section in left] == [None, 96 - 36, 96 - 40, None]


@PROPERTY
@given(
    turns=st.lists(st.sampled_from([-90, -60, -45, 0, 30, 45, 90]), min_size=1, max_size=4),
    spans=st.lists(st.integers(150, 260), min_size=5, max_size=5),
    width=st.integers(30, 48),
    own=st.booleans(),
)
def test_every_left_section_lies_on_the_moved_line(turns, spans, width, own):
    """All posts a width to the left of the right-hand line, corners where two such lines cross."""
    start = 'start = "own"\npost_gap = 2\n' if own else ""
    sections = [level(f"width = {width}\n{BOTH}", spans[0])]
    sections += [
        level(f"{start}turn = {turn}\n{BOTH}", span)
        for turn, span in zip(turns, spans[1:], strict=False)
    ]
    assume(any(turns))
    solution = answered(*sections)
    lines = {}
    for place, _, right in left_of(solution):
        line = LineString([right.at(-9000, width), right.at(9000, width)])
        lines[right.number] = line
        assert line.distance(Point(place.start)) < 1e-6
        assert line.distance(Point(place.end)) < 1e-6
    assert list(lines) == list(range(1, len(sections) + 1))
    ends = [place.end for place, _, _ in left_of(solution)]
    for number, turn in enumerate(turns, start=1):
        if turn:
            crossing = lines[number].intersection(lines[number + 1])
            assert ends[number - 1] == pytest.approx((crossing.x, crossing.y), abs=1e-6)


def test_a_wall_ends_both_lines_at_one_face():
    solution = answered(
        level("width = 40\n" + BOTH), level(turned(90, BOTH + '\nend = "wall"'), 120)
    )
    plan = plan_of(solution.guard)
    right, left = plan.walls
    assert (right.guard, left.guard) == ("right", "left")
    assert right.point[1] == pytest.approx(left.point[1])
    assert right.point[0] - left.point[0] == pytest.approx(40)


# --------------------------------------------------------------------------- refused


@pytest.mark.parametrize(
    ("sections", "where", "words"),
    [
        (
            (flight(), level(span=33), level(turned(90), 42), flight()),
            "both.toml: section 2: hand",
            'is "both", and the left-hand guard comes 7" short: the turns take 40" off the 33" of '
            "the right-hand one. Inside a turn the guard is shorter, at a square corner by the "
            'whole width of a stair. Give a span of 40", which leaves one post in the inner '
            'corner, or enough more for two posts and a panel; or write hand = "right" and',
        ),
        (
            (flight(), level(span=44), level(turned(90), 96), flight()),
            "both.toml: section 2: hand",
            'the left-hand guard comes to 4": the turns take 40" off the 44"',
        ),
        (
            (flight(), level(turned(90))),
            "both.toml: section 1: hand",
            'is "both", and the inner line of the turn ends 40" before its last post. A flight is '
            'as long on the left hand as on the right. Put a level run of 40" or more between',
        ),
        (
            (level(), flight(turned(90))),
            "both.toml: section 2: hand",
            'the inner line of the turn starts 40" after its first post',
        ),
        (
            (flight(), level(turned(-10))),
            "both.toml: section 1: hand",
            "the outer line of the turn leaves 3 1/2\" between the flight's post and the corner. "
            "Two posts stand apart by more than they are wide. Turn by more, or",
        ),
    ],
)
def test_no_room_on_one_side_of_a_turn_is_told(sections, where, words):
    with pytest.raises(NoSuchShape) as caught:
        guard_job(read(*sections))
    assert caught.value.where == where
    assert words in str(caught.value)


def test_an_error_of_the_left_hand_names_the_section_of_the_file():
    """46 less 40 leaves 3 between two posts of 3, less than two pivots of 2 take."""
    wide = HEAD.replace("pivot_offset = 1", "pivot_offset = 2")
    with pytest.raises(NoSuchShape) as caught:
        answered(flight(), level(span=46), level(turned(90), 120), flight(), head=wide)
    assert caught.value.where == "both.toml: section 2: hand"
    assert (
        'is "both", and its left-hand guard, 6" long, cannot be made:' in str(caught.value)
        and "Give the right-hand guard another span, or write" in str(caught.value)
        and "too short for its two brackets" in caught.value.found
    )
    with pytest.raises(NoSuchShape) as caught:
        answered(level("width = 40\n" + BOTH), level(turned(90), 96), level("bays = 12", 30))
    assert caught.value.where == "both.toml: section 3: bays"


def test_a_job_without_turns_stays_as_it_is():
    job = read(flight(), level(), flight())
    assert guard_job(job).sections == job.sections
    one = read(flight(""), level(""), level(turned(90, "")))
    assert guard_job(one).sections == one.sections


@pytest.mark.parametrize("first", [True, False])
def test_left_hand_alone_beside_a_turn_is_not_worked_out_and_said(first):
    both = level("width = 40\n" + BOTH), level(turned(90))
    left = level('hand = "left"')
    job = read(*((left, *both) if first else (*both, left)))
    assert guard_job(job).sections == job.sections
    (text,) = open_questions(guard_job(job))
    assert text.startswith(f"Section {1 if first else 3} goes on on the left hand alone from")
    cut_list(answered(*((left, *both) if first else (*both, left))))


def test_only_the_stretch_that_turns_is_written_out():
    job = guard_job(
        read(flight(), level(), level(turned(90, "")), level(turned(90)), level(turned(90)))
    )
    assert [section.hand for section in job.sections] == [
        "both", "both", "right", "right", "right", "left", "left",
    ]  # fmt: skip
    assert opposites(job)[5:] == [4, 5]


# --------------------------------------------------------------------------- posts of one hand


def test_left_post_beside_a_shared_one_is_drawn_at_its_own_height():
    """The flight's upper post is taller than the level run's; on the left each stands alone."""
    solution = answered(flight(""), level(gap=1))
    (join,) = solution.joins
    assert join.needs[0] != join.needs[1]
    posts = {(p.section, p.post, p.guard): p for p in plan_of(solution.guard).posts}
    shared, alone = posts[1, 2, "right"], posts[2, 1, "left"]
    assert (shared.shared_with, alone.shared_with) == ((2, 1), None)
    assert shared.top - shared.surface == pytest.approx(join.height)
    assert alone.top - alone.surface == pytest.approx(join.needs[1])
    listed = {(p.section, p.post, p.hand): p.height for p in cut_list(solution).posts}
    assert float(listed[2, 1, "left"]) == pytest.approx(join.needs[1], abs=1 / 32)


def test_a_left_hand_guard_goes_on_from_the_left_hand_of_both():
    """The right-hand post of the level run stands alone, a width to the right of the line."""
    solution = answered(flight('hand = "left"'), level())
    plan = plan_of(solution.guard)
    posts = {(p.section, p.post, p.guard): p for p in plan.posts}
    assert set(posts) >= {(1, 2, "left"), (2, 1, "right")} and (2, 1, "left") not in posts
    assert posts[1, 2, "left"].shared_with == (2, 1)
    assert posts[2, 1, "right"].centre == pytest.approx((43, -40))
    back = answered(flight(), level('hand = "left"'))
    assert plan_of(back.guard).sections[1].start == pytest.approx((43, 40))
    hands = [(s.section.number, s.post.number, s.hand, s.quantity) for s in
             standings(solution.guard.sections)]  # fmt: skip
    assert (1, 2, "left", 1) in hands and (2, 1, "left", 0) in hands and (2, 1, "right", 1) in hands


def test_the_example_with_guards_on_both_hands_passes_on_both():
    """88 and 88 on the outside, 40 wide: 48 and 48 inside, and both lines end side by side."""
    path = Path(__file__).parents[2] / "examples" / "quarter-landing.toml"
    solution = solution_for(read_job(path), with_remedies=False)
    assert solution.ok
    assert [s.span for s in solution.job.sections if s.kind == "level"] == [88, 88, 48, 48]
    plan = plan_of(solution.guard)
    right, left = plan.sections[3], plan.sections[7]
    assert left.end == pytest.approx(right.at(39.25, 40))
    cuts = cut_list(solution)
    assert {rail.way for rail in cuts.rails if rail.section in (2, 3)} == {"half-pitch"}
    assert {rail.way for rail in cuts.rails if rail.section in (6, 7)} == {"even"}


def test_result_and_screen_say_whose_left_hand_a_section_is():
    solution = quarter()
    sections = result_of(solution)["sections"]
    assert [section["left_of"] for section in sections] == [None] * 4 + [1, 2, 3, 4]
    text = solve_text(solution)
    assert 'section 6 is the left-hand guard of section 2, 60" long, 40" less than the' in text
    assert "left hand (left hand)" not in text
    assert max(len(line) for line in text.splitlines()) <= 80


def rules_of(solution, check):
    """The limit of a check in each section, by its number."""
    return {
        part.section.number: finding.ruling.limit
        for part in solution.sections
        for finding in part.findings
        if finding.id == check
    }


def test_a_run_is_ruled_by_its_own_line_and_not_by_the_left_hand_that_is_listed_behind_it():
    """The England rules ask 1100 over a deck, 900 over a landing between two flights."""
    head = HEAD.replace("irc-2021", "england-ad-k-2013")
    deck, landing = 1100 / 25.4, 900 / 25.4
    outside = answered(flight(), level(turned(-90)), head=head)
    assert [record.kind for record in outside.job.sections] == ["flight", "level"] * 2 + ["level"]
    limits = rules_of(outside, "guard-height-min")
    assert limits[2] == limits[4] == limits[5] == pytest.approx(deck)
    between = answered(flight(), level(), flight(turned(-90)), head=head)
    limits = rules_of(between, "guard-height-min")
    on_landing = [
        number
        for number, (record, right) in enumerate(
            zip(between.job.sections, opposites(between.job), strict=True), 1
        )
        if record.kind == "level" and (right or number) == 2
    ]
    assert on_landing[0] == 2 and len(on_landing) == 2
    assert all(limits[number] == pytest.approx(landing) for number in on_landing)


def test_a_flight_with_a_guard_on_either_hand_is_one_flight():
    """ISO 14122-3 lets a stair of one flight rise higher than each of several."""
    head = HEAD.replace("irc-2021", "iso-14122-3-2016")
    one = rules_of(answered(flight(), level(turned(-90)), head=head), "flight-rise-max")
    plain = rules_of(answered(flight(more=""), head=head), "flight-rise-max")
    two = rules_of(
        answered(flight(more=""), flight(more="turn = 90"), head=head), "flight-rise-max"
    )
    assert one[1] == one[3] == plain[1] > two[1]


def test_remedies_where_both_hands_turn_mend_the_job_of_the_file():
    """One key of the file is that of both hands, and a remedy for either is tried on both."""
    job = read(flight(), level(span=100), level(turned(90), 120, gap=5), flight())
    before, mended = solution_for(job), 0
    failing = {(part.section.number, each.id) for part in before.sections for each in part.findings
               if each.fails}  # fmt: skip
    under = {number for number, check in failing if check == "opening-under-rail"}
    assert under == {3, 7}  # the run and its left-hand line
    for number, check in failing:
        for remedy in before.sections[number - 1].remedies[check]:
            if not remedy.changes:
                continue
            changed = apply(job, remedy, (before.job.lines[number - 1].opposite_of or number) - 1)
            after = solution_for(changed, with_remedies=False).sections[number - 1]
            assert not any(each.fails for each in after.findings if each.id == check)
            mended += check == "opening-under-rail"
    assert mended >= 2


def test_posts_of_a_left_hand_line_are_no_key_to_change():
    job = read(flight(), level(span=100), level(turned(90), 120), flight())
    bench = Bench(job, load(job.rules).in_units(job.units))
    with pytest.raises(JobError) as caught:
        bench.tried([Change("section", "span", Fraction(80))], 5)
    assert str(caught.value) == (
        "both.toml: section 6 (section 2, left hand): span of the left-hand guard is worked out "
        "from the right-hand one. A job file has it for the right hand alone. Change the "
        "right-hand guard."
    )

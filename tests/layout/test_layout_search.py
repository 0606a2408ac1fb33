"""Posts that are placed by the search: by hand, against all places there are, and by properties."""

from fractions import Fraction
from itertools import pairwise
from math import hypot

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plain_bays import ways_of

from stairs.checks.cases import rule_source
from stairs.checks.checking import findings_of
from stairs.checks.finding import FAIL
from stairs.errors import MeasurementMissing, NoSuchShape
from stairs.guard.solving import solve_section
from stairs.job import Bracket, Job, JobFlight, JobLevel, Panel, PostKind
from stairs.job.key_notes import record_of
from stairs.layout.room import Rooms
from stairs.layout.search import KEPT, choose_layout, laid_out
from stairs.parts.bays import bays_of
from stairs.parts.post_places import bay_counts
from stairs.parts.rails import RailLine
from stairs.remedies.trial_solve import settle
from stairs.report.result import result_of
from stairs.report.screen import solve_text
from stairs.rules import load
from stairs.solution import solution_for

F = Fraction
SIXTEENTH = F(1, 16)


def job_of(*sections, **changes):
    parts = {
        "units": "in",
        "rules": "irc-2021",
        "tape": SIXTEENTH,
        "measured_within": SIXTEENTH,
        "panel": panel(),
        "bracket": Bracket(kind="pivot", pivot_offset=F(9, 8), rail_setback=F(3, 8)),
        "post": post(),
        "sections": sections,
    }
    return Job(**{**parts, **changes})


def panel(**changes):
    parts = {"height": F(67, 2), "top_rail": F(7, 4), "bottom_rail": F(3, 2), "baluster": F(3, 4),
             "pitch": F(9, 2), "stock": (F(72), F(96))}  # fmt: skip
    return Panel(**{**parts, **changes})


def post(**changes):
    parts = {"width": F(3), "base": F(5), "edge_distance": F(11, 4), "reveal": F(1),
             "stock": (F(39), F(45), F(60)), "max_spacing": F(72)}  # fmt: skip
    return PostKind(**{**parts, **changes})


def flight(**changes):
    parts = {"unit_rise": F(7), "unit_run": F(21, 2), "risers": 6, "nosing": F(1),
             "tread_thickness": F(5, 4), "bays": "auto", "bottom_gap": F(3, 8)}  # fmt: skip
    return record_of(JobFlight, **{**parts, **changes})


def rules_of(job):
    return rule_source(load(job.rules).in_units(job.units), job)


def chosen(job, index=0):
    return choose_layout(job, index, rules_of(job))


# --------------------------------------------------------------------------- by hand


@pytest.mark.parametrize(
    ("span", "places"),
    [
        (72, [0, 72]),  # at the greatest spacing, which is allowed
        (F(577, 8), [0, F(577, 16), F(577, 8)]),  # an eighth more takes another post
        (216, [0, 72, 144, 216]),
    ],
)
def test_level_run_has_the_fewest_equal_bays(span, places):
    """Spacing 72: posts at every third, half or end; any end gap (no rule for openings below)."""
    job = job_of(record_of(JobLevel, span=F(span), bays="auto", bottom_gap=F(2)),
                 panel=panel(pitch=F(3), stock=(F(96),)))  # fmt: skip
    assert list(chosen(job).positions) == places


def test_level_run_of_thirds_stands_on_the_marks():
    """100 in three: 33.333 and 66.667, to the sixteenth 33 5/16 and 66 11/16."""
    job = job_of(record_of(JobLevel, span=F(100), bays=3, bottom_gap=F(2)), panel=panel(pitch=F(3)))
    choice = chosen(job)
    assert choice.positions == (0, F(533, 16), F(1067, 16), 100)
    assert choice.notes[-1] == (
        'posts go to the nearest mark of the tape; exactly, post 2 at 33.333", post 3 at 66.667"'
    )
    assert choice.treads == ()


def test_level_run_is_divided_by_what_stock_reaches():
    """A rail of 60 lets a bay be 63 clear, brackets 1 1/2 at either end: 66 from centre to centre.

    132 makes two such bays; a sixteenth more makes three.
    """
    for span, bays in ((F(132), 2), (F(132) + SIXTEENTH, 3)):
        job = job_of(record_of(JobLevel, span=span, bays="auto", bottom_gap=F(2)),
                     panel=panel(pitch=F(3), stock=(F(60),)))  # fmt: skip
        assert len(chosen(job).positions) == bays + 1


def test_level_run_that_ends_at_a_wall_has_bays_of_one_clear_width():
    """From post to wall 100, two bays: clear (100 - 3/2 - 3)/2 = 47 3/4, the post at 50 3/4."""
    job = job_of(
        record_of(JobLevel, span=F(100), bays=2, bottom_gap=F(2), end="wall"),
        panel=panel(pitch=F(3)),
    )
    assert chosen(job).positions == (0, F(203, 4), 100)
    section = solve_section(laid_out(job, rules_of(job))[0], 0)
    assert [bay.clear for bay in section.bays] == [47.75, 47.75]


def test_flight_of_ten_risers_in_two_bays_of_five_treads():
    """110 between the end posts is over 72; five treads of 11 in each bay put them 55 apart."""
    job = job_of(flight(unit_rise=F(36, 5), unit_run=F(11), risers=10),
                 panel=panel(trim="half-pitch"))  # fmt: skip
    choice = chosen(job)
    assert choice.treads == (5, 5)
    assert [high - low for low, high in pairwise(choice.positions)] == [55, 55]
    assert choice.given_up == ()
    assert choice.score[0] == (
        '3 posts, 2 bays; 5 treads to a bay, each post at the same place; 55" on centre, '
        '65 3/4" along the rake of at most 72"'  # 55 x sqrt(7.2² + 11²) / 11 = 65.73
    )


def test_flight_of_seven_risers_in_two_bays_is_equal_by_its_end_posts():
    """Seven treads and landings do not halve: the end posts make the bays equal, and a note says
    so."""
    job = job_of(flight(risers=7, unit_run=F(11)), panel=panel(trim="half-pitch"),
                 post=post(max_spacing=F(60)))  # fmt: skip
    choice = chosen(job)
    low, high = (after - before for before, after in pairwise(choice.positions))
    assert low == high
    assert sorted(choice.treads) == [3, 4]
    assert choice.notes == (
        "7 risers do not divide into 2 bays of whole treads; the bays are equal, and each "
        "post has its own place on its tread",
    )


def test_three_bays_that_cannot_be_equal_say_so():
    job = job_of(flight(unit_rise=F(36, 5), unit_run=F(11), risers=10, bays=3))
    choice = chosen(job)
    widths = [high - low for low, high in pairwise(choice.positions)]
    assert sorted(choice.treads) == [3, 3, 4]
    uneven = max(widths) - min(widths)
    assert len(choice.notes) == 1
    assert choice.notes[0].startswith(
        "10 risers do not divide into 3 bays of whole treads; the bays differ by "
    )
    assert uneven > 0


# --------------------------------------------------------------------------- what cannot be kept


def test_plate_that_fits_no_tread_leaves_one_bay_that_stock_does_not_reach():
    """Ten runs of 11 need two bays, and a plate of 11 1/2 fits no tread."""
    job = job_of(flight(unit_rise=F(36, 5), unit_run=F(11), risers=10, nosing=F(0)),
                 post=post(base=F(23, 2)))  # fmt: skip
    choice = chosen(job)
    assert len(choice.positions) == 2
    assert {"rail stock", "spacing"} <= set(choice.given_up)
    text = "\n".join(choice.notes)
    assert 'the longest sold is 96"' in text
    assert "or take base plates that fit a tread" in text
    assert 'beyond max_spacing of 72": allow more bays, or raise max_spacing under [post]' in text


def test_plate_without_room_for_its_edge_distance_stands_as_it_can():
    """A run of 11 less a plate of 7 leaves 4, which is less than the 5 asked for in front."""
    job = job_of(flight(unit_rise=F(36, 5), unit_run=F(11), risers=10),
                 panel=panel(trim="half-pitch"),
                 post=post(base=F(7), edge_distance=F(6)))  # fmt: skip
    choice = chosen(job)
    assert "edge distance" in choice.given_up
    assert any(
        'a base plate of 7" cannot keep 6" to the edge in front of it' in note
        for note in choice.notes
    )


def test_wide_plate_reaches_under_the_nosing_above_where_nothing_else_is_left():
    """A run of 11 less 2 3/4 leaves 8 1/4; a plate of 9 goes 3/4 under the nosing at the least."""
    job = job_of(flight(unit_rise=F(36, 5), unit_run=F(11), risers=10),
                 panel=panel(trim="half-pitch"), post=post(base=F(9)))  # fmt: skip
    choice = chosen(job)
    assert choice.given_up == ("nosings",)
    assert choice.notes == (
        'a base plate of 9" reaches under the nosing above, where its bolts are hard to turn: take '
        "a smaller base",
    )


def test_more_bays_than_spacing_needs_are_kept_where_the_job_asks_for_them():
    job = job_of(record_of(JobLevel, span=F(100), bays=1, bottom_gap=F(2)), panel=panel(pitch=F(3)))
    choice = chosen(job)
    assert choice.positions == (0, 100)
    assert "spacing" in choice.given_up


def test_end_gap_that_only_the_other_trim_closes_is_told():
    """A bay of 52 1/2, clear 49 1/2, rail 46 1/2 of stock 72: of 16 holes 4 1/2 apart, centred, 10
    lie in the rail (40 1/2 + 3/4 of 46 1/2), end gaps (49 1/2 - 41 1/4)/2 = 4 1/8."""
    level = record_of(JobLevel, span=F(105, 2), bays=1, bottom_gap=F(2))
    choice = chosen(job_of(level, panel=panel(trim="even")))
    assert "end gaps" in choice.given_up
    assert choice.notes[0].startswith('end gaps come to 4 1/8" against 4"')
    assert any('with trim = "half-pitch" in this section' in note for note in choice.notes)
    for trim in ("half-pitch", "auto"):
        assert chosen(job_of(level, panel=panel(trim=trim))).given_up == ()


def test_bays_are_unequal_where_equal_ones_would_give_up_an_end_gap():
    """Twice 52 1/2 leaves 4 1/8 beside each post, as above; a third bay of 35 does not help with
    equal ones: clear 32, rail 29, 6 balusters over 23 1/4, (32 - 23 1/4)/2 = 4 3/8."""
    job = job_of(
        record_of(JobLevel, span=F(105), bays="auto", bottom_gap=F(2)), panel=panel(trim="even")
    )
    choice = chosen(job)
    assert (choice.given_up, len(choice.positions)) == ((), 3)
    gaps = [ways_of(float(high - low) - 3, 0, job.panel, job.bracket)["even"]
            for low, high in pairwise(choice.positions)]  # fmt: skip
    assert max(max(pair[:2]) for pair in gaps) < 4
    assert "bays as nearly equal as" in choice.score[0]
    assert choice.notes[0].startswith("2 equal bays would give up more; the bays differ by")


def test_without_a_trim_no_whole_inch_span_gives_up_its_end_gaps():
    """A ball of 4 in beside the post: of each span one way of cutting holds it back, if not both.

    Cut evenly throughout, some do not: the gaps are measured hole by hole.
    """
    even_fails = 0
    for span in range(37, 133):
        job = job_of(record_of(JobLevel, span=F(span), bays="auto", bottom_gap=F(2)))
        assert job.panel.trim == "auto"
        choice = chosen(job)
        gaps = [
            ways_of(float(high - low) - 3, 0, job.panel, job.bracket)
            for low, high in pairwise(choice.positions)
        ]
        assert all(min(max(told[:2]) for told in ways.values()) < 4 for ways in gaps)
        assert choice.given_up == ()
        even_fails += any(max(ways["even"][:2]) >= 4 for ways in gaps)
    assert even_fails > 5


def test_rail_too_high_for_any_place_is_told():
    """A gap of 7 in lets the ball through at head and foot wherever the posts stand."""
    choice = chosen(job_of(flight(bottom_gap=F(7))))
    assert "openings" in choice.given_up
    assert any("no place of the posts makes the opening" in note for note in choice.notes)


def test_post_stock_that_is_too_short_is_told():
    choice = chosen(job_of(flight(), post=post(stock=(F(30),))))
    assert "post stock" in choice.given_up
    assert any('a post comes out longer than 30"' in note for note in choice.notes)


def test_more_bays_than_steps_are_refused():
    with pytest.raises(NoSuchShape, match="7 bays on a flight of 5 treads.*at most 6 bays"):
        chosen(job_of(flight(bays=7)))


def test_bays_narrower_than_their_brackets_are_refused():
    with pytest.raises(NoSuchShape) as caught:
        chosen(job_of(record_of(JobLevel, span=F(40), bays=12, bottom_gap=F(2))))
    assert str(caught.value) == (
        'section 1: bays: 12 bays in a span of 40" leave no room for posts and brackets. A bay is '
        "longer than its brackets. Give fewer bays."
    )


def test_span_narrower_than_its_brackets_is_refused():
    with pytest.raises(NoSuchShape, match="section 1.*bay of 1. is too short for its two brackets"):
        chosen(job_of(record_of(JobLevel, span=F(4), bays="auto", bottom_gap=F(2)),
                      post=post(base=None)))  # fmt: skip


def test_flight_at_a_wall_needs_its_posts():
    with pytest.raises(MeasurementMissing) as caught:
        chosen(job_of(flight(end="wall")))
    assert str(caught.value) == (
        "section 1: posts: are left out, and the flight ends at a wall. A wall stands where it "
        "stands: its face is measured, not chosen. List the posts from the first nosing, the "
        "wall's face in the place of a post."
    )
    assert caught.value.candidates == ("posts",)


# --------------------------------------------------------------------------- against all places


def outcome(job, positions):
    """What a layout comes to when it is solved: None where it cannot stand or fails."""
    section = msgspec.structs.replace(job.sections[0], posts=positions, bays=None)
    job = msgspec.structs.replace(job, sections=(section,))
    try:
        solved = solve_section(job, 0)
    except NoSuchShape:
        return None
    findings, openings = findings_of(solved, job, rules_of(job))
    failing = {finding.id for finding in findings if finding.verdict == FAIL}
    if failing & {"opening-foot", "opening-head", "opening-end", "rail-stock", "post-stock",
                  "post-edge-distance"}:  # fmt: skip
        return None
    half = job.post.base / 2
    for built in solved.posts[:-1]:
        above = solved.nosings[built.tread or 0][0]
        if built.x + half > above:
            return None
    rise, run = float(solved.rail_line.unit_rise), float(solved.rail_line.unit_run)
    widest = float(max(high - low for low, high in pairwise(positions)))
    if hypot(widest, widest * rise / run) > job.post.max_spacing:
        return None
    gaps = [gap for bay in solved.bays for gap in (bay.end_gap_low, bay.end_gap_high)]
    rooms = [told.ruling.limit - opening.diameter
             for opening, told in zip(solved.openings, openings, strict=True)
             if opening.kind in ("foot", "head", "end")]  # fmt: skip
    mark = float(job.tape)
    return (round((max(gaps) - min(gaps)) / mark), -min(rooms) / mark)


@pytest.mark.parametrize(
    ("pitch", "gap"), [(F(9, 2), F(3, 8)), (F(17, 4), F(3, 8)), (F(4), F(1, 8))]
)
def test_one_bay_is_the_best_of_all_places(pitch, gap):
    """Every pair of half inches on the landings is solved and checked; none beats the choice."""
    half = F(1, 2)
    job = job_of(flight(bottom_gap=gap), tape=half, measured_within=F(0),
                 panel=panel(pitch=pitch, stock=(F(96),), end_margin=F(2)),
                 post=post(max_spacing=F(96)))  # fmt: skip
    choice = chosen(job)
    assert choice.given_up == ()
    mine = outcome(job, choice.positions)
    lows = [-n * half for n in range(5, 20)]
    highs = [F(105, 2) + n * half for n in range(10, 22)]
    all_of_them = {
        (low, high): found
        for low in lows
        for high in highs
        if (found := outcome(job, (low, high))) is not None
    }
    assert len(all_of_them) > 20
    spread = min(found[0] for found in all_of_them.values())
    assert mine[0] == spread
    room = min(found[1] for found in all_of_them.values() if found[0] == spread)
    assert mine[1] <= room + 1


def test_two_bays_are_the_best_of_all_places_on_the_tread():
    quarter = F(1, 4)
    job = job_of(flight(unit_rise=F(36, 5), unit_run=F(11), risers=10, bays=2), tape=quarter,
                 measured_within=F(0), panel=panel(trim="half-pitch"))  # fmt: skip
    choice = chosen(job)
    places = [n * quarter for n in range(6, 40)]
    found = {}
    for a in places:
        positions = (-a, 55 - a, 110 - a)
        result = outcome(job, positions)
        if result is not None:
            found[positions] = result
    assert len(found) > 5
    mine = found[choice.positions]
    best = min(room for _, room in found.values())
    assert mine[1] <= best + 1
    as_good = [positions for positions, (_, room) in found.items() if room <= mine[1] - 1]
    assert not as_good


def test_no_fewer_posts_would_do():
    """Each smaller number of bays gives something up that the choice keeps."""
    job = job_of(flight(unit_rise=F(36, 5), unit_run=F(11), risers=10),
                 panel=panel(trim="half-pitch"))  # fmt: skip
    choice = chosen(job)
    for bays in range(1, len(choice.positions) - 1):
        fewer = chosen(job_of(flight(unit_rise=F(36, 5), unit_run=F(11), risers=10, bays=bays),
                              panel=panel(trim="half-pitch")))  # fmt: skip
        assert set(fewer.given_up) - set(choice.given_up)


# --------------------------------------------------------------------------- properties


def part(low, high, most=16):
    return st.fractions(min_value=low, max_value=high, max_denominator=most)


def checked(job):
    """The section with its posts written into the job, and the checks that then fail."""
    settled = settle(laid_out(job, rules_of(job))[0], 0, rules_of(job))
    findings, _ = findings_of(settled.section, settled.job, rules_of(job))
    return settled.section, {finding.id for finding in findings if finding.verdict == FAIL}


@settings(deadline=None, derandomize=True, max_examples=15)
@given(
    run=part(9, 13, 4),
    rise=part(6, 8, 4),
    risers=st.integers(3, 14),
    pitch=part(F(7, 2), F(19, 4), 4),
    gap=st.one_of(st.just("auto"), part(0, 1, 8)),
    spacing=st.sampled_from([48, 60, 72]),
    trim=st.sampled_from(["even", "half-pitch"]),
)
def test_a_layout_keeps_what_it_says_it_keeps(run, rise, risers, pitch, gap, spacing, trim):
    job = job_of(
        flight(unit_run=run, unit_rise=rise, risers=risers, bottom_gap=gap),
        panel=panel(pitch=pitch, trim=trim),
        post=post(max_spacing=F(spacing)),
    )
    choice = chosen(job)
    given_up = set(choice.given_up)
    widths = [high - low for low, high in pairwise(choice.positions)]
    assert all((x / job.tape).denominator == 1 for x in choice.positions)
    assert sum(choice.treads) == risers
    assert min(choice.treads) >= 1
    if "spacing" not in given_up:
        assert max(widths) <= spacing
    else:
        assert max(widths) > spacing
    section, failing = checked(job)
    for built in section.posts:
        if built.tread is not None:
            front, above = section.nosings[built.tread - 1][0], section.nosings[built.tread][0]
            assert built.x - 2.5 >= front - 1e-9
            if "edge distance" not in given_up:
                assert built.x - 2.5 - 2.75 >= front - 1e-9
            if "nosings" not in given_up:
                assert built.x + 2.5 <= above + 1e-9
    told = {"end gaps": "opening-end", "rail stock": "rail-stock", "post stock": "post-stock",
            "edge distance": "post-edge-distance"}  # fmt: skip
    for name, check in told.items():
        assert (name in given_up) == (check in failing), name
    if "openings" not in given_up:
        assert not {"opening-foot", "opening-head"} & failing
    if choice.runner_up is not None:
        assert choice.runner_up != choice.positions
        assert choice.why_it_lost


@settings(deadline=None, derandomize=True, max_examples=15)
@given(span=part(20, 400), spacing=part(40, 80, 4), pitch=part(F(7, 2), F(19, 4), 4))
def test_level_bays_are_equal_on_the_tape_and_no_wider_than_allowed(span, spacing, pitch):
    job = job_of(record_of(JobLevel, span=span, bays="auto", bottom_gap=F(2)),
                 panel=panel(pitch=pitch), post=post(max_spacing=spacing))  # fmt: skip
    choice = chosen(job)
    widths = [high - low for low, high in pairwise(choice.positions)]
    assert (choice.positions[0], choice.positions[-1]) == (0, span)
    assert all((x / SIXTEENTH).denominator == 1 for x in choice.positions[1:-1])
    # a span that ends between two marks leaves the last bay up to half a mark more off
    off = (span / SIXTEENTH) % 1
    assert max(widths) - min(widths) <= SIXTEENTH * (1 if off == 0 else F(3, 2))
    assert ("spacing" in choice.given_up) == (max(widths) > spacing)
    _, failing = checked(job)
    assert ("end gaps" in choice.given_up) == ("opening-end" in failing)
    assert ("rail stock" in choice.given_up) == ("rail-stock" in failing)


@settings(deadline=None, derandomize=True, max_examples=36)
@given(spacing=part(8, 110), trim=st.sampled_from(["even", "half-pitch"]),
       margin=st.one_of(st.none(), part(1, 4)))  # fmt: skip
def test_end_gaps_read_off_are_those_of_the_solved_bay(spacing, trim, margin):
    job = job_of(flight(bays=1), panel=panel(trim=trim, end_margin=margin))
    trial = solve_section(job, 0)
    rooms = Rooms(job, trial, rules_of(job))
    line = RailLine(7.0, 7.0, 10.5, 0.375)
    try:
        (bay,) = bays_of(job, (F(0), spacing), rooms.step, line, "", trial.ends)
    except NoSuchShape:
        assert rooms.bay(float(spacing), True, True) is None
        return
    cut = rooms.bay(float(spacing), True, True)
    assert cut.end_gaps == pytest.approx(sorted((bay.end_gap_low, bay.end_gap_high)), abs=1e-9)
    assert cut.no_stock == (bay.trims.used is None)
    assert cut.stock_needed == pytest.approx(bay.stock_needed, abs=1e-9)


def test_score_of_every_place_is_that_of_the_solved_guard():
    """Foot, head and both parts of a split tread opening, read off between samples, against the
    solved guard, to a hundredth of an inch."""
    job = job_of(flight(unit_rise=F(36, 5), unit_run=F(11), risers=10, bays=1))
    rooms = Rooms(job, solve_section(job, 0), rules_of(job))
    for a in (F(5, 2), F(53, 16), F(4), F(83, 16)):
        positions = (-a, 55 - a, 110 - a)
        section = msgspec.structs.replace(job.sections[0], posts=positions, bays=None)
        solved = solve_section(msgspec.structs.replace(job, sections=(section,)), 0)
        split = [opening for opening in solved.openings
                 if opening.kind == "triangle" and opening.tread == 5]  # fmt: skip
        tread, side = F(6), F(35, 8)  # a tread opening with a riser, and every other one
        wanted = [float(tread) - next(o.diameter for o in solved.openings if o.kind == "foot"),
                  float(side) - next(o.diameter for o in solved.openings if o.kind == "head"),
                  float(side) - split[0].diameter]  # fmt: skip
        if not rooms.plain_fails:
            wanted.append(6 - split[1].diameter)
        foot, post, head = (
            [room for room, _ in rooms.post(float(x), step, index, 3).rooms]
            for index, (x, step) in enumerate(zip(positions, (0, 5, 10), strict=True))
        )
        assert [*foot, *head, *post] == pytest.approx(wanted, abs=0.01)


# --------------------------------------------------------------------------- how it is shown


def test_listed_posts_are_left_alone():
    job = job_of(flight(posts=(F(-4), F(61)), bays=None))
    settled, choices = laid_out(job, rules_of(job))
    assert settled == job
    assert choices == (None,)
    solution = solution_for(job)
    assert result_of(solution)["sections"][0]["layout"] is None
    assert "Layout:" not in solve_text(solution)


def test_the_choice_is_in_text_and_result():
    job = job_of(flight())
    solution = solution_for(job)
    choice = solution.sections[0].layout
    told = result_of(solution)["sections"][0]["layout"]
    assert told["positions"] == [float(x) for x in choice.positions]
    assert told["positions"] == [built.x for built in solution.sections[0].section.posts]
    assert told["treads_per_bay"] == list(choice.treads)
    assert told["given_up"] == []
    text = solve_text(solution)
    assert "Layout: the posts were placed" in text
    assert choice.score[0].split(";")[0] in text
    assert "next best: posts at " in text
    assert max(map(len, text.splitlines())) <= 80


def test_names_of_what_is_kept_are_told_in_their_order():
    assert KEPT.index("rail stock") < KEPT.index("openings") < KEPT.index("spacing")
    choice = chosen(job_of(flight(bottom_gap=F(5)), post=post(stock=(F(30),))))
    assert choice.given_up == tuple(name for name in KEPT if name in choice.given_up)
    assert len(choice.given_up) >= 2


def test_a_choice_is_frozen():
    choice = chosen(job_of(flight()))
    with pytest.raises(AttributeError, match="immutable"):
        choice.positions = ()


def test_bay_counts_begin_with_the_fewest():
    assert bay_counts(F(144), F(72), 1) == [2, 3]
    assert bay_counts(F(145), F(72), 0) == [3]


def test_spacings_that_differ_by_a_mark_are_both_told_and_end_gaps_that_read_alike_once():
    """62 3/16 in in three bays are 20 35/48 in each: on marks two of 20 3/4 and one of 20 11/16."""
    job = job_of(
        record_of(JobLevel, span=F(995, 16), bays=3, bottom_gap=F(2)), panel=panel(trim="even")
    )
    choice = chosen(job)
    assert sorted(high - low for low, high in pairwise(choice.positions)) == [
        F(331, 16), F(83, 4), F(83, 4)
    ]  # fmt: skip
    assert '20 11/16" to 20 3/4" on centre' in choice.score[0]
    words = choice.score[1].removeprefix("end gaps from ").split(" to ")
    assert len(words) == len(set(words))

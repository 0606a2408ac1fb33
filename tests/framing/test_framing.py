"""What lies under the posts of a level run, by hand, and by sliding a post along the joists.

Plate 5, bolts 3/4 from its edges and 1/2 thick: their rows lie 1 3/4 either side of the centre.
Joists 1 1/2 thick at 16.
"""

from fractions import Fraction

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stairs.errors import NoSuchShape
from stairs.guard.framing import framing_of
from stairs.guard.left_line import guard_job
from stairs.job import Bracket, Framing, Job, JobFlight, JobLevel, Panel, PostKind
from stairs.job.key_notes import record_of, with_values
from stairs.report.result import result_of
from stairs.report.screen import solve_text
from stairs.solution import solution_for

F = Fraction


def framing(**changes):
    parts = {"direction": "across", "joist_spacing": F(16), "first_joist": F(0),
             "joist_thickness": F(3, 2), "joist_depth": F(29, 4), "bolt_inset": F(3, 4),
             "bolt_diameter": F(1, 2)}  # fmt: skip
    return Framing(**{**parts, **changes})


def job_of(under, post=None):
    post = {"width": F(3), "base": F(5), "edge_distance": F(11, 4), "reveal": F(1),
            "max_spacing": F(72), **(post or {})}  # fmt: skip
    return Job(
        units="in", rules="irc-2021", tape=F(1, 16), measured_within=F(1, 16),
        panel=Panel(height=F(34), top_rail=F(7, 4), bottom_rail=F(3, 2), baluster=F(3, 4),
                    pitch=F(9, 2), stock=(F(72), F(96))),
        bracket=Bracket(kind="pivot", pivot_offset=F(9, 8), rail_setback=F(3, 8)),
        post=PostKind(**post),
        sections=(
            record_of(
                JobLevel, name="edge", span=F(96), bays=2, bottom_gap=F(5, 2), framing=under
            ),
        ),
    )  # fmt: skip


def under(x, post=None, **changes):
    """What lies under one post at ``x``."""
    plan = framing_of(job_of(framing(**changes), post=post), 0, [F(x)])
    return plan.posts[0]


# --------------------------------------------------------------------------- joists


def test_post_between_joists_gets_one_block():
    """Joists at 0 and 16: 14 1/2 clear between faces at 3/4 and 15 1/4."""
    found = under(8)
    assert found.lands == "between joists 1 and 2"
    (block,) = found.blocks
    assert (block.low_joist, block.high_joist) == (1, 2)
    assert (block.low, block.high, block.length) == (0.75, 15.25, 14.5)
    assert block.thickness == 3
    assert (found.nearest_joist, found.to_joist) == (1, -8)
    assert (found.on_joists, found.warnings) == ((), ())


def test_post_on_a_joist_gets_a_block_on_either_side():
    """Centred on joist 3 at 32: its bolts stand 1 3/4 off, clear of the joist's faces at 3/4."""
    found = under(32)
    assert found.lands == "on joist 3"
    assert [(block.low_joist, block.high_joist) for block in found.blocks] == [(2, 3), (3, 4)]
    assert [block.length for block in found.blocks] == [14.5, 14.5]
    assert (found.to_joist, found.warnings) == (0, ())


def test_bolts_that_come_down_on_a_joist_are_warned_of():
    """At 34 the lower row is at 32 1/4, on joist 3 (31 1/4 to 32 3/4).

    Up by 3/4 its holes, a quarter either side, are clear of the joist: 33 - 1/4 = 32 3/4.
    """
    found = under(34)
    assert found.lands == "on joist 3"
    assert len(found.blocks) == 2
    assert found.warnings == (
        'bolts come down on the edge of joist 3: 3/4" along the run, up they would clear it',
    )
    assert under(F(139, 4)).warnings == ()


@pytest.mark.parametrize(
    ("x", "hit"),
    [
        (F(139, 4), False),  # lower row at 33: holes from 32 3/4, just past the joist's face
        (F(139, 4) - F(1, 1000), True),
        (F(117, 4), False),  # upper row at 31: holes to 31 1/4, just before it
        (F(117, 4) + F(1, 1000), True),
    ],
)
def test_a_hole_that_only_touches_a_joist_is_clear_of_it(x, hit):
    assert bool(under(x).warnings) is hit


def test_nearer_way_down_is_told():
    assert under(30).warnings == (
        'bolts come down on the edge of joist 3: 3/4" along the run, down they would clear it',
    )


def test_post_before_the_first_joist_lacks_one():
    """First joist at 6: between it and the deck's end nothing carries a block."""
    found = under(0, first_joist=F(6))
    assert found.lands == "before joist 1"
    (block,) = found.blocks
    assert (block.low_joist, block.high_joist, block.length) == (None, 1, None)
    assert found.warnings == (
        "there is no joist before joist 1 to carry its block: add one, or measure to the joist "
        "before it",
    )
    assert under(0, first_joist=F(-10)).lands == "between joists 1 and 2"


def test_joists_along_the_guard_are_measured_from_the_deck_edge():
    """Posts stand 2 1/2 + 2 3/4 = 5 1/4 in; the edge joist is at 3/4, the next one at 16 3/4."""
    for x in (0, 50):
        found = under(x, direction="along", first_joist=F(3, 4))
        assert (found.inset, found.lands) == (5.25, "between joists 1 and 2")
        assert (found.blocks[0].low, found.blocks[0].high) == (1.5, 16)
        assert found.blocks[0].centre == x


def test_post_over_the_edge_joist_gets_one_block_inwards():
    """At 1 3/4 + 1/2 from the edge the outer row lies over the edge joist; outside it is air."""
    found = under(0, direction="along", first_joist=F(3, 4), edge_to_post=F(9, 4))
    assert found.lands == "on joist 1"
    assert [(block.low_joist, block.high_joist) for block in found.blocks] == [(1, 2)]
    assert found.warnings == (
        'bolts come down on the edge of joist 1: 1 1/4" farther from the deck edge they would '
        "clear it",
    )


def test_close_joists_may_both_lie_under_a_plate():
    """Joists at -4, -1, 2, 5; bolts half an inch in reach from -1 3/4 to 2 3/4 about 1/2."""
    found = under(F(1, 2), joist_spacing=F(3), first_joist=F(-4), bolt_inset=F(1, 2))
    assert found.lands == "on joists 2 to 3"
    assert [(block.low_joist, block.high_joist) for block in found.blocks] == [
        (1, 2), (2, 3), (3, 4),
    ]  # fmt: skip
    assert [block.length for block in found.blocks] == [1.5, 1.5, 1.5]


def test_bolts_without_a_clear_place_ask_for_the_joist_to_move():
    """Joists 2 thick at 2 1/2 leave a clear half: never wide enough for two rows of bolts."""
    found = under(10, joist_spacing=F(5, 2), joist_thickness=F(2))
    assert found.warnings[0].endswith(": move the joist")


def test_post_without_a_plate_has_no_bolts():
    found = under(34, post={"base": None}, board_width=F(11, 2), board_gap=F(1, 8))
    assert found.bolts == ()
    assert found.warnings == ()
    assert found.lands == "on joist 3"  # its face is at 32 1/2, the joist's at 32 3/4
    assert under(F(69, 2), post={"base": None}).lands == "between joists 3 and 4"


# --------------------------------------------------------------------------- boards


def test_board_gaps_of_boards_along_the_guard():
    """Boards of 5 1/2 with gaps of 1/8 from the deck edge: the first gap's middle is at 5 9/16,
    5/16 inside the posts at 5 1/4; bolts at 3 1/2 and 7 clear it."""
    found = under(8, board_width=F(11, 2), board_gap=F(1, 8))
    assert found.to_gap == 5 / 16
    assert found.warnings == ()


def test_bolts_over_a_board_gap_are_warned_of():
    """With the post 3 13/16 in, the inner row is at 5 9/16, in the middle of the first gap."""
    found = under(8, board_width=F(11, 2), board_gap=F(1, 8), edge_to_post=F(61, 16))
    assert found.warnings == ("bolts sit over the gap between boards 1 and 2",)


def test_boards_across_the_guard_have_their_gaps_along_it():
    """Joists along the guard: boards lie side by side along the run, from 5 1/4 before post 1."""
    plan = framing_of(
        job_of(framing(direction="along", first_joist=F(3, 4), board_width=F(11, 2),
                       board_gap=F(1, 8))), 0, [F(0), F(96)],
    )  # fmt: skip
    assert (plan.joist_axis, plan.gap_axis) == ("inset", "x")
    assert plan.posts[0].to_gap == -5.25 + 5.5 + 1 / 16
    assert "the first board begins at the deck's end, 5 1/4\" before the first post" in (
        "\n".join(plan.notes)
    )
    given_place = framing_of(
        job_of(framing(direction="along", first_joist=F(3, 4), board_width=F(11, 2),
                       board_gap=F(1, 8), first_board=F(-1))), 0, [F(0), F(96)],
    )  # fmt: skip
    assert given_place.posts[0].to_gap == -1 + 5.5 + 1 / 16
    assert not any("first board" in note for note in given_place.notes)


def test_boards_along_the_joists_turn_the_gaps():
    plan = framing_of(
        job_of(framing(board_direction="along", board_width=F(11, 2), board_gap=F(1, 8))),
        0, [F(0), F(96)],
    )  # fmt: skip
    assert (plan.joist_axis, plan.gap_axis) == ("x", "x")


# --------------------------------------------------------------------------- the whole run


def test_plan_lists_the_joists_under_and_beside_the_run():
    plan = framing_of(job_of(framing(first_joist=F(-4))), 0, [F(0), F(48), F(96)])
    assert [joist.centre for joist in plan.joists] == [-4 + 16 * n for n in range(8)]
    assert [joist.number for joist in plan.joists] == list(range(1, 9))
    assert [post.post for post in plan.posts] == [1, 2, 3]


def test_a_wall_has_no_framing_under_it():
    plan = framing_of(job_of(framing()), 0, [F(0), F(48), F(96)], [False, False, True])
    assert [post.post for post in plan.posts] == [1, 2]


def test_block_on_edge_too_thin_for_the_bolts_is_noted():
    """Rows 3 1/2 apart and holes of 1/2 take 4; two boards on edge are 3, laid flat 7 1/4."""
    plan = framing_of(job_of(framing()), 0, [F(0)])
    assert plan.notes[0] == (
        'the bolts take 4" along the joists and a block on edge is 3" thick: lay its boards flat, '
        '7 1/4" wide'
    )
    narrow = framing_of(job_of(framing(bolt_inset=F(3, 2))), 0, [F(0)])
    assert not any("lay its boards flat" in note for note in narrow.notes)


def test_sections_without_framing_have_no_plan():
    assert framing_of(job_of(None), 0, [F(0)]) is None
    job = job_of(None)
    flight = record_of(JobFlight, unit_rise=F(7), unit_run=F(11), risers=4, posts=(F(-4), F(40)))
    assert framing_of(msgspec.structs.replace(job, sections=(flight,)), 0, [F(0)]) is None


@pytest.mark.parametrize("inset", [F(1, 4), F(9, 4)])
def test_bolts_outside_their_plate_are_refused(inset):
    with pytest.raises(NoSuchShape) as caught:
        under(0, bolt_inset=inset)
    shown = {F(1, 4): '1/4"', F(9, 4): '2 1/4"'}[inset]
    assert str(caught.value) == (
        f'section 1 (edge): framing: bolt_inset: {shown} puts a bolt of 1/2" outside its '
        'corner of a base plate of 5". It is more than 1/4" and less than 2 1/4". Measure from the '
        "plate's edge to the middle of a bolt hole."
    )


@given(x=st.fractions(min_value=0, max_value=90, max_denominator=64),
       first=st.fractions(min_value=-16, max_value=-4, max_denominator=16))  # fmt: skip
def test_blocks_fill_the_spaces_that_the_bolts_are_over(x, first):
    """Every bolt lies over a block or is warned of; the plate is on a joist where a joist is
    between its rows or under them."""
    found = under(x, first_joist=first)
    joists = [first + 16 * n for n in range(10)]
    rows = [x - F(7, 4), x + F(7, 4)]
    hit = [row for row in rows for joist in joists if abs(row - joist) < F(3, 4) + F(1, 4)]
    assert bool(found.warnings) == bool(hit)
    for row in rows:
        if row not in hit:
            assert any(block.low <= row <= block.high for block in found.blocks)
    between = [joist for joist in joists if abs(joist - x) < 2 + F(3, 4)]
    assert len(found.on_joists) == len(between)
    assert len(found.blocks) == len(between) + 1
    assert abs(found.to_joist) == float(min(abs(joist - x) for joist in joists))


def test_framing_is_in_text_and_result():
    job = job_of(framing(first_joist=F(-1), board_width=F(11, 2), board_gap=F(1, 8)))
    solution = solution_for(job)
    text = solve_text(solution)
    assert 'Framing: joists 1 1/2" thick, 16" on center, across the guard' in text
    assert "on joist 4" in text and '2 of 14 1/2"' in text
    assert 'two framing boards face to face, 3" thick' in text
    assert max(map(len, text.splitlines())) <= 80
    told = result_of(solution)["sections"][0]["framing"]
    assert [post["x"] for post in told["posts"]] == [0, 48, 96]
    assert told["posts"][1]["lands"] == "on joist 4"
    assert told["posts"][1]["blocks"][0]["length"] == 14.5
    assert told["joists"][0] == {"number": 1, "centre": -1}
    assert result_of(solution_for(job_of(None)))["sections"][0]["framing"] is None


# --------------------------------------------------------------------------- both hands


def two_handed(under, width=48):
    job = job_of(under)
    width = None if width is None else F(width)
    level = msgspec.structs.replace(job.sections[0], hand="both", width=width)
    return msgspec.structs.replace(job, sections=(level,))


def test_joists_across_pass_under_both_hands_alike():
    solution = solution_for(two_handed(framing()), with_remedies=False)
    (part,) = solution.sections
    assert any("every block twice, one for either hand" in note for note in part.framing.notes)
    assert part.section.sides == 2


def test_joists_along_the_guard_are_counted_from_the_left_hand_edge_too():
    """Plate 5 and 2 3/4 off the edge: centres 5 1/4 in, the deck 58 1/2 wide.  Joists at 3/4,
    16 3/4 .. 48 3/4 from the right-hand edge are 9 3/4, 25 3/4 .. from the left-hand one."""
    along = framing(direction="along", first_joist=F(3, 4))
    solution = solution_for(two_handed(along), with_remedies=False)
    assert [part.section.hand for part in solution.sections] == ["right", "left"]
    right, left = (part.framing for part in solution.sections)
    assert [joist.centre for joist in right.joists][0] == 0.75
    assert [joist.centre for joist in left.joists][0] == 9.75
    assert any("counted on from the right-hand edge" in note for note in left.notes)
    assert any("no joist before joist 1" in text for text in left.posts[0].warnings)
    assert solve_text(solution).count("Framing: joists") == 2


def test_unknown_width_leaves_the_left_hand_posts_to_be_measured():
    along = framing(direction="along", first_joist=F(3, 4))
    (part,) = solution_for(two_handed(along, None), with_remedies=False).sections
    assert any("which the job does not say (width)" in note for note in part.framing.notes)


@given(
    width=st.integers(400, 1200).map(lambda n: F(n, 16)),
    first=st.integers(0, 255).map(lambda n: F(n, 16)),
    board=st.integers(40, 100).map(lambda n: F(n, 16)),
    first_board=st.integers(-40, 40).map(lambda n: F(n, 16)),
    direction=st.sampled_from(["along", "across"]),
)
def test_left_hand_posts_see_the_joists_that_stand_there(
    width, first, board, first_board, direction
):
    """Seen from the right-hand edge the left-hand posts stand a width further in: the same joists
    and gaps, found without turning the deck round."""
    deck = framing(direction=direction, first_joist=first, board_width=board, board_gap=F(1, 8),
                   first_board=first_board)  # fmt: skip
    job = guard_job(two_handed(deck, width))
    left = framing_of(job, 1, [F(0), F(40)])
    inset = F(21, 4)
    far = msgspec.structs.replace(deck, edge_to_post=inset + width)
    seen = framing_of(job_of(far), 0, [F(0), F(40)])
    for here, there in zip(left.posts, seen.posts, strict=True):
        lone = [block for block in here.blocks if block.length is None]
        if not lone:
            assert sorted(b.length for b in here.blocks) == sorted(b.length for b in there.blocks)
        assert abs(here.to_gap) == pytest.approx(abs(there.to_gap))
        over = [any("gap between boards" in text for text in post.warnings)
                for post in (here, there)]  # fmt: skip
        assert over[0] == over[1]


def test_a_run_that_begins_elsewhere_on_the_left_hand_keeps_its_joists():
    """After a turn to the left the left-hand run begins 48 along the right-hand one: joists at 4,
    20, 36 and 52 from the right-hand corner, the last one 4 from the left-hand corner."""
    job = job_of(framing(first_joist=F(4)))
    level = msgspec.structs.replace(job.sections[0], hand="both", width=F(48), framing=None)
    turned = with_values(job.sections[0], hand="both", turn=F(90))
    job = guard_job(msgspec.structs.replace(job, sections=(level, turned)))
    assert job.sections[3].span == 48
    plan = framing_of(job, 3, [F(0), F(48)])
    assert [joist.centre for joist in plan.joists] == [-12, 4, 20, 36, 52]
    assert (plan.posts[0].to_joist, plan.posts[1].to_joist) == (4, 4)
    outside = with_values(turned, turn=F(-90))
    job = guard_job(msgspec.structs.replace(job_of(None), sections=(level, outside)))
    assert job.sections[3].span == 144
    plan = framing_of(job, 3, [F(0), F(144)])
    assert [joist.centre for joist in plan.joists][:3] == [4, 20, 36]
    assert (plan.posts[0].to_joist, plan.posts[1].to_joist) == (4, 4)

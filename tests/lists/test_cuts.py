"""The cut list by hand: a level bay of 42 clear and a flight that rises 3 in 4.

Level, pivot brackets: 42 - 2 x 1 - 2 x 1/2 is a rail of 39.  From 72 that leaves 33 to cut, 16 1/2
off either end; the stock's holes, one every 5 and centred, stand at 1, 6 ... 71.
"""

from fractions import Fraction

import pytest

from stairs.lengths.tape_marks import round_to_mark
from stairs.lists.cut_list import SLIVER, TIP_OFF, cut_list, hole_half, off_flaws
from stairs.parts.panel import hole_pattern
from stairs.remedies.job_changes import apply
from stairs.report.buying import bracket_counts
from stairs.report.csv_lists import list_csv
from stairs.report.cuts_text import flaw_text, notes_on, rail_warnings, saw_words
from stairs.report.lists_text import cuts_text
from stairs.report.screen import solve_text
from stairs.solution import solution_for


def by_name(solution):
    return {cut.name: cut for cut in cut_list(solution).rails}


def test_level_bay_cut_evenly(answered, level):
    """Holes at 21, 26 ... 51 stay; 21 - 16 1/2 is 4 1/2 from the cut."""
    cuts = by_name(answered(level()))
    assert set(cuts) == {"1.1 top", "1.1 bottom"}
    cut = cuts["1.1 top"]
    assert (cut.length, cut.stock) == (39, 72)
    assert (cut.low.trim, cut.high.trim) == (Fraction(33, 2), Fraction(33, 2))
    assert cut.balusters == 7
    assert cut.running == tuple(Fraction(9, 2) + 5 * index for index in range(7))
    assert (cut.low.holes_lost, cut.high.holes_lost) == (4, 4)
    assert (cut.low.edge, cut.high.edge) == (4, 4)
    assert (saw_words(cut), cut.way, cut.low.cut.tip) == ("square", "even", 0)


def test_level_bay_cut_half_a_pitch_over(answered, level):
    """2 1/2 more and less: 14 off the lower end, so that the hole at 16 is 2 from the cut."""
    cut = by_name(answered(level(), trim="half-pitch"))["1.1 top"]
    assert (cut.low.trim, cut.high.trim) == (14, 19)
    assert cut.running == tuple(Fraction(2) + 5 * index for index in range(8))
    assert (cut.low.edge, cut.high.edge) == (Fraction(3, 2), Fraction(3, 2))
    assert cut.flaws == ()


THREE = '["0", "45", "90"]'


def test_both_ways_are_shown_for_every_bay(answered, level):
    bay, other = answered(level(posts=THREE)).guard.sections[0].bays
    assert (bay.trims.way, bay.trims.used.way, bay.trims.other.way) == (
        "even",
        "even",
        "half-pitch",
    )
    assert (bay.trims.used.balusters, bay.trims.other.balusters) == (7, 8)
    assert bay.trims.better in ("even", "half-pitch") and bay.trims.because
    assert other.number == 2


def cut_ways(solution):
    return [cut.way for cut in cut_list(solution).rails if cut.rail == "top"]


def test_a_section_says_how_each_of_its_bays_is_cut(answered, level):
    """Over what the panel says; the trims are those of the whole job cut that way."""
    two = level(posts=THREE) + 'trim = ["half-pitch", "even"]\n'
    mixed, even = by_name(answered(two)), by_name(answered(level(posts=THREE)))
    half = by_name(answered(level(posts=THREE), trim="half-pitch"))
    assert cut_ways(answered(two)) == ["half-pitch", "even"]
    for rail in ("top", "bottom"):
        for name, pure in ((f"1.1 {rail}", half), (f"1.2 {rail}", even)):
            assert (mixed[name].low.trim, mixed[name].running) == (
                pure[name].low.trim,
                pure[name].running,
            )
    assert even["1.1 top"].low.trim != half["1.1 top"].low.trim


def test_one_word_of_a_section_holds_for_all_its_bays_and_no_other(answered, level):
    sections = level(span="90", bays=2) + 'trim = "half-pitch"\n', level()
    assert cut_ways(answered(*sections)) == ["half-pitch", "half-pitch", "even"]


def test_auto_takes_the_better_way_bay_by_bay(answered, level):
    """A rail of 39 evenly cut leaves 1 1/2 + 4 1/2 - 1/2 beside the post, more than the 4 between
    balusters; moved half a pitch it leaves 1 1/2 + 2 - 1/2.  Of a rail of 42 evenly cut 15 comes
    off, so that the hole at 16 leaves 2; moved, the next one leaves 1 1/2 + 3 1/2 - 1/2."""
    text = 'posts = ["0", "45", "93"]\nbottom_gap = "2"\nkind = "level"\n'
    job = answered(f'[[section]]\n{text}trim = "auto"\n')
    first, second = job.guard.sections[0].bays
    assert (first.trims.way, second.trims.way) == ("half-pitch", "even")
    assert (first.trims.better, second.trims.better) == ("half-pitch", "even")
    gaps = [
        [float(way.end_gap_low) for way in (one.trims.used, one.trims.other)]
        for one in (first, second)
    ]
    assert gaps == [[3.0, 5.5], [2.0, 4.5]]
    assert cut_ways(job) == ["half-pitch", "even"]
    again = answered(f'[[section]]\n{text}trim = ["half-pitch", "even"]\n')
    assert cut_list(again) == cut_list(job)


def test_auto_falls_to_even_where_both_ways_are_alike(answered, level):
    """A rail no stock reaches, and one whose stock cannot move: even, as without the key."""
    for span in ("45", "76"):
        job = answered(level(span=span) + 'trim = "auto"\n', stock='["40"]')
        assert {bay.trims.way for bay in job.guard.sections[0].bays} == {"even"}


def test_flight_bay_on_the_slope(answered, flight):
    """45 clear less 2 is 43 level, 53 3/4 along the rail, less 1 for the setbacks."""
    cut = by_name(answered(flight()))["1.1 bottom"]
    assert cut.length == Fraction(211, 4)
    assert cut.low.trim + cut.length + cut.high.trim == 72


def test_running_marks_are_rounded_by_themselves(answered, level):
    """At a pitch of 4 1/3 every mark is within half a sixteenth; adding rounded pitches is not."""
    third, mark = Fraction(13, 3), Fraction(1, 16)
    cut = by_name(answered(level(span="67"), pitch="13/3"))["1.1 top"]
    exact = [cut.first_hole + index * third for index in range(cut.balusters)]
    summed = [cut.running[0] + index * round_to_mark(third, mark) for index in range(len(exact))]
    assert len(cut.running) == len(exact) > 10
    assert max(abs(a - b) for a, b in zip(cut.running, exact, strict=True)) <= mark / 2
    assert max(abs(a - b) for a, b in zip(summed, exact, strict=True)) > mark / 2


def test_cut_through_a_hole_is_warned_of(answered, level):
    """A rail of 30 leaves 21 off either end: just where the hole at 21 is."""
    solution = answered(level(span="36"))
    cut = by_name(solution)["1.1 top"]
    assert (cut.length, cut.low.trim) == (30, 21)
    assert Fraction(21) in hole_pattern(solution.job.panel, Fraction(72))
    assert rail_warnings(solution, cut) == (
        'the lower cut goes through a hole: its middle is 0" from the cut',
        'the upper cut goes through a hole: its middle is 0" from the cut',
    )


@pytest.mark.parametrize(
    ("span", "left", "warned"),
    [("39", None, False), ("38 1/2", '3/4"', True), ("39 1/2", None, False)],
    ids=["one baluster left", "less", "more"],
)
def test_hole_too_near_the_cut_is_warned_of(answered, level, span, left, warned):
    """A rail of 33 begins 19 1/2 up the stock: the hole at 21 has 1 1/2 less 1/2 to the cut."""
    solution = answered(level(span=span))
    cut = by_name(solution)["1.1 top"]
    assert bool(cut.flaws) == warned
    if warned:
        assert rail_warnings(solution, cut)[0] == (
            f'only {left} is left between the lower cut and the nearest hole, less than 1"'
        )


def test_what_is_left_never_reads_as_enough(answered, level):
    """Cut at 19, hole at 21, 2.02 long: 0.99 is left of the 1 that is wanted, and not 1."""
    slot = 'slot = { length = "2.02", wall = "1/16" }'
    solution = answered(level(span="40"), panel=slot)
    cut = by_name(solution)["1.1 top"]
    assert (cut.low.trim, cut.low.edge) == (19, Fraction(99, 100))
    assert rail_warnings(solution, cut)[0] == (
        'only 0.99" is left between the lower cut and the nearest hole, less than 1"'
    )


def test_least_edge_may_be_given(answered, level):
    solution = answered(level(span="38 1/2"))
    assert cut_list(solution, Fraction(3, 4)).rails[0].flaws == ()
    assert len(cut_list(solution, Fraction(13, 16)).rails[0].flaws) == 2


def test_slot_counts_as_the_hole(answered, level):
    """A hole of 2 reaches 1 from its middle: at 1 1/2 from the cut only 1/2 is left."""
    slot = 'slot = { length = "2", wall = "1/16" }'
    cut = by_name(answered(level(span="39"), panel=slot))["1.1 top"]
    assert cut.low.edge == Fraction(1, 2)
    assert len(cut.flaws) == 2


def test_no_stock_long_enough_still_lists_the_rail(answered, level):
    solution = answered(level(), stock='["30"]')
    cut = by_name(solution)["1.1 top"]
    assert cut.stock is None and cut.low.trim is None
    assert cut.length == 39
    assert rail_warnings(solution, cut) == ("no stock length is long enough",)


def test_plumb_cut_tips_are_half_the_depth_by_the_slope(answered, flight, plumb_cut):
    """2 deep at 3 in 4: the tip is 3/4; 1 1/2 deep: 9/16.  45 - 2 x 1/2 is 44, 55 on the slope."""
    cuts = by_name(answered(flight(), bracket=plumb_cut))
    tips = [cuts[name].low.cut.tip for name in ("1.1 top", "1.1 bottom")]
    assert tips == [Fraction(3, 4), Fraction(9, 16)]
    assert cuts["1.1 top"].length == 55
    assert saw_words(cuts["1.1 top"]) == "36.9° from square"


def test_posts_carry_the_marks_of_both_bays(answered, level):
    """Bottom rail's axis at 2 + 3/4, top rail's at 2 + 33 - 1; a post 1 above the top rail."""
    cuts = cut_list(answered(level(span="90", bays=2)))
    first, middle, last = cuts.posts
    assert [face.side for face in first.faces] == ["up"]
    assert [(face.side, face.bay) for face in middle.faces] == [("down", 1), ("up", 2)]
    assert [face.side for face in last.faces] == ["down"]
    assert {(face.bottom, face.top) for face in middle.faces} == {(Fraction(11, 4), 34)}
    assert (middle.height, middle.stock, middle.cut_off) == (36, 40, 4)
    assert cuts.posts_by_stock == ((40, 3),)
    assert cuts.base_plates == 3


def test_post_that_no_stock_reaches(answered, level):
    cuts = cut_list(answered(level(), posts='["30"]'))
    assert cuts.posts[0].stock is None and cuts.posts[0].cut_off is None
    assert cuts.posts_by_stock == ((None, 2),)


def test_brackets_by_kind(answered, flight, level, plumb_cut):
    """Four to a bay; where a section turns square they go on another face, and are no others."""
    cuts = cut_list(answered(flight(), level(span="90", bays=2, turn=90)))
    assert dict(bracket_counts(cuts)) == {
        "swing up": 2,
        "swing down": 2,
        "level": 8,
    }
    assert len(cuts.brackets) == 2 * len(cuts.rails)
    sockets = cut_list(answered(flight(), bracket=plumb_cut))
    assert dict(bracket_counts(sockets)) == {"plumb-cut socket": 4}


def test_swing_is_up_at_the_lower_post_and_down_at_the_upper(answered, flight):
    places = cut_list(answered(flight())).brackets
    assert {(place.post, place.side, place.kind) for place in places} == {
        (1, "up", "swing up"),
        (2, "down", "swing down"),
    }
    assert {round(place.swing, 3) for place in places} == {36.870, -36.870}


def noted(solution):
    return notes_on(solution, cut_list(solution).posts)


def test_joins_and_skew_turns_are_noted(answered, flight, level):
    assert noted(answered(level())) == ()
    straight = noted(answered(flight(), level(turn=90)))
    assert len(straight) == 1 and "one post serves two sections" in straight[0]
    skew = noted(answered(flight(), level(turn=45)))
    assert "askew" in skew[1]
    assert "both sides" in noted(answered(flight() + 'hand = "both"\n'))[0]


def test_a_shared_post_is_listed_twice_and_bought_once(answered, flight, level):
    cuts = cut_list(answered(flight(), level(turn=90)))
    assert [(post.section, post.post, post.same_as) for post in cuts.posts] == [
        (1, 1, None), (1, 2, None), (2, 1, (1, 2)), (2, 2, None),
    ]  # fmt: skip
    assert cuts.posts[1].height == cuts.posts[2].height
    assert sum(count for _, count in cuts.posts_by_stock) == cuts.base_plates == 3


def test_no_post_is_bought_for_a_wall(answered, level):
    """Its brackets are there all the same, and so are their marks."""
    cuts = cut_list(answered(level() + 'end = "wall"\n'))
    wall = cuts.posts[-1]
    assert (wall.wall, wall.stands_on, wall.stock, len(wall.faces)) == (True, "wall", None, 1)
    assert sum(count for _, count in cuts.posts_by_stock) == cuts.base_plates == 1
    assert len(cuts.brackets) == 4


def test_balusters_are_counted_once_a_bay(answered, level):
    cuts = cut_list(answered(level(posts=THREE)))
    assert cuts.balusters == 14
    assert sum(cut.balusters for cut in cuts.rails) == 28


def test_base_plates_only_where_the_job_has_them(answered, level):
    assert cut_list(answered(level(), base="")).base_plates == 0


@pytest.mark.parametrize(
    ("low", "high", "ends"),
    [(0, 5, ["lower"]), (5, "1/2", ["upper"]), ("3/4", "3/4", []), (0, 0, ["lower", "upper"])],
)
def test_slanted_cut_that_leaves_the_stock_is_warned_of(answered, level, low, high, ends):
    """A tip of 3/4 needs 3/4 off the stock rail's end."""
    job = answered(level()).job
    flaws = off_flaws(job, (Fraction(3, 4), Fraction(3, 4)), (Fraction(low), Fraction(high)))
    assert [(flaw.kind, flaw.end) for flaw in flaws] == [(TIP_OFF, end) for end in ends]
    if ends == ["lower"]:
        assert flaw_text(job, flaws[0]) == (
            'the slanted lower cut reaches 3/4" beyond the axis, and only 0" comes off there'
        )


@pytest.mark.parametrize(
    ("posts", "names", "trim"),
    [
        ('["0", "45", "90"]', "bays 1 and 2", "half-pitch"),
        ('["0", "45", "93"]', "bay 1", ("half-pitch", "even")),
    ],
)
def test_a_wide_end_gap_is_mended_by_cutting_just_those_bays_the_other_way(
    answered, posts, names, trim
):
    """At a pitch of 4 1/2 the even trim leaves 4 3/4 beside the posts of a bay of 42 and 1 3/4 in
    one of 45; moved half a pitch 2 1/2 and 4: the second bay stays as it is."""
    solution = answered(
        f'[[section]]\nkind = "level"\nposts = {posts}\nbottom_gap = "2"\ndrop = 40\n', pitch="4.5"
    )
    (part,) = solution.sections
    remedy = next(one for one in part.remedies["opening-end"] if "the other way" in one.text)
    assert f"Cut the rails of {names} the other way (half-pitch): the end gaps of bay 1" in (
        remedy.text
    )
    assert [(change.table, change.key, change.value) for change in remedy.changes] == [
        ("section", "trim", trim)
    ]
    mended = solution_for(apply(solution.job, remedy.changes, 0), with_remedies=False)
    assert "fail" not in {
        finding.verdict for finding in mended.sections[0].findings if finding.id == "opening-end"
    }


def test_over_measured_nosings_a_hole_is_as_long_as_the_rails_rake_makes_it(answered):
    """The covering line rises 3 in 4 (the steps 7 in 10): a baluster of 1 is 5/4 along the rail."""
    section = """
[[section]]
kind = "flight"
nosings = [["0", "6"], ["10", "15"], ["20", "21"]]
nosing = 0
tread_thickness = "1"
open_risers = false
posts = ["-4", "26"]
bottom_gap = "2"
"""
    solution = answered(section)
    assert float(hole_half(solution.job, solution.guard.sections[0])) == pytest.approx(
        0.625, abs=1e-12
    )


def test_a_mark_below_the_surface(answered, flight):
    """The pin at 41 1/2: 7 1/2 + 3/4 x 41 1/2 is 1 1/8 over the landing at 37 1/2; with the rail
    4 under the nosing line and 3/4 x 5/4 to its axis, that makes 1 15/16 below the landing."""
    hangs = flight().replace('bottom_gap = "2"', 'bottom_gap = "-4"\nside_gap = "1 1/2"')
    solution = answered(hangs, base='base = "5"')
    cuts = cut_list(solution)
    lower, upper = cuts.posts
    assert (lower.below, upper.below) == (0, Fraction(31, 16))
    assert upper.faces[0].bottom == Fraction(-31, 16)
    assert upper.stock is not None and upper.cut_off is None
    assert lower.cut_off == lower.stock - lower.height
    (note,) = (one for one in noted(solution) if "below" in one)
    assert note.startswith('Post 1.2: a bracket mark lies as much as 1 15/16" below the surface')
    assert "add it before the post is bought" in note and note.endswith("does not serve there")
    listed = " ".join(cuts_text(solution).split())
    assert '-1 15/16"' in listed and "1 of them longer: goes on below the surface" in listed
    assert "goes on below its surface: add that length" in list_csv(solution, "cut")
    assert "A mark below 0 lies under the surface" in solve_text(solution)
    plain = answered(flight())
    assert not any("below" in one for one in noted(plain))
    assert "A mark below 0" not in solve_text(plain)
    assert "of them longer" not in cuts_text(plain)


# --------------------------------------------------------------------------- too little to saw


def test_a_sliver_is_not_sawn_off_a_rail_where_a_longer_stock_is_sold(answered, level):
    """Posts 3 wide and brackets 1 1/2 each side: a rail of 71 7/8 leaves 1/16 at each end of 72."""
    one = by_name(answered(level(span="77 7/8"), stock='["72", "96"]'))["1.1 top"]
    assert one.length == Fraction(575, 8)
    assert one.stock == 96
    assert min(one.low.trim, one.high.trim) >= Fraction(1, 8)
    assert not [flaw for flaw in one.flaws if flaw.kind == SLIVER]


def test_a_sliver_that_no_longer_stock_avoids_is_warned_of(answered, level):
    solution = answered(level(span="77 7/8"), stock='["72"]')
    one = by_name(solution)["1.1 top"]
    assert (one.stock, one.low.trim) == (72, Fraction(1, 16))
    assert any(
        'only 1/16" would come off the lower end, less than the saw\'s cut of 1/8"' in words
        for words in rail_warnings(solution, one)
    )
    assert "what comes off the longest stock is thinner than the saw's cut" in " ".join(
        cuts_text(solution).split()
    )


def test_a_rail_as_long_as_its_stock_is_not_sawn_at_all(answered, level):
    one = by_name(answered(level(span="78"), stock='["72", "96"]'))["1.1 top"]
    assert (one.length, one.stock, one.low.trim, one.high.trim) == (72, 72, 0, 0)


@pytest.mark.parametrize(("stock", "off", "length"), [
    ("36 1/16", 0, "36 1/16"), ("36 1/8", "1/8", "36"), ("36", 0, "36"),
])  # fmt: skip
def test_a_post_is_left_whole_where_less_than_the_saws_cut_is_over(
    answered, level, stock, off, length
):
    """Wanted are 36; 1/16 more is left on, and the reveal of 1 is 1 1/16 there."""
    solution = answered(level(), posts=f'["{stock}"]')
    post = cut_list(solution).posts[0]
    assert post.height == 36
    assert post.cut_off == sum(map(Fraction, str(off).split()))
    assert post.length == sum(map(Fraction, length.split()))
    said = [note for note in noted(solution) if note.startswith("Leave ")]
    assert said == (
        ['Leave posts 1.1, 1.2 whole, 36 1/16" as sold: the saw would take more than the 1/16" '
         'that is over. The reveal there is 1 1/16", not 1"']
        if stock == "36 1/16" else []
    )  # fmt: skip


def test_end_gaps_are_told_by_end(answered, level):
    """Holes at 4, 9 ... leave the one at 19 2 1/2 from the lower cut and 54 1 1/2 from the upper.

    From post to cut it is 1 1/2, and half a baluster is 1/2.
    """
    text = " ".join(solve_text(answered(level(), panel='end_margin = "4"')).split())
    assert 'bay balusters gap at left gap at right 1 8 3 1/2" 2 1/2"' in text


def test_a_hole_that_a_cut_goes_through_is_not_the_nearest_whole_one(answered, level):
    """Holes 2 long at 17 1/4 and 22 1/4, cut at 16 1/2: the second begins 4 3/4 from the cut."""
    panel = 'end_margin = "2 1/4"\nslot = { length = "2", wall = "1/16" }'
    solution = answered(level(), panel=panel)
    cut = by_name(solution)["1.1 top"]
    assert (cut.low.holes_lost, cut.low.edge) == (3, Fraction(19, 4))
    text = " ".join(cuts_text(solution).split())
    assert 'the lower cut goes through a hole: its middle is 3/4" from the cut' in text
    assert '4 3/4" from the left cut' in text

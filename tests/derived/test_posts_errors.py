"""Posts, rails and bays that cannot be there: each refusal says where, what, what is allowed and
what to do, in the job's own units."""

from fractions import Fraction

import pytest

from stairs.errors import NoSuchShape
from stairs.guard.solving import solve_section
from stairs.job import Bracket, Job, JobFlight, JobLevel, Panel, PostKind
from stairs.job.key_notes import record_of


def flight(posts, **more):
    """Five risers of 7 in, runs of 10 in, overhang 1 in."""
    parts = {
        "unit_rise": Fraction(7),
        "unit_run": Fraction(10),
        "risers": 5,
        "nosing": Fraction(1),
        "tread_thickness": Fraction(1),
        "bottom_gap": Fraction(1),
    }
    return record_of(JobFlight, **{**parts, **more}, posts=tuple(map(Fraction, posts)))


def refused(section, width="3", base=None, bracket=None, units="in"):
    """The error that a job of one section ends with."""
    job = Job(
        units=units, rules="irc-2021", tape=Fraction(1, 16) if units == "in" else Fraction(1),
        measured_within=Fraction(0),
        panel=Panel(height=Fraction(32), top_rail=Fraction(7, 4), bottom_rail=Fraction(3, 2),
                    baluster=Fraction(3, 4), pitch=Fraction(9, 2)),
        bracket=bracket or Bracket(kind="pivot", pivot_offset=Fraction(1),
                                   rail_setback=Fraction(1, 2)),
        post=PostKind(width=Fraction(width), base=None if base is None else Fraction(base)),
        sections=(section,),
    )  # fmt: skip
    with pytest.raises(NoSuchShape) as caught:
        solve_section(job, 0)
    error = caught.value
    assert error.found and error.allowed and error.remedy
    return str(error)


def test_posts_out_of_order():
    assert refused(flight(["-4", "26", "18", "45"])) == (
        'section 1: posts: post 3 at 18" does not come after post 2 at 26". Post centres grow from '
        "the foot of the stair up. Put them in order, and name each once."
    )


def test_post_named_twice():
    assert refused(flight(["-4", "45", "45"])) == (
        'section 1: posts: post 3 at 45" does not come after post 2 at 45". Post centres grow from '
        "the foot of the stair up. Put them in order, and name each once."
    )


def test_posts_that_overlap():
    assert refused(flight(["-4", "16", "18", "45"])) == (
        'section 1: posts: posts 2 and 3 are 2" apart, centre to centre. Their posts are 3" wide '
        'and would overlap. Keep at least 3" between centres.'
    )


def test_base_plates_that_overlap():
    assert refused(flight(["-4", "0", "45"]), base="5") == (
        'section 1: posts: posts 1 and 2 are 4" apart, centre to centre. Their base plates are 5" '
        'wide and would overlap. Keep at least 5" between centres.'
    )


def test_base_plate_over_a_nosing():
    assert refused(flight(["-4", "12", "45"]), base="5") == (
        'section 1: posts: post 2 at 12": its base plate reaches 1/2" over nosing 2. On tread 2 '
        'its centre may be at x from 12 1/2" to 18 1/2". Move the post.'
    )


def test_base_plate_over_the_edge_of_the_upper_landing():
    assert refused(flight(["-4", "42"]), base="5") == (
        'section 1: posts: post 2 at 42": its base plate reaches 1/2" over the upper landing\'s '
        'edge. On the upper landing its centre may be at x of 42 1/2" or more. Move the post.'
    )


def test_base_plate_through_a_riser():
    assert refused(flight(["-1", "45"]), width="2", base="5") == (
        'section 1: posts: post 1 at -1": its base plate goes 1/2" into riser 1. On the lower '
        'landing its centre may be at x of -1 1/2" or less. Move the post.'
    )


def test_post_without_a_plate_through_a_riser():
    assert refused(flight(["-1", "45"], nosing=Fraction(0))) == (
        'section 1: posts: post 1 at -1": its post goes 1/2" into riser 1. On the lower landing '
        'its centre may be at x of -1 1/2" or less. Move the post.'
    )


def test_post_into_the_nosing_above():
    assert refused(flight(["-4", "19", "45"])) == (
        'section 1: posts: post 2 at 19": the post runs 1/2" into nosing 3, which stands out over '
        'its surface. On tread 2 its centre may be at x from 11 1/2" to 18 1/2". Move the post.'
    )


def test_plate_that_no_tread_has_room_for():
    """A plate of 12 in on treads 11 in deep."""
    assert refused(flight(["-7", "15", "48"]), base="12") == (
        'section 1: posts: post 2 at 15": its base plate reaches 1" over nosing 2. There is no '
        "room for it on tread 2. Take a smaller base plate, or stand the post on a landing."
    )


def test_posts_all_on_the_lower_landing():
    assert refused(flight(["-40", "-4"])) == (
        "section 1: posts: all posts stand on the lower landing, off the stair. The nosings lie "
        'from x = 0 to 40". Measure level from the first nosing to the center of a post; minus: '
        "in front of it."
    )


def test_posts_all_on_the_upper_landing():
    assert refused(flight(["44", "80"])) == (
        "section 1: posts: all posts stand on the upper landing, off the stair. The nosings lie "
        'from x = 0 to 40". Measure level from the first nosing to the center of a post; minus: '
        "in front of it."
    )


def test_lower_post_where_the_rail_is_in_the_ground():
    """7 + 1 in above the landing at x = 0, falling 7 in 10: level with it 11 3/7 in before."""
    assert refused(flight(["-20", "45"])) == (
        'section 1: posts: post 1 at -20": it stands off the stair: the bottom rail would run into '
        'the lower landing before it gets there. Its centre may be at x of -12 7/8" or more. '
        "Move the post nearer to the first riser."
    )


def test_upper_post_where_the_rail_is_over_the_panels_height():
    """The rail climbs 7 in 10 over the upper landing."""
    text = refused(flight(["-4", "120"]))
    assert text.startswith(
        'section 1: posts: post 2 at 120": it stands off the stair: the bottom rail would be '
        "higher over the upper landing than the panel is tall. Its centre may be at x of "
    )
    assert text.endswith(
        "or less. Move the post nearer to the top nosing, and go on with a level section."
    )


def test_rail_below_the_edge_of_a_closed_stringer():
    section = flight(["-4", "45"], stringer="closed", stringer_margin=Fraction(2))
    text = refused(section)
    assert text.startswith(
        "section 1: bottom_gap: the rail's underside is 1\" above the nosing line, the closed "
        "stringer's edge 2\". The rail"
    )
    assert 'Give a bottom_gap above 2"' in text


def test_rail_in_the_ground_before_it_comes_to_a_post_on_a_tread():
    """The nosing line is 7 + 13 1/2 x 7/10 = 16.45 in high at the face of a post at 12."""
    section = flight(["12", "45"], bottom_gap=Fraction(-17), side_gap=Fraction(2))
    assert refused(section) == (
        "section 1: bottom_gap: the rail's underside is 17\" below the nosing line and would run "
        "into the lower landing before it gets to post 1. The rail clears the landing at post 1's "
        'face. Give a bottom_gap of -16 7/16" or more, or write bottom_gap = "auto".'
    )
    strip = flight(["12", "45"], bottom_gap=Fraction(-16), side_gap=Fraction(2), filler=Fraction(1))
    assert 'the filler under the rail is 17" below the nosing line' in refused(strip)
    assert 'Give a bottom_gap of -15 7/16" or more' in refused(strip)


def test_bay_too_short_for_its_brackets():
    """4 in between posts less 2 for the pins and 2 x 3 for the setbacks leaves nothing."""
    level = record_of(
        JobLevel, span=Fraction(7), posts=(Fraction(0), Fraction(7)), bottom_gap=Fraction(2)
    )
    bracket = Bracket(kind="pivot", pivot_offset=Fraction(1), rail_setback=Fraction(3))
    assert refused(level, bracket=bracket) == (
        'section 1: bay 1: the clear bay of 4" is too short for its two brackets, which take 8". A '
        "bay is longer than its brackets. Move the posts apart, leave one out, or look again at "
        "the keys of [bracket]."
    )


def test_bay_too_short_for_plumb_cut_rails():
    level = record_of(
        JobLevel, span=Fraction(7), posts=(Fraction(0), Fraction(7)), bottom_gap=Fraction(2)
    )
    bracket = Bracket(kind="plumb-cut", end_clearance=Fraction(2))
    assert (
        'bay 1: the clear bay of 4" is too short for its two brackets, which take 4".'
        in refused(level, bracket=bracket)
    )


def test_errors_speak_the_units_of_the_job():
    section = flight(
        ["-100", "300", "200", "1100"],
        unit_rise=Fraction(180),
        unit_run=Fraction(250),
        nosing=Fraction(25),
        tread_thickness=Fraction(40),
    )
    assert refused(section, width="75", units="mm").startswith(
        "section 1: posts: post 3 at 200 mm does not come after post 2 at 300 mm."
    )


def test_section_is_named_in_errors():
    text = refused(flight(["-4", "45", "45"], name="lower flight"))
    assert text.startswith("section 1 (lower flight): posts: post 3")


def test_gap_left_open_cannot_be_solved_without_choosing_it():
    """Only the window chooses a gap; solving with none is a fault of the caller."""
    section = flight(["-4", "45"], bottom_gap="auto")
    with pytest.raises(TypeError, match="a bottom gap has to be chosen before a section is solved"):
        refused(section)


def solved(section, **more):
    job = Job(
        units="in", rules="irc-2021", tape=Fraction(1, 16), measured_within=Fraction(0),
        panel=Panel(height=Fraction(32), top_rail=Fraction(7, 4), bottom_rail=Fraction(3, 2),
                    baluster=Fraction(3, 4), pitch=Fraction(9, 2)),
        bracket=Bracket(kind="plumb-cut"), post=PostKind(width=Fraction(3), **more),
        sections=(section,),
    )  # fmt: skip
    return solve_section(job, 0)


@pytest.mark.parametrize("x", ["12 1/2", "18 1/2"])
def test_both_ends_of_the_range_in_a_refusal_are_taken(x):
    """What the message of a plate over nosing 2 allows is allowed."""
    posts = ["-4", str(sum(map(Fraction, x.split()))), "45"]
    assert solved(flight(posts), base=Fraction(5)).posts[1].stands_on == "tread 2"


@pytest.mark.parametrize("posts", [["-20", "45"], ["-4", "120"]])
def test_limit_in_a_refusal_is_itself_taken(posts):
    """A post moved to the very place that the message allows is accepted."""
    allowed = refused(flight(posts)).split("may be at x of ")[1].split('"')[0]
    sign = -1 if allowed.startswith("-") else 1
    place = str(sign * sum(map(Fraction, allowed.lstrip("-").split())))
    assert solved(flight([place, posts[1]] if posts[0] == "-20" else [posts[0], place])).posts


def test_a_bottom_gap_taller_than_the_panel_is_told_of_the_gap_and_not_of_a_post():
    """No place of the post would help.

    The panel is 32 - 1 5/8 between its rails' centre lines and 1 5/8 sqrt(149)/10 beside, plumb.
    """
    text = refused(flight(["-4", "45"], bottom_gap=Fraction(100)))
    assert text.startswith(
        'section 1: bottom_gap: 100" lifts the bottom rail over the nosings by more than the panel '
        'is tall, which is about 32 3/8", plumb. '
    )
    assert text.endswith(
        "A bottom gap is a few inches at most, and less where a ball must not pass it. Measure it "
        'again, or write bottom_gap = "auto".'
    )

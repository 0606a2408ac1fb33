"""Posts as they stand, as a job file tells of them: what is read, what is refused and how."""

from fractions import Fraction

import pytest
from job_tables import GOOD, refusal, text_of

from stairs.errors import JobError, MeasurementsContradict
from stairs.guard.left_line import guard_job
from stairs.guard.solving import solve
from stairs.job import job_from_mapping, job_from_text
from stairs.job.quick_look import job_to_mapping

LISTED = {"section.posts": '["-4", "56"]'}


def built(*tables, listed=LISTED, more=""):
    told = "".join(f"\n[[section.as_built]]\n{keys}\n" for keys in tables)
    return f"{text_of(GOOD, listed)}\n{more}\n{told}"


def test_what_was_measured_of_a_post_is_read_exactly_and_written_out_again():
    job = job_from_text(built('post = 2\nx = "55 7/8"\nsurface = "43 3/8"'))
    (one,) = job.sections[0].as_built
    assert (one.post, one.hand, one.x) == (2, "both", Fraction(447, 8))
    assert one.surface == Fraction(347, 8)
    assert job_from_mapping(job_to_mapping(job)).sections == job.sections


@pytest.mark.parametrize(
    ("tables", "place", "words"),
    [
        (["post = 3\nx = 55"], "as_built 1: post", "it has 2"),
        (["post = 0\nx = 55"], "as_built 1: post", "count from 1"),
        (["x = 55"], "as_built 1: post", "missing"),
        (["post = 1"], "as_built 1", "tells nothing of post 1"),
        (['post = 1\nx = -4\nhand = "left"'], "as_built 1: hand", "on the right hand"),
        (["post = 1\nplace = 55"], "as_built 1: place", "is not a key of [[section.as_built]]"),
        (["post = 1\nx = -4"] * 2, "as_built 2: post", "of which as_built 1 tells already"),
        (['post = 1\nx = "far"'], "as_built 1: x", '"far"'),
        (["post = 1\nclear_low = 0"], "as_built 1: clear_low", "above 0"),
        (["post = 1\nlean = 60"], "as_built 1: lean", "60"),
    ],
)
def test_each_message_names_the_table_and_what_is_wrong(tables, place, words):
    error = refusal(built(*tables))
    assert error.where == f"stair.toml: section 1: {place}"
    assert words in str(error)


@pytest.mark.parametrize(
    ("word", "words"),
    [
        ("post 3", "it has 2 posts"),
        ("bay 2", "it has 1 bay"),
        ("bay 1 left", "on the right hand"),
        ("post 1 top", "no rails of its own"),
        ("the top rail", "is no piece of a section"),
    ],
)
def test_a_piece_that_is_cut_already_is_one_of_the_section(word, words):
    error = refusal(built(listed={**LISTED, "section.done": f'["bay 1", "{word}"]'}))
    assert error.where == "stair.toml: section 1: done 2"
    assert words in str(error)


def test_posts_that_are_left_to_be_placed_are_told_all_or_none():
    text = built("post = 1\nx = -4", listed={})
    with pytest.raises(JobError, match=r"tells the x of 1 post.*Give the x of every post"):
        guard_job(job_from_text(text))
    all_told = guard_job(job_from_text(built("post = 1\nx = -4", "post = 2\nx = 56", listed={})))
    assert all_told.sections[0].posts == (-4, 56)


def test_what_is_clear_after_the_last_post_is_refused():
    text = built("post = 2\nclear_low = 57")
    with pytest.raises(JobError, match="clear after post 2, the last one"):
        guard_job(job_from_text(text))


def test_a_post_that_two_sections_share_stands_on_one_surface():
    deck = '[[section]]\nspan = 60\nposts = [0, 60]\n[[section.as_built]]\npost = 1\nsurface = "{}"'
    told = built('post = 2\nsurface = "43 1/4"')
    with pytest.raises(MeasurementsContradict, match='they differ by 1/2"'):
        guard_job(job_from_text(told + deck.format("1/4")))
    alone = guard_job(job_from_text(built() + deck.format("-1/4")))
    assert [one.surface for one in alone.sections[0].as_built] == [Fraction(173, 4)]


def test_hands_that_differ_where_no_width_says_how_a_turn_goes_are_refused():
    turned = (
        '[[section]]\nspan = 60\nposts = [0, 60]\nhand = "both"\nturn = 90\n'
        '[[section.as_built]]\npost = 2\nx = 61\nhand = "left"'
    )
    text = built(listed={**LISTED, "section.hand": '"both"'}) + turned
    with pytest.raises(JobError, match="section 2: as_built: tells the two hands apart"):
        guard_job(job_from_text(text))


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ('post = 2\nsurface = "-1/4"', 'differ by 43 3/4".*write the height, 43 1/4"'),
        ("post = 1\nsurface = 30", "Measure it again, or correct the steps"),
        ('post = 1\nlean = "12 in"', "leans by .* at most"),
    ],
)
def test_what_no_post_that_is_set_can_be_is_asked_back(keys, words):
    job = guard_job(job_from_text(built(keys, listed={**LISTED, "section.bottom_gap": "1"})))
    with pytest.raises(JobError, match=words):
        solve(job)

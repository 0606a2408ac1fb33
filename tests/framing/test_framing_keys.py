"""The keys of ``[framing]`` and of ``max_spacing``: how they are read, and each refusal."""

from fractions import Fraction

import pytest

from stairs.errors import JobError, NoSuchShape
from stairs.job import Framing, job_from_mapping, job_from_text, job_to_mapping

F = Fraction
HEAD = """
units = "{units}"
[panel]
height = "34 in"
top_rail = "1 3/4 in"
bottom_rail = "1 1/2 in"
baluster = "3/4 in"
pitch = "4 1/2 in"
[bracket]
kind = "pivot"
pivot_offset = "1 1/8 in"
rail_setback = "3/8 in"
[post]
width = "3 in"
base = "5 in"
"""
DECK = """
[framing]
direction = "across"
joist_spacing = "16"
first_joist = "-4"
joist_thickness = "1 1/2"
board_width = "5 1/2"
board_gap = "1/8"
"""
RUN = """
[[section]]
span = "96"
posts = ["0", "48", "96"]
"""


def read(deck=DECK, run=RUN, units="in", head=HEAD):
    return job_from_text(head.format(units=units) + deck + run, "deck.toml")


def changed(key, value, deck=DECK):
    """The table with one key taken out, or given another value."""
    lines = [line for line in deck.splitlines() if not line.startswith(f"{key} =")]
    return "\n".join([*lines, *([] if value is None else [f"{key} = {value}"])])


def test_framing_holds_for_every_level_run():
    job = read(run=RUN + RUN)
    wanted = Framing(direction="across", joist_spacing=F(16), first_joist=F(-4),
                     joist_thickness=F(3, 2), board_width=F(11, 2), board_gap=F(1, 8),
                     bolt_inset=F(3, 4), bolt_diameter=F(1, 2))  # fmt: skip
    assert [section.framing for section in job.sections] == [wanted, wanted]


def test_own_keys_of_a_run_stand_over_those_of_the_job():
    own = '[section.framing]\ndirection = "along"\nfirst_joist = "3/4"\n'
    first, second = read(run=RUN + RUN + own).sections
    assert (first.framing.direction, first.framing.first_joist) == ("across", -4)
    assert (second.framing.direction, second.framing.first_joist) == ("along", F(3, 4))
    assert second.framing.joist_spacing == 16


def test_run_alone_may_have_framing():
    own = DECK.replace("[framing]", "[section.framing]")
    first, second = read("", RUN + RUN + own).sections
    assert first.framing is None
    assert second.framing.joist_spacing == 16


def test_what_framing_leaves_out_is_assumed_and_listed():
    job = read()
    assert [line for line in job.assumed if "framing" in line] == [
        'section 1: framing: boards run across the joists (board_direction = "across")',
        'section 1: framing: bolt_inset 3/4"',
        'section 1: framing: bolt_diameter 1/2"',
    ]
    metric = read(DECK.replace('"16"', "400").replace('"-4"', "-100").replace('"1 1/2"', "38")
                  .replace('"5 1/2"', "140").replace('"1/8"', "5"),
                  RUN.replace('"0", "48", "96"', "0, 1200, 2400").replace('"96"', "2400"),
                  "mm")  # fmt: skip
    assert metric.sections[0].framing.bolt_inset == 20
    assert metric.sections[0].framing.bolt_diameter == 12


def test_framing_written_out_reads_back():
    job = read()
    again = job_from_mapping(job_to_mapping(job), job.where)
    assert again.sections == job.sections
    assert again.post == job.post


KEYS = [
    (changed("joists", '"16"'), "framing: joists",
     '"joists" is not a key of [framing]. The nearest known key is "joist_spacing"'),
    (changed("colour", '"16"'), "framing: colour",
     '"colour" is not a key of [framing]. Known keys: board_direction, board_gap, board_width, '
     "bolt_diameter, bolt_inset, direction, edge_to_post, first_board, first_joist, joist_depth, "
     "joist_spacing, joist_thickness. Use the one that is meant"),
    (changed("direction", None), "framing: direction",
     "is missing. It is which way the joists run, seen along the guard. Choose it and add it under "
     '[framing], as in direction = "across"'),
    (changed("direction", '"acros"'), "framing: direction",
     '"acros" cannot be used. direction is "across" or "along". The nearest is "across"'),
    (changed("joist_spacing", None), "framing: joist_spacing",
     "is missing. It is the distance between joist centres. Measure it (Js in the picture that "
     'stairs form draws) and add it under [framing], as in joist_spacing = "16"'),
    (changed("joist_spacing", '"0"'), "framing: joist_spacing",
     '"0". A length above 0 is needed. Give the distance between joist centres'),
    (changed("joist_spacing", "400"), "framing: joist_spacing",
     "400 in or 400 mm?"),
    (changed("first_joist", None), "framing: first_joist",
     "is missing. It is where the first joist's centre lies: from the first post's centre where"),
    (changed("first_joist", '"four"'), "framing: first_joist", '"four"'),
    (changed("joist_thickness", '"16"'), "framing: joist_thickness",
     '"16" leaves no room between joists 16" apart, centre to centre. A joist is thinner than '
     "their spacing. Measure the spacing from centre to centre of neighbouring joists"),
    (changed("board_gap", None), "framing: board_gap",
     "is missing beside board_width. It is the gap between two deck boards; together they say "
     'where the gaps lie. Measure it and add it, as in board_gap = "1/8"'),
    (changed("board_width", None), "framing: board_width",
     "is missing beside board_gap. It is the width of a deck board"),
    (changed("board_gap", '"5 1/2 in"'), "framing: board_gap",
     '"5 1/2 in" is not narrower than the boards, 5 1/2". A gap between boards is narrower than a '
     "board. Measure the clear gap between two boards"),
    (changed("first_board", '"1"', changed("board_gap", None, changed("board_width", None))),
     "framing: first_board",
     "stands without board_width and board_gap. The first board alone does not say where the gaps "
     'lie. Add both, as in board_width = "5 1/2", or leave first_board out'),
    (changed("direction", '"along"'), "framing: first_joist",
     '"-4" is negative. Joists along the guard are measured from the deck edge inwards. Give the '
     "distance from the deck edge to the first joist's centre"),
    (changed("bolt_inset", '"0"'), "framing: bolt_inset", '"0". A length above 0 is needed'),
    (changed("board_direction", '"slanted"'), "framing: board_direction",
     '"slanted" cannot be used. board_direction is "across" or "along"'),
]  # fmt: skip


@pytest.mark.parametrize(("deck", "place", "words"), KEYS)
def test_each_message_names_the_key_and_what_to_do(deck, place, words):
    with pytest.raises(JobError) as caught:
        read(deck)
    message = str(caught.value)
    assert message.startswith(f"deck.toml: {place}: ")
    assert words in message


@pytest.mark.parametrize(("deck", "place", "words"), KEYS)
def test_each_message_names_the_section_where_the_key_stands_there(deck, place, words):
    own = deck.replace("[framing]", "[section.framing]")
    with pytest.raises(JobError) as caught:
        read("", RUN + own)
    message = str(caught.value)
    assert message.startswith(f"deck.toml: section 1: {place}: ")
    assert words.replace("[framing]", "[section.framing]") in message


def test_job_framing_that_is_no_table_is_refused():
    with pytest.raises(JobError, match=r"framing: 16 is not a table.*under \[framing\]"):
        job_from_text("framing = 16\n" + HEAD.format(units="in") + RUN)


def test_framing_under_a_flight_is_refused():
    flight = "\n[[section]]\nrise = 28\nrun = 30\ntreads = 3\n[section.framing]\n"
    with pytest.raises(JobError) as caught:
        read("", flight)
    assert 'section 1: framing: "framing" is not a key of [[section]]' in str(caught.value)
    assert 'It belongs to a section of kind "level"' in str(caught.value)


# --------------------------------------------------------------------------- greatest spacing


def post_line(line):
    return HEAD.replace('base = "5 in"', f'base = "5 in"\n{line}')


def test_greatest_spacing_is_read_and_not_listed():
    job = read(run='[[section]]\nspan = "96"\n', head=post_line('max_spacing = "48"'))
    assert job.post.max_spacing == 48
    assert not any("max_spacing" in line for line in job.assumed)


def test_greatest_spacing_is_assumed_where_posts_are_to_be_placed():
    line = 'post: max_spacing 72" on centre (common practice, no source)'
    assert line in read(run='[[section]]\nspan = "96"\n').assumed
    assert line not in read().assumed


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ('max_spacing = "5 in"', '"5 in" leaves no room between base plates 5" wide. Posts stand '
         "farther apart, centre to centre, than they are wide. Give the greatest distance "
         "that the maker"),
        ('max_spacing = "0"', '"0". A length above 0 is needed'),
        ("max_spacing = 1800", "1800 in or 1800 mm?"),
    ],
)  # fmt: skip
def test_each_refusal_of_a_greatest_spacing(line, words):
    with pytest.raises(JobError) as caught:
        read(head=post_line(line))
    assert str(caught.value).startswith("deck.toml: post: max_spacing: ")
    assert words in str(caught.value)


def test_greatest_spacing_of_posts_without_plates_is_held_against_their_width():
    head = post_line('max_spacing = "3 in"').replace('base = "5 in"\n', "")
    with pytest.raises(NoSuchShape, match='"3 in" leaves no room between posts 3" wide'):
        read(head=head)

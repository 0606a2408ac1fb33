"""A post that its rails meet askew, against the square and the ray in plan."""

import csv
import io

import pytest
from shapely import affinity
from shapely.geometry import LineString, box

from stairs.drawing import draw_elevation
from stairs.drawing.paper.sheet_sizes import INCH_SCALES
from stairs.drawing.paper.view import View
from stairs.drawing.sets.shop.posts import poles
from stairs.drawing.sets.template.faces import _rail_edges
from stairs.drawing.sets.template.seats import _offsets, seats
from stairs.drawing.views.details.ends import end_detail
from stairs.job import job_from_text
from stairs.lists.cut_list import cut_list
from stairs.report.csv_lists import list_csv
from stairs.solution import solution_for

JOB = """
units = "in"
rules = "irc-2021"
tape = "1/16"
[panel]
height = "34"
top_rail = "1 3/4"
bottom_rail = "1 1/2"
rail_width = "1 1/2"
baluster = "3/4"
pitch = "4 1/2"
stock = ["72", "96"]
[bracket]
{bracket}
[post]
width = "3"
base = "5"
[[section]]
kind = "level"
span = 60
bays = 1
bottom_gap = "3"
[[section]]
turn = {turn}
{second}
"""
PIVOT = 'kind = "pivot"\npivot_offset = "1 1/8"\nrail_setback = "3/8"'
PLUMB = 'kind = "plumb-cut"\nend_clearance = "1/8"'
LEVEL = 'kind = "level"\nspan = 51\nbays = 1\nbottom_gap = "3"'
FLIGHT = """kind = "flight"
unit_rise = "7 1/4"
unit_run = "10 1/2"
risers = 5
nosing = "1"
tread_thickness = "1"
posts = ["-4", "47"]
bottom_gap = "1/2"
"""
TURNS = [45, -30, 20, 120]


def solved(turn, bracket=PIVOT, second=LEVEL):
    return solution_for(job_from_text(JOB.format(turn=turn, bracket=bracket, second=second)), False)


def leaves(turn, width=3.0):
    """How far from a post's centre a rail leaves it: the post along x, the rail turned."""
    ray = affinity.rotate(LineString([(0, 0), (99, 0)]), turn, origin=(0, 0))
    return ray.intersection(box(-width / 2, -width / 2, width / 2, width / 2)).length


@pytest.mark.parametrize("turn", TURNS)
def test_faces_are_set_out_where_the_rails_meet_them(turn):
    one = solved(turn)
    rows = list(csv.DictReader(io.StringIO(list_csv(one, "set-out"))))
    first, last = [row for row in rows if row["section"] == "2"]
    assert float(first["upper_face_in"]) == pytest.approx(leaves(turn), abs=1 / 32)
    assert float(first["lower_face_in"]) == pytest.approx(-leaves(turn), abs=1 / 32)
    clear = float(last["lower_face_in"]) - float(first["upper_face_in"])
    assert clear == pytest.approx(51 - leaves(turn) - 1.5, abs=1 / 16)
    assert one.guard.sections[1].bays[0].clear == pytest.approx(51 - leaves(turn) - 1.5)


@pytest.mark.parametrize("bracket, offset", [(PIVOT, 1.125), (PLUMB, 0.125)])
def test_templates_and_details_keep_the_pin_its_offset_from_the_face(bracket, offset):
    """A pin square off the face by q lies q / cos 45° from it along the rail."""
    one = solved(45, bracket, FLIGHT)
    along = offset * 2**0.5
    pivot = offset > 1
    first, last = (
        f"{'pin' if pivot else 'plumb cut'} {words}"
        for words in (
            (
                '1 1/8" off the face, 1 9/16" along the rail, which is turned 45° in plan',
                '1 1/8" off the face; rail ends 3/8" past the pin',
            )
            if pivot
            else (
                '1/8" off the face, 3/16" along the rail, which is turned 45° in plan',
                '1/8" off the face',
            )
        )
    )
    for seat, where in seats(one).items():
        askew = where[0].split(" top")[0].split(" bottom")[0].endswith("toward 2.2")
        assert seat.offset / 25.4 == pytest.approx(along if askew else offset)
        assert _offsets(one.job, seat)[0] == (first if askew else last)
    name = "pivot offset" if pivot else "end clearance"
    for part in one.sections:
        for upper in (False, True):
            detail = end_detail(one, part, upper)
            made = detail.dimensions(View(INCH_SCALES[2], "in"), (0.0, 0.0, 100.0, 100.0))
            [value] = [one.value for one in made if one.name == name]
            askew = part.section.number == 2 and not upper
            assert value == pytest.approx(along if askew else offset)
            assert ("square off the face" in detail.note) == askew


def test_rail_edges_meet_the_face_of_an_askew_post():
    """At 45° a rail leaves a 3 in post at 3 / √2 from its centre; the rake is 7 1/4 in 10 1/2."""
    one = solved(45, PLUMB, FLIGHT)
    pole = next(pole for pole in poles(one, cut_list(one)) if pole.also)
    slope = 7.25 / 10.5
    face = -4 + 3 / 2**0.5
    # the bottom rail's underside: 1/2 over the nosing line, which passes one riser over x = 0
    under = 7.25 + face * slope + 0.5
    found = [edge / 25.4 for edge in _rail_edges(one, pole, pole.right, "up")]
    assert found[0] == pytest.approx(under, abs=1 / 16)
    plumb = (1 + slope**2) ** 0.5
    assert found[1] - found[0] == pytest.approx(1.5 * plumb)


@pytest.mark.parametrize("turn", TURNS)
def test_the_elevation_is_cut_along_the_rail(turn):
    drawn = draw_elevation(solved(turn, PLUMB), section=2)
    strokes = [one for one in drawn.primitives if hasattr(one, "points")]
    post = next(one for one in strokes if one.group == "post" and one.closed)
    low, high = (f(drawn.view.back(point)[0] for point in post.points) for f in (min, max))
    assert (low, high) == (pytest.approx(-leaves(turn)), pytest.approx(leaves(turn)))
    rail = next(one for one in strokes if one.group == "rail")
    start = min(drawn.view.back(point)[0] for point in rail.points)
    assert (start - high) / leaves(turn) == pytest.approx(0.125 / 1.5)  # as far askew

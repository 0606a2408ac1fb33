"""The screw holes of a bracket's plate: read exactly, and every refusal in its words."""

from __future__ import annotations

import json
from fractions import Fraction

import pytest

from stairs.errors import JobError, NoSuchShape
from stairs.job import job_from_mapping, job_to_mapping

INCH = {
    "units": "in",
    "panel": {"height": "32", "top_rail": "1 3/4", "bottom_rail": "1 1/2", "baluster": "3/4",
              "pitch": "4 1/2"},
    "bracket": {"kind": "pivot", "pivot_offset": "1 1/8", "rail_setback": "3/8"},
    "post": {"width": "3"},
    "section": [{"kind": "flight", "rise": "43 1/2", "run": "52 1/2", "treads": 5}],
}  # fmt: skip


def job_with(**keys):
    return job_from_mapping({**INCH, "bracket": {**INCH["bracket"], **keys}}, "stair.toml")


def test_holes_are_read_exactly_and_in_their_order():
    job = job_with(holes=[["1/2", "1 1/4"], ["-13 mm", "0.75"], [0, -1]], hole_diameter="1/4")
    assert job.bracket.holes == (
        (Fraction(1, 2), Fraction(5, 4)),
        (Fraction(-130, 254), Fraction(3, 4)),
        (Fraction(0), Fraction(-1)),
    )
    assert job.bracket.hole_diameter == Fraction(1, 4)


def test_a_job_without_them_assumes_nothing():
    job = job_with()
    assert job.bracket.holes == () and job.bracket.hole_diameter is None
    assert not [text for text in job.assumed if "hole" in text]


def test_they_are_written_out_and_read_back():
    job = job_with(holes=[["1/2", "3/4"], ["-1/3", "-3/4"]], hole_diameter="7 mm")
    written = job_to_mapping(job)
    assert written["bracket"]["holes"][0] == ["1/2 in", "3/4 in"]
    again = job_from_mapping(json.loads(json.dumps(written)), "stair.toml")
    assert again.bracket == job.bracket


def test_a_hole_may_touch_the_edge_of_the_face_and_holes_may_be_a_hair_apart():
    job = job_with(holes=[["1 3/8", "0"], ["1 3/8", "0.2501"]], hole_diameter="1/4")
    assert len(job.bracket.holes) == 2


PAIR = (
    "A hole is a pair: level from the middle of the plate, right positive, then plumb from the "
    "pin, up positive. "
)
REFUSALS = [
    ({"holes": "1/2"}, "bracket: holes", '"1/2" is not a list. Holes are a list of pairs in square '
     'brackets. Write one hole as in [["1/2", "-3/4"]], and more of them with commas between'),
    ({"holes": {"x": 1}}, "bracket: holes", "is not a list. Holes are a list of pairs"),
    ({"holes": []}, "bracket: holes", f"is an empty list. {PAIR}List every hole of the plate, or "
     "leave holes out"),
    ({"holes": [["0", str(n)] for n in range(21)]}, "bracket: holes", "is a list of 21. At most 20 "
     "are read. List the holes of one bracket's plate"),
    ({"holes": ["1/2", "1"]}, "bracket: holes 1", f'"1/2" is not a pair. {PAIR}Write it as in '
     '["1/2", "-3/4"]'),
    ({"holes": [["0", "1"], ["0", "1", "2"]]}, "bracket: holes 2", "a list of 3 is not a pair"),
    ({"holes": [["0", "1"], ["0", "one"]]}, "bracket: holes 2", '"one" is not a length'),
    ({"holes": [["0", True]]}, "bracket: holes 1", "true is not a length"),
    ({"holes": [["1 1/2", "0"]], "hole_diameter": "1/8"}, "bracket: holes 1", 'its edge lies '
     '1 9/16" from the middle of the plate, off the post\'s face. The face reaches 1 1/2" to '
     "either side of its middle. Measure level from the pin to the middle of the hole"),
    ({"holes": [["0", "1"], ["-1.51", "0"]]}, "bracket: holes 2", 'its edge lies 1.51" from'),
    ({"holes": [["0", "1"], ["1/2", "1"], ["0", "1.0"]]}, "bracket: holes 3", "is in the same "
     "place as hole 1. Every hole is listed once. Leave one of the two out, or measure it again"),
    ({"holes": [["0", "1"], ["3/16", "5/4"]], "hole_diameter": "5/16"}, "bracket: holes 2",
     'leaves nothing between it and hole 1, both 5/16" wide. Holes stand farther apart, centre to '
     "centre, than they are wide. Measure both again, and the hole's diameter"),
    ({"holes": [["0", "15 in"], ["0", "-15 in"]], "hole_diameter": "3/8"}, "bracket: holes",
     'reach 30 3/8" from the lowest to the highest, and the pins of the two rails are only 30 3/8" '
     "apart. The holes of the top rail's bracket lie over those of the bottom rail's. Measure "
     "plumb from the pin to the middle of each hole"),
    ({"holes": [["0", "1"]], "hole_diameter": "0"}, "bracket: hole_diameter", 'is "0". A length '
     "above 0 is needed. Give the diameter of these holes"),
    ({"holes": [["0", "1"]], "hole_diameter": "-1/4"}, "bracket: hole_diameter", '"-1/4" is '
     "negative. A length above 0"),
    ({"holes": [["0", "1"]], "hole_diameter": "wide"}, "bracket: hole_diameter", '"wide" is not a'),
    ({"hole_diameter": "1/4"}, "bracket: hole_diameter", "stands without holes. It is the size of "
     'the holes that are listed. List them, as in holes = [["1/2", "-3/4"]], or leave '
     "hole_diameter out"),
    ({"hole": [["0", "1"]]}, "bracket: hole", 'The nearest known key is "holes"'),
]  # fmt: skip


@pytest.mark.parametrize(("keys", "place", "words"), REFUSALS)
def test_every_refusal_names_place_and_remedy(keys, place, words):
    with pytest.raises(JobError) as caught:
        job_with(**keys)
    assert str(caught.value).startswith(f"stair.toml: {place}: ")
    assert words in str(caught.value)


def test_a_plate_that_cannot_be_is_no_such_shape():
    with pytest.raises(NoSuchShape):
        job_with(holes=[["2", "0"]])


def test_a_metric_job_is_told_in_millimetres():
    metric = {**INCH, "units": "mm", "post": {"width": 75}, "panel": {
        "height": 900, "top_rail": 45, "bottom_rail": 40, "baluster": 20, "pitch": 110},
        "bracket": {"kind": "plumb-cut", "end_clearance": 3, "holes": [[40, 0]]},
        "section": [{"kind": "level", "span": 3000}]}  # fmt: skip
    with pytest.raises(NoSuchShape, match="its edge lies 40 mm from the middle"):
        job_from_mapping(metric)
    metric["bracket"]["holes"] = [40]
    with pytest.raises(JobError, match=r"40 is not a pair.*as in \[12, -18\]"):
        job_from_mapping(metric)

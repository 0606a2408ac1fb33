"""Base plates and edges: every edge that the job tells is kept from, on flights and level runs.

A plate of 5 reaches 2 1/2 from the middle of its post, so a post whose middle stands 5 1/4 in from
the edge of the deck leaves 2 3/4 beside its plate, and one that stands 1 in hangs 1 1/2 over.
"""

from __future__ import annotations

from math import cos, radians, sin

import pytest
from guards import base

from stairs.job import job_from_mapping
from stairs.remedies.remedies import apply
from stairs.report.result import result_of
from stairs.report.screen import check_text
from stairs.solution import solution_for

RUN = {"kind": "level", "span": "126 1/2", "bottom_gap": "2 1/2", "drop": "36"}
DECK = {"direction": "across", "joist_spacing": "16", "first_joist": "4",
        "joist_thickness": "1 1/2"}  # fmt: skip


def deck(*sections, edge=None, post=None):
    mapping = base("in") | {"section": list(sections), "measured_within": "0"}
    mapping["post"] = mapping["post"] | (post or {})
    if edge is not None:
        mapping["framing"] = DECK | {"edge_to_post": edge}
    return job_from_mapping(mapping)


def edges_of(job):
    return [
        one for one in result_of(solution_for(job))["checks"] if one["id"].endswith("edge-distance")
    ]


@pytest.mark.parametrize(
    ("edge", "left", "verdict"),
    [("1", -1.5, "fail"), ("5 1/4", 2.75, "pass"), ("5 3/16", 2.6875, "fail"), ("6", 3.5, "pass")],
)
def test_the_outer_edge_of_a_level_run(edge, left, verdict):
    job = deck(RUN, edge=edge)
    (told,) = edges_of(job)
    (section,) = result_of(solution_for(job, with_remedies=False))["sections"]
    assert {post["plate_edge"] for post in section["posts"]} == {left}
    assert (told["value"], told["limit"], told["verdict"]) == (left, 2.75, verdict)
    assert told["where"] == "post 1"


def test_a_plate_over_the_edge_fails_whether_a_distance_is_asked_for_or_not():
    job = deck(RUN, edge="1", post={"edge_distance": "0"})
    (told,) = edges_of(job)
    assert (told["value"], told["limit"], told["verdict"]) == (-1.5, 0, "fail")


def test_a_corner_keeps_from_both_edges():
    """Two runs share the corner post, each with an edge of its own."""
    far = RUN | {"turn": 90, "framing": {"edge_to_post": "5"}}
    checks = edges_of(deck(RUN, far, edge="6"))
    assert [(one["section"], one["value"], one["verdict"]) for one in checks] == [
        (1, 3.5, "pass"), (2, 2.5, "fail"),
    ]  # fmt: skip


def test_at_an_askew_corner_the_corner_of_the_plate_counts():
    """The post stands square to the first run; of the second one its plate is turned by 30."""
    turned = RUN | {"turn": 30}
    first, second = edges_of(deck(RUN, turned, edge="6"))
    reach = 2.5 * (cos(radians(30)) + sin(radians(30)))  # half the plate, seen along the edge
    assert first["value"] == 3.5
    assert second["value"] == pytest.approx(6 - reach, abs=1e-12)
    assert (second["where"], second["verdict"]) == ("post 1", "fail")


@pytest.mark.parametrize("hand", ["right", "left", "both"])
def test_both_hands_keep_from_their_edge(hand):
    both = deck(RUN | {"hand": hand, "width": "48"}, edge="1")
    assert {one["verdict"] for one in edges_of(both)} == {"fail"}
    assert not solution_for(both, with_remedies=False).ok


def test_the_stair_head_keeps_from_its_nosing():
    """The upper landing's nosing lies at 5 runs of 10 1/2: 60 1/4 - 52 1/2 - 2 1/2 = 5 1/4."""
    (told,) = edges_of(deck(base("in")["section"][0]))
    assert (told["value"], told["where"], told["verdict"]) == (5.25, "post 2", "pass")


def test_an_edge_that_is_not_told_is_asked_for():
    job = deck(RUN)
    (told,) = edges_of(job)
    assert (told["value"], told["limit"], told["verdict"]) == (None, 2.75, "n/a")
    assert told["where"] == "edge not given: measure edge to middle of post"
    assert "edge not given: measure" in check_text(solution_for(job)).split("For information")[1]


def test_posts_without_a_plate_keep_the_distance_that_is_asked_for():
    """A post 3 wide reaches 1 1/2 from its middle."""
    mapping = base("in") | {"section": [RUN], "framing": DECK | {"edge_to_post": "4"}}
    del mapping["post"]["base"]
    (told,) = edges_of(job_from_mapping(mapping))
    assert (told["value"], told["verdict"]) == (2.5, "fail")


def test_posts_beside_the_surface_keep_from_no_edge():
    mapping = base("in") | {"section": [RUN]}
    mapping["post"] = {"width": "3", "below": "7", "edge_distance": "2 3/4"}
    assert edges_of(job_from_mapping(mapping)) == []


def test_measuring_error_of_the_edge_makes_it_marginal():
    """A sixteenth nearer to the edge, and a plate a sixteenth larger: 2 3/4 - 1/16 - 1/32."""
    mapping = base("in") | {"section": [RUN], "framing": DECK | {"edge_to_post": "5 1/4"}}
    (told,) = edges_of(job_from_mapping(mapping))
    assert (told["value"], told["verdict"]) == (2.75, "marginal")
    assert told["worst"] == pytest.approx(2.75 - 1 / 16 - 1 / 32)


def test_a_run_too_near_its_edge_is_set_in():
    job = deck(RUN, edge="1")
    (part,) = solution_for(job).sections
    remedy = part.remedies["post-edge-distance"][0]
    assert remedy.text.startswith('Set the posts of this run 5 1/4" in from the edge')
    assert edges_of(apply(job, remedy, 0))[0]["value"] == 2.75

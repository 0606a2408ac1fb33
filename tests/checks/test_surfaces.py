"""What a level run is on, a landing of the stair or a deck: by the whole job, or as the job says.

Approved Document K, Diagram 3.1: guarding of stairs and landings in a dwelling 900 mm, of external
balconies 1100 mm.  BS 6180 table 2: landings 0.36 kN/m, balconies and edges of decks 0.74.
"""

from __future__ import annotations

import pytest
from guards import base

from stairs.errors import JobError
from stairs.job import job_from_mapping
from stairs.lists.loads import demands
from stairs.report.result import result_of
from stairs.report.screen import check_text
from stairs.solution import solution_for

FLIGHT = {"kind": "flight", "rise": "680", "run": "780", "treads": 3, "nosing": "20",
          "tread_thickness": "40", "stringer": "closed", "stringer_margin": "20",
          "bottom_gap": "60", "handrail": True, "width": "900"}  # fmt: skip
RUN = {"kind": "level", "span": "1870", "bottom_gap": "80", "drop": "680"}
TURN = RUN | {"turn": 90}


def job_of(*sections, hand="right"):
    mapping = base("mm") | {
        "rules": "england-ad-k-2013",
        "section": [section | {"hand": hand} for section in sections],
    }
    mapping["panel"] = mapping["panel"] | {"height": "900", "stock": ["1800", "2400"]}
    del mapping["panel"]["end_margin"], mapping["panel"]["slot"]
    del mapping["post"]["stock"]
    return job_from_mapping(mapping)


def surfaces(job):
    result = result_of(solution_for(job, with_remedies=False))
    heights = {
        one["section"]: one["limit"] for one in result["checks"] if one["id"] == "guard-height-min"
    }
    return [(one["surface"], heights[k]) for k, one in enumerate(result["sections"], 1)]


STAIR, LANDING, DECK = (None, 900), ("landing", 900), ("deck", 1100)


@pytest.mark.parametrize(
    ("sections", "expected"),
    [
        ((FLIGHT, RUN, FLIGHT), [STAIR, LANDING, STAIR]),
        ((FLIGHT, RUN, TURN, FLIGHT), [STAIR, LANDING, LANDING, STAIR]),
        ((FLIGHT, RUN, TURN, TURN, FLIGHT), [STAIR, LANDING, LANDING, LANDING, STAIR]),
        ((FLIGHT, RUN, TURN), [STAIR, DECK, DECK]),
        ((RUN, FLIGHT), [DECK, STAIR]),
        ((RUN, TURN), [DECK, DECK]),
        ((FLIGHT, RUN, FLIGHT, TURN, RUN), [STAIR, LANDING, STAIR, DECK, DECK]),
    ],
)
def test_runs_with_flights_at_both_ends_are_on_a_landing(sections, expected):
    assert surfaces(job_of(*sections)) == expected


def test_both_hands_of_a_landing_that_turns_are_on_it():
    """The left-hand line is longer by the width on either side of the corner, or shorter."""
    found = surfaces(job_of(FLIGHT, RUN, TURN, FLIGHT, hand="both"))
    assert found == [STAIR, LANDING, LANDING, STAIR] * 2


def test_the_job_may_say_what_a_run_is_on():
    top = RUN | {"surface": "landing"}
    assert surfaces(job_of(FLIGHT, top, TURN)) == [STAIR, LANDING, DECK]
    deck = RUN | {"surface": "deck"}
    assert surfaces(job_of(FLIGHT, deck, FLIGHT)) == [STAIR, DECK, STAIR]


def test_loads_take_the_same_answer():
    found = demands(solution_for(job_of(FLIGHT, RUN, TURN, FLIGHT, RUN), with_remedies=False))
    along = {
        bay.section: float(bay.force) / float(bay.length)  # N to the mm are kN to the m
        for bay in found.bays
    }
    assert along == pytest.approx({1: 0.36, 2: 0.36, 3: 0.36, 4: 0.36, 5: 0.74}, rel=1e-6)


@pytest.mark.parametrize(
    ("section", "words"),
    [
        (RUN | {"surface": "balcony"}, '"balcony" cannot be used. surface is "landing" or "deck"'),
        (FLIGHT | {"surface": "deck"}, 'It belongs to a section of kind "level"'),
    ],
)
def test_what_a_run_cannot_be_on_is_refused(section, words):
    with pytest.raises(JobError) as caught:
        job_of(section)
    assert words in str(caught.value)


def test_the_screen_says_what_a_run_is_on_and_why():
    text = check_text(solution_for(job_of(FLIGHT, RUN, FLIGHT, RUN), with_remedies=False))
    assert "  on a landing: between flights 1 and 3" in text
    assert "  on decking: only flight 3 meets it" in text  # in the words of England

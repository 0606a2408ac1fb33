"""What a code asks in one place and not in another, as the checks and the screen tell it.

Limits are those of tests/published/, typed again.  The guard is that of :mod:`guards`, in inches,
with the lengths that matter in the unit of the code.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from guards import base

from stairs.checks.checked_values import measures_of
from stairs.job import job_from_mapping
from stairs.remedies.remedies import apply
from stairs.report.findings import is_needed, value_texts
from stairs.report.result import result_of
from stairs.report.screen import check_text
from stairs.rules import available, load
from stairs.solution import solution_for

LEVEL = {"kind": "level", "span": "1500 mm", "bays": 1, "bottom_gap": "60 mm"}


def answered(rules, sections=None, use=None, **flight):
    """The good guard under a rulebook, its flight changed or other sections in its place."""
    mapping = base("in") | {"rules": rules, "measured_within": 0, "words": "us"}
    if use:
        mapping["use"] = use
    mapping["section"][0].update(flight)
    if sections is not None:
        mapping["section"] = sections
    return solution_for(job_from_mapping(mapping), with_remedies=False)


def found(solution, check, section=1):
    return next((one for one in solution.sections[section - 1].findings if one.id == check), None)


@pytest.mark.parametrize(
    ("rules", "most"), [("ncc-2022", 40), ("din-18065-2015", 60), ("england-ad-k-2013", None)]
)
def test_the_gap_beside_a_guard_outside_the_tread_ends(rules, most):
    """Australia's 40 mm and Germany's 60 mm; at the limit it passes, a millimetre more fails."""
    for gap, verdict in ((most or 40, "pass"), ((most or 40) + 1, "fail")):
        solution = answered(rules, side_gap=f"{gap} mm")
        finding = found(solution, "side-gap-max")
        if most is None:
            assert finding is None
        else:
            assert finding.verdict == verdict
            assert finding.ruling.limit == pytest.approx(most / 25.4, rel=1e-12)


def test_a_low_flight_in_germany_needs_a_guard_and_a_low_deck_does_not():
    """Flights and landings at any drop, surfaces from 1 m (model building code, section 38(1))."""
    solution = answered("din-18065-2015", rise="18", risers=3, posts=["-4", "25"])
    finding = found(solution, "guard-needed-drop")
    assert finding.value == 18 and is_needed(finding)
    assert value_texts(solution.job, finding)[1:] == ('if over 0"', "needed")
    deck = answered("din-18065-2015", [LEVEL | {"drop": "800 mm"}])
    assert not is_needed(found(deck, "guard-needed-drop"))


@pytest.mark.parametrize(
    ("rules", "words"),
    [
        ("din-18065-2015", 'needed if the ground lies more than 39 47/127" below: measure it'),
        ("irc-2021", 'needed if the ground lies more than 30" below: measure it'),
        ("osha-1910-2016", 'needed if the ground lies 48" below or more: measure it'),
    ],
)
def test_a_deck_of_no_told_drop_is_not_passed_over(rules, words):
    """1 m, more than 30 in and 48 in; a drop that is told is held against them instead."""
    solution = answered(rules, [LEVEL])
    finding = found(solution, "guard-needed-drop")
    assert (finding.value, finding.verdict) == (None, "n/a")
    assert words in " ".join(check_text(solution).split())
    assert found(answered(rules, [LEVEL | {"drop": "20"}]), "guard-needed-drop").value == 20


def test_a_landing_in_germany_needs_a_guard_at_any_drop():
    landing = LEVEL | {"surface": "landing"}
    assert "needed at any drop" in check_text(answered("din-18065-2015", [landing]))


@pytest.mark.parametrize("use", ["utility", "general"])
def test_other_buildings_in_england_need_a_guard_from_two_risers(use):
    """AD K 1.40; in a dwelling it goes by the drop of 600 mm (1.41)."""
    solution = answered("england-ad-k-2013", use=use)
    assert is_needed(found(solution, "guard-needed-risers"))
    assert found(solution, "guard-needed-drop") is None
    private = answered("england-ad-k-2013", use="private")
    assert found(private, "guard-needed-risers") is None
    assert is_needed(found(private, "guard-needed-drop"))


def test_steep_ground_needs_a_guard_in_canada_however_low_the_edge():
    """9.8.8.1(1): more than 600 mm, or ground within 1.2 m that falls more steeply than 1 in 2."""

    def solution(**more):
        return answered("nbc-2020", [LEVEL | {"drop": "540 mm"} | more])

    for fall, over, needed in ((500, 1000, False), (501, 1000, True), (0, 1200, False)):
        one = solution(ground_slope={"fall": f"{fall} mm", "over": f"{over} mm"})
        assert is_needed(found(one, "guard-needed-slope")) is needed
    untold = solution()
    finding = found(untold, "guard-needed-slope")
    assert (finding.value, finding.verdict) == (None, "n/a")
    flat = " ".join(check_text(untold).split())
    assert "not told if over 1 in 2" in flat
    assert "needed if the ground falls more steeply than 1 in 2" in flat
    row = next(one for one in result_of(untold)["checks"] if one["id"] == "guard-needed-slope")
    assert (row["value"], row["limit"], row["verdict"]) == (None, 0.5, "n/a")
    deep = answered("nbc-2020", [LEVEL | {"drop": "601 mm"}])
    assert found(deep, "guard-needed-slope") is None
    assert is_needed(found(deep, "guard-needed-drop"))


@pytest.mark.parametrize(
    ("rules", "least"), [("england-ad-k-2013", 16), ("iso-14122-3-2016", 10), ("irc-2021", None)]
)
def test_treads_overlap_where_the_risers_are_open(rules, least):
    """Diagram 1.1 and 5.1 to 5.4; the house code is not held against open risers."""
    for nosing, verdict in ((least or 5, "pass"), ((least or 5) - 1, "fail")):
        solution = answered(rules, open_risers=True, nosing=f"{nosing} mm")
        finding = found(solution, "nosing-min")
        if least is None:
            assert finding is None
        else:
            assert finding.verdict == verdict
            assert finding.ruling.limit == pytest.approx(least / 25.4, rel=1e-12)


def of_remedies(solution, check):
    return [one.text for one in solution.sections[0].remedies[check]]


APART = {
    "osha-1910-2016": ("42", "38", '30" to 38"'),
    "ibc-2021": ("42", "38", '34" to 38"'),
}
"""Guard at least, handrail at most, a handrail of its own: 1910.29(f)(1), 1014.2 and 1015.3."""


@pytest.mark.parametrize("rules", APART)
@pytest.mark.parametrize("height", ["33 1/2", "37 1/2", "42"])
@pytest.mark.parametrize("gap", ["auto", "1"])
def test_a_rail_that_cannot_be_guard_and_handrail(rules, height, gap):
    """Whatever the panel, the advice is a handrail of its own, and with it the check passes."""
    guard, most, own = APART[rules]
    mapping = base("in") | {"rules": rules, "measured_within": 0}
    mapping["panel"] |= {"height": height}
    mapping["section"][0] |= {"bottom_gap": gap, "handrail": True}
    job = job_from_mapping(mapping)
    solution = solution_for(job)
    finding = next(one for one in solution.sections[0].findings if one.fails and "height" in one.id)
    first, *more = solution.sections[0].remedies[finding.id]
    assert first.text.startswith(
        f'One rail cannot be both: guard at least {guard}", handrail at most {most}". Fit a '
        f"handrail of its own, {own} above the nosings, plumb"
    )
    assert all("handrail of its own" in one.text for one in (first, *more))
    if finding.id.startswith("handrail"):
        assert more == []
    mended = solution_for(apply(job, first, 0), with_remedies=False)
    assert not found(mended, finding.id).fails if found(mended, finding.id) else True
    assert found(mended, "handrail-height-max") is None
    flat = " ".join(check_text(solution).split())
    assert "No bottom gap passes" in flat
    assert f"- Fit a handrail of its own, {own} above the nosings, plumb" in flat
    assert "write handrail = true" not in flat
    bare = answered(rules, handrail=False)
    assert "too high to serve as one: fit a handrail of its own" in " ".join(
        check_text(bare).split()
    )


def test_a_deck_edge_in_england_is_too_high_for_a_handrail():
    """Diagram 3.1: 1100 mm at a deck's edge; 1.27: handrails at 900 to 1000 mm."""
    mapping = base("in") | {"rules": "england-ad-k-2013", "measured_within": 0}
    mapping["panel"] |= {"height": "1060 mm"}
    mapping["section"] = [LEVEL | {"handrail": True}]
    texts = of_remedies(solution_for(job_from_mapping(mapping)), "handrail-height-max")
    assert len(texts) == 1 and "handrail of its own" in texts[0]
    assert "above the deck" in texts[0]


def test_a_high_guard_of_a_house_may_have_a_handrail_of_its_own_too():
    """Guard of 40 in where 34 do: the rail may come down, or a handrail of its own be fitted."""
    mapping = base("in") | {"measured_within": 0}
    mapping["panel"] |= {"height": "40"}
    texts = of_remedies(solution_for(job_from_mapping(mapping)), "handrail-height-max")
    assert texts[0].startswith('Fit a handrail of its own, 34" to 38" above the nosings, plumb')
    assert any(text.startswith("Take a panel") for text in texts)


@pytest.mark.parametrize(("gap", "verdict"), [("500 mm", "pass"), ("501 mm", "fail")])
@pytest.mark.parametrize("kind", ["flight", "level"])
def test_the_gap_under_the_lowest_rail_of_a_machines_guard(kind, gap, verdict):
    """EN ISO 14122-3, clause 7 (from memory): 500 mm at most from knee rail to pitch line."""
    level = kind == "level"
    sections = [LEVEL | {"bottom_gap": gap}] if level else None
    solution = answered("iso-14122-3-2016", sections, **({} if level else {"bottom_gap": gap}))
    finding = found(solution, "midrail-gap-max")
    assert finding.verdict == verdict
    assert finding.value * 25.4 == pytest.approx(float(gap.split()[0]), rel=1e-12)
    ends = {end.set_by: end for end in solution.sections[0].window.highs}
    end = ends["gap under the lowest rail"]
    assert (end.value, end.included) == (Fraction(500) / Fraction("25.4"), True)


def test_every_rule_is_held_against_something():
    """On some flight, open or closed, measured or built, or some level run, each is measured."""
    measured = "nosings"
    step = {"rise": None, "risers": None, "unit_run": None}
    flights = [
        {},
        {"open_risers": True, "side_gap": "1"},
        {"stringer": "closed", "stringer_margin": "0"},
        {measured: [["0", "7"], ["10", "14 1/4"], ["20", "21"]], "posts": ["-4", "26"]} | step,
    ]
    level = LEVEL | {"drop": "900 mm", "ground_slope": {"fall": "24", "over": "48"}}
    made = [answered("irc-2021", [base("in")["section"][0] | one]) for one in flights[:3]]
    mapping = base("in")
    mapping["section"][0] |= flights[3]
    for key in step:
        mapping["section"][0].pop(key)
    made += [answered("irc-2021", mapping["section"]), answered("irc-2021", [level])]
    held = {
        measure.check
        for solution in made
        for part in solution.sections
        for measure in measures_of(part.section, solution.job)
    }
    ruled = {rule.check for name in available() for rule in load(name).rules}
    assert ruled - held == {"nosing-not-needed-tread"}  # it only says when another does not hold


@pytest.mark.parametrize("rules", available())
def test_what_a_code_asks_too_stands_under_every_check(rules):
    """On screen, each of the rulebook's own words, and in the result."""
    solution = answered(rules)
    flat = " ".join(check_text(solution).split())
    asked = load(rules).also_asks
    assert f"which are not looked at here ({rules}) - {asked[0]}" in flat
    assert all(f"- {words}" in flat for words in asked)
    assert result_of(solution)["also_asks"] == list(asked)


def test_loads_stand_in_the_result_with_the_sections_that_they_are_for():
    """BS 6180 Table 2: 0.36 kN/m on the flight, 0.74 kN/m at the deck's edge."""
    flight = base("in")["section"][0]
    lines = [
        (load["value"], load["unit"], load["sections"])
        for load in result_of(answered("england-ad-k-2013", [flight, LEVEL]))["loads"]
        if load["id"] == "guard-line"
    ]
    assert lines == [(0.36, "kN/m", [1]), (0.74, "kN/m", [2])]

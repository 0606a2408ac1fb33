"""What to do about a guard that is not as planned, and what it costs; on a level run, by hand.

Posts 3 wide are planned at 0, 60 and 115; the panel is 34 tall, 2 over the surface, so that a post
with a reveal of 1 is 37 tall and its bracket marks are at 3 and 35.  A rail of bay 1 is planned
57 - 2 (1 + 1/4) = 54 1/2 long.
"""

from fractions import Fraction
from pathlib import Path

import pytest

from stairs.job import job_from_text
from stairs.lists.cut_list import cut_list
from stairs.lists.rail_plans import rail_plans
from stairs.remedies.remedies import apply
from stairs.report.as_built_text import CAUTION, standing_notes
from stairs.report.csv_lists import list_csv
from stairs.report.result import result_of
from stairs.report.screen import check_text, solve_text
from stairs.solution import solution_for

HEAD = """
units = "in"
rules = "irc-2021"
measured_within = "1/16"
[panel]
height = 34
top_rail = 2
bottom_rail = 2
baluster = "3/4"
pitch = "4 1/2"
stock = [72, 96]
[bracket]
kind = "pivot"
pivot_offset = 1
rail_setback = "1/4"
[post]
width = 3
base = 5
max_spacing = "60 1/4"
stock = ["37 1/8"]
[[section]]
span = 115
posts = [0, 60, 115]
bottom_gap = 2
drop = 24
"""


def solved(*told, done=""):
    tables = "".join(f"[[section.as_built]]\n{keys}\n" for keys in told)
    return solution_for(job_from_text(f"{HEAD}{done}\n{tables}"), with_remedies=False)


def deviations(*told, done=""):
    (part,) = solved(*told, done=done).sections
    return part.standing.deviations


@pytest.mark.parametrize(
    ("keys", "do", "amount", "costs"),
    [
        ('post = 2\nx = "60 1/8"', "leave", 0, ()),
        ('post = 2\nx = "60 1/2"', "move", -0.5, ("post-spacing",)),  # over 60 1/4
        ('post = 2\nsurface = "-1/8"', "leave", 0, ()),  # 37 1/8 is as long as posts are sold
        ('post = 2\nsurface = "-1/4"', "shim", 0.25, ("post-stock",)),
        ('post = 2\nsurface = "1/2"', "leave", 0, ()),
        ('post = 2\nlean = "1/4"', "leave", 0, ()),
    ],
)
def test_a_post_is_left_where_it_fails_nothing(keys, do, amount, costs):
    (one,) = deviations(keys)
    assert (one.number, one.do, one.amount, one.costs) == (2, do, amount, costs)


def test_two_posts_that_fail_one_check_together_are_each_told_to_cost_it():
    found = deviations('post = 1\nsurface = "1/2"', 'post = 2\nx = "60 1/2"\nsurface = "-1/4"')
    assert [(one.what, one.do) for one in found] == [
        ("surface", "leave"), ("x", "move"), ("surface", "shim"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("x", "do", "amount"),
    [("60 1/8", "renew", 0.125), ("59 3/4", "recut", 0.25), ("60 1/32", "leave", 0)],
)
def test_a_rail_that_is_cut_is_held_against_the_bay_as_it_stands_and_not_changed(x, do, amount):
    solution = solved(f'post = 2\nx = "{x}"', done='done = ["bay 1 top"]')
    (part,) = solution.sections
    of_rail = [one for one in part.standing.deviations if one.what == "top"]
    needed = 54.5 + float(Fraction(x.split()[1])) - (1 if x.startswith("59") else 0)
    assert [(one.do, one.amount) for one in of_rail] == [(do, amount)]
    assert (of_rail[0].found, of_rail[0].planned) == (54.5, needed)
    top, bottom = result_of(solution)["sections"][0]["bays"][0]["rails"]
    assert (top["length"], top["done"]) == (54.5, True)
    assert (bottom["length"], bottom["done"]) == (needed, False)
    cuts = cut_list(solution)
    first = {cut.rail: cut for cut in cuts.rails if cut.bay == 1}
    assert (first["top"].done, first["bottom"].done) == (True, False)
    names = {
        placed.piece.name
        for plan in rail_plans(cuts, solution.guard)
        for rail in plan.plan.rails
        for placed in rail.placed
    }
    assert names == {"1.1 bottom", "1.2 top", "1.2 bottom"}
    assert "cut already" in list_csv(solution, "cut")


def test_a_post_that_is_marked_on_a_dip_is_shimmed_and_on_a_hump_cut_at_its_foot():
    for surface, do, found in (("-1/8", "shim", 3), ("1/8", "recut", 3), ("0", "leave", 3)):
        told = deviations(f'post = 3\nsurface = "{surface}"', done='done = ["post 3"]')
        (one,) = [one for one in told if one.what == "post"]
        assert (one.do, one.amount) == (do, abs(float(Fraction(surface))))
        assert one.found == found
    (post,) = [p for p in cut_list(solved(done='done = ["post 3"]')).posts if p.done]
    assert (post.post, post.bought) == (3, False)


def test_the_marks_of_a_post_that_leans_on_a_rake_are_told_to_be_made_anew():
    """1 out in 37 on a slope of 7 in 11 puts the upper bracket 5/8 higher, the lower one hardly."""
    flight = "unit_rise = 7\nunit_run = 11\nrisers = 6\nnosing = 1\nposts = [-5, 60]"
    text = HEAD.replace("span = 115\nposts = [0, 60, 115]", flight).replace(
        'max_spacing = "60 1/4"\n', ""
    )
    told = 'done = ["post 2"]\n[[section.as_built]]\npost = 2\nlean = 1\n'
    (part,) = solution_for(job_from_text(text + told), with_remedies=False).sections
    (one,) = [one for one in part.standing.deviations if one.what == "post"]
    assert one.do == "renew"
    assert one.off == pytest.approx(-7 / 11, abs=0.1)


def test_a_clear_width_that_differs_a_little_is_told_with_both_numbers():
    (one,) = deviations('post = 1\nclear_high = "57 1/8"', "post = 2\nx = 60")[:1]
    assert (one.what, one.planned, one.found, one.do) == ("clear_high", 57, 57.125, "leave")
    text = solve_text(solved('post = 1\nclear_high = "57 1/8"', "post = 2\nx = 60"))
    assert '57 1/8" was measured at the top rail' in " ".join(text.split())
    assert "1 bottom" in text


def test_each_advice_has_its_caution_on_screen_and_in_the_lists():
    solution = solved('post = 2\nx = "60 1/2"\nlean = "1/4"')
    for text in (solve_text(solution), check_text(solution)):
        assert CAUTION in " ".join(text.split())
        assert 'post 2 stands 1/2" toward post 3, at 60 1/2" and not 60": move it back by 1/2"' in (
            " ".join(text.split())
        )
        assert max(map(len, text.splitlines())) <= 80
    notes = " ".join(standing_notes(solution))
    assert "have the fixing looked at" in notes
    assert "leans because it is loose is not shimmed" in notes
    assert "As it stands" not in solve_text(solved())


@pytest.mark.parametrize("lean", ["1 1/2", "-1 1/2"])
def test_a_leaning_post_that_costs_a_check_is_set_plumb_by_its_plate(lean):
    """It leaves a gap of 4 or more on one side of it; a plate of 5 under a post of 37."""
    (one,) = deviations(f'post = 2\nlean = "{lean}"')
    assert (one.do, one.costs) == ("shim", ("opening-end",))
    assert one.amount == pytest.approx(1.5 / 37 * 5)


def test_joists_stay_where_they_are_when_the_first_post_of_a_run_does_not():
    """It is planned 6 before a joist and stands 1/2 nearer to it, as all else is as planned."""
    framing = (
        '[framing]\ndirection = "across"\njoist_spacing = 16\nfirst_joist = 6\n'
        'joist_thickness = "1 1/2"\n'
    )
    text = HEAD.replace("[[section]]", framing + "[[section]]")
    moved = text + '[[section.as_built]]\npost = 1\nx = "1/2"\n'
    planned, found = (
        solution_for(job_from_text(one), with_remedies=False).guard.sections[0]
        for one in (text, moved)
    )
    assert (planned.record.framing.first_joist, found.record.framing.first_joist) == (6, 5.5)
    assert [post.x for post in found.posts] == [0, 59.5, 114.5]
    (part,) = solution_for(job_from_text(moved), with_remedies=False).sections
    assert part.standing.plan.record.framing == planned.record.framing
    assert [post.x for post in part.standing.plan.posts] == [0, 60, 115]


def test_where_all_is_cut_already_nothing_of_it_is_bought():
    solution = solved(
        'post = 2\nx = "60 1/8"', done='done = ["bay 1", "bay 2", "post 1", "post 2"]'
    )
    rows = [row.split(",")[1] for row in list_csv(solution, "buy").splitlines()[1:]]
    assert "rail" not in rows
    posts = [row for row in list_csv(solution, "buy").splitlines() if ",post," in row]
    assert [row.split(",")[0] for row in posts] == ["1"]  # the third


def test_moving_a_post_that_is_set_is_told_as_advice_with_its_caution():
    """The upper landing begins at 52 1/2; half a plate of 5 and 2 3/4 behind that is 57 3/4."""
    porch = (Path(__file__).parents[2] / "examples" / "porch.toml").read_text(encoding="utf-8")
    job = job_from_text(porch + '[[section.as_built]]\npost = 2\nx = "57"\nlean = "1/8"\n')
    first, *_ = solution_for(job).sections[0].remedies["post-edge-distance"]
    assert first.text.startswith('Move post 2 to x = 57 3/4"')
    assert first.text.endswith("have the fixing looked at")
    (changed,) = apply(job, first, 0).sections
    assert changed.posts == (-4, Fraction(231, 4))
    assert [(one.x, one.lean) for one in changed.as_built] == [(None, Fraction(1, 8))]


@pytest.mark.parametrize("lean", range(-6, 7))
def test_a_bay_that_no_stock_reaches_is_made_to_length_whatever_its_posts_lean(lean):
    """Rails of 115 - 3 and of 109 - 3, less two brackets, out of stock of 96 at most; posts that
    lean together by 6 each bring the top ones 12 nearer."""
    for span in (115, 109):
        text = HEAD.replace("posts = [0, 60, 115]", "bays = 1").replace("115", str(span))
        told = f"[[section.as_built]]\npost = 1\nlean = {lean}\n" if lean else ""
        told += f"[[section.as_built]]\npost = 2\nlean = {-lean}\n" if lean else ""
        (part,) = solution_for(job_from_text(f"{text}\n{told}"), with_remedies=False).sections
        (found,) = [one for one in part.findings if one.id == "rail-stock"]
        assert found.verdict == "fail" or lean > 3
        assert part.bays[0].balusters > 15

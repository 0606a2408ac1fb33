"""Posts that go on below the surface beside them: how long they are, and what that decides.

The porch by hand: it rises 7.25 / 10.5 = 0.690476 to the inch, and rail edge to rail edge its panel
is 31.875 + 1.625 / cos 34.6243 = 33.849731 in plumb.  The face of post 1 stands at -2 1/2, where
the nosing line is 5.523810 high; with the gap 0.4375, the panel and 1 in of reveal the post is
40.811041 in tall.  At the face of post 2, 58 3/4, the line is 47.815476 high and the landing 43.5:
39.602707.  On the tape 40 13/16 and 39 5/8; with 9 in below 49 13/16 and 48 5/8.
"""

from __future__ import annotations

import csv
import io
from fractions import Fraction as F
from pathlib import Path

import pytest
from guards import base

from stairs.drawing import draw_elevation
from stairs.drawing.placing.inspection import overlaps
from stairs.drawing.sets.shop.posts import poles
from stairs.drawing.views.elevation.dimension_chains import bounds_of
from stairs.errors import JobError, NoSuchShape
from stairs.job import job_from_mapping, job_from_text
from stairs.lists.cut_list import cut_list
from stairs.lists.loads import demands
from stairs.remedies.remedies import apply
from stairs.report.csv_lists import list_csv
from stairs.report.lists_text import cuts_text
from stairs.report.loads_text import no_pull
from stairs.report.result import result_of
from stairs.report.screen import solve_text
from stairs.solution import solution_for

EXAMPLES = Path(__file__).parents[2] / "examples"
BELOW = 9


def side_fixed(name="porch", below=f'below = "{BELOW}"', stock='["48", "60"]', **changes):
    """An example with its posts fixed to the side in place of base plates."""
    kept, table = [], ""
    for line in (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8").splitlines():
        key = line.split(" = ")[0]
        table = line if line.startswith("[") else table
        if table == "[post]" and key in ("base", "edge_distance", "stock"):
            continue
        kept.append(f"{key} = {changes[key]}" if key in changes else line)
        if line == "[post]":
            kept += [row for row in (below, f"stock = {stock}") if row]
    return job_from_text("\n".join(kept))


def plain(name="porch", **changes):
    return side_fixed(name, below="", **changes)


def finding(solution, name):
    return next(one for one in solution.sections[0].findings if one.id == name)


def test_what_goes_below_adds_to_the_length_and_to_nothing_else():
    longer, short = (result_of(solution_for(job)) for job in (side_fixed(), plain()))
    for one, other in zip(longer["sections"], short["sections"], strict=True):
        for post, same in zip(one["posts"], other["posts"], strict=True):
            assert post["length"] == pytest.approx(same["height"] + BELOW, abs=1e-12)
            assert same["length"] == same["height"] == post["height"]
            assert post["marks"] == same["marks"]
        assert one["bays"] == other["bays"]
        assert one["openings"] == other["openings"]


@pytest.mark.parametrize(
    ("stock", "bought", "passes"),
    [
        ('["48", "60"]', [60, 60], True),  # 49 13/16 and 48 5/8 in: 48 in is too short for both
        ('["49", "50"]', [50, 49], True),
        ('["49"]', [None, 49], False),
        ('["48"]', [None, None], False),
    ],
)
def test_stock_has_to_hold_the_whole_post(stock, bought, passes):
    solution = solution_for(side_fixed(stock=stock))
    assert [post.stock for post in solution.guard.sections[0].posts] == bought
    check = finding(solution, "post-stock")
    assert check.fails != passes
    assert float(check.value) == pytest.approx(40.811041 + BELOW, abs=1e-6)


def test_a_post_of_just_the_stocks_length_is_long_enough():
    """Exactly: a level run's post is 36 1/2 and 1 in tall, and 9 in below make 46 1/2 of it."""
    text = (EXAMPLES / "raised-porch.toml").read_text(encoding="utf-8")
    level = solution_for(job_from_text(text)).guard.sections[1].posts[1]
    tall = F(level.exact_height)
    for length, bought in ((tall + BELOW, tall + BELOW), (tall + BELOW - F(1, 10**12), None)):
        job = side_fixed("raised-porch", stock=f'["{length}"]')
        posts = solution_for(job).guard.sections[1].posts
        assert posts[1].stock == (None if bought is None else float(bought))


def test_a_shared_post_is_judged_from_end_to_end_in_both_sections():
    """The post that flight and landing share is the taller one's, and goes on below by 7 in."""
    mapping = base("in")
    flight = mapping["section"][0]
    flight.pop("posts")
    flight |= {"bays": 1, "bottom_gap": "auto", "turn": "90"}
    level = {"kind": "level", "span": "72", "bays": 1, "bottom_gap": "auto"}
    mapping |= {"section": [level, flight], "measured_within": "0"}
    mapping["post"] = {"width": "3", "reveal": "1", "stock": ["45", "54"], "below": "7"}
    solution = solution_for(job_from_mapping(mapping), with_remedies=False)
    lower, upper = (part.section.posts for part in solution.sections)
    assert lower[0].height + 1 < lower[1].height == upper[0].height
    for part in solution.sections:
        (check,) = [one for one in part.findings if one.id == "post-stock"]
        assert check.value == pytest.approx(upper[0].height + 7, abs=1e-12)


def test_longer_posts_are_the_remedy_and_mend():
    job = side_fixed(stock='["48"]')
    solution = solution_for(job)
    remedies = solution.sections[0].remedies["post-stock"]
    assert remedies[0].text.startswith('Buy posts 51" long or more')
    mended = solution_for(apply(job, remedies[0], 0))
    assert finding(mended, "post-stock").verdict == "pass"


def test_lists_give_height_and_length():
    solution = solution_for(side_fixed())
    text = " ".join(cuts_text(solution).split())
    assert "post beside height length buy" in text
    assert '1 lower landing 40 13/16" 49 13/16" 60"' in text
    assert 'Posts go on 9" below the surface beside them' in text
    assert "base plate" not in text
    rows = list(csv.reader(io.StringIO(list_csv(solution, "cut"))))
    posts = [row for row in rows if row[0] == "post"]
    assert [float(row[3]) for row in posts] == [49.8125, 48.625]
    assert [float(row[6]) for row in posts] == [60 - 49.8125, 60 - 48.625]
    assert "x beside height length buy" in " ".join(solve_text(solution).split())


def test_without_the_key_nothing_is_said_of_it():
    solution = solution_for(plain())
    for text in (cuts_text(solution), solve_text(solution)):
        assert "stands on" in text
        assert "height length" not in " ".join(text.split())
        assert "go on" not in text


def test_holes_under_the_surface_have_the_post_below_it_to_hold_them():
    """A hole 8 in under the porch's lowest pin, at 3 3/4 in over its surface: 4 in under it."""
    holes = 'holes = [["0", "-8"]]\n'

    def check(job_text):
        return finding(solution_for(job_from_text(job_text)), "bracket-holes-foot")

    base = (EXAMPLES / "porch.toml").read_text(encoding="utf-8").replace("[post]", holes + "[post]")
    lines = [line for line in base.splitlines() if not line.startswith(("base =", "edge_dist"))]
    standing = check("\n".join(lines))
    beside = check("\n".join(lines).replace("[post]", f'[post]\nbelow = "{BELOW}"'))
    assert standing.fails and not beside.fails
    assert float(beside.value) == pytest.approx(float(standing.value) + BELOW, abs=1e-12)


@pytest.mark.parametrize(("below", "stands"), [("1/2 in", False), ("1", True)])
def test_a_bracket_needs_a_post_beside_it(below, stands):
    """A rail that hangs 5 in below the nosing line, at the side of the stair."""
    changes = {"bottom_gap": '"-5"', "nosing": '"1"\nside_gap = "1/2"', "stock": '["70"]'}
    job = side_fixed(below=f'below = "{below}"', **changes)
    if stands:
        lowest = min(m.height for p in solution_for(job).guard.sections[0].posts for m in p.marks)
        assert -1 < lowest < -0.5
        return
    with pytest.raises(NoSuchShape) as told:
        solution_for(job)
    assert str(told.value).endswith(
        'below its surface. The posts go on 1/2" below it (post: below). Let the posts go on '
        "farther, or raise the bottom rail."
    )


def test_a_base_plate_beside_it_is_refused():
    text = (EXAMPLES / "porch.toml").read_text(encoding="utf-8")
    with pytest.raises(JobError) as told:
        job_from_text(text.replace("[post]", '[post]\nbelow = "9"'))
    assert '"9" is given beside a base plate of' in str(told.value)
    assert str(told.value).endswith("Leave out one of them.")


@pytest.mark.parametrize(
    ("below", "told"),
    [
        ("-9", '"-9" is negative. A length above 0 is needed. Give how far posts go on below'),
        ("230", '"230" is read as 230 in. A bare number here is 1 to 96 in. 230 in or 230 mm?'),
        ("ninety", '"ninety" is not a length. Lengths read: '),
    ],
)
def test_what_is_no_such_length_is_refused(below, told):
    with pytest.raises(JobError) as refused:
        side_fixed(below=f'below = "{below}"')
    assert f"post: below: {told}" in str(refused.value)


def test_no_distance_is_assumed_for_a_plate_that_is_not_there():
    text = (EXAMPLES / "side-stair.toml").read_text(encoding="utf-8")
    beside = job_from_text(text).assumed
    standing = job_from_text(text.replace('below = "9"\n', "")).assumed
    assert set(standing) - set(beside) == {'post: edge_distance 0"'}


def test_a_bolt_spacing_counts_for_base_plates_only():
    solution = solution_for(side_fixed())
    with pytest.raises(JobError, match="posts go on below the surface"):
        demands(solution, F(3))
    assert all(row.bolt_pull is None for row in demands(solution).posts)
    assert no_pull(solution.job).startswith("No pull in fixings: posts go on below")


def test_the_elevation_shows_them_to_their_ends():
    solution = solution_for(side_fixed())
    section = solution.guard.sections[0]
    sheet = draw_elevation(solution)
    assert bounds_of(section).bottom == -BELOW
    assert not sheet.unplaced
    assert overlaps(sheet.primitives, sheet.paper.border) == []
    drawn = {
        one.points for one in sheet.work if one.group == "post" and getattr(one, "closed", False)
    }
    feet = {round(min(y for _, y in points), 6) for points in drawn}
    ends = {round(sheet.view.at((0.0, post.surface - BELOW))[1], 6) for post in section.posts}
    assert feet == ends
    told = {one.name: one.value for one in sheet.dimensions if one.name.endswith("below")}
    assert told == {"post 1 below": BELOW, "post 2 below": BELOW}


def test_the_shop_sheet_counts_it_in_the_cut():
    solution = solution_for(side_fixed())
    for pole, cut in zip(
        poles(solution, cut_list(solution)), cut_list(solution).posts, strict=True
    ):
        assert pole.cut.foot == BELOW
        assert cut.length == cut.height + BELOW
        assert cut.stock - cut.cut_off == cut.length
        assert not pole.cut.is_longer and not cut.is_longer

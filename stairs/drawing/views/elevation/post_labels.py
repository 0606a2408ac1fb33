"""Names of posts and of landings on an elevation, with the places where they may stand."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from stairs.drawing.paper.lettering import SMALL
from stairs.drawing.placing.dimensions import STYLE
from stairs.drawing.placing.placement import APART, Candidate, Spot, dearer, places_at
from stairs.drawing.views.elevation.dimension_chains import STEPS_APART, bounds_of, uneven
from stairs.drawing.views.elevation.failure_flags import opening_rows
from stairs.drawing.views.kinds import Label, LengthText, Lettered, Offer, Role
from stairs.guard.solving import Section
from stairs.openings.opening import Opening
from stairs.parts.posts import Post
from stairs.report.as_built_text import toward

GROUP = "label"


def post_name(on: Lettered, post: Post) -> Offer:
    """A post's name with what else is told of it, and what looks for its places."""
    over = on.section.guard_height if post.wall else post.height
    x, y = on.view.at((post.centre_at(over), post.surface + over))
    rows = post_rows(on.section, post, on.text)

    def places() -> list[Candidate]:
        found = _post_places(on, post, rows, x, y + (9.0 if post.wall else 0.0))
        if len(rows) > 1:  # its name alone; the rest goes into the schedule of posts
            alone = _post_places(on, post, rows[:1], x, y)
            found += dearer(alone, 60)
        return found

    return Label(" ".join(rows), Role.PART if post.wall else Role.POST), places


def side_by_side(
    on: Lettered,
    beside: Post,
    failing: Sequence[Opening],
) -> list[Offer]:
    """The name of the post of the section before, and the gap between it and the first post."""
    x, y = on.view.at((beside.x, beside.surface + beside.height))
    rows: tuple[str, ...] = (f"POST {beside.number}", f"OF SECTION {on.section.number - 1}")
    places = partial(_post_places, on, beside, rows, x, y, f"post {beside.number} beside")
    labels: list[Offer] = [(Label(" ".join(rows), Role.POST), places)]
    gap = next(one for one in on.section.openings if one.kind == "end" and one.bay is None)
    if all(gap is not one for one in failing):
        rows = opening_rows(gap, on.text)
        led = partial(on.led, rows, on.view.at(gap.center), "gap between posts", -120.0)
        labels.insert(0, (Label(" ".join(rows)), led))
    return labels


def post_rows(section: Section, post: Post, text: LengthText) -> tuple[str, ...]:
    """What is lettered at a post: its name, its height, and the other section that it serves."""
    if post.wall:
        return ("WALL",)
    inner = post is not section.posts[0] and post is not section.posts[-1]
    rows = [f"POST {post.number}"]
    if inner:
        rows.append(f"{text(post.height)} TALL")
    if post.shared_with is not None:
        other, number = post.shared_with
        rows += [f"ALSO POST {number}", f"OF SECTION {other}"]
    if post.stand.lean:
        rows.append(f"LEANS {text(abs(post.centre_at(post.height) - post.x))}")
        rows.append(toward(post.number, len(section.posts), post.stand.lean > 0).upper())
    if post.askew:
        rows.append(f"TURNED {abs(float(section.ends.skew)):.4g}° IN PLAN")
    return tuple(rows)


def _post_places(
    on: Lettered, post: Post, rows: Sequence[str], x: float, y: float, owner: str = ""
) -> list[Candidate]:
    owner = owner or f"post {post.number}"
    over = y + SMALL * 1.7 * (len(rows) - 1)
    spots = [
        (x + aside, over + lift, "middle", lift + abs(aside))
        for lift in (2.6, 4.0, 6.0, 9.0, 12.0, 16.0, 20.0)
        for aside in (0.0, -6.0, 6.0, -10.0, 10.0)
    ]
    led = on.led(rows, (x, y), owner, 105.0)
    return [*places_at(rows, spots, GROUP, owner=owner, apart=APART), *dearer(led, 40)]


def landings(on: Lettered) -> list[Offer]:
    """The names of both landings of a flight; a view may do without."""
    labels: list[Offer] = []
    if on.section.kind != "flight":
        return labels
    x, y = on.view.at((on.section.posts[0].x, 0.0))
    spots = [
        (x - back, y - down, "right", down + back / 4)
        for down in (6.6, 8.0, 11.0, 14.0, 17.0)
        for back in (4.0, 7.0, 10.0, 14.0, 18.0, 22.0, 26.0, 30.0, 35.0)
    ]
    if on.seen((x, y)):
        labels.append(_landing("lower landing", spots))
    x, y = on.view.at(on.section.nosings[-1])
    thick = on.view.length(float(on.section.flight.tread_thickness))
    chain = on.view.at((bounds_of(on.section).right, 0.0))[0] + STYLE.first - x
    outer = chain + STYLE.pitch + (STEPS_APART if uneven(on.section) else 0.0)
    spots = [
        (x + along, y - thick - down, "left", down + along / 4)
        for down in (4.5, 6.0, 9.0, 12.0)
        for along in (3.0, 6.0, 12.0, chain + 1.5, chain + 3.0, outer + 1.5, outer + 3.0,
                      outer + 14.0, outer + 22.0)
    ]  # fmt: skip
    if on.seen((x, y)):
        labels.append(_landing("upper landing", spots))
    return labels


def _landing(name: str, spots: Sequence[Spot]) -> Offer:
    places = places_at((name.upper(),), spots, GROUP, owner=name, apart=APART)
    return Label(name, needed=False), partial(list, places)

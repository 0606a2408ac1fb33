"""Joins: where one section of the guard ends and the next begins, at a post that serves both.

The last post of a section is the first of the next, unless the job says otherwise.  Such a post is
one piece of metal: it has one height, the greater of what its two sections need, and the bracket
marks of both.  The rails of the two sections seldom meet it at one height, since the guard of a
stair is measured over its nosings and that of a level run over its surface, so there is a step
between them.  The post stands square to the section before it; where the next section turns by
another angle than a right one its rails meet the post askew, their brackets swing in both planes,
and a plumb-cut rail is sawn with miter and bevel at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from stairs.errors import NoSuchShape
from stairs.guard.solving import Section
from stairs.job import Job, section_where
from stairs.parts.bracket import PLUMB_CUT
from stairs.parts.posts import Mark, Post, stock_for
from stairs.parts.section_ends import RIGHT_ANGLE
from stairs.relations.closed_forms import true_angle
from stairs.relations.exact import Amount, compare, derived

SHARED_BACK = 2  # right angles: the next rails would leave by the face where the last ones arrive


class SawSetting(Struct, frozen=True):
    """How a saw is set for a plumb-cut rail; angles in degrees, 0 for a square cut.

    The rail lies with its underside on the table, or with its side on it; either way makes the same
    cut.  The depth of a rail stands square to its length in the plumb plane through it, so its
    sides are plumb and its underside is level across.

    Parameters
    ----------
    miter, bevel : float
        Underside on the table: turn of the saw on its table, and tilt of the blade.
    """

    miter: float
    bevel: float
    side_miter: float
    side_bevel: float


class RailAtJoin(Struct, frozen=True):
    """The rails of one section where they meet the shared post.

    Parameters
    ----------
    section, post, bay : int
        Counted from 1, each in its section.
    top, bottom : float
        Top rail's upper edge and bottom rail's underside, plumb over the post's surface, at the
        post's face [job's unit of length].
    swing : float
        Up or down from level as the rail leaves the post, up positive [degrees].
    skew : float
        Turn in plan from the face's normal, left positive seen going up [degrees].
    leans : str
        ``"left"``, ``"right"`` or ``""``: to which side that is.
    true_angle : float
        Between the rail and the face's normal [degrees].
    saw : SawSetting or None
        Of a plumb-cut rail, all 0 where it is level and meets the face square; None with pivot
        brackets, whose rails are cut square.
    marks : tuple of Mark
        Bracket marks of this section on the post.
    """

    section: int
    post: int
    bay: int
    top: float
    bottom: float
    swing: float
    skew: float
    leans: str
    true_angle: float
    saw: SawSetting | None
    marks: tuple[Mark, ...]


class Join(Struct, frozen=True):
    """One post that two consecutive sections share; lengths in the job's unit.

    Parameters
    ----------
    lower, upper : int
        The two sections, from 1.
    turn : float
        Plan turn from the lower section to the upper, left positive [degrees].
    surface : str
        What the post stands on, as the lower section calls it.
    height : float
        Surface to post top: the greater of both needs.
    exact_height : Fraction or Derived
        The same as verdicts are decided on.
    needs : tuple of float
        What the lower and the upper section need.
    governed_by : int or None
        The section whose need is greater; None where both need the same.
    stock : float or None
        Shortest post sold that is long enough.
    top_step, bottom_step : float
        From the lower section's rail up to the upper section's, plumb, each measured at the face
        where it ends: top rails' upper edges, bottom rails' undersides.
    below, above : RailAtJoin
        The rails of the lower and of the upper section.
    remark : str
        What to look out for; often empty.
    """

    lower: int
    upper: int
    turn: float
    surface: str
    height: float
    exact_height: Amount
    needs: tuple[float, float]
    governed_by: int | None
    stock: float | None
    top_step: float
    bottom_step: float
    below: RailAtJoin
    above: RailAtJoin
    remark: str


def saw_setting(rise: Amount, run: Amount, skew: Fraction = Fraction(0)) -> SawSetting:
    """Miter and bevel for a plumb cut on a raked rail that meets its post askew.

    Parameters
    ----------
    rise, run : Fraction or Derived
        One step of the rail's line; a level run is 0 over 1.
    skew : Fraction
        Plan angle off the face's normal, 0 to 45 degrees.

    Notes
    -----
    With the rail along ``(cos θ, 0, sin θ)`` and the plumb face's normal ``(cos φ, sin φ, 0)``, the
    cut crosses the underside at ``tan μ = tan φ / cos θ`` from square and leans
    ``sin λ = cos φ sin θ`` from plumb.  On the rail's side it crosses at the rake itself and leans
    by the skew itself.

    Examples
    --------
    >>> saw = saw_setting(Fraction(0), Fraction(1), Fraction(30))
    >>> round(saw.miter, 9), saw.bevel, saw.side_miter, saw.side_bevel
    (30.0, 0.0, 0.0, 30.0)
    """
    step = {"unit_rise": rise, "unit_run": run}
    return SawSetting(
        miter=float(derived("saw_miter", skew=skew, **step)),
        bevel=float(derived("saw_bevel", skew=skew, **step)),
        side_miter=float(derived("rake", **step)),
        side_bevel=float(skew),
    )


def joins_of(job: Job, sections: Sequence[Section]) -> tuple[Join, ...]:
    """Every post that two consecutive sections share.

    Raises
    ------
    NoSuchShape
        A post that two sections should share stands on no surface that both have.
    """
    return tuple(
        _join(job, lower, upper)
        for lower, upper in zip(sections, sections[1:], strict=False)
        if upper.ends.shared
    )


def _join(job: Job, lower: Section, upper: Section) -> Join:
    last, first = lower.posts[-1], upper.posts[0]
    _refuse_no_common_surface(job, lower, upper)
    order = compare(last.exact_height, first.exact_height)
    exact = taller(last, first)
    below = _rails(job, lower, last, up=False)
    above = _rails(job, upper, first, up=True)
    remark = ""
    if abs(round(Fraction(upper.turn) / RIGHT_ANGLE)) == SHARED_BACK:
        remark = (
            "both sections' rails meet one face of the post: set them side by side, or give each "
            'section a post of its own (start = "own")'
        )
    return Join(
        lower=lower.number,
        upper=upper.number,
        turn=upper.turn,
        surface=last.stands_on,
        height=float(exact),
        exact_height=exact,
        needs=(last.height, first.height),
        governed_by=None if order == 0 else (upper.number if order < 0 else lower.number),
        stock=stock_for(job.post, exact),
        top_step=above.top - below.top,
        bottom_step=above.bottom - below.bottom,
        below=below,
        above=above,
        remark=remark,
    )


def taller(one: Post, other: Post) -> Amount:
    """The height of a post that has to be as tall as each of two [job's unit of length]."""
    less = compare(one.exact_height, other.exact_height) < 0
    return other.exact_height if less else one.exact_height


def _refuse_no_common_surface(job: Job, lower: Section, upper: Section) -> None:
    """A shared post stands where the lower section ends and the upper one begins."""
    where = section_where(upper.number, upper.name, "start", file=job.where)
    remedy = 'Move the post, or write start = "own" and its post_gap'
    last, first = lower.posts[-1], upper.posts[0]
    if lower.kind == "flight" and last.stands_on != "upper landing":
        raise NoSuchShape(
            where,
            f"shares post {last.number} of section {lower.number}, which stands on "
            f"{last.stands_on}",
            "A section that follows a flight begins on the flight's upper landing",
            remedy,
        )
    if upper.kind == "flight" and first.stands_on != "lower landing":
        raise NoSuchShape(
            where,
            f"its post 1 stands on {first.stands_on}, and is the last post of section "
            f"{lower.number}",
            "A flight's first post is shared where it stands on the flight's lower landing",
            remedy,
        )


def _rails(job: Job, section: Section, post: Post, *, up: bool) -> RailAtJoin:
    """The rails of a section at its last post, or with ``up`` at its first."""
    face = post.face("up" if up else "down")
    bottom = section.rail_line.under(face) - post.surface
    skew = section.ends.skew if up else Fraction(0)
    step = (
        (Fraction(0), Fraction(1))
        if section.flight is None
        else (section.flight.line_rise, section.flight.line_run)
    )
    return RailAtJoin(
        section=section.number,
        post=post.number,
        bay=1 if up else len(section.bays),
        top=bottom + section.panel_height,
        bottom=bottom,
        swing=section.rake if up else -section.rake,
        skew=float(skew),
        leans="left" if skew > 0 else "right" if skew < 0 else "",
        true_angle=_true_angle(section.rake, float(abs(skew))),
        saw=saw_setting(*step, abs(skew)) if job.bracket.kind == PLUMB_CUT else None,
        marks=post.marks,
    )


def _true_angle(rake: float, skew: float) -> float:
    """The closed form; where the rail is level or square the other angle itself, unrounded."""
    return float(true_angle(rake, skew)) if rake and skew else max(rake, skew)


def with_joins(sections: Sequence[Section], joins: Sequence[Join]) -> tuple[Section, ...]:
    """The sections with every shared post at its one height, and told whose it is too."""
    joined = list(sections)
    for join in joins:
        for section, post, other in (
            (join.lower, join.below.post, (join.upper, join.above.post)),
            (join.upper, join.above.post, (join.lower, join.below.post)),
        ):
            old = joined[section - 1]
            posts = list(old.posts)
            posts[post - 1] = replace(
                posts[post - 1],
                height=join.height,
                exact_height=join.exact_height,
                stock=join.stock,
                shared_with=other,
                own_height=posts[post - 1].height,
            )
            joined[section - 1] = replace(old, posts=tuple(posts))
    return tuple(joined)

"""Loads: what the code asks each post, bay and panel of a guard to carry.

A guard is leant on and fallen against.  Codes name a load at one point of the top rail, some a load
along it, and one on the infill.  What these mean at the foot of a post is a matter of levers: the
load times its height over the base is a moment, and the moment over the distance between the bolts
is a pull on them.  These are demands to hand to an engineer or an official.  Nothing here is a
design, and nothing says that a post, an anchor or a frame is adequate.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from stairs.answer import Answer
from stairs.columns import table, wrap
from stairs.errors import JobError
from stairs.exact import Amount, derived
from stairs.guard import Section
from stairs.job import Job
from stairs.marks import length_text
from stairs.rules import LOADS, Load
from stairs.tape import MILLIMETRES_PER_INCH

NEWTONS_PER_POUND = Fraction("4.4482216152605")
"""Exact: 0.45359237 kg times 9.80665 m/s2."""

MILLIMETRES_PER_FOOT = 12 * MILLIMETRES_PER_INCH
BOLT_EDGE = {"in": Fraction(3, 4), "mm": Fraction(20)}
"""Base plate's edge to the middle of a bolt where the job does not say; assumed, no source."""

TEST_FACTOR = Fraction(5, 2)
"""Test load over the code's load in tests of residential posts: 500 lbf for 200 lbf (Loferski,
Albright and Woeste, "Tested Guardrail Post Connections for Residential Decks"; excerpt seen)."""

NOT_A_DESIGN = (
    "Demands only, for an engineer or the local official. This is no design: nothing here says "
    "that a post, a base plate, a bolt, a rail or the framing carries them."
)


@dataclass(frozen=True, slots=True)
class PostDemand:
    """What the load at the top asks of one post.

    Parameters
    ----------
    section, post : int
        Which post, both from 1.
    arm : Fraction
        Top of the top rail at the post's higher face over the surface it stands on [job's unit of
        length].
    force : Fraction
        At the top [N].
    moment : Fraction
        At the base [N m].
    bolt_pull : Fraction or None
        In the two bolts of one side of the base plate together [N]; None where no base plate and
        no bolt spacing is given.
    load : str
        ``"guard-point"`` or ``"guard-line"``: the load that it comes from.
    """

    section: int
    post: int
    arm: Fraction
    force: Fraction
    moment: Fraction
    bolt_pull: Fraction | None
    load: str


@dataclass(frozen=True, slots=True)
class BayDemand:
    """What the load along the top asks of one bay.

    Parameters
    ----------
    section, bay : int
        Which bay, both from 1.
    length : Fraction
        Post centre to post centre along the rail [job's unit of length].
    force : Fraction
        The whole load on it [N].
    """

    section: int
    bay: int
    length: Fraction
    force: Fraction


@dataclass(frozen=True, slots=True)
class Demands:
    """The loads of one job.

    Parameters
    ----------
    loads : tuple of Load
        As the rulebook gives them, for the job's use.
    posts : tuple of PostDemand
        Per load and post.
    bays : tuple of BayDemand
        Where the rulebook has a load along the top.
    bolt_spacing : Fraction or None
        Between the two pairs of bolts of a base plate [job's unit of length].
    bolt_spacing_assumed : bool
        Whether it was assumed and has to be measured.
    """

    loads: tuple[Load, ...]
    posts: tuple[PostDemand, ...]
    bays: tuple[BayDemand, ...]
    bolt_spacing: Fraction | None
    bolt_spacing_assumed: bool


def newtons(value: Fraction, unit: str) -> Fraction:
    """A force [N], or a load along a line [N/mm], from the unit that a code gives it in.

    Parameters
    ----------
    value : Fraction
        The load [unit].
    unit : str
        ``"lbf"``, ``"kN"``, ``"lbf/ft"`` or ``"kN/m"``.

    Examples
    --------
    >>> float(newtons(Fraction(200), "lbf")), float(newtons(Fraction(1, 2), "kN/m"))
    (889.6443230521, 0.5)
    """
    return {
        "lbf": NEWTONS_PER_POUND,
        "kN": Fraction(1000),
        "lbf/ft": NEWTONS_PER_POUND / MILLIMETRES_PER_FOOT,
        "kN/m": Fraction(1),
    }[unit] * value


def base_moment(force: Fraction, arm: Fraction, units: str) -> Fraction:
    """The moment at a post's base from a level force at its top [N m].

    Parameters
    ----------
    force : Fraction
        Level [N].
    arm : Fraction
        Its height over the base [units].
    units : str
        ``"in"`` or ``"mm"``.

    Notes
    -----
    ``M = F h``.

    Examples
    --------
    >>> force = newtons(Fraction(200), "lbf")
    >>> pounds_foot = NEWTONS_PER_POUND * MILLIMETRES_PER_FOOT / 1000
    >>> str(base_moment(force, Fraction(36), "in") / pounds_foot)
    '600'
    """
    return force * _millimetres(arm, units) / 1000


def bolt_pull(moment: Fraction, spacing: Fraction, units: str) -> Fraction:
    """The pull that a moment asks of the bolts on one side of a base plate [N].

    Parameters
    ----------
    moment : Fraction
        At the base [N m].
    spacing : Fraction
        Between the two pairs of bolts [units], above 0.
    units : str
        ``"in"`` or ``"mm"``.

    Notes
    -----
    ``T = M / s``: the plate is taken to turn about the other pair.  Prying, which adds to the pull,
    and how the two bolts share it are left to the designer.

    Examples
    --------
    >>> str(bolt_pull(Fraction(90), Fraction(100), "mm"))
    '900'
    """
    return moment * 1000 / _millimetres(spacing, units)


def _fraction(amount: Amount) -> Fraction:
    return amount if isinstance(amount, Fraction) else Fraction(float(amount))


def _millimetres(length: Fraction, units: str) -> Fraction:
    return length * MILLIMETRES_PER_INCH if units == "in" else length


def demands(answer: Answer, bolt_spacing: Fraction | None = None) -> Demands:
    """The loads that a job's rulebook asks of its guard.

    Parameters
    ----------
    answer : Answer
        Of the job.
    bolt_spacing : Fraction, optional
        Between the two pairs of bolts of a base plate, measured [job's unit of length], above 0.
        Left out, the base plate less twice 3/4 in or 20 mm, and marked as assumed.

    Returns
    -------
    Demands
        Without any load where the rulebook lists none.

    Raises
    ------
    JobError
        The spacing is 0 or less, or more than the base plate.

    Notes
    -----
    A load along the top is taken over the rail's own length, post centre to post centre, and a
    post takes half of each bay beside it in its own section.
    """
    job = answer.job
    spacing, assumed = _spacing(job, bolt_spacing)
    loads = tuple(
        load for name in LOADS if (load := answer.rulebook.load(name, job.use)) is not None
    )
    posts: list[PostDemand] = []
    bays: list[BayDemand] = []
    for load in loads:
        if load.id not in ("guard-point", "guard-line"):
            continue
        for section in answer.guard.sections:
            own = [_bay_demand(job, section, index, load) for index in range(len(section.bays))]
            if load.id == "guard-line":
                bays += own
            for index, post in enumerate(section.posts):
                if post.wall:
                    continue
                if load.id == "guard-point":
                    force = newtons(load.value, load.unit)
                else:
                    force = sum(
                        (bay.force / 2 for bay in own[max(index - 1, 0) : index + 1]), Fraction(0)
                    )
                arm = _fraction(post.exact_height) - job.post.reveal
                moment = base_moment(force, arm, job.units)
                pull = None if spacing is None else bolt_pull(moment, spacing, job.units)
                posts.append(
                    PostDemand(section.number, post.number, arm, force, moment, pull, load.id)
                )
    return Demands(loads, tuple(posts), tuple(bays), spacing, assumed)


def _spacing(job: Job, given: Fraction | None) -> tuple[Fraction | None, bool]:
    base = job.post.base
    if given is None:
        if base is None or base <= 2 * BOLT_EDGE[job.units]:
            return None, False
        return base - 2 * BOLT_EDGE[job.units], True
    if given <= 0 or (base is not None and given >= base):
        limit = "" if base is None else f" and below the base plate's {_length(job, base)}"
        raise JobError(
            "bolt spacing",
            f"is {_length(job, given)}",
            f"A bolt spacing is above 0{limit}",
            "Measure it between the middles of the bolts",
        )
    return given, False


def _bay_demand(job: Job, section: Section, index: int, load: Load) -> BayDemand:
    low, high = section.posts[index].x, section.posts[index + 1].x
    slope = 1.0
    if section.flight is not None:
        step = section.flight
        slope = 1 / float(derived("cosine", unit_rise=step.unit_rise, unit_run=step.unit_run))
    length = Fraction((high - low) * slope)
    force = Fraction(0)
    if load.id == "guard-line":
        force = newtons(load.value, load.unit) * _millimetres(length, job.units)
    return BayDemand(section.number, section.bays[index].number, length, force)


# --------------------------------------------------------------------------- text


def loads_text(answer: Answer, bolt_spacing: Fraction | None = None) -> str:
    """The loads to hand on, lines of at most 80 columns.

    Parameters
    ----------
    answer : Answer
        Of a job.
    bolt_spacing : Fraction, optional
        As for :func:`demands`.
    """
    job = answer.job
    found = demands(answer, bolt_spacing)
    blocks = [f"Loads to hand on ({answer.rulebook.id})", wrap(NOT_A_DESIGN)]
    if not found.loads:
        blocks.append(
            wrap(
                f"The rulebook {answer.rulebook.id} lists no loads. Ask the local official which "
                "loads hold"
            )
        )
        return "\n\n".join(blocks) + "\n"
    blocks += [_load_text(load) for load in found.loads]
    for load in found.loads:
        rows = [demand for demand in found.posts if demand.load == load.id]
        if rows:
            blocks.append(_posts_text(job, load, rows))
    if found.bays:
        blocks.append(_bays_text(job, found))
    blocks.append(_remarks(job, found))
    return "\n\n".join(blocks) + "\n"


def _length(job: Job, value: Fraction) -> str:
    return length_text(value, job.units, job.tape)


def _load_text(load: Load) -> str:
    over = f" over {load.over}" if load.over else ""
    first = f"{LOADS[load.id]}: {_number(load.value)} {load.unit}{over}"
    if load.unit in ("lbf", "lbf/ft"):
        metric = newtons(load.value, load.unit)
        first += (
            f" ({float(metric):.0f} N)" if load.unit == "lbf" else f" ({float(metric):.2f} kN/m)"
        )
    lines = [wrap(_capital(first), "", "  ")]
    star = "" if load.verified else "* "
    lines.append(wrap(f"{star}{load.clause}; {load.provenance_text}", "  ", "  "))
    if load.note:
        lines.append(wrap(" ".join(load.note.split()), "  ", "  "))
    return "\n".join(lines)


def _capital(text: str) -> str:
    return text[0].upper() + text[1:]


def _number(value: Fraction) -> str:
    return f"{float(value):g}"


def _imperial(load: Load) -> bool:
    return load.unit.startswith("lbf")


def _force(load: Load, force: Fraction) -> list[str]:
    if _imperial(load):
        return [f"{float(force / NEWTONS_PER_POUND):.0f} lbf", f"{float(force):.0f} N"]
    return [f"{float(force / 1000):.2f} kN"]


def _moment(load: Load, moment: Fraction) -> list[str]:
    if _imperial(load):
        pounds_foot = moment * 1000 / NEWTONS_PER_POUND / MILLIMETRES_PER_FOOT
        return [f"{float(pounds_foot):.0f} lbf·ft", f"{float(moment):.0f} N·m"]
    return [f"{float(moment / 1000):.2f} kN·m"]


def _posts_text(job: Job, load: Load, rows: list[PostDemand]) -> str:
    each = 2 if _imperial(load) else 1
    more = [""] * (each - 1)
    heads = ["post", "arm", "force", "moment", *more, "pull on 2 bolts", *more]
    cells = []
    for row in rows:
        pull = ["-"] + [""] * (each - 1) if row.bolt_pull is None else _force(load, row.bolt_pull)
        cells.append(
            [
                f"{row.section}.{row.post}",
                _length(job, row.arm),
                _force(load, row.force)[0],
                *_moment(load, row.moment),
                *pull,
            ]
        )
    return f"From {LOADS[load.id]}\n" + table(heads, cells, range(1, len(heads)))


def _bays_text(job: Job, found: Demands) -> str:
    load = next(load for load in found.loads if load.id == "guard-line")
    force_heads = ["load on it"] + [""] * (len(_force(load, Fraction(1))) - 1)
    heads = ["bay", "along the rail", *force_heads]
    cells = [
        [f"{bay.section}.{bay.bay}", _length(job, bay.length), *_force(load, bay.force)]
        for bay in found.bays
    ]
    return f"{_capital(LOADS[load.id])}, per bay\n" + table(heads, cells, range(1, len(heads)))


def _remarks(job: Job, found: Demands) -> str:
    lines = [
        wrap(
            "arm: from the surface that the post stands on to the top of the top rail at its "
            "higher face",
            "",
            "  ",
        )
    ]
    if found.bolt_spacing is None:
        lines.append(
            wrap("No pull in bolts: the job gives no base plate to take a bolt spacing from")
        )
    else:
        spacing = _length(job, found.bolt_spacing)
        how = (
            f"{spacing}, assumed as the base plate less twice "
            f"{_length(job, BOLT_EDGE[job.units])}: measure it"
            if found.bolt_spacing_assumed
            else f"{spacing} as given"
        )
        lines.append(
            wrap(
                "pull: moment over the spacing of the two pairs of bolts, on one pair together; "
                f"spacing {how}. Prying, which adds to it, is left to the designer",
                "",
                "  ",
            )
        )
    if found.bays:
        lines.append(
            wrap(
                "A load along the top is taken over the rail's own length, post centre to post "
                "centre; a post takes half of each bay beside it in its own section",
                "",
                "  ",
            )
        )
    point = next((load for load in found.loads if load.id == "guard-point"), None)
    if point is not None and _imperial(point):
        test = point.value * TEST_FACTOR
        lines.append(
            wrap(
                f"Published tests of residential deck posts load them to {_number(TEST_FACTOR)} "
                f"times the code's load, here {_number(test)} lbf (Loferski, Albright and Woeste; "
                "excerpt seen)",
                "",
                "  ",
            )
        )
    if any(not load.verified for load in found.loads):
        lines.append(wrap("* from memory: open the code before relying on it"))
    return "\n".join(lines)

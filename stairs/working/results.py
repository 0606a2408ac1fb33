"""The results that can be explained: what they are called, where they are, what they come from.

Names are those of the machine-readable result where it has one of its own for them.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator, Mapping
from fractions import Fraction
from functools import partial
from typing import Any

from msgspec import Struct

from stairs.errors import JobError
from stairs.guard.solving import Section, solve_section
from stairs.job import Job
from stairs.lengths.tape import as_typed
from stairs.numbers.tolerances import SAME
from stairs.openings.feature import RISER, Feature
from stairs.openings.opening import (
    BALUSTER,
    END,
    FOOT,
    HEAD,
    OPEN_RISER,
    TRIANGLE,
    UNDER_RAIL,
    Opening,
)
from stairs.openings.pocket import Pocket, strip_width
from stairs.openings.under_rail import corner_form
from stairs.parts.bays import Bay
from stairs.parts.bracket import PLUMB_CUT
from stairs.parts.panel import HALF_PITCH
from stairs.parts.posts import Post, length_of
from stairs.relations.exact import Amount, derived
from stairs.relations.quantities import QUANTITIES
from stairs.solution import SectionSolution, Solution
from stairs.working.chain import Builder, Chain, Leaf, chain_of
from stairs.working.contacts import ball_leaf
from stairs.working.told_job import told_job
from stairs.working.window import base_at_post, told_end

SECTION, BAY, POST, OPENING = "section", "bay", "post", "opening"


class Kind(Struct, frozen=True):
    """A name that can be asked for: what it is of, the quantity, what it is in words, and other
    words that lead to it."""

    name: str
    of: str
    quantity: str
    meaning: str
    called: tuple[str, ...] = ()


KINDS = {
    kind.name: kind
    for kind in (
        Kind("risers", SECTION, "risers", "number of risers"),
        Kind("treads", SECTION, "treads", "number of treads"),
        Kind("unit_rise", SECTION, "unit_rise", "one riser", ("riser", "rise")),
        Kind("unit_run", SECTION, "unit_run", "one tread, nosing to nosing", ("going", "run")),
        Kind("total_rise", SECTION, "total_rise", "landing to landing"),
        Kind("total_run", SECTION, "total_run", "first nosing to the end of the last tread"),
        Kind("rake", SECTION, "rake", "stair angle, from level",
             ("racked_angle", "stair_angle", "slope", "angle")),
        Kind("window_low", SECTION, "bottom_gap", "how low the rail may sit, over the nosing line",
             ("bottom_gap_low", "lowest_gap")),
        Kind("window_high", SECTION, "bottom_gap", "how high the rail may sit",
             ("bottom_gap_window", "window", "bottom_gap", "bottom_gap_high", "highest_gap")),
        Kind("guard_height", SECTION, "guard_height", "nosing line to the top of the top rail",
             ("handrail_height",)),
        Kind("panel_height", SECTION, "racked_height", "the panel as it stands, plumb",
             ("racked_height",)),
        Kind("rail_spacing", SECTION, "rail_spacing", "between rail center lines, square to them"),
        Kind("baluster_clear", SECTION, "baluster_clear", "clear between balusters, level",
             ("clear_between_balusters",)),
        Kind("hole_needed", SECTION, "hole_needed", "hole along the rail that a baluster needs"),
        Kind("max_rack", SECTION, "max_rack", "how far the panel racks", ("rack",)),
        Kind("step_sum", SECTION, "step_sum", "two risers and a run"),
        Kind("tread_depth", SECTION, "tread_depth", "nosing to the riser behind it"),
        Kind("post_surface", POST, "surface", "what the post stands on, over the lower landing",
             ("surface",)),
        Kind("post_height", POST, "post_height", "its surface to its top", ("height",)),
        Kind("post_length", POST, "post_length", "end to end", ("length",)),
        Kind("plate_edge", POST, "plate_edge", "base plate to the edge in front of it"),
        Kind("mark_bottom", POST, "bottom_pin_height", "bracket mark for the bottom rail",
             ("marks", "mark", "bracket_mark")),
        Kind("mark_top", POST, "top_pin_height", "bracket mark for the top rail"),
        Kind("spacing", BAY, "centre_distance", "post center to post center"),
        Kind("spacing_along", BAY, "spacing_along", "post center to post center, along the rake"),
        Kind("clear", BAY, "clear", "post face to post face, level", ("bay_clear",)),
        Kind("rail_length", BAY, "rail_length", "each rail, end to end",
             ("cut_length", "rail", "cut")),
        Kind("stock_needed", BAY, "stock_needed", "stock that a rail takes, tip to tip"),
        Kind("trim_low", BAY, "trim_low", "what comes off the bottom end", ("trim",)),
        Kind("trim_high", BAY, "trim_high", "what comes off the top end"),
        Kind("hole", BAY, "hole_position", "bottom end of the cut rail to its first baluster",
             ("holes", "hole_position")),
        Kind("end_gap_low", BAY, "end_gap", "post to first baluster, at the bottom", ("end_gap",)),
        Kind("end_gap_high", BAY, "end_gap", "post to last baluster, at the top"),
        Kind("swing", BAY, "swing", "how far brackets turn from level", ("bracket_angle",)),
        Kind("angle_low", BAY, "angle_low", "between rail and post at the bottom"),
        Kind("angle_high", BAY, "angle_high", "between rail and post at the top"),
        Kind("saw_angle", BAY, "swing", "how far the saw turns from a square cut"),
        Kind("corner_clearance", BAY, "corner_clearance", "post to the nearest corner of the rail"),
        Kind("true_angle", BAY, "true_angle", "between rail and face, where they meet askew"),
        Kind("saw_miter", BAY, "saw_miter", "turn of the saw where rail and post meet askew"),
        Kind("saw_bevel", BAY, "saw_bevel", "tilt of the blade where rail and post meet askew"),
        Kind("tread_opening", OPENING, "corner_circle", "ball over a tread, under the rail",
             ("triangle", "opening", "openings", "ball", "diameter", "circle")),
        Kind("foot_opening", OPENING, "corner_circle", "ball at the foot, under the rail",
             ("foot",)),
        Kind("head_opening", OPENING, "corner_circle", "ball at the head, under the rail",
             ("head",)),
        Kind("under_rail", OPENING, "strip_opening", "ball between rail and what runs along it",
             ("strip",)),
        Kind("baluster_opening", OPENING, "baluster_clear", "ball between balusters",
             ("baluster",)),
        Kind("end_opening", OPENING, "end_gap", "ball between post and baluster", ("end",)),
        Kind("open_riser", OPENING, "open_riser", "ball between two treads"),
    )
}  # fmt: skip
"""What can be asked for, by name."""

_OF_OPENING = {
    TRIANGLE: "tread_opening", FOOT: "foot_opening", HEAD: "head_opening",
    UNDER_RAIL: "under_rail", BALUSTER: "baluster_opening", END: "end_opening",
    OPEN_RISER: "open_riser",
}  # fmt: skip


class Result(Struct, frozen=True):
    """One result of a section: its kind, where it is, and the amount that it is told by, or where
    no closed form gives it the opening.

    ``value`` is what the machine-readable result has, in the job's unit or degrees.
    """

    kind: Kind
    section: int
    amount: Amount | None
    value: float
    bay: int | None = None
    post: int | None = None
    tread: int | None = None
    place: str = ""
    openings: tuple[Opening, Opening] | None = None  # as solved, and with told numbers

    def chain(self) -> Chain:
        """The lines that lead to it; of a ball that no closed form gives, what it touches."""
        if self.amount is not None:
            return chain_of(self.amount, self.kind.quantity)
        builder = Builder()
        ball = self.leaf(builder)
        return Chain(tuple(builder.givens), tuple(builder.lines), ball)

    def leaf(self, builder: Builder) -> Leaf:
        """Its leaf in a chain that is being built."""
        if self.amount is not None:
            return builder.leaf(self.amount, self.kind.quantity)
        assert self.openings is not None
        return ball_leaf(*self.openings, builder)

    @property
    def unit(self) -> str:
        """Of its value, as on the names page."""
        return QUANTITIES[self.kind.quantity].unit


class Asked(Struct, frozen=True):
    """Where a result is asked for, as typed; None where that was left open."""

    section: int | None = None
    post: int | None = None
    bay: int | None = None
    tread: int | None = None


def kind_called(typed: str) -> Kind:
    """The kind of result that is meant by a name, or by another word for it.

    Raises
    ------
    JobError
        There is no such result; the nearest name is told.
    """
    name = "_".join(re.split(r"[\W_]+", typed.strip().lower()))
    by_word = {word: kind for kind in KINDS.values() for word in (*kind.called, kind.name)}
    if name in by_word:
        return by_word[name]
    near = difflib.get_close_matches(name, by_word, n=1)
    raise JobError(
        "explain",
        f"{as_typed(typed)} is no result",
        "stairs explain --list names all that can be explained",
        f"The nearest is {by_word[near[0]].name}" if near else "Take one of those",
    )


def found(solution: Solution, typed: str, asked: Asked) -> tuple[Result, tuple[Result, ...]]:
    """The first result of a name at the place that is asked for, and all others there.

    Raises
    ------
    JobError
        There is no such result, no such place, or this job has no result of the name there.
    """
    kind, count = kind_called(typed), len(solution.sections)
    if asked.section is not None and not 1 <= asked.section <= count:
        raise JobError(
            "--section", f"{asked.section} is no section of this job",
            f"It has {count}" + ("" if count == 1 else f", numbered 1 to {count}"),
            "Give one of them",
        )  # fmt: skip
    numbers = range(1, count + 1) if asked.section is None else [asked.section]
    every = [one for number in numbers for one in results_of(solution, number)]
    named = [one for one in every if one.kind is kind]
    if not named:
        where = "this job" if asked.section is None else f"section {asked.section}"
        has = ", ".join(dict.fromkeys(one.kind.name for one in every))
        raise JobError("explain", f"{where} has no {kind.name}", "", f"It has {has}")
    for option in ("post", "bay", "tread"):
        number = getattr(asked, option)
        if number is None:
            continue
        there = [one for one in named if getattr(one, option) == number]
        if not there:
            at = sorted({getattr(one, option) for one in named} - {None})
            has = f"It is told of {option} {', '.join(map(str, at))}" if at else (
                f"It is of a {kind.of}"
            )  # fmt: skip
            raise JobError(
                f"--{option}", f"{kind.name} has none at {option} {number}", has,
                "Give one of them" if at else f"Leave --{option} out",
            )  # fmt: skip
        named = there
    return named[0], tuple(named[1:])


class ToldSection(Struct, frozen=True):
    """A section as it was solved, and as it was solved with told numbers."""

    part: SectionSolution
    job: Job
    section: Section


def told_section(part: SectionSolution) -> ToldSection:
    """The section solved once more, with numbers that know where they are from."""
    assert part.certainty is not None  # every section was held against the rulebook
    index = part.section.number - 1
    chosen = {"bottom_gap"} if part.gap_chosen else set()
    if part.layout is not None:
        chosen.add("posts")
    job = told_job(part.certainty.job, index, chosen)
    return ToldSection(part, job, solve_section(job, index, only_walls=True))


def results_of(solution: Solution, number: int) -> tuple[Result, ...]:
    """Every result of a section, from 1, that can be explained."""
    told = told_section(solution.sections[number - 1])
    found = [*of_section(told)]
    for post, drawn in zip(told.section.posts, told.part.posts, strict=True):
        found += _of_post(solution, told, post, drawn)
    for bay, drawn_bay in zip(told.section.bays, told.part.bays, strict=True):
        found += _of_bay(solution, told, bay, drawn_bay)
    return (*found, *_of_openings(told))


def _of_openings(told: ToldSection) -> Iterator[Result]:
    by_key = {opening.keys[0]: opening for opening in told.section.openings}
    for drawn in told.part.section.openings:
        opening = by_key.get(drawn.keys[0])
        if opening is None or drawn.diameter <= 0:
            continue
        amount = _ball_amount(drawn, opening)
        if amount is None and drawn.under_rail is None and drawn.panel_end is None:
            continue
        yield Result(
            KINDS[_OF_OPENING[drawn.kind]], told.section.number, amount, drawn.diameter,
            bay=drawn.bay, tread=drawn.tread,
            place=f"{drawn.end} end" if drawn.end else "", openings=(drawn, opening),
        )  # fmt: skip


def _in_corner(pocket: Pocket, at_post: bool) -> Amount:
    """The circle on surface, rail, and riser or upper post."""
    if not at_post:
        return corner_form(pocket)
    return derived(
        "corner_circle", bottom_gap=pocket.front_gap, corner_base=base_at_post(pocket),
        unit_rise=pocket.line_rise, unit_run=pocket.line_run,
    )  # fmt: skip


def _ball_amount(drawn: Opening, told: Opening) -> Amount | None:
    """The told amount that gives an opening's ball; None where no closed form does."""
    if drawn.closed_form is None:
        return None
    amounts: list[Amount] = []
    if told.pocket is not None:
        upright = {one.kind for one in drawn.leans_on if isinstance(one, Feature)}
        amounts.append(_in_corner(told.pocket, RISER not in upright))
    elif told.strip is not None:
        amounts += [strip_width(told.strip), told.strip.clear]
    elif told.closed_form is not None:
        amounts.append(told.closed_form)
    close = SAME * max(1.0, drawn.diameter)
    return next((one for one in amounts if abs(float(one) - drawn.diameter) <= close), None)


_MAIN = (
    "rake", "guard_height", "window_low", "window_high", "baluster_clear", "rail_length",
    "end_gap_low", "end_gap_high", "post_height", "mark_bottom", "mark_top", "tread_opening",
    "foot_opening", "head_opening", "under_rail", "open_riser",
)  # fmt: skip


def main_results(solution: Solution) -> tuple[Result, ...]:
    """What an official or an engineer would work again, of all that come out alike in a section the
    first."""
    chosen = []
    for part in solution.sections:
        every = results_of(solution, part.section.number)
        for name in _MAIN:
            alike: set[float] = set()
            for one in every:
                value = round(one.value, 9)
                if one.kind.name == name and value not in alike:
                    alike.add(value)
                    chosen.append(one)
    return tuple(chosen)


def _step(section: Section) -> dict[str, Amount]:
    if section.flight is None:
        return {"unit_rise": Fraction(0), "unit_run": Fraction(1)}
    return {"unit_rise": section.flight.line_rise, "unit_run": section.flight.line_run}


def _made(told: ToldSection, amounts: Mapping[str, tuple[Amount | None, Any]], **where: Any
) -> Iterator[Result]:  # fmt: skip
    """Those that come to what was solved; where posts lean some are worked out in other ways."""
    for name, (amount, value) in amounts.items():
        if amount is None or value is None:
            continue
        if abs(float(amount) - float(value)) <= SAME * max(1.0, abs(float(value))):
            yield Result(KINDS[name], told.section.number, amount, float(value), **where)


def of_section(told: ToldSection) -> Iterator[Result]:
    """What is told of a section as a whole, its steps first."""
    section, drawn = told.section, told.part.section
    racked, step = section.racked, _step(section)
    amounts: dict[str, tuple[Amount | None, Any]] = {}
    if section.flight is not None and drawn.flight is not None:
        flight = section.flight
        if flight.measure is not None:
            amounts |= {
                name: (flight.measure.values[name], getattr(drawn.flight, name))
                for name in ("risers", "treads")
            }
        amounts |= {
            name: (getattr(flight, name), getattr(drawn.flight, name))
            for name in ("unit_rise", "unit_run", "total_rise", "total_run")
        }
        amounts["rake"] = derived("rake", **step), drawn.rake
        if flight.measure is not None:
            for name in ("step_sum", "tread_depth"):
                amounts[name] = section.exact[name], float(drawn.exact[name])
    amounts |= {
        "guard_height": (section.exact["guard_height"], drawn.guard_height),
        "panel_height": (racked.racked_height, drawn.panel_height),
        "rail_spacing": (racked.rail_spacing, float(drawn.racked.rail_spacing)),
        "baluster_clear": (racked.baluster_clear, float(drawn.racked.baluster_clear)),
    }
    slot = told.job.panel.slot
    if slot is not None:
        amounts["hole_needed"] = racked.hole_needed, racked.hole_needed
        if racked.max_rack_set_by == "slot" and slot.length >= told.job.panel.baluster:
            rack = derived("max_rack", hole_length=slot.length, wall=slot.wall,
                           baluster=told.job.panel.baluster)  # fmt: skip
            amounts["max_rack"] = rack, drawn.racked.max_rack
    yield from _made(told, amounts)
    window, sure = told.part.window, told.part.certainty
    for name, bound in (("window_low", window.low), ("window_high", window.high)):
        if bound is not None and sure is not None:
            end = told_end(bound, section, told.job, sure.rule_for)
            yield from _made(told, {name: (end, float(bound.value))}, place=bound.set_by)


def _of_post(solution: Solution, told: ToldSection, post: Post, drawn: Post) -> Iterator[Result]:
    here = partial(_made, told, post=post.number)
    kind = told.job.post
    if not post.wall and not post.stand.lean:
        height = _governing_height(solution, told, post)
        yield from here(
            {
                "post_surface": (post.stand.surface, drawn.surface),
                "post_height": (height, drawn.height),
                "plate_edge": (post.stand.plate_edge, drawn.plate_edge),
            }
        )
        if kind.below is not None:
            yield from here({"post_length": (length_of(kind, height), drawn.length)})
    if post.stand.lean:
        return
    panel, step = told.job.panel, _step(told.section)
    on_post: dict[str, Any] = {
        "surface": post.stand.surface,
        "bottom_gap": told.section.record.bottom_gap,
        "bottom_rail": panel.bottom_rail,
        **step,
    }
    tall = {"panel_height": panel.height, "top_rail": panel.top_rail}
    for mark in drawn.marks:
        x = _pin_x(told.section, post.number - 1, mark.side)
        form = "bottom_pin_height" if mark.rail == "bottom" else "top_pin_height"
        more = {} if mark.rail == "bottom" else tall
        side = f"the face toward bay {mark.bay}"
        amount = derived(form, x=x, **more, **on_post)
        yield from here({f"mark_{mark.rail}": (amount, mark.height)}, place=side)


def _governing_height(solution: Solution, told: ToldSection, post: Post) -> Amount:
    """The height that a post needs, of one that two sections share the greater of both needs."""
    number = told.section.number
    for join in solution.joins:
        shares = {join.lower: join.below.post, join.upper: join.above.post}
        governs = join.governed_by
        if shares.get(number) == post.number and governs is not None and governs != number:
            other = told_section(solution.sections[governs - 1])
            return other.section.posts[shares[governs] - 1].exact_height
    return post.exact_height


def _pin_x(section: Section, index: int, side: str) -> Amount:
    """Level, from the section's x = 0 to the pin at a face of a post, from 0."""
    positions = tuple(post.stand.centre for post in section.posts)
    if side == "down":
        face = section.ends.down_face(positions, index)
        return derived("pin_x_down", face_x=face, stand_off=section.bays[index - 1].ends.stand_off)
    face_up = section.ends.up_face(positions, index)
    return derived("pin_x_up", face_x=face_up, stand_off=section.bays[index].ends.stand_off_low)


def _of_bay(solution: Solution, told: ToldSection, bay: Bay, drawn: Bay) -> Iterator[Result]:
    section, step = told.section, _step(told.section)
    positions = tuple(post.stand.centre for post in section.posts)
    ends, cut = bay.ends, bay.trims.used
    amounts: dict[str, tuple[Amount | None, Any]] = {
        "spacing": (bay.spacing, float(drawn.spacing)),
        "spacing_along": (bay.spacing_along, float(drawn.spacing_along)),
        "swing": (derived("swing", **step), drawn.ends.swing),
        "angle_low": (derived("angle_low", **step), drawn.ends.angle_low),
        "angle_high": (derived("angle_high", **step), drawn.ends.angle_high),
    }
    amounts |= {
        "clear": (section.ends.clear(positions, bay.number - 1), drawn.clear),
        "rail_length": (ends.rail_length, drawn.rail_length),
        "end_gap_low": (bay.made.end_gap_low, drawn.end_gap_low),
        "end_gap_high": (bay.made.end_gap_high, drawn.end_gap_high),
        "corner_clearance": (ends.corner_clearance, float(drawn.ends.corner_clearance)),
    }
    if told.job.bracket.kind == PLUMB_CUT:
        amounts["stock_needed"] = ends.stock_needed, drawn.stock_needed
        amounts["saw_angle"] = derived("swing", **step), drawn.ends.saw_angle
    if cut is not None and drawn.trims.used is not None:
        shift = told.job.panel.pitch / 2 if cut.way == HALF_PITCH else Fraction(0)
        sizes = {"stock": cut.stock, "rail_length": ends.rail_length}
        for name in ("trim_low", "trim_high"):
            amount = derived(name, **sizes, pattern_shift=shift)
            amounts[name] = amount, getattr(drawn.trims.used, name.removeprefix("trim_"))
        if cut.holes:
            first = derived("hole_position", hole_in_stock=cut.holes[0], **sizes)
            amounts["hole"] = first, drawn.made.along_rail[0]
    yield from _made(told, amounts, bay=bay.number)
    skew = abs(section.ends.skew)
    if bay.number == 1 and skew:
        yield from _made(told, dict(_askew(solution, told, step)), bay=1)


def _askew(
    solution: Solution, told: ToldSection, step: dict[str, Amount]
) -> Iterator[tuple[str, tuple[Amount | None, Any]]]:
    """What a rail that leaves its lower post askew comes to."""
    number, skew = told.section.number, abs(told.section.ends.skew)
    join = next((one for one in solution.joins if one.upper == number), None)
    if join is None:
        return
    if told.section.flight is not None:
        rake = derived("rake", **step)
        yield "true_angle", (derived("true_angle", rake=rake, skew=skew), join.above.true_angle)
    if join.above.saw is not None:
        saw = join.above.saw
        yield "saw_miter", (derived("saw_miter", skew=skew, **step), saw.miter)
        yield "saw_bevel", (derived("saw_bevel", skew=skew, **step), saw.bevel)

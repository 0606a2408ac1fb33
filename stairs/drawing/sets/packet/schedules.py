"""Schedules: every post, rail, bracket and opening of a job in a table of its own.

A schedule is the list that goes with the drawings.  Posts, rails and brackets are listed as they
are bought, cut and marked; openings as they are checked, each kind of a section once where several
come out alike: how wide, what is allowed, by which clause, and the verdict.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from stairs.drawing.paper.primitives import Area, Primitive
from stairs.drawing.sets.packet.loads_page import without_loads
from stairs.drawing.sets.shop.posts import poles
from stairs.drawing.sheets.page_text import Column, Flow, largest
from stairs.drawing.sheets.sheet_words import NOT_READ, ORDER, clause_text, on_tape
from stairs.drawing.views.details.opening import BALL, tried
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.lengths.tape_marks import Number, round_to_mark
from stairs.lists.cut_list import CutList
from stairs.lists.post_cuts import BracketPlace
from stairs.lists.rail_plans import placed_rails, rail_plans
from stairs.openings.opening import FOOT, HEAD, Opening
from stairs.parts.posts import Post
from stairs.progress import at_work
from stairs.report.cuts_text import bracket_words, saw_words
from stairs.report.findings import places_text, value_texts, what_text
from stairs.solution import SectionSolution, Solution

KINDS = {
    "triangle": "under the rail, over a tread",
    "foot": "under the rail, at the foot",
    "head": "under the rail, at the head",
    "under-rail": "under the rail",
    "baluster": "between balusters",
    "end": "beside a post",
    "open-riser": "open riser",
}


def schedules(
    solution: Solution, cuts: CutList, area: Area, checked: Sequence[SectionSolution] = ()
) -> list[list[Primitive]]:
    """All schedules, page after page, as primitives."""
    job = solution.job

    def build(flow: Flow) -> None:
        at_work("schedules of posts, rails and brackets")
        _posts(flow, solution, cuts)
        _rails(flow, solution, cuts)
        _brackets(flow, cuts)
        _openings(flow, solution)
        for part in checked:
            _checks(flow, job, part)
        without_loads(flow, solution)

    return largest((build,), area, (2, 1) if area[2] - area[0] > 330 else (1,))


def _text(job: Job, length: Number | None) -> str:
    return "" if length is None else on_tape(job, length)


def _posts(flow: Flow, solution: Solution, cuts: CutList) -> None:
    text = partial(_text, solution.job)
    flow.heading("Posts")
    by_number = {
        f"{section.number}.{post.number}": (section, post)
        for section in solution.guard.sections
        for post in section.posts
    }
    rows = []
    longer = solution.job.post.below is not None
    for pole in poles(solution, cuts):
        section, post = by_number[pole.name]
        centre = text(round_to_mark(post.x, solution.job.tape))
        marks = "; ".join(
            f"{face.name} {text(face.bottom)} / {text(face.top)}"
            for face in (pole.left, pole.right)
            if face is not None
        )
        rows.append(
            (
                pole.names
                + (f" {pole.hand}" if pole.hand else "")
                + (" (2)" if pole.count == 2 else ""),
                pole.stands_on,
                centre,
                "" if pole.cut.wall else text(pole.height),
                *(("" if pole.cut.wall else text(pole.height + pole.cut.foot),) if longer else ()),
                "" if pole.cut.wall else text(pole.cut.stock) or "none",
                *(() if longer else (text(_plate_edge(post, by_number)),)),
                marks,
            )
        )
    flow.table(
        (
            Column("POST"), Column("BESIDE" if longer else "STANDS ON", least=26.0),
            Column("CENTRE", True), Column("HEIGHT", True),
            *((Column("LENGTH", True),) if longer else ()), Column("STOCK", True),
            *(() if longer else (Column("PLATE TO EDGE", True),)),
            Column("MARKS ON THE FACE TOWARD EACH POST", least=40.0),
        ),
        rows,
    )  # fmt: skip
    flow.paragraph(
        "Centres are from the first nosing of a flight, from the first post of a level run. Marks "
        "are up from what the post "
        + ("stands beside" if longer else "stands on")
        + " to its lower and its upper bracket. "
        + "A post with two numbers serves two sections."
    )


def _plate_edge(post: Post, by_number: dict[str, tuple[Section, Post]]) -> float | None:
    """From a post's base plate to the nearest edge that either section it serves tells."""
    both = [post]
    if post.shared_with is not None:
        both.append(by_number["{}.{}".format(*post.shared_with)][1])
    return min((one.plate_edge for one in both if one.plate_edge is not None), default=None)


def _rails(flow: Flow, solution: Solution, cuts: CutList) -> None:
    text = partial(_text, solution.job)
    flow.heading("Rails")
    rows = []
    stocks = {
        name: f"{one.number} ({text(one.stock)})"
        for name, one in placed_rails(rail_plans(cuts, solution.guard)).items()
    }
    for cut in cuts.rails:
        bay = solution.guard.sections[cut.section - 1].bays[cut.bay - 1]
        rows.append(
            (
                cut.name + (" (2)" if cut.quantity == 2 else ""),
                text(cut.length),
                ", ".join(stocks.get(name, "none") for name in cut.piece_names),
                saw_words(cut),
                str(cut.balusters),
                "" if not cut.running else text(cut.running[0]),
                f"{text(bay.end_gap_low)} / {text(bay.end_gap_high)}",
            )
        )
    flow.table(
        (
            Column("RAIL"), Column("LENGTH", True), Column("FROM STOCK RAIL", True),
            Column("SAW"), Column("BALUSTERS", True),
            Column("FIRST HOLE", True), Column("GAPS BESIDE POSTS", True),
        ),
        rows,
    )  # fmt: skip


def _brackets(flow: Flow, cuts: CutList) -> None:
    groups: dict[tuple[str, float, float, int], list[BracketPlace]] = {}
    for place in cuts.brackets:
        if place.rail == "top":
            key = (bracket_words(place), round(place.swing, 1), place.turn, place.quantity)
            groups.setdefault(key, []).append(place)
    rows = [
        (
            str(2 * sum(place.quantity for place in where)),
            kind,
            f"{swing:.1f}°" if swing else "level",
            f"{turn:g}°" if turn else "none",
            ", ".join(place.place for place in where),
        )
        for (kind, swing, turn, hands), where in groups.items()
    ]
    flow.heading("Brackets", room=min(20.0 + 6.0 * len(rows), 80.0))
    flow.table(
        (
            Column("COUNT", True), Column("KIND", least=30.0), Column("SWING", True),
            Column("TURN IN PLAN", True), Column("TWO EACH ON POST", least=40.0),
        ),
        rows,
    )  # fmt: skip


def _openings(flow: Flow, solution: Solution) -> None:
    flow.heading("Openings")
    groups: dict[tuple[str, ...], dict[int, list[Opening]]] = {}
    job = solution.job
    for part in solution.sections:
        for opening, finding in zip(part.section.openings, part.openings, strict=False):
            how, limit, clause = tried(solution, part.section, opening, finding), "", ""
            if finding.ruling.limit is not None:
                limit = value_texts(job, finding)[1]
                clause = clause_text(finding.ruling)
            unit = " mm" if job.units == "mm" else ""
            size, measure = on_tape(job, opening.diameter), ""
            if how.kind == BALL:
                size = how.value + unit
            else:
                measure = f"{how.kind} {how.value}{unit}"
            kind = KINDS.get(opening.kind, opening.kind)
            key = (kind, size, measure, limit, clause, finding.outcome)
            places = groups.setdefault(key, {}).setdefault(part.section.number, [])
            if opening.kind not in (FOOT, HEAD):
                places.append(opening)
    order = list(KINDS.values())
    rows = [
        (key[0], placed(sections), *key[1:])
        for key, sections in sorted(
            groups.items(), key=lambda item: (order.index(item[0][0]), min(item[1]))
        )
    ]
    columns = [
        Column("OPENING", least=30.0), Column("SECTION: WHERE", least=26.0),
        Column("LARGEST BALL", True), Column("AS THE CODE TRIES IT", least=20.0),
        Column("LIMIT", least=20.0), Column("CLAUSE", least=24.0),
        Column("VERDICT", verdict=True),
    ]  # fmt: skip
    if not any(row[3] for row in rows):  # with balls throughout
        del columns[3]
        rows = [(*row[:3], *row[4:]) for row in rows]
    flow.table(tuple(columns), rows)
    if any(not finding.ruling.verified for part in solution.sections for finding in part.openings):
        flow.paragraph(NOT_READ)


def placed(sections: dict[int, list[Opening]]) -> str:
    """Where openings lie, section by section, numbers in a row put together."""
    told = ((number, places_text(openings)) for number, openings in sections.items())
    return "; ".join(f"{number}: {inner}" if inner else str(number) for number, inner in told)


def _checks(flow: Flow, job: Job, part: SectionSolution) -> None:
    """Every check of one section, as beside its elevation."""
    flow.heading(f"Checks of {part.section.title}")
    rows = []
    for one in sorted(part.findings, key=lambda one: ORDER[one.outcome]):
        value, limit, _ = value_texts(job, one)
        rows.append(
            (
                what_text(job, one),
                value,
                limit,
                clause_text(one.ruling),
                one.outcome,
            )
        )
    flow.table(
        (
            Column("CHECK", least=30.0), Column("FOUND", True), Column("LIMIT"),
            Column("CLAUSE", least=24.0), Column("VERDICT", verdict=True),
        ),
        rows,
    )  # fmt: skip

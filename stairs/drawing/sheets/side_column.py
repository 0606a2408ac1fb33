"""The right-hand column of an elevation: verdicts and notes, laid out in millimetres.

Everything is laid out from the top down as far as it needs, and the bar of the scale stands at the
foot, over the title strip.  A column that would need more than the paper's height is no column: the
caller takes a larger sheet.
"""

from __future__ import annotations

from collections.abc import Sequence

from stairs.drawing.paper.lettering import PAD, PITCH, SMALL, width_of
from stairs.drawing.paper.primitives import (
    MEDIUM,
    Primitive,
    Text,
    line,
    moved,
)
from stairs.drawing.paper.sheet_sizes import BORDER, Paper, Scale
from stairs.drawing.sheets.check_board import GAP, against, legend, table
from stairs.drawing.sheets.own_values import own_rows
from stairs.drawing.sheets.page_text import BAND, Flow, band, strip_of_text
from stairs.drawing.sheets.sheet_words import Facts
from stairs.drawing.sheets.title_block import STRIP, scale_bar
from stairs.guard.solving import Section
from stairs.job import Job
from stairs.lengths.tape_marks import Number, true_text
from stairs.parts.posts import Post
from stairs.parts.stands import Show

_BAR = 13.0  # room of the scale with its bar [mm]
Blocks = Sequence[tuple[str, Sequence[str]]]
"""Lists and notes: each with its heading and its paragraphs."""
OWN_VALUES = "LOCAL VALUES"

CAUTION = (
    "Verify every dimension on site before cutting. This sheet shows geometry only: loads, "
    "anchors, footings and structure are not designed here. The code as adopted locally and the "
    "authority having jurisdiction rule; have it checked by licensed practice."
)

PASSAGE = (
    "The guard stands off to the side, so the space under its rail is a passage. Circles show what "
    "fits in this view; BALL gives the larger ball that passes beside the steps."
)


def column_width(paper: Paper) -> float:
    """Width of the column [mm]."""
    return 100.0 if paper.width < 400 else 130.0


def view_area(paper: Paper, foot: float = 0.0) -> tuple[float, float, float, float]:
    """Room for views beside the column: left, bottom, right and top [mm on paper]."""
    inset = BORDER + 1.5
    return (
        inset,
        inset + STRIP + foot,
        float(paper.width) - BORDER - column_width(paper) - 1.5,
        float(paper.height) - inset,
    )


def column(
    paper: Paper, scale: Scale, facts: Facts, lists: Blocks, compact: int = 0, more: int = 0,
    spare: float = 0.0,
) -> list[Primitive] | None:  # fmt: skip
    """The whole column, or None where the paper is too low for it and so much blank paper [mm]."""
    # compact: for small sheets; at 1, of the checks that pass only heights and openings are told,
    # and so many more; at 2 these stand in running text, and what to change is left to the screen;
    # at 3 they are only counted
    flow = _at_the_top(paper)
    if facts.failing:
        left, right = _edges(paper)
        flow.drawn.extend(band(f"DOES NOT PASS: {facts.failing.upper()}", left, right, flow.y))
        flow.down(BAND)
    against(flow, facts)
    table(flow, facts, compact, more)
    legend(flow, facts.verdicts)
    return _closed(flow, paper, scale, lists, spare)


def shared_column(
    paper: Paper, scale: Scale, told: Sequence[Facts], lists: Blocks
) -> list[Primitive] | None:
    """The column of a sheet with several views, or None where the paper is too low for it."""
    flow = _at_the_top(paper)
    against(flow, told[0])
    for facts in told:
        table(flow, facts, name=facts.view)
        flow.down(GAP)
        flow.rule()
    legend(flow, (one for facts in told for one in facts.verdicts))
    return _closed(flow, paper, scale, lists)


def _edges(paper: Paper) -> tuple[float, float]:
    """Where the column begins and ends, from left to right [mm on paper]."""
    right = float(paper.width) - BORDER
    return right - column_width(paper), right


def _at_the_top(paper: Paper) -> Flow:
    """A column before anything is set."""
    (left, right), top = _edges(paper), float(paper.height) - BORDER
    flow = strip_of_text(left, right, top)
    flow.drawn.append(line((left, BORDER + STRIP), (left, top), "border", MEDIUM))
    return flow


def _closed(
    flow: Flow, paper: Paper, scale: Scale, lists: Blocks, spare: float = 0.0
) -> list[Primitive] | None:
    """The column with its lists and its foot, or None where there is no room for them."""
    for name, paragraphs in lists:
        flow.small_heading(name)
        for words in paragraphs:
            flow.paragraph(words)
    (left, right), y = _edges(paper), BORDER + STRIP + _BAR
    if flow.y - 2.0 - spare < y:
        return None
    flow.drawn.append(line((left, y), (right, y), "scale-bar"))
    words = f"SCALE {scale.words}"
    flow.drawn.append(Text(words, (left + PAD, y - 4.3), SMALL, "scale-bar"))
    flow.drawn.extend(scale_bar(scale, left + PAD, y - 8.0, right - left - 2 * PAD))
    return flow.drawn


# --------------------------------------------------------------------------- notes


def note_blocks(facts: Facts, solved: Section, job: Job) -> Blocks:
    """The notes of a sheet."""
    blocks = [("PARTS", [parts_in_words(solved, job), "Maker and listing:"])]
    if any(opening.flat_diameter is not None for opening in solved.openings):
        blocks.append(("PASSAGE", [PASSAGE]))
    if facts.assumed:
        blocks.append(("ASSUMED", ["; ".join(facts.assumed) + "."]))
    if facts.unusual:
        blocks.append(("MEASURE AGAIN", ["; ".join(facts.unusual) + "."]))
    return [*blocks, ("CAUTION", [CAUTION])]


def notes(
    blocks: Blocks, own: Sequence[str], left: float, right: float, bottom: float
) -> tuple[list[Primitive], float]:
    """The notes side by side along the foot of the view, and how high they reach [mm]."""
    rows = own_rows(own, right - left - 2 * PAD)
    if not blocks and not rows:
        return [], 0.0
    drawn, height = _with_rows(blocks, rows, left, right)
    return [moved(one, 0.0, bottom) for one in drawn], height


def _with_rows(
    blocks: Blocks, rows: Sequence[str], left: float, right: float
) -> tuple[list[Primitive], float]:
    """Blocks of notes beside each other over rows of the whole width, and how high they reach."""
    tries = [_side_by_side(blocks, left, right - left, power) for power in (0.75, 0.9, 1.05)]
    flows, height = min(tries, key=lambda one: one[1]) if blocks else ([], 0.0)
    foot = strip_of_text(left, right, PITCH * len(rows) + 1.6 if rows else 0.0)
    height += foot.y
    drawn = [moved(one, 0.0, height) for flow in flows for one in flow.drawn]
    if rows:
        foot.rule(group="note")
    for row in rows:
        foot.down(PITCH)
        foot.words(row)
    return drawn + foot.drawn, height


def _side_by_side(
    blocks: Blocks, left: float, room: float, power: float
) -> tuple[list[Flow], float]:
    """Blocks of notes beside each other, as wide as their length to that power asks for."""
    least = [width_of(name, SMALL) + 2 * PAD for name, _ in blocks]
    weights = [max(sum(map(len, words)), 60) ** power for _, words in blocks]
    spare = room - sum(least)
    flows, start = [], left
    for (name, paragraphs), weight, narrow in zip(blocks, weights, least, strict=True):
        wide = narrow + spare * weight / sum(weights)
        flow = strip_of_text(start, start + wide, 0.0)
        flow.down(PITCH)
        flow.words(name)
        for words in paragraphs:
            flow.paragraph(words)
        flows.append(flow)
        start += wide
    return flows, max((-flow.y for flow in flows), default=-1.5) + 1.5


def parts_in_words(solved: Section, job: Job) -> str:
    """Sizes of the parts, for who orders them."""

    def show(length: Number) -> str:
        return true_text(length, job.units, job.tape)

    panel, post = job.panel, job.post
    base = f" on {show(post.base)} base plates" if post.base else ""
    if post.below is not None:
        base = f", going on {show(post.below)} below the surface"
    brackets = "pivot brackets" if job.bracket.kind == "pivot" else "plumb-cut rails in brackets"
    count = sum(bay.balusters for bay in solved.bays)
    return (
        f"Rails {show(panel.top_rail)} and {show(panel.bottom_rail)} deep; {count} balusters "
        f"{show(panel.baluster)} wide at {show(panel.pitch)} along the rail; posts "
        f"{show(post.width)} wide{base}; {brackets}."
    )


def posts_in_words(solved: Section, text: Show) -> tuple[str, ...]:
    """Posts and their heights, those that follow each other and are alike in one line."""
    runs: list[list[Post]] = []
    for post in solved.posts:
        if post.wall:
            continue
        if runs and runs[-1][-1].number == post.number - 1 and (
            text(runs[-1][-1].height) == text(post.height)
        ):  # fmt: skip
            runs[-1].append(post)
        else:
            runs.append([post])
    rows = []
    for run in runs:
        first, last = run[0].number, run[-1].number
        name = f"Post {first}" if first == last else f"Posts {first} to {last}"
        rows.append(f"{name}: {text(run[0].height)} tall")
    for post in solved.posts:
        if post.shared_with is not None:
            other, number = post.shared_with
            rows.append(f"Post {post.number} is also post {number} of section {other}")
    return tuple(rows)


def gaps_in_words(solved: Section, text: Show) -> tuple[str, ...]:
    """The gap at every nosing of a measured flight, in running text."""
    survey = solved.flight.survey if solved.flight else None
    gaps = enumerate(survey.line_gaps if survey else (), start=1)
    return (
        "; ".join(f"Nosing {k}: {text(solved.bottom_gap + float(gap))}" for k, gap in gaps) + ".",
    )

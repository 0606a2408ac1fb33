"""The chain of lines behind a result, set on paper: what is given, each relation, its numbers."""

from __future__ import annotations

from collections.abc import Sequence

from stairs.drawing.sheets.formula import Laid, beside, formula, terms, word
from stairs.drawing.sheets.page_text import Column, Flow
from stairs.job import Job
from stairs.report.columns import section_name
from stairs.report.working_text import (
    answer_text,
    given_rows,
    head_text,
    letters,
    number_text,
    place_text,
    why_text,
)
from stairs.solution import Solution
from stairs.working.chain import Leaf, Line
from stairs.working.chapter import chapter_of
from stairs.working.printed import Printed, printed_numbers
from stairs.working.results import Result

_GIVEN = (Column("LETTER"), Column("NUMBER", True), Column("WHAT IT COMES FROM", least=40.0))
_INDENT = 6.0
"""Of what is said under a line, and of a formula that goes on [mm]."""


def set_chain(flow: Flow, solution: Solution, result: Result) -> None:
    """One result with all its lines."""
    job, chain = solution.job, result.chain()
    numbers = printed_numbers(chain, job.units)
    flow.heading(head_text(solution, result))
    flow.paragraph(answer_text(job, result, chain.result, numbers), bold=True)
    flow.skip(1.5)
    flow.table(_GIVEN, given_rows(job, chain, numbers))
    flow.skip(2.0)
    for line in chain.lines:
        _set_line(flow, job, line, numbers)
    if chain.short:
        flow.keep(4 * flow.pitch)
        flow.skip(1.5)
        flow.paragraph("The same in short", bold=True)
        for line in chain.short:
            _set_line(flow, job, line, numbers)


def set_chapter(flow: Flow, solution: Solution, results: Sequence[Result]) -> None:
    """Several results of one section in one chain: what is given once, and every line once."""
    job = solution.job
    chain, parts = chapter_of(results)
    numbers = printed_numbers(chain, job.units, [part.leaf for part in parts])
    section = solution.sections[results[0].section - 1].section
    flow.heading(section_name(section), 40.0)
    flow.table(_GIVEN, given_rows(job, chain, numbers))
    for part in parts:
        where = ", ".join(one for one in (place_text(part.result),) if one)
        told = f"{part.result.kind.name}: {part.result.kind.meaning}"
        flow.keep(5 * flow.pitch)
        flow.skip(2.0)
        flow.paragraph(f"{told}; {where}" if where else told, bold=True)
        for line in part.lines:
            _set_line(flow, job, line, numbers)
        flow.paragraph(answer_text(job, part.result, part.leaf, numbers), bold=True)


def _set_line(flow: Flow, job: Job, line: Line, numbers: dict[int, Printed]) -> None:
    """A line of the chain, broken where it is wider than the room, and what it says under it."""

    def put_in(leaf: Leaf) -> tuple[str, int]:
        return number_text(job, leaf, numbers)

    size = flow.letter
    symbol, equals = word(line.symbol, size), word("=", size)
    trees = [(line.formula, letters)]
    if not isinstance(line.formula, Leaf):
        trees.append((line.formula, put_in))
    result = word(number_text(job, line, numbers)[0], size)
    sides = [formula(tree, leaf, size) for tree, leaf in trees] + [result]
    space, indent = 0.5 * size, symbol.width + 0.5 * size
    row = [symbol]
    for side in sides:
        row += [equals, side]
    whole = beside(row, space)
    rows: list[tuple[float, Laid]] = [(0.0, whole)]
    if whole.width > flow.width:
        rows = []
        for place, side in enumerate(sides):
            pieces = [side] if place == len(sides) - 1 else terms(*trees[place], size)
            lead = [symbol, equals] if place == 0 else [equals]
            at = 0.0 if place == 0 else indent
            rows += _broken(lead, pieces, at, flow.width, space)
    flow.skip(0.7 * size)
    flow.keep(sum(laid.over + laid.under + 0.55 * size for _, laid in rows) + 1.5 * flow.pitch)
    for at, laid in rows:
        flow.too_wide = flow.too_wide or at + laid.width > flow.width + 0.1
        height = laid.over + laid.under + 0.55 * size
        flow.put(laid.at(at, -laid.over - 0.3 * size), height)
    flow.skip(-0.4 * size)
    flow.paragraph(why_text(line), _INDENT)
    flow.skip(0.4 * size)


def _broken(
    lead: Sequence[Laid], pieces: Sequence[Laid], at: float, room: float, space: float
) -> list[tuple[float, Laid]]:
    """Rows of a formula, each with where it begins, broken before a sign."""
    rows: list[tuple[float, Laid]] = []
    row = list(lead)
    further = at + sum(one.width + space for one in lead)
    begun = False
    for piece in pieces:
        wide = beside([*row, piece], space).width
        if begun and at + wide > room:
            rows.append((at, beside(row, space)))
            row, at, begun = [], further, False
        row.append(piece)
        begun = True
    return [*rows, (at, beside(row, space))]

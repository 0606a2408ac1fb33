"""The board of checks: what fails or is near first, and what passes in one quiet list."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec.structs import replace

from stairs.checks.finding import FAIL, MARGINAL, NOT_APPLICABLE, PASS
from stairs.drawing.paper.lettering import PITCH, SMALL, width_of, wrapped
from stairs.drawing.paper.primitives import FINE, MEDIUM, Text, rectangle
from stairs.drawing.sheets.page_text import Flow
from stairs.drawing.sheets.sheet_words import NOT_READ, Facts, Verdict

SIGNS = "Brackets, plate thickness and what lies under the steps are shown diagrammatically."

_HEADS = ("CHECK", "FOUND", "LIMIT", "CLAUSE")
_NARROW = 111.0
"""A column with less room than this has the clause of a check behind its name [mm]."""
_VERDICT_WIDTH = 15.0
_BETWEEN = 2.0
GAP = 1.6
"""Over and under a group of checks [mm]."""


def _cells(verdict: Verdict) -> tuple[str, str, str, str]:
    told = verdict.where and verdict.where not in verdict.title
    title = verdict.title + (f", {verdict.where}" if told else "")
    return title, verdict.value, verdict.limit, verdict.clause


def _told(flow: Flow, cells: tuple[str, str, str, str], also: str = "") -> tuple[str, ...]:
    """What stands in each column of a row: four of them, or three in a narrow column."""
    title, found, limit, clause = cells
    if flow.width >= _NARROW:
        return (f"{title}; also {also}" if also else title), found, limit, clause
    return f"{title}, {clause}", found, limit


def _edges(flow: Flow, verdicts: tuple[Verdict, ...]) -> list[float]:
    """Left edges of the columns, and the right edge of the last: as wide as they must be."""
    rows = [(_told(flow, _HEADS), False)]
    rows += [(_told(flow, _cells(one)), one.verdict in _LOUD) for one in verdicts]
    room = flow.width - _BETWEEN * (len(rows[0][0]) - 1)
    wanted = [
        max(width_of(cells[k], SMALL, bold) for cells, bold in rows)
        for k in range(1, len(rows[0][0]))
    ]
    wide = [min(want, room * share) for want, share in zip(wanted, _SHARES, strict=False)]
    edges = [flow.area[0]]
    for part in (room - sum(wide), *wide):
        edges.append(edges[-1] + part + _BETWEEN)
    return edges


_LOUD = (FAIL, MARGINAL)
_SHARES = (0.19, 0.28, 0.25)
"""The most of a row's room that what was found, its limit and its clause take."""

_TOLD = ("opening", "guard-height", "handrail-height", "post-spacing")
"""How the names of those checks begin that a small sheet tells even where they pass."""


def against(flow: Flow, facts: Facts) -> None:
    """By which book it was checked."""
    for row in wrapped(f"CHECKED AGAINST {facts.whose.code}", SMALL, flow.width, 2):
        flow.down(PITCH + 0.6)
        flow.words(row, group="table")
    flow.down(1.6)
    flow.rule()


def table(flow: Flow, facts: Facts, compact: int = 0, more: int = 0, name: str = "") -> None:
    """What fails or is near first and heavy, then what passes, close together and quiet."""
    loud = tuple(one for one in facts.verdicts if one.verdict in _LOUD)
    passing = [one for one in facts.verdicts if one.verdict == PASS]
    first = [one for one in passing if one.id.startswith(_TOLD)]
    others = [one for one in passing if one not in first]
    rest = [one for one in facts.verdicts if one.verdict == NOT_APPLICABLE]
    shown, left_out = passing, 0
    if compact:
        count = more if compact == 1 else 0
        shown = [] if compact > 1 else [*first, *others[:count]]
        left_out = len(others[count:]) + (len(first) if compact > 2 else 0)
        rest = [one for one in rest if one.id == "post-spacing" and compact < 3]
    if loud or shown or rest:
        passed, told = _joined(shown), _joined(rest)
        edges = _edges(flow, (*loud, *passed, *told))
        heads = _told(flow, _HEADS)
        _row(flow, (name or heads[0], *heads[1:]), edges, heavy=1 if name else 0)
        for verdict in loud:
            _loud_row(flow, verdict, edges, compact < 2)
        _near(flow, loud)
        _quiet_rows(flow, f"PASS: {len(shown)}", passed, edges)
        _quiet_rows(flow, "FOR INFORMATION", told, edges)
    if compact == 2 and first:
        words = [f"{cells[0]}: {cells[1]}, {cells[2]} ({cells[3]})" for cells in map(_cells, first)]
        flow.paragraph(f"PASS: {'; '.join(words)}.", group="table")
    if left_out:
        flow.paragraph(f"And {left_out} more pass; {facts.rest}.", group="table")
    if compact > 1 and any(one.remedy for one in loud):
        flow.paragraph("What to change stands with the checks, or on a larger sheet.")


def legend(flow: Flow, verdicts: Iterable[Verdict]) -> None:
    """What the signs on a board and on the views mean."""
    flow.down(GAP)
    if any(not verdict.verified for verdict in verdicts):
        flow.paragraph(NOT_READ, group="table")
    flow.paragraph(SIGNS, group="table")


def _joined(verdicts: list[Verdict]) -> list[Verdict]:
    """Two limits of one thing, by the same clause, in one row."""
    rows: list[Verdict] = []
    for one in verdicts:
        last = rows[-1] if rows else None
        if last is not None and last == replace(one, id=last.id, limit=last.limit):
            rows[-1] = replace(last, limit=f"{last.limit}, {one.limit}")
        else:
            rows.append(one)
    return rows


def _row(flow: Flow, cells: tuple[str, ...], edges: list[float], start: float = 0.0,
         heavy: int = 0) -> None:  # fmt: skip
    """One row, its first cell so far to the right [mm]; so many cells are heavier."""
    lefts = [edges[0] + start, *edges[1:]]
    rows = [
        wrapped(cell, SMALL, high - low - _BETWEEN + 0.05, 3, k < heavy) or ("",)
        for k, (cell, low, high) in enumerate(zip(cells, lefts, edges[1:], strict=False))
    ]
    for k, (x, lines) in enumerate(zip(lefts, rows, strict=False)):
        for number, content in enumerate(lines, start=1):
            at = (x, flow.y - number * PITCH)
            flow.drawn.append(Text(content, at, SMALL, "table", bold=k < heavy))
    flow.down(max(map(len, rows)) * PITCH)


def _loud_row(flow: Flow, verdict: Verdict, edges: list[float], in_full: bool) -> None:
    """A check that fails or is near, and what to change."""
    flow.down(GAP)
    flow.rule(FINE)
    flow.down(0.6)
    words = f"FAIL {verdict.mark}" if verdict.verdict == FAIL else "NEAR"
    fails = verdict.verdict == FAIL
    x, y = flow.area[0], flow.y - PITCH
    wide = width_of(words, SMALL, True)
    flow.drawn.append(
        rectangle((x - 0.9, y - 0.75), (x + wide + 0.9, y + SMALL + 0.75),
                  "table", 0.0 if fails else MEDIUM, fill="ink" if fails else None)
    )  # fmt: skip
    flow.drawn.append(Text(words, (x, y), SMALL, "table", bold=True, blank=fails))
    _row(flow, _told(flow, _cells(verdict), verdict.also), edges, _VERDICT_WIDTH, heavy=2)
    if verdict.remedy and in_full:
        flow.paragraph(verdict.remedy, _VERDICT_WIDTH)


def _near(flow: Flow, loud: tuple[Verdict, ...]) -> None:
    """The end of what is heavy, with what near means."""
    if any(one.verdict == MARGINAL for one in loud):
        flow.paragraph(
            "Passes as drawn, but not with every measurement as far off as it may be.",
            _VERDICT_WIDTH,
        )
    flow.down(GAP)
    flow.rule(MEDIUM if loud else FINE)


def _quiet_rows(flow: Flow, name: str, verdicts: list[Verdict], edges: list[float]) -> None:
    """Checks that ask for nothing, under their common name."""
    if not verdicts:
        return
    flow.down(PITCH + GAP)
    flow.words(name, group="table")
    for verdict in verdicts:
        _row(flow, _told(flow, _cells(verdict)), edges)

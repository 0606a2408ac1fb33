"""The right-hand column of an elevation: verdicts and notes, laid out in millimetres.

Everything is laid out from the top down as far as it needs, and the bar of the scale stands at the
foot, over the title strip.  A column that would need more than the paper's height is no column: the
caller takes a larger sheet.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct, field
from msgspec.structs import replace

from stairs.drawing.facts import FAIL, MARGINAL, NOT_APPLICABLE, PASS, Facts, Verdict
from stairs.drawing.flow import band
from stairs.drawing.lettering import SMALL, width_of, wrapped
from stairs.drawing.own_values import own_rows
from stairs.drawing.paper import BORDER, Paper, Scale
from stairs.drawing.primitives import (
    FINE,
    MEDIUM,
    Primitive,
    Text,
    line,
    moved,
    rectangle,
)
from stairs.drawing.title_block import PITCH, STRIP, scale_bar
from stairs.marks import true_text

_PAD = 2.0
_BAR = 13.0  # room of the scale with its bar [mm]
Blocks = Sequence[tuple[str, Sequence[str]]]
"""Notes: each with its heading and its paragraphs."""
OWN_VALUES = "LOCAL VALUES"

CAUTION = (
    "Verify every dimension on site before cutting. This sheet shows geometry only: loads, "
    "anchors, footings and structure are not designed here. The code as adopted locally and the "
    "authority having jurisdiction rule; have it checked by licensed practice."
)

SIGNS = "Brackets, plate thickness and what lies under the steps are drawn as signs."
PASSAGE = (
    "The guard stands off to the side, so the space under its rail is a passage. Circles show what "
    "fits in this view; BALL gives the larger ball that passes beside the steps."
)


def column_width(paper: Paper) -> float:
    """Width of the column [mm].

    Parameters
    ----------
    paper : Paper
        Lying; one of 400 mm or more across has a wider column.
    """
    return 100.0 if paper.width < 400 else 130.0


class _Pen(Struct):
    """A place on the column that moves down as things are set."""

    left: float
    right: float
    y: float
    drawn: list[Primitive] = field(default_factory=list)

    def down(self, distance: float) -> None:
        """Go on lower down.

        Parameters
        ----------
        distance : float
            How far, 0 or more [mm].
        """
        self.y -= distance

    def text(self, content: str, x: float, group: str, height: float = SMALL, **more) -> None:
        """One line of lettering on the pen's own height.

        Parameters
        ----------
        content : str
            Cleaned text.
        x : float
            Where it starts [mm on paper].
        group : str
            As for :class:`stairs.drawing.primitives.Stroke`.
        height : float
            Of a capital [mm].
        **more
            As for :class:`stairs.drawing.primitives.Text`.
        """
        self.drawn.append(Text(content, (x, self.y), height, group, **more))

    def rule(self, weight: float = FINE, group: str = "table") -> None:
        """A level line across the whole column.

        Parameters
        ----------
        weight : float
            Line width [mm].
        group : str
            As for :class:`stairs.drawing.primitives.Stroke`.
        """
        self.drawn.append(line((self.left, self.y), (self.right, self.y), weight, group))

    def paragraph(self, content: str, group: str, indent: float = 0.0) -> None:
        """A paragraph in small lettering, line under line.

        Parameters
        ----------
        content : str
            Any text.
        group : str
            As for :class:`stairs.drawing.primitives.Stroke`.
        indent : float
            From where text begins in the column to its lines [mm].
        """
        room = self.right - self.left - 2 * _PAD - indent
        for row in wrapped(content, SMALL, room):
            self.down(PITCH)
            self.text(row, self.left + _PAD + indent, group)

    def heading(self, content: str, group: str) -> None:
        """A heading in small lettering, a little apart from what stands over it.

        Parameters
        ----------
        content : str
            Cleaned text that fits one line.
        group : str
            As for :class:`stairs.drawing.primitives.Stroke`.
        """
        self.down(PITCH + 1.6)
        self.text(content, self.left + _PAD, group)


def column(
    paper: Paper,
    scale: Scale,
    facts: Facts,
    unplaced: tuple[str, ...] = (),
    compact: int = 0,
    lists: tuple[tuple[str, tuple[str, ...]], ...] = (),
    own: bool = False,
    more: int = 0,
    blocks: Blocks = (),
    spare: float = 0.0,
) -> list[Primitive] | None:
    """The whole column, or None where the paper is too low for it.

    Parameters
    ----------
    paper : Paper
        The sheet.
    scale : Scale
        Of the view, for its bar.
    facts : Facts
        What is lettered.
    unplaced : tuple of str
        What the view had no room to letter.
    compact : int
        For small sheets: at 1, of the checks that pass only heights and openings are told; at 2,
        these stand in running text, and what to change is left to the screen; at 3 they are only
        counted.
    lists : tuple of (str, tuple of str)
        Schedules of what the view had no room for, each with its heading.
    own : bool
        Whether the user's own values stand here, and not among the notes.
    more : int
        At ``compact`` 1, so many more of the checks that pass are told.
    blocks : Blocks
        Notes, where they stand here and not along the foot of the view.
    spare : float
        Room that has to be left [mm].
    """
    right = float(paper.width) - BORDER
    left = right - column_width(paper)
    top, foot = float(paper.height) - BORDER, BORDER + STRIP
    pen = _Pen(left, right, top)
    pen.drawn.append(line((left, foot), (left, top), MEDIUM, "border"))
    _band(pen, facts)
    _table(pen, facts, compact, more)
    if own and facts.overrides:
        lists = ((OWN_VALUES, facts.overrides), *lists)
    for heading, rows in lists:
        pen.heading(heading, "note")
        for words in rows:
            pen.paragraph(words, "note")
    _unplaced(pen, unplaced)
    for name, paragraphs in blocks:
        pen.heading(name, "note")
        for words in paragraphs:
            pen.paragraph(words, "note")
    if pen.y - 2.0 - spare < foot + _BAR:
        return None
    y = foot + _BAR
    pen.drawn.append(line((left, y), (right, y), FINE, "scale-bar"))
    words = f"SCALE {scale.words}"
    pen.drawn.append(Text(words, (left + _PAD, y - 4.3), SMALL, "scale-bar"))
    pen.drawn += scale_bar(scale, left + _PAD, y - 8.0, right - left - 2 * _PAD)
    return pen.drawn


def _band(pen: _Pen, facts: Facts) -> None:
    if not facts.failing:
        return
    low = pen.y - 9.0
    pen.drawn += band(f"DOES NOT PASS: {facts.failing.upper()}", pen.left, pen.right, pen.y)
    pen.y = low


# --------------------------------------------------------------------------- verdicts

_HEADS = ("CHECK", "FOUND", "LIMIT", "CLAUSE")
_NARROW = 115.0
"""A column narrower than this has the clause of a check behind its name [mm]."""
_VERDICT_WIDTH = 15.0
_BETWEEN = 2.0
_GAP = 1.6  # over and under a group of checks [mm]


def _cells(verdict: Verdict) -> tuple[str, str, str, str]:
    told = verdict.where and verdict.where not in verdict.title
    title = verdict.title + (f", {verdict.where}" if told else "")
    clause = verdict.clause.replace("_", " ") + ("" if verdict.verified else "*")
    return title, verdict.value, verdict.limit, clause


def _told(pen: _Pen, cells: tuple[str, str, str, str], also: str = "") -> tuple[str, ...]:
    """What stands in each column of a row: four of them, or three in a narrow column."""
    title, found, limit, clause = cells
    if pen.right - pen.left >= _NARROW:
        return (f"{title}; also {also}" if also else title), found, limit, clause
    return f"{title}, {clause}", found, limit


def _edges(pen: _Pen, verdicts: tuple[Verdict, ...]) -> list[float]:
    """Left edges of the columns, and the right edge of the last: as wide as they must be."""
    rows = [(_told(pen, _HEADS), False)]
    rows += [(_told(pen, _cells(one)), one.verdict in _LOUD) for one in verdicts]
    room = pen.right - pen.left - 2 * _PAD - _BETWEEN * (len(rows[0][0]) - 1)
    wanted = [
        max(width_of(cells[k], SMALL, bold) for cells, bold in rows)
        for k in range(1, len(rows[0][0]))
    ]
    wide = [min(want, room * share) for want, share in zip(wanted, _SHARES, strict=False)]
    edges = [pen.left + _PAD]
    for part in (room - sum(wide), *wide):
        edges.append(edges[-1] + part + _BETWEEN)
    return edges


_LOUD = (FAIL, MARGINAL)
_SHARES = (0.19, 0.28, 0.25)
"""The most of a row's room that what was found, its limit and its clause take."""

_TOLD = ("opening", "guard-height", "handrail-height", "post-spacing")
"""How the names of those checks begin that a small sheet tells even where they pass."""


def _table(pen: _Pen, facts: Facts, compact: int = 0, more: int = 0) -> None:
    """What fails or is near first and heavy, then what passes, close together and quiet."""
    for row in wrapped(f"CHECKED AGAINST {facts.rules}", SMALL, pen.right - pen.left - 2 * _PAD, 2):
        pen.down(PITCH + 0.6)
        pen.text(row, pen.left + _PAD, "table")
    pen.down(1.6)
    pen.rule()
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
        edges = _edges(pen, (*loud, *passed, *told))
        _row(pen, _told(pen, _HEADS), edges)
        for verdict in loud:
            _loud_row(pen, verdict, edges, compact < 2)
        _near(pen, loud)
        _quiet_rows(pen, f"PASS: {len(shown)}", passed, edges)
        _quiet_rows(pen, "FOR INFORMATION", told, edges)
    if compact == 2 and first:
        words = [f"{cells[0]}: {cells[1]}, {cells[2]} ({cells[3]})" for cells in map(_cells, first)]
        pen.paragraph(f"PASS: {'; '.join(words)}.", "table")
    if left_out:
        pen.paragraph(f"And {left_out} more pass; {facts.rest}.", "table")
    if compact > 1 and any(one.remedy for one in loud):
        pen.paragraph("What to change stands with the checks, or on a larger sheet.", "note")
    pen.down(_GAP)
    if any(not verdict.verified for verdict in facts.verdicts):
        pen.paragraph("* limit not read in the code itself", "table")
    pen.paragraph(SIGNS, "table")


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


def _row(pen: _Pen, cells: tuple[str, ...], edges: list[float], start: float = 0.0,
         bold: bool = False) -> None:  # fmt: skip
    """One row; its name begins so far to the right of the others [mm], and may be heavier."""
    lefts = [edges[0] + start, *edges[1:]]
    rows = [
        wrapped(cell, SMALL, high - low - _BETWEEN + 0.05, 3, bold and k < 2) or ("",)
        for k, (cell, low, high) in enumerate(zip(cells, lefts, edges[1:], strict=False))
    ]
    for k, (x, lines) in enumerate(zip(lefts, rows, strict=False)):
        for number, content in enumerate(lines, start=1):
            at = (x, pen.y - number * PITCH)
            pen.drawn.append(Text(content, at, SMALL, "table", bold=bold and k < 2))
    pen.down(max(map(len, rows)) * PITCH)


def _loud_row(pen: _Pen, verdict: Verdict, edges: list[float], in_full: bool) -> None:
    """A check that fails or is near, and what to change."""
    pen.down(_GAP)
    pen.rule(FINE)
    pen.down(0.6)
    words = f"FAIL {verdict.mark}" if verdict.verdict == FAIL else "NEAR"
    fails = verdict.verdict == FAIL
    x, y = pen.left + _PAD, pen.y - PITCH
    wide = width_of(words, SMALL, True)
    pen.drawn.append(
        rectangle((x - 0.9, y - 0.75), (x + wide + 0.9, y + SMALL + 0.75), 0.0 if fails else MEDIUM,
                  "table", fill="ink" if fails else None)
    )  # fmt: skip
    pen.drawn.append(Text(words, (x, y), SMALL, "table", bold=True, blank=fails))
    _row(pen, _told(pen, _cells(verdict), verdict.also), edges, _VERDICT_WIDTH, bold=True)
    if verdict.remedy and in_full:
        pen.paragraph(verdict.remedy, "note", _VERDICT_WIDTH)


def _near(pen: _Pen, loud: tuple[Verdict, ...]) -> None:
    """The end of what is heavy, with what near means."""
    if any(one.verdict == MARGINAL for one in loud):
        pen.paragraph(
            "Passes as drawn, but not with every measurement as far off as it may be.", "note",
            _VERDICT_WIDTH,
        )  # fmt: skip
    pen.down(_GAP)
    pen.rule(MEDIUM if loud else FINE)


def _quiet_rows(pen: _Pen, name: str, verdicts: list[Verdict], edges: list[float]) -> None:
    """Checks that ask for nothing, under their common name."""
    if not verdicts:
        return
    pen.down(PITCH + _GAP)
    pen.text(name, pen.left + _PAD, "table")
    for verdict in verdicts:
        _row(pen, _told(pen, _cells(verdict)), edges)


# --------------------------------------------------------------------------- notes


def _unplaced(pen: _Pen, unplaced: tuple[str, ...]) -> None:
    """What stands on no line of the view."""
    if unplaced:
        pen.heading("NOT LETTERED ON THE VIEW", "note")
        pen.paragraph("; ".join(unplaced) + ".", "note")


def note_blocks(facts: Facts, solved, job) -> Blocks:
    """The notes of a sheet.

    Parameters
    ----------
    facts : Facts
        What is lettered.
    solved : stairs.guard.Section
        For the parts' sizes.
    job : stairs.job.Job
        For the parts' sizes.
    """
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
    """The notes side by side along the foot of the view, and how high they reach [mm].

    Parameters
    ----------
    blocks : Blocks
        Side by side; none where they stand in the column.
    own : sequence of str
        The user's own values, under them; none where they stand in the column.
    left, right, bottom : float
        Of the strip [mm on paper].
    """
    rows = own_rows(own, right - left - 2 * _PAD)
    if not blocks and not rows:
        return [], 0.0
    drawn, height = _with_rows(blocks, rows, left, right)
    return [moved(one, 0.0, bottom) for one in drawn], height


def _with_rows(blocks, rows, left: float, right: float) -> tuple[list[Primitive], float]:
    """Blocks of notes beside each other over rows of the whole width, and how high they reach."""
    tries = [_side_by_side(blocks, left, right - left, power) for power in (0.75, 0.9, 1.05)]
    pens, height = min(tries, key=lambda one: one[1]) if blocks else ([], 0.0)
    foot = _Pen(left, right, PITCH * len(rows) + 1.6 if rows else 0.0)
    height += foot.y
    drawn = [moved(one, 0.0, height) for pen in pens for one in pen.drawn]
    if rows:
        foot.rule(group="note")
    for row in rows:
        foot.down(PITCH)
        foot.text(row, left + _PAD, "note")
    return drawn + foot.drawn, height


def _side_by_side(blocks, left: float, room: float, power: float) -> tuple[list[_Pen], float]:
    """Blocks of notes beside each other, as wide as their length to that power asks for."""
    least = [width_of(name, SMALL) + 2 * _PAD for name, _ in blocks]
    weights = [max(sum(map(len, words)), 60) ** power for _, words in blocks]
    spare = room - sum(least)
    pens, start = [], left
    for (name, paragraphs), weight, narrow in zip(blocks, weights, least, strict=True):
        wide = narrow + spare * weight / sum(weights)
        pen = _Pen(start, start + wide, 0.0)
        pen.down(PITCH)
        pen.text(name, start + _PAD, "note")
        for words in paragraphs:
            pen.paragraph(words, "note")
        pens.append(pen)
        start += wide
    return pens, max((-pen.y for pen in pens), default=-1.5) + 1.5


def parts_in_words(solved, job) -> str:
    """Sizes of the parts, for who orders them.

    Parameters
    ----------
    solved : stairs.guard.Section
        For the number of balusters.
    job : stairs.job.Job
        For the sizes, and the units and the tape that they are told in.
    """

    def show(length) -> str:
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


def posts_in_words(solved, text) -> tuple[str, ...]:
    """Posts and their heights, those that follow each other and are alike in one line.

    Parameters
    ----------
    solved : stairs.guard.Section
        Walls that carry its rails are passed over.
    text : callable
        Turns a length of the work into lettering; heights that read alike are alike.
    """
    runs: list[list] = []
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


def gaps_in_words(solved, text) -> tuple[str, ...]:
    """The gap at every nosing of a measured flight, in running text.

    Parameters
    ----------
    solved : stairs.guard.Section
        A flight, solved, that was measured nosing by nosing.
    text : callable
        Turns a length of the work into lettering.
    """
    gaps = enumerate(solved.flight.survey.line_gaps, start=1)
    return (
        "; ".join(f"Nosing {k}: {text(solved.bottom_gap + float(gap))}" for k, gap in gaps) + ".",
    )

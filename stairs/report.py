"""The answer as a person on site reads it: setting-out first, then cuts, then verdicts.

Everything fits 80 columns and needs no colour.  Lengths to be set, cut or marked are on the tape's
marks; a checked value is printed so that it never reads as if it were on the other side of its
limit.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from stairs.answer import Answer, SectionAnswer
from stairs.checks import FAIL, MARGINAL, NOT_APPLICABLE, PASS, Finding
from stairs.job import Job
from stairs.marks import length_text, text_against_limit

WIDTH = 80

CAUTION = (
    "A guard keeps people from falling. These figures come from the measurements given and are no "
    "design: anchors, loads and framing are not checked. Measure again before cutting. The local "
    "code as adopted, its officials and licensed practice decide."
)


def solve_text(answer: Answer) -> str:
    """The setting-out of every section.

    Parameters
    ----------
    answer : Answer
        Of a job.

    Returns
    -------
    str
        Lines of at most 80 columns.
    """
    blocks = [_head(answer)]
    for part in answer.sections:
        blocks += _setting_out(answer.job, part)
    blocks += [_assumed(answer), _wrap(CAUTION)]
    return "\n\n".join(block for block in blocks if block) + "\n"


def check_text(answer: Answer) -> str:
    """The setting-out in short and every verdict, failures with their remedies.

    Parameters
    ----------
    answer : Answer
        Of a job.
    """
    blocks = [_head(answer)]
    for part in answer.sections:
        blocks.append(_section_head(answer.job, part))
        blocks.append(_window_line(answer.job, part))
        if part.section.flight is not None and part.section.flight.survey is not None:
            slips = part.section.flight.survey.slips
            blocks.append("\n".join(text for slip in slips for text in _slip(answer.job, slip)))
        blocks.append(_verdicts(answer.job, part))
    blocks += [_unverified(answer), _assumed(answer), _summary(answer), _wrap(CAUTION)]
    return "\n\n".join(block for block in blocks if block) + "\n"


def working_text(answer: Answer) -> str:
    """How each flight was fixed: relation, the numbers put in, the result."""
    lines = []
    for part in answer.sections:
        section = part.section
        if section.flight is None or section.flight.measure is None:
            continue
        lines.append(f"{_name(section)}: how the flight is fixed")
        for work in section.flight.measure.working:
            numbers = ", ".join(
                f"{name.replace('_', ' ')} {_plain(answer.job, name, value)}"
                for name, value in work.given
                if name != "flush_tread"
            )
            lines += _wrap(
                f"{work.quantity.replace('_', ' ')} = "
                f"{_plain(answer.job, work.quantity, work.value)}  from {numbers} "
                f"({work.relation})",
                "  ",
                "      ",
            ).splitlines()
        for remark in section.flight.measure.remarks:
            lines += _wrap(remark, "  note: ", "        ").splitlines()
    return "\n".join(lines) + "\n"


# --------------------------------------------------------------------------- pieces


def _plain(job: Job, name: str, value) -> str:
    if name in ("risers", "treads"):
        return f"{float(value):g}"
    if name == "rake":
        return f"{float(value):.2f}°"
    return _length(job, float(value))


def _length(job: Job, value: float) -> str:
    return length_text(value, job.units, job.tape)


def _wrap(text: str, first: str = "", rest: str = "") -> str:
    return textwrap.fill(
        text,
        WIDTH,
        initial_indent=first,
        subsequent_indent=rest,
        break_long_words=True,
        break_on_hyphens=False,
    )


def _name(section) -> str:
    kind = "Flight" if section.kind == "flight" else "Level run"
    name = section.name[:60] if section.name else ""
    return f"{kind} {section.number}" + (f", {name}" if name else "")


def _table(heads: Sequence[str], rows: Sequence[Sequence[str]], right: Sequence[int] = ()) -> str:
    """Columns as wide as they must be, two spaces apart, indented by two."""
    widths = [max(len(row[i]) for row in (heads, *rows)) for i in range(len(heads))]
    lines = []
    for row in (heads, *rows):
        cells = [
            cell.rjust(width) if index in right else cell.ljust(width)
            for index, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        lines.append(("  " + "  ".join(cells)).rstrip())
    return "\n".join(lines)


def _head(answer: Answer) -> str:
    book = answer.rulebook
    title = answer.job.title or "Stair guard"
    lines = _wrap(title).splitlines()
    unit = "inches" if answer.job.units == "in" else "millimetres"
    mark = length_text(answer.job.tape, answer.job.units, answer.job.tape)
    lines += _wrap(f"{book.title} {book.edition} ({book.id}); {unit}, to {mark}").splitlines()
    for own in answer.job.local:
        value = (
            _length(answer.job, float(own.limit))
            if own.check in _lengths()
            else f"{float(own.limit):g}"
        )
        lines += _wrap(f"own value: {own.check} {value}: {own.reason}", "  ", "    ").splitlines()
    return "\n".join(lines)


def _lengths() -> frozenset[str]:
    from stairs.rules import CHECKS

    return frozenset(name for name, check in CHECKS.items() if check.unit == "length")


def _section_head(job: Job, part: SectionAnswer) -> str:
    section = part.section
    if section.kind != "flight":
        return "\n".join(
            [
                f"{_name(section)}",
                f"  {_length(job, section.total_run)} between end posts, bottom gap "
                f"{_length(job, section.bottom_gap)}, guard height "
                f"{_length(job, section.guard_height)}",
            ]
        )
    treads = "tread" if section.treads == 1 else "treads"
    lines = [
        f"{_name(section)}",
        f"  {section.risers} risers of {_length(job, section.unit_rise)}, "
        f"{section.treads} {treads} "
        f"of {_length(job, section.unit_run)}, rake {section.rake:.1f}°",
        f"  total rise {_length(job, section.total_rise)}, total run "
        f"{_length(job, section.total_run)}",
    ]
    chosen = " (chosen)" if part.gap_chosen else ""
    lines.append(
        f"  bottom gap {_length(job, section.bottom_gap)}{chosen}, guard height over the "
        f"nosings {_length(job, section.guard_height)}"
    )
    return "\n".join(lines)


def _setting_out(job: Job, part: SectionAnswer) -> list[str]:
    section = part.section
    where = "first nosing" if section.kind == "flight" else "first post"
    rows = []
    for post in section.posts:
        buy = "-" if post.stock is None else _length(job, post.stock)
        rows.append(
            [str(post.number), _length(job, post.x), post.stands_on, _length(job, post.height), buy]
        )
    blocks = [
        _section_head(job, part),
        f"Posts: x level from the {where} to the post's centre, up-stair positive\n"
        + _table(["post", "x", "stands on", "height", "buy"], rows, (1, 3, 4)),
        _marks(job, section),
        _rails(job, section),
        _brackets(job, section),
        _window_line(job, part),
    ]
    blocks.append(_remarks(job, part))
    return blocks


def _remarks(job: Job, part: SectionAnswer) -> str:
    """Surplus measurements that agree only within the tape; a measured flight, step by step."""
    flight = part.section.flight
    if flight is None:
        return ""
    if flight.measure is not None:
        return "\n".join(_wrap(text, "note: ", "      ") for text in flight.measure.remarks)
    survey = flight.survey
    rows = []
    for index, (x, y) in enumerate(part.section.nosings):
        run = "" if index == 0 else _length(job, float(survey.runs[index - 1]))
        own = part.section.bottom_gap + float(survey.line_gaps[index])
        rows.append(
            [
                str(index + 1),
                _length(job, x),
                _length(job, y),
                _length(job, float(survey.rises[index])),
                run,
                _length(job, own),
            ]
        )
    lines = [
        "Steps as measured; the rail follows the line that covers all nosings and lies",
        "least far above the lowest of them",
        _table(["nosing", "x", "y", "rise", "run", "gap to rail"], rows, (0, 1, 2, 3, 4, 5)),
    ]
    for name, line in (("ends", survey.ends), ("mean", survey.mean)):
        lowest = min(float(line.height(x) - y) for x, y in flight.points)
        what = "through the first and last nosing" if name == "ends" else "of least squares"
        lines += _wrap(
            f"the line {what} would pass {_length(job, max(-lowest, 0.0))} under a nosing",
            "  ",
            "    ",
        ).splitlines()
    worst = max(
        range(len(survey.rises)),
        key=lambda index: abs(float(survey.rises[index]) - float(flight.unit_rise)),
    )
    lines.append(
        f"  worst step: riser {worst + 1}, {_length(job, float(survey.rises[worst]))} against a mean "
        f"of {_length(job, float(flight.unit_rise))}"
    )
    lines += [text for slip in survey.slips for text in _slip(job, slip)]
    return "\n".join(lines)


def _slip(job: Job, slip) -> list[str]:
    return _wrap(
        f"measure again: nosing {slip.nosing}, {slip.axis} reads "
        f"{_length(job, float(slip.read))}; its neighbours and the other steps make it about "
        f"{_length(job, float(slip.expected))}",
        "  ",
        "    ",
    ).splitlines()


def _marks(job: Job, section) -> str:
    what = "pin" if any(bay.saw_angle == 0 for bay in section.bays) else "rail axis"
    rows = []
    for post in section.posts:
        for side in ("down", "up"):
            heights = {mark.rail: mark.height for mark in post.marks if mark.side == side}
            if not heights:
                continue
            bay = next(mark.bay for mark in post.marks if mark.side == side)
            face = f"{side}-stair" if section.kind == "flight" else side
            rows.append(
                [
                    str(post.number),
                    face,
                    str(bay),
                    _length(job, heights["bottom"]),
                    _length(job, heights["top"]),
                ]
            )
    return (
        f"Bracket marks: height of the {what} over the surface that the post stands on\n"
        + _table(["post", "face", "bay", "bottom rail", "top rail"], rows, (2, 3, 4))
    )


def _rails(job: Job, section) -> str:
    rows = []
    for bay in section.bays:
        stock = "none" if bay.stock is None else _length(job, bay.stock)
        if bay.trim_low is None:
            off = "-"
        elif abs(bay.trim_low - bay.trim_high) < 1e-9:
            off = _length(job, bay.trim_low)
        else:
            off = f"{_length(job, bay.trim_low)} / {_length(job, bay.trim_high)}"
        gaps = _length(job, bay.end_gap_low)
        if abs(bay.end_gap_low - bay.end_gap_high) > 1e-9:
            gaps += f" / {_length(job, bay.end_gap_high)}"
        rows.append(
            [
                str(bay.number),
                _length(job, bay.clear),
                _length(job, bay.rail_length),
                stock,
                off,
                str(bay.balusters),
                gaps,
            ]
        )
    heads = ["bay", "clear", "cut length", "from stock", "off each end", "balusters", "end gaps"]
    lines = ["Rails: two to a bay, top and bottom alike", _table(heads, rows, (1, 2, 3, 4, 5, 6))]
    for bay in section.bays:
        other = bay.other_trim
        if other is None:
            lines += _wrap(f"bay {bay.number}: {bay.better_because}", "  ", "    ").splitlines()
            continue
        used = bay.trim.way if bay.trim else "to no stock length"
        lines += _wrap(
            f"bay {bay.number}: cut {used}; the {other.way} way would take "
            f"{_length(job, other.low)} off the lower and {_length(job, other.high)} off the upper "
            f"end of {_length(job, float(other.stock))} and leave end gaps of "
            f"{_length(job, float(other.end_gap_low))} and "
            f"{_length(job, float(other.end_gap_high))}. Better: {bay.better}, because "
            f"{bay.better_because}",
            "  ",
            "    ",
        ).splitlines()
    return "\n".join(lines)


def _brackets(job: Job, section) -> str:
    bay = section.bays[0]
    if section.kind == "level":
        return f"Panel: clear between balusters {_length(job, section.baluster_clear)}"
    saw = "square cuts" if bay.saw_angle == 0 else f"saw turned {bay.saw_angle:.1f}° from square"
    lines = [
        f"Brackets: swing {bay.swing:.1f}°; rail to post, above the rail, {bay.angle_low:.1f}° at "
        f"the lower",
        f"  and {bay.angle_high:.1f}° at the upper post; {saw}",
        f"Panel: racked {section.rake:.1f}°"
        + (f" of at most {section.max_rack:.1f}°" if section.max_rack is not None else "")
        + f"; clear between balusters {_length(job, section.baluster_clear)}",
        f"  {_length(job, section.panel_height)} tall, plumb; {_length(job, section.rail_spacing)} "
        "between rail centre lines, square",
    ]
    return "\n".join(lines)


def _window_line(job: Job, part: SectionAnswer) -> str:
    window = part.window
    low = f"{_length(job, float(window.low.value))} ({window.low.set_by})"
    if window.high is None:
        return _wrap(f"Bottom gap may be {low} or more; nothing limits it upwards", "", "  ")
    high = f"{_length(job, float(window.high.value))} ({window.high.set_by})"
    if window.empty:
        return _wrap(f"No bottom gap passes: at least {low}, yet below {high}", "", "  ")
    word = "up to" if window.high.included else "below"
    return _wrap(f"Bottom gap may be {low} or more, {word} {high}", "", "  ")


def value_texts(job: Job, finding: Finding) -> tuple[str, str, str]:
    """Value, limit and margin of a finding as text.

    Parameters
    ----------
    job : stairs.job.Job
        For units and tape.
    finding : Finding
        Of that job.

    Returns
    -------
    tuple of (str, str, str)
        The limit's text says what kind it is; the margin is empty where nothing is judged.
    """
    if finding.unit == "length":
        limit = _limit_length(job, finding)
        value = text_against_limit(
            finding.value, _exact_limit(finding), job.units, job.tape, side=finding.order
        )
        gap = abs(finding.value - finding.limit)
        margin = length_text(gap, job.units, job.tape) if finding.order else "0"
        if finding.order and gap < float(job.tape) / 2:
            margin = f"<{length_text(job.tape, job.units, job.tape)}"
    elif finding.unit == "degrees":
        value, limit = _degrees(finding), f"{round(finding.limit, 1):g}°"
        margin = f"{abs(finding.value - finding.limit):.1f}°"
    else:
        value, limit = f"{finding.value:g}", f"{finding.limit:g}"
        margin = f"{abs(finding.value - finding.limit):g}"
    words = {
        "ball-smaller": f"below {limit}",
        "cube-smaller": f"cube {limit}",
        "ball-at-most": f"max {limit}",
        "maximum": f"max {limit}",
        "minimum": f"min {limit}",
        "needed-above": f"if over {limit}",
        "needed-from": f"from {limit}",
        "needed-below": f"if under {limit}",
    }
    if finding.verdict == NOT_APPLICABLE:
        margin = ""
    elif finding.verdict == FAIL:
        margin = f"{margin} {'short' if finding.kind == 'minimum' else 'over'}"
    return value, words[finding.kind], margin


def _degrees(finding: Finding) -> str:
    for places in (1, 2, 3, 4):
        text = f"{finding.value:.{places}f}"
        shown = float(text) - round(finding.limit, 1)
        if finding.order == 0 or shown * finding.order > 0:
            return f"{text}°"
    return f"{finding.value:.6f}°"


def _exact_limit(finding: Finding):
    from fractions import Fraction

    return finding.rule.limit if finding.rule is not None else Fraction(finding.limit)


def _limit_length(job: Job, finding: Finding) -> str:
    from stairs.marks import exact_text

    limit = _exact_limit(finding)
    if (limit / job.tape).denominator == 1:
        return exact_text(limit, job.units)
    text = exact_text(limit, job.units)
    return text if len(text) <= 9 else length_text(limit, job.units, job.tape / 10)


_GROUPS = (
    (FAIL, "FAILS"),
    (MARGINAL, "MARGINAL"),
    (PASS, "Passes"),
    (NOT_APPLICABLE, "For information"),
)
_HEADS = ("what", "value", "limit", "margin", "clause")
_WHAT = 24


def _verdicts(job: Job, part: SectionAnswer) -> str:
    """Findings grouped by verdict, worst first; failures with what to change."""
    rows = {
        finding: (
            _what(finding),
            *value_texts(job, finding),
            finding.clause + ("" if finding.verified else "*"),
        )
        for finding in part.findings
    }
    if not rows:
        return "No rule of this rulebook applies here."
    numbers = [max(len(row[i]) for row in (_HEADS, *rows.values())) for i in (1, 2, 3)]
    what = max(len("what"), min(_WHAT, max(len(row[0]) for row in rows.values())))
    clause = WIDTH - 2 - what - sum(numbers) - 2 * 4
    widths = (what, *numbers, clause)
    blocks = []
    for verdict, heading in _GROUPS:
        group = [finding for finding in part.findings if finding.verdict == verdict]
        if not group:
            continue
        lines = [heading, *_cells(_HEADS, widths)]
        for finding in group:
            lines += _cells(rows[finding], widths)
            if finding.as_cut_verdict == FAIL and finding.verdict != FAIL:
                lines += _wrap(_as_cut_text(job, finding), "    ", "      ").splitlines()
            for remedy in part.remedies.get(finding.id, ()) if verdict == FAIL else ():
                lines += _wrap(remedy.text, "    change: ", "            ").splitlines()
        blocks.append("\n".join(lines))
    return "\n\n".join(blocks)


def _as_cut_text(job: Job, finding: Finding) -> str:
    value = text_against_limit(finding.as_cut, _exact_limit(finding), job.units, job.tape)
    return (
        f"as it will be cut, on the tape's marks, it comes to {value} and fails: cut and mark finer, "
        "or move away from the limit"
    )


def _what(finding: Finding) -> str:
    told = finding.where and finding.where not in finding.title
    return finding.title + (f", {finding.where}" if told else "")


def _cells(row: Sequence[str], widths: Sequence[int]) -> list[str]:
    """One row of a table, wrapped within its first and last column."""
    first = textwrap.wrap(row[0], widths[0]) or [""]
    last = textwrap.wrap(row[4], max(widths[4], 10)) or [""]
    lines = []
    for index in range(max(len(first), len(last))):
        middle = row[1:4] if index == 0 else ("", "", "")
        cells = [
            (first[index] if index < len(first) else "").ljust(widths[0]),
            middle[0].rjust(widths[1]),
            middle[1].ljust(widths[2]),
            middle[2].rjust(widths[3]),
            last[index] if index < len(last) else "",
        ]
        lines.append(("  " + "  ".join(cells)).rstrip())
    return lines


def _unverified(answer: Answer) -> str:
    if any(not finding.verified for part in answer.sections for finding in part.findings):
        return _wrap(
            "* not read in the code itself: see stairs rules "
            f"{answer.rulebook.id}, and open the code before relying on it",
            "",
            "  ",
        )
    return ""


def _assumed(answer: Answer) -> str:
    if not answer.job.assumed:
        return ""
    lines = ["Assumed, because the job does not say"]
    for text in answer.job.assumed:
        lines += _wrap(text, "  ", "    ").splitlines()
    return "\n".join(lines)


def _summary(answer: Answer) -> str:
    findings = [finding for part in answer.sections for finding in part.findings]
    fails = sum(finding.verdict == FAIL for finding in findings)
    marginal = sum(finding.verdict == MARGINAL for finding in findings)
    judged = sum(finding.verdict != NOT_APPLICABLE for finding in findings)
    text = f"{judged} checks: {judged - fails - marginal} pass"
    text += f", {marginal} marginal" if marginal else ""
    text += f", {fails} FAIL" if fails else ""
    lines = [text]
    if marginal:
        within = length_text(
            answer.job.measured_within, answer.job.units, answer.job.measured_within
        )
        lines += _wrap(
            f"marginal: passes as drawn, but could fail if every measurement were {within} off the "
            "wrong way",
            "  ",
            "  ",
        ).splitlines()
    return "\n".join(lines)

"""The answer as a person on site reads it: setting-out first, then cuts, then verdicts.

Everything fits 80 columns and needs no colour.  Lengths to be set, cut or marked are on the tape's
marks; a checked value is printed so that it never reads as if it were on the other side of its
limit.
"""

from __future__ import annotations

from fractions import Fraction
from functools import partial

from stairs.checks.finding import FAIL, MARGINAL, NOT_APPLICABLE
from stairs.checks.window_marks import marks_inside
from stairs.job import Job
from stairs.lengths.tape_marks import (
    angle_against_limit,
    ceil_to_mark,
    floor_to_mark,
    length_text,
    round_to_mark,
    true_text,
)
from stairs.parts.bays import taped_cut
from stairs.parts.posts import face_name
from stairs.relations.quantities import QUANTITIES
from stairs.report.columns import length, remark, table, wrap
from stairs.report.cuts_text import end_names, way_texts
from stairs.report.holes_text import holes_text
from stairs.report.joins_text import joins_text
from stairs.report.layout_text import framing_text, layout_text
from stairs.report.survey_text import (
    doubts_text,
    slips_count_text,
    slips_text,
    survey_text,
    survey_working,
)
from stairs.report.verdicts import (
    assumed_texts,
    own_value_texts,
    unusual_texts,
    verdicts_text,
    warning_text,
)
from stairs.rules import ALSO_ASKS
from stairs.solution import Answer, SectionAnswer

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
    blocks = [_head(answer), warning_text(answer)]
    for part in answer.sections:
        blocks += _setting_out(answer.job, part)
    blocks.append(joins_text(answer.job, answer.joins))
    blocks += [_assumed(answer), _unusual(answer), warning_text(answer), wrap(CAUTION)]
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
        odd = (*slips_text(answer.job, part), *doubts_text(answer.job, part))
        blocks += [wrap(text, "", "  ") for text in odd]
        blocks.append(verdicts_text(answer.job, part))
    blocks += [_unverified(answer), _assumed(answer), _unusual(answer), _summary(answer)]
    blocks.append(_also_asks(answer))
    blocks += [slips_count_text(answer), wrap(CAUTION)]
    return "\n\n".join(block for block in blocks if block) + "\n"


def working_text(answer: Answer) -> str:
    """How each flight was fixed: relation, the numbers put in, the result.

    Parameters
    ----------
    answer : Answer
        Of a job; level runs have no working.
    """
    lines = []
    for part in answer.sections:
        section = part.section
        if section.flight is None:
            continue
        lines += wrap(f"{_name(section)}: how the flight is fixed", "", "  ").splitlines()
        if section.flight.measure is None:
            for text in survey_working(answer.job, section.flight):
                lines += wrap(text, "  ", "      ").splitlines()
            continue
        for work in section.flight.measure.working:
            numbers = ", ".join(
                _lettered(answer.job, name, value)
                for name, value in work.given
                if name != "flush_tread"
            )
            lines += wrap(
                f"{_lettered(answer.job, work.quantity, work.value)}  from {numbers} "
                f"({work.relation})",
                "  ",
                "      ",
            ).splitlines()
        for text in section.flight.measure.remarks:
            lines += wrap(text, "  note: ", "        ").splitlines()
    return "\n".join(lines) + "\n"


# --------------------------------------------------------------------------- pieces


def _lettered(job: Job, name: str, value) -> str:
    """A quantity by its name and its letter on the names page, and its value."""
    return f"{name.replace('_', ' ')} {QUANTITIES[name].symbol} = {_plain(job, name, value)}"


def _plain(job: Job, name: str, value) -> str:
    if name in ("risers", "treads"):
        return f"{float(value):g}"
    if name == "rake":
        return f"{float(value):.2f}°"
    return true_text(value if isinstance(value, Fraction) else float(value), job.units, job.tape)


def _name(section) -> str:
    kind = "Flight" if section.kind == "flight" else "Level run"
    name = section.name[:60] if section.name else ""
    return f"{kind} {section.number}" + (f", {name}" if name else "")


def _hand(job: Job, section) -> str:
    """The side of the stair, where the job says another than the right."""
    if section.line.opposite_of:
        return ""  # a line of its own, whose name says so
    texts = {"left": " (left hand)", "both": " (both hands: everything twice)"}
    return texts.get(section.hand, "")


def _head(answer: Answer) -> str:
    book = answer.rulebook
    title = answer.job.title or "Stair guard"
    lines = wrap(title).splitlines()
    unit = "inches" if answer.job.units == "in" else "millimetres"
    mark = length_text(answer.job.tape, answer.job.units, answer.job.tape)
    lines += wrap(f"{book.title} {book.edition} ({book.id}); {unit}, to {mark}").splitlines()
    for text in own_value_texts(answer.job):
        lines += wrap(text, "  ", "    ").splitlines()
    return "\n".join(lines)


def _section_head(job: Job, part: SectionAnswer) -> str:
    section = part.section
    if section.kind != "flight":
        first, last = section.posts[0], section.posts[-1]
        return "\n".join(
            [
                f"{_name(section)}{_hand(job, section)}",
                f"  {length(job, last.x - first.x)} between end posts, bottom gap "
                f"{length(job, section.bottom_gap)}, guard height "
                f"{length(job, section.guard_height)}",
                f"  on a {section.surface.kind}: {section.surface.because}",
                *_filler(job, section),
            ]
        )
    flight = section.flight
    treads = "tread" if flight.treads == 1 else "treads"
    lines = [
        f"{_name(section)}{_hand(job, section)}",
        *wrap(
            f"{flight.risers} risers of {_step(job, section, float(flight.unit_rise))}, "
            f"{flight.treads} {treads} of {_step(job, section, float(flight.unit_run))}, "
            f"rake {section.rake:.1f}°",
            "  ",
            "  ",
        ).splitlines(),
        f"  total rise {length(job, section.total_rise)}, total run "
        f"{length(job, float(flight.total_run))}",
    ]
    chosen = " (chosen)" if part.gap_chosen else ""
    height = length(job, section.guard_height)
    if section.exact["lowest_nosing"] > 0:
        height += f" to {length(job, float(section.exact['greatest_guard_height']))}"
    gap = f"bottom gap {length(job, section.bottom_gap)}{chosen}"
    lines += wrap(f"{gap}, guard height over the nosings {height}", "  ", "    ").splitlines()
    return "\n".join([*lines, *_filler(job, section)])


def _step(job: Job, section, size: float) -> str:
    """A riser or a tread; where it is on no mark, also in decimals, which do not add up wrong."""
    text = length(job, size)
    if section.flight.survey is not None:
        return f"{text} on average"
    if abs(size - float(round_to_mark(size, job.tape))) < 1e-9:
        return text
    unit = '"' if job.units == "in" else " mm"
    exactly = f"{size:.3f}".rstrip("0").rstrip(".")
    return f"{exactly}{unit} (near {text})"


def _filler(job: Job, section) -> list[str]:
    """The strip under the bottom rail, where there is one."""
    if not section.filler:
        return []
    left = length(job, section.bottom_gap - section.filler)
    return [f"  under the rail a strip {length(job, section.filler)} deep, which leaves {left}"]


def _setting_out(job: Job, part: SectionAnswer) -> list[str]:
    section = part.section
    where = "first nosing" if section.kind == "flight" else "first post"
    rows = []
    for post in section.posts:
        buy = "-" if post.stock is None else length(job, post.stock)
        tall = [post.height] if job.post.below is None else [post.height, post.length]
        sizes = ["-" if post.wall else length(job, one) for one in tall]
        rows.append([str(post.number), length(job, post.x), post.stands_on, *sizes, buy])
    stands = ["stands on", "height"] if job.post.below is None else ["beside", "height", "length"]
    blocks = [
        _section_head(job, part),
        layout_text(job, part.layout),
        f"Posts: x level from the {where} to the post's centre, up-stair positive\n"
        + table(["post", "x", *stands, "buy"], rows, (1, *range(3, 3 + len(stands)))),
        _marks(job, section),
        holes_text(job, section),
        _rails(job, section),
        _brackets(job, section),
        _window_line(job, part),
    ]
    blocks.append(framing_text(job, part.framing))
    blocks.append(_remarks(job, part))
    return blocks


def _remarks(job: Job, part: SectionAnswer) -> str:
    """Surplus measurements that agree only within the tape; a measured flight, step by step."""
    flight = part.section.flight
    if flight is None:
        return ""
    if flight.measure is not None:
        return "\n".join(wrap(text, "note: ", "      ") for text in flight.measure.remarks)
    return survey_text(job, part)


def _marks(job: Job, section) -> str:
    what = "pin" if any(bay.ends.saw_angle == 0 for bay in section.bays) else "rail axis"
    rows = []
    under = ""
    for post in section.posts:
        for side in ("down", "up"):
            heights = {mark.rail: mark.height for mark in post.marks if mark.side == side}
            if not heights:
                continue
            bay = next(mark.bay for mark in post.marks if mark.side == side)
            if round_to_mark(heights["bottom"], job.tape) < 0 and not (post.wall or post.below):
                under = (
                    "\n  A mark below 0 lies under the surface: the post goes on below it, fixed "
                    "to the\n  side, and its height above does not count what goes below"
                )
            face = face_name(section.number, post.number, side)
            rows.append(
                [
                    str(post.number),
                    face,
                    str(bay),
                    length(job, heights["bottom"]),
                    length(job, heights["top"]),
                ]
            )
    return (
        f"Bracket marks: height of the {what} over the surface that the post stands on\n"
        + table(["post", "face", "bay", "bottom rail", "top rail"], rows, (2, 3, 4))
        + under
    )


def _rails(job: Job, section) -> str:
    cuts, balusters = [], []
    for bay in section.bays:
        row = [length(job, bay.rail_length), "none", "-", "-"]
        used = bay.trims.used
        if used is not None:
            cut, *off = taped_cut(used.stock, bay.rail_length, used.low, job.tape)
            row = [length(job, part) for part in (cut, used.stock, *off)]
        cuts.append([str(bay.number), length(job, bay.clear), *row])
        balusters.append(
            [
                str(bay.number),
                str(bay.balusters),
                length(job, bay.end_gap_low),
                length(job, bay.end_gap_high),
            ]
        )
    low, high = end_names(section)
    heads = ["bay", "clear", "cut length", "from stock", f"cut off {low}", f"cut off {high}"]
    lines = [
        "Rails: two to a bay, top and bottom alike, each from a stock rail of its own",
        table(heads, cuts, range(1, 6)),
        "",
        "Balusters: gaps from post face to baluster, level",
        table(["bay", "balusters", f"gap at {low}", f"gap at {high}"], balusters, range(1, 4)),
    ]
    for bay in section.bays:
        texts = way_texts(job, bay)
        if bay.trims.used is None and not texts:
            texts = [bay.trims.because]
        lines += [remark(f"bay {bay.number}: {text}") for text in texts]
    return "\n".join(lines)


def _brackets(job: Job, section) -> str:
    bay, clear = section.bays[0], length(job, float(section.racked.baluster_clear))
    if section.kind == "level":
        return f"Panel: clear between balusters {clear}"
    rake = f"{section.rake:.1f}°"
    if section.racked.max_rack is not None:
        rake = " of at most ".join(angle_against_limit(section.rake, section.racked.max_rack))
    ends = bay.ends
    turned = f"saw turned {ends.saw_angle:.1f}° from square" if ends.saw_angle else "square cuts"
    lines = [
        f"Brackets: swing {ends.swing:.1f}°; rail to post, above the rail, "
        f"{ends.angle_low:.1f}° at "
        f"the lower",
        f"  and {ends.angle_high:.1f}° at the upper post; {turned}",
        f"Panel: racked {rake}; clear between balusters {clear}",
        f"  {length(job, section.panel_height)} tall, plumb; "
        f"{length(job, float(section.racked.rail_spacing))} between rail centre lines, square",
    ]
    return "\n".join(lines)


def _window_line(job: Job, part: SectionAnswer) -> str:
    """How high the bottom rail may sit, in marks of the tape that pass; none on the wrong side."""
    window, show = part.window, partial(length, job)
    low_by, high_by = window.low.set_by, window.high.set_by if window.high else ""
    if window.empty:
        low = ceil_to_mark(float(window.low.value), job.tape)
        high = floor_to_mark(float(window.high.value), job.tape)
        while (order := window.high.compare(high)) > 0 or order == 0 and not window.high.included:
            high -= job.tape
        while (order := window.low.compare(low)) < 0 or order == 0 and not window.low.included:
            low += job.tape
        text = f"No bottom gap passes: at least {show(low)} ({low_by}), yet at most {show(high)}"
        return "\n".join([wrap(f"{text} ({high_by})", "", "  "), *_openers(part)])
    inside, drawn = part.marks, marks_inside(window, job.tape)
    if inside is None and drawn is not None:
        if drawn[1] == drawn[0]:
            may = f"{show(drawn[0])} (less, {low_by}; more, {high_by})"
        else:
            may = f"{show(drawn[0])} ({low_by}) "
            may += "or more" if drawn[1] is None else f"to {show(drawn[1])} ({high_by})"
        text = (
            "No mark of the tape is a bottom gap that passes as it will be cut; as drawn it may be "
            f"{may}. A finer tape cuts nearer to what is drawn"
        )
    elif inside is None:
        ends = [f"{float(end.value):.4f}".rstrip("0") for end in (window.low, window.high)]
        unit = "in" if job.units == "in" else "mm"
        text = (
            f"No mark of the tape is a bottom gap that passes: between {ends[0]} {unit} ({low_by}) "
            f"and {ends[1]} {unit} ({high_by}) there is none"
        )
    elif inside[1] is None:
        text = f"Bottom gap may be {show(inside[0])} ({low_by}) or more; nothing limits it upwards"
    elif inside[0] == inside[1]:
        text = f"Bottom gap may be {show(inside[0])} only: less, {low_by}; more, {high_by}"
    else:
        text = f"Bottom gap may be {show(inside[0])} ({low_by}) to {show(inside[1])} ({high_by})"
    return wrap(text, "", "  ")


def _openers(part: SectionAnswer) -> list[str]:
    """Everything that would open an empty window, each by itself."""
    if part.openers is None:
        return []
    if not part.openers:
        words = "No other panel, rail, strip, nosing, rise or run within reason makes room for one"
        if part.section.kind == "flight" and part.section.stringer_margin is None:
            words += (
                ": close the stringer, or stand the guard outside the tread ends with its rail "
                "below the nosings (side_gap)"
            )
        return wrap(words, "  ", "  ").splitlines()
    lines = ["  Any one of these makes room for one:"]
    for opener in part.openers:
        lines += wrap(opener.told, "  - ", "    ").splitlines()
    return lines


def _unverified(answer: Answer) -> str:
    if any(not finding.ruling.verified for part in answer.sections for finding in part.findings):
        return wrap(
            "* not read in the code itself: see stairs rules "
            f"{answer.rulebook.id}, and open the code before relying on it",
            "",
            "  ",
        )
    return ""


def _also_asks(answer: Answer) -> str:
    lines = [wrap(f"- {text}", "  ", "    ") for text in answer.rulebook.also_asks]
    return "\n".join([f"{ALSO_ASKS} ({answer.rulebook.id})", *lines]) if lines else ""


def _assumed(answer: Answer) -> str:
    if not answer.job.assumed:
        return ""
    lines = ["Assumed, because the job does not say"]
    for text in assumed_texts(answer.job):
        lines += wrap(text, "  ", "    ").splitlines()
    return "\n".join(lines)


def _unusual(answer: Answer) -> str:
    lines = [wrap(text, "  ", "    ") for text in unusual_texts(answer)]
    return "\n".join(["Measure again", *lines]) if lines else ""


def _summary(answer: Answer) -> str:
    findings = [finding for part in answer.sections for finding in part.findings]
    fails = sum(finding.verdict == FAIL for finding in findings)
    cut = sum(finding.fails_only_as_cut for finding in findings)
    marginal = sum(finding.outcome == MARGINAL for finding in findings)
    judged = sum(finding.verdict != NOT_APPLICABLE for finding in findings)
    text = f"{judged} checks: {judged - fails - cut - marginal} pass"
    text += f", {marginal} marginal" if marginal else ""
    text += f", {cut} FAIL as cut" if cut else ""
    text += f", {fails} FAIL" if fails else ""
    lines = [text]
    if marginal:
        within = length_text(
            answer.job.measured_within, answer.job.units, answer.job.measured_within
        )
        lines += wrap(
            f"marginal: passes as drawn, but could fail if every measurement were {within} off the "
            "wrong way",
            "  ",
            "  ",
        ).splitlines()
    failing = sum(finding.cut.verdict == FAIL for finding in findings)
    lines.append(
        "as it will be cut, on the tape's marks: "
        + (f"{failing} FAIL" if failing else "none fails")
    )
    return "\n".join(lines)

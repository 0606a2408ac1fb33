"""For which values of a key the guard passes, as a person on site reads it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any

from stairs.checks.part_values import PRACTICE
from stairs.inverse.answer import End, Failing, Found, Run, Stretch, Tried
from stairs.inverse.asked import CHOICE, COUNT, DEGREES, LENGTH
from stairs.inverse.goal import Miss, Target
from stairs.inverse.leaps import MOST_LEAPS
from stairs.job import Job
from stairs.job.sections import section_where
from stairs.lengths.tape_marks import exact_text, length_text, text_against_limit
from stairs.report.columns import KEPT, counted, listed, table, wrap
from stairs.report.findings import value_texts, what_text
from stairs.report.screen import CAUTION
from stairs.report.spoken import words_of_the_job
from stairs.rules import CHECKS
from stairs.words.speech import finished

_FEW = 4  # things that fail, told of one value or stretch


def found_text(job: Job, found: Found) -> str:
    """The whole answer, in lines of at most 80 columns."""
    with words_of_the_job(job):
        return finished("\n\n".join([*_blocks(job, found), wrap(CAUTION)]) + "\n")


def _blocks(job: Job, found: Found) -> Iterator[str]:
    yield _head(job, found)
    if found.asked.kind in (COUNT, CHOICE):
        yield _answer_of_values(job, found)
        yield table(("value", "what fails"), list(_value_rows(job, found)))
    elif _is_equal(found) and found.drawn:
        yield "\n".join(_just(job, found))
    elif found.marks or found.drawn:
        yield "\n".join(_answer(job, found))
        yield "\n".join(_beyond(job, found))
        yield "\n".join(_solved_again(job, found))
    else:
        yield "\n".join(_no_answer(job, found))
    if found.elsewhere:
        yield wrap(
            f"Whatever it is, there fails as well: {_told(job, found, found.elsewhere)}", "", "  "
        )
    if found.changes:
        yield "\n".join(_leaps(job, found))
    if found.contacts:
        yield "\n".join(_touches(found))
    yield "\n".join(wrap(text, "", "  ") for text in _sureness(job, found))
    if found.without is not None:
        names = _names(job, found, found.constant)
        verb = "fails" if len(found.constant) == 1 else "fail"
        yield wrap(f"Leaving aside {names}, which {verb} whatever it is:")
        yield from list(_blocks(job, found.without))[1:-1]


# --------------------------------------------------------------------------- values and misses


def _name(job: Job, found: Found, miss: Miss) -> str:
    """What is missed, with its section where the job has several."""
    if miss.because:
        return "there is no guard"
    if miss.finding is not None:
        text = what_text(job, miss.finding)
    else:
        text = _title(miss.id) if miss.id in CHECKS else miss.id.replace("_", " ")
    if miss.finding is None and miss.where:
        text += f", {miss.where}"
    own = found.asked.index is not None and miss.section == found.asked.index + 1
    several = len(job.sections) > 1 and miss.section and not own
    return f"section {miss.section}, {text}" if several else text


def _names(job: Job, found: Found, misses: Sequence[Miss]) -> str:
    """What is missed, each once."""
    return "; ".join(dict.fromkeys(_name(job, found, miss) for miss in misses))


def miss_text(job: Job, found: Found, miss: Miss, touched: bool = False) -> str:
    """What is missed and by how much; with what the ball touches where ``touched``."""
    if miss.because:
        return f"cannot be built: {miss.because}"
    if miss.finding is None:
        return f"{_name(job, found, miss)}: {_target_text(job, found, miss)}"
    value, limit, _ = value_texts(job, miss.finding)
    cut = " as it will be cut" if miss.as_cut_only else ""
    clause = miss.finding.ruling.clause or ""
    told = f"{_name(job, found, miss)}: {value}{cut}, {limit.replace(' ', KEPT)}"
    told += f" ({clause.replace(' ', KEPT)})" if clause else ""
    measure = miss.finding.measure
    opening = None if measure is None else measure.opening
    if touched and opening is not None and opening.leans_on:
        told += f"; the ball touches {listed([str(one) for one in opening.leans_on])}"
    return told


def _target_text(job: Job, found: Found, miss: Miss) -> str:
    if miss.value is None or miss.limit is None:
        return "not told"
    if miss.unit == LENGTH:
        value = text_against_limit(miss.value, miss.limit, job.units, job.tape, side=miss.order)
        limit = exact_text(Fraction(miss.limit), job.units)
    else:
        mark = "°" if miss.unit == DEGREES else ""
        value, limit = f"{miss.value:.6g}{mark}", f"{miss.limit:.6g}{mark}"
    words = {"minimum": "at least", "maximum": "at most"}.get(miss.kind)
    return f"{value}, wanted {words} {limit}" if words else value


def _told(job: Job, found: Found, misses: Sequence[Miss], touched: bool = False) -> str:
    texts = [miss_text(job, found, miss, touched) for miss in misses[:_FEW]]
    more = len(misses) - len(texts)
    return "; ".join(texts) + (f"; and {more} more" if more else "")


# --------------------------------------------------------------------------- what is asked


def _head(job: Job, found: Found) -> str:
    asked = found.asked
    of = "" if asked.index is None else f" of {_section(job, asked.index)}"
    lines = [wrap(f"{asked.title[0].upper()}{asked.title[1:]}{of}: {_wanted(job, found)}")]
    span, now = found.span, found.shown(asked.now)
    if not span.values:
        low, high = (found.shown(_whole(found, end)) for end in (span.low, span.high))
        by = ""
        if span.stride > span.step:
            by = f", every {found.shown(span.stride)} and closer where something changes"
        lines.append(wrap(f"looked at from {low} to {high}{by}; the job has {now}", "  ", "    "))
    else:
        lines.append(wrap(f"the job has {now}", "  ", "    "))
    lines += [wrap(note, "  ", "    ") for note in found.notes]
    return "\n".join(lines)


def _whole(found: Found, value: Fraction) -> Any:
    return int(value) if found.asked.kind == COUNT else value


def _section(job: Job, index: int) -> str:
    section = job.sections[index]
    kind = "flight" if section.kind == "flight" else "level run"
    return section_where(index + 1, section.name).replace("section", kind, 1)


def _wanted(job: Job, found: Found) -> str:
    goal, where = found.goal, ""
    if goal.section is not None and found.asked.index is None:
        where = f" in section {goal.section}"
    if goal.target is not None:
        side = "just" if _is_equal(found) else goal.target.side
        name = goal.target.title
        if goal.target.nth is not None and goal.target.result is not None:
            name += f" of {goal.target.result.of} {goal.target.nth}"
        return f"which values make {name}{where} {side} {_amount(job, goal.target)}?"
    if goal.check is not None:
        return f'for which values does "{_title(goal.check)}" pass{where}?'
    return f"for which values does everything pass{where}?"


def _title(check: str) -> str:
    return CHECKS[check].label if check in CHECKS else PRACTICE[check].title


def _is_equal(found: Found) -> bool:
    """Whether a number is to be just so much."""
    return found.goal.target is not None and found.goal.target.side == "equal"


def _amount(job: Job, target: Target) -> str:
    if target.unit == LENGTH:
        return exact_text(target.value, job.units)
    return f"{float(target.value):g}" + ("°" if target.unit == DEGREES else "")


# --------------------------------------------------------------------------- the answer


def _run_text(found: Found, run: Run) -> str:
    """A run in words, open where only the range ends it."""
    low, high = found.shown(run.low), found.shown(run.high)
    if found.asked.kind == CHOICE and run.low != run.high:
        values = found.span.values
        places = values.index(run.low), values.index(run.high)
        return listed([found.shown(one) for one in values[places[0] : places[1] + 1]])
    return low if run.low == run.high else f"{low} to {high}"


def _runs_text(found: Found, runs: Sequence[Run]) -> str:
    return listed([_run_text(found, run) for run in runs])


def _answer(job: Job, found: Found) -> Iterator[str]:
    within = exact_text(found.within, found.units)
    tried = f" (tried at 1 value in {found.sure_every})" if found.sure_every > 1 else ""
    if found.sure and found.within:
        yield wrap(
            f"Keep to {_runs_text(found, found.sure)}: it passes there wherever within {within} "
            f"the measurements really are{tried}.",
            "",
            "  ",
        )
        if found.aside:
            yield wrap(
                "Left aside, as measuring error could undo them in any case: "
                f"{_names(job, found, found.aside)}.",
                "  ",
                "  ",
            )
    elif found.within and found.marks:
        yield wrap(
            f"Nowhere does it pass wherever within {within} the measurements really are.", "", "  "
        )
    if found.marks:
        yield wrap(
            f"As drawn, and as it will be cut, it passes at {_runs_text(found, found.marks)}.",
            "",
            "  ",
        )
    else:
        yield wrap(
            "No value that can be set on the tape passes: what passes as drawn lies between two of "
            "its marks, or fails as it will be cut.",
            "",
            "  ",
        )
    exact = listed([_stretch_text(found, stretch) for stretch in found.drawn])
    yield wrap(f"Exactly, as drawn: {exact}.", "", "  ")


def _just(job: Job, found: Found) -> Iterator[str]:
    """Where a number is just so much, and how much it is at the marks beside."""
    for stretch in found.drawn:
        low, high = stretch.low, stretch.high
        told = _stretch_text(found, stretch)
        yield wrap(f"Just so {'at ' if low.value == high.value else ''}{told}.", "", "  ")
    for one in found.tried:
        if one.misses:
            values = "; ".join(miss_text(job, found, miss) for miss in one.misses)
            yield wrap(f"At {found.shown(one.value)}, on the tape: {values}", "  ", "    ")
    leaps = [
        found.shown(end.value)
        for stretch in found.drawn
        for end in (stretch.low, stretch.high)
        if end.jumps
    ]
    if leaps:
        yield wrap(f"It changes by a leap at {listed(leaps)}.", "", "  ")


def _stretch_text(found: Found, stretch: Stretch) -> str:
    low, high = stretch.low, stretch.high
    if low.value == high.value:
        return found.shown(low.value)
    return f"from {_end_text(found, low)} to {_end_text(found, high)}"


def _end_text(found: Found, end: End) -> str:
    told = found.shown(end.value)
    if end.of_range:
        return f"{told} (where the range ends)"
    return told + (" (included)" if end.included else " (not included)")


def _beyond(job: Job, found: Found) -> Iterator[str]:
    """What fails beside the runs; places at which the same fails are told together."""
    places: dict[tuple[str, ...], list[tuple[str, tuple[Miss, ...]]]] = {}
    for run in found.marks:
        low, high = found.shown(run.low), found.shown(run.high)
        for told, misses in ((f"below {low}", run.below), (f"above {high}", run.above)):
            if misses:
                alike = tuple(
                    _NUMBERS.sub("", _name(job, found, one) + one.because) for one in misses
                )
                places.setdefault(alike, []).append((told, misses))
    for found_at in places.values():
        where = listed([told for told, _ in found_at])
        text = _told(job, found, found_at[0][1], True)
        more = "; the same at the others" if len(found_at) > 1 else ""
        yield wrap(f"{where[0].upper()}{where[1:]}: {text}{more}", "", "  ")
    yield from _contacts(job, found)


_NUMBERS = re.compile(r"[-0-9./ ]*[0-9]\S*")


def _contacts(job: Job, found: Found) -> Iterator[str]:
    """Ends at which something leaps, and those at which the ball touches something else."""
    leaps = []
    for stretch in found.drawn:
        for end in (stretch.low, stretch.high):
            if end.jumps and end.held is not None and end.misses:
                leaps.append(f"at {found.shown(end.value)} {_leap_text(job, found, end)}")
            elif len({re.sub("[0-9]+", "", leans) for leans in end.leans}) > 1:
                yield wrap(
                    f"At {found.shown(end.value)} the ball touches {end.leans[0]} on the "
                    f"side that passes, and {end.leans[1]} beyond",
                    "",
                    "  ",
                )
    if leaps:
        yield wrap(f"It leaps there, and does not pass its limit: {'; '.join(leaps)}", "", "  ")


def _leap_text(job: Job, found: Found, end: End) -> str:
    first = end.misses[0]
    assert end.held is not None and first.value is not None
    if first.unit == LENGTH:
        held, beyond = (length_text(one, job.units, job.tape) for one in (end.held, first.value))
    else:
        held, beyond = f"{end.held:.4g}", f"{first.value:.4g}"
    return f"{_name(job, found, first)} from {held} to {beyond}"


def _solved_again(job: Job, found: Found) -> Iterator[str]:
    """The ends of all runs, and what came of each; those of which the same did together."""
    told: dict[str, list[str]] = {}
    for one in sorted(found.tried, key=lambda one: one.value):
        told.setdefault(_outcome(job, found, one), []).append(found.shown(one.value))
    for outcome, values in told.items():
        yield wrap(f"Solved again at {listed(values)}: {outcome}", "", "  ")


def _outcome(job: Job, found: Found, one: Tried) -> str:
    text = _held_outcome(job, found, one)
    if one.anew is None:
        return text
    then = _told(job, found, one.anew) if one.anew else "nothing"
    return f"{text}; with its posts laid out anew for it there fails {then}"


def _held_outcome(job: Job, found: Found, one: Tried) -> str:
    if one.misses:
        return f"fails: {_told(job, found, one.misses)}"
    aside = {miss.key for miss in found.aside}
    news = [miss for miss in one.marginal if miss.key not in aside]
    others = _names(job, found, news)
    if others:
        return f"nothing fails as drawn; marginal: {others}"
    return "nothing fails" + (", and nothing else is marginal" if found.aside else "")


def _answer_of_values(job: Job, found: Found) -> str:
    if not found.marks:
        lines = list(_no_answer(job, found))
    else:
        lines = [wrap(f"It passes as drawn at {_runs_text(found, found.marks)}.", "", "  ")]
        if found.within:
            within = exact_text(found.within, found.units)
            sure = f"at {_runs_text(found, found.sure)}" if found.sure else "nowhere"
            told = f"Wherever within {within} the measurements are it passes {sure}"
            if found.aside:
                names = _names(job, found, found.aside)
                told += f", leaving aside {names}"
            lines.insert(0, wrap(f"{told}.", "", "  "))
    return "\n".join(lines)


def _value_rows(job: Job, found: Found) -> Iterator[tuple[str, str]]:
    for one in found.tried:
        if one.misses:
            told = _told(job, found, one.misses)
        else:
            names = _names(job, found, one.marginal)
            told = "nothing" + (f"; marginal: {names}" if names else "")
        yield found.shown(one.value), told.replace(KEPT, " ")


# --------------------------------------------------------------------------- no answer


def _no_answer(job: Job, found: Found) -> Iterator[str]:
    where = "None of its values passes"
    if not found.span.values:
        low, high = (found.shown(_whole(found, end)) for end in (found.span.low, found.span.high))
        where = f"No value from {low} to {high} passes"
    proved = ", as is proved for all of them" if found.way.proved and found.fails else ""
    yield wrap(f"{where}{proved}.", "", "  ")
    for part in found.fails:
        yield wrap(_failing_text(job, found, part), "  ", "    ")
    if found.constant:
        yield wrap(f"Whatever it is: {_told(job, found, found.constant, True)}", "", "  ")
    if found.nearest is not None:
        yield wrap(
            f"Nearest is {found.shown(found.nearest.value)}: "
            f"{_told(job, found, found.nearest.misses, True)}",
            "",
            "  ",
        )
        yield wrap(f"Short by {_short(job, found, found.nearest.misses)}", "  ", "    ")


def _failing_text(job: Job, found: Found, part: Failing) -> str:
    low, high = found.shown(part.low), found.shown(part.high)
    names = _names(job, found, part.misses[:_FEW])
    return f"{low} to {high}: {names} {'fails' if len(part.misses) == 1 else 'fail'}"


def _short(job: Job, found: Found, misses: Sequence[Miss]) -> str:
    told = []
    for miss in misses[:_FEW]:
        over = miss.over
        if miss.unit == LENGTH:
            text = length_text(over, job.units, job.tape)
            if over < float(job.tape) / 2:
                text = f"less than {exact_text(job.tape, job.units)}"
        else:
            text = f"{over:.3g}" + ("°" if miss.unit == DEGREES else "")
        told.append(f"{text} ({_name(job, found, miss)})")
    return "; ".join(told)


# --------------------------------------------------------------------------- how sure


def _leaps(job: Job, found: Found) -> Iterator[str]:
    yield "Inside, rails come out otherwise by a leap:"
    several = len(job.sections) > 1
    for one in found.changes:
        place = f"section {one.below.section}, " * several + f"bay {one.below.bay}"
        told = [f"{counted(one.below.balusters, 'baluster')} below, {one.above.balusters} above"]
        if one.below.stock != one.above.stock:
            sold = [
                "no stock" if each is None else f"stock of {exact_text(each, job.units)}"
                for each in (one.below.stock, one.above.stock)
            ]
            told.append(f"from {sold[0]} below, {sold[1]} above")
        yield wrap(f"at {found.shown(one.high)}, {place}: {', '.join(told)}", "  ", "    ")
    if len(found.changes) >= MOST_LEAPS:
        yield "  and so on"


def _touches(found: Found) -> Iterator[str]:
    yield "The ball comes to touch something else:"
    for one in found.contacts:
        yield wrap(f"at {found.shown(one.high)}, {one.below}; above, {one.above}", "  ", "    ")


def _sureness(job: Job, found: Found) -> Iterator[str]:
    way = found.way
    solved = counted(way.solved, "value")
    if found.asked.kind in (COUNT, CHOICE):
        yield f"Every value was solved by itself ({solved})."
    elif way.proved:
        yield (
            f"Every value of the range is accounted for: proved between {solved} that were solved "
            "exactly."
        )
    else:
        if way.steps is not None:
            steps = f"{float(way.steps):.4g}" + {LENGTH: f" {job.units}", DEGREES: "°"}.get(
                found.asked.kind, ""
            )
            shown = f"values at most {steps} apart"
            if way.steps <= found.span.step:
                shown = "every mark of the tape" if found.asked.kind == LENGTH else f"every {steps}"
            apart = {LENGTH: f" {job.units}", DEGREES: "°"}.get(found.asked.kind, "")
            whole = found.span.high - found.span.low
            most = "None of the range is proved"
            if way.open_width < whole:
                most = f"All but {float(way.open_width):.4g}{apart} of the range is proved"
            yield (
                f"{most}: there {shown} was looked at, and what comes and goes between two of them "
                f"would not be seen. Solved exactly: {solved}."
            )
        else:
            yield f"Proved between {solved} that were solved exactly."
        if way.unbuilt is not None:
            apart = f"{float(way.unbuilt):.4g}"
            yield f"Where no guard can be built it was looked at values {apart} apart at most."

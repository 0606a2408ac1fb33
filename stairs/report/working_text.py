"""How a result follows from what was measured, line by line, on a plain screen."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from stairs.job import Job
from stairs.lengths.tape_marks import ceil_to_mark, exact_text, floor_to_mark
from stairs.numbers.surd import Surd
from stairs.relations.quantities import ANGLE, AREA, COUNT, LENGTH
from stairs.relations.steps import steps
from stairs.report.columns import KEPT, WIDTH, length, remark, section_name, wrap
from stairs.report.spoken import in_words
from stairs.solution import Solution
from stairs.words.speech import WARD, is_spoken
from stairs.working.chain import Chain, Leaf, Line
from stairs.working.flight import flight_chain
from stairs.working.formula import ATOM, FRACTION, FUNCTION, MEASURE, TIMES, Text, text_of_tree
from stairs.working.printed import Printed, printed_numbers
from stairs.working.results import KINDS, OPENING, Kind, Result, results_of, told_section

HOLDS = (
    "Decimals are rounded in their last place. Worked again from the numbers as printed, every "
    "line comes out to half of that place."
)


@in_words
def explained_text(solution: Solution, result: Result, others: Sequence[Result] = ()) -> str:
    """The chain of one result, in lines of at most 80 columns; others of its name are told."""
    job = solution.job
    chain = result.chain()
    numbers = printed_numbers(chain, job.units)
    told = wrap(answer_text(job, result, chain.result, numbers), "  ", "    ")
    blocks = [
        wrap(head_text(solution, result), "", "  ") + f"\n{told}",
        "What it comes from\n" + _columns(given_rows(job, chain, numbers)),
    ]
    if chain.lines:
        worked = [line_text(job, line, numbers) for line in chain.lines]
        blocks.append("Worked out\n" + "\n".join(worked))
    if chain.short:
        worked = [line_text(job, line, numbers) for line in chain.short]
        blocks.append("The same in short\n" + "\n".join(worked))
    blocks.append(wrap(HOLDS))
    if others:
        blocks.append(wrap(_also_text(result, others)))
    return "\n\n".join(blocks) + "\n"


@in_words
def working_text(solution: Solution) -> str:
    """How each flight is fixed, line by line; of level runs there is nothing to tell."""
    job, blocks = solution.job, []
    for part in solution.sections:
        chain = flight_chain(told_section(part))
        if chain is None or part.section.flight is None:
            continue
        numbers = printed_numbers(chain, job.units)
        blocks.append(wrap(f"{section_name(part.section)}: how the flight is fixed", "", "  "))
        blocks.append("What it comes from\n" + _columns(given_rows(job, chain, numbers)))
        if chain.lines:
            worked = [line_text(job, line, numbers) for line in chain.lines]
            blocks.append("Worked out\n" + "\n".join(worked))
        measure = part.section.flight.measure
        if measure is not None and measure.remarks:
            blocks.append("\n".join(remark(text, "note: ") for text in measure.remarks))
    return "\n\n".join([*blocks, wrap(HOLDS)]) + "\n"


def place_text(result: Result) -> str:
    """Where in its section a result is."""
    parts = [
        f"{noun} {number}"
        for noun, number in (("post", result.post), ("bay", result.bay), ("tread", result.tread))
        if number is not None
    ]
    return ", ".join(parts + [result.place] * bool(result.place))


def head_text(solution: Solution, result: Result) -> str:
    """Which result it is: its name, what it is in words, and where."""
    section = solution.sections[result.section - 1].section
    where = ", ".join(part for part in (section_name(section), place_text(result)) if part)
    return f"{as_typed_name(result.kind.name)}: {result.kind.meaning}; {where}"


def answer_text(job: Job, result: Result, leaf: Leaf, numbers: dict[int, Printed]) -> str:
    """What a result comes to: letter and number, on the tape, and exactly where it has a root."""
    told = f"{letters(leaf)[0]} = {number_text(job, leaf, numbers)[0]}"
    if leaf.unit == LENGTH and result.kind.of != OPENING:
        told += f", on the tape {on_tape(job, result)}"
    exact = exact_end(leaf)
    if exact:
        told += f"; exactly {exact}" + {LENGTH: f" {job.units}", ANGLE: "°"}.get(leaf.unit, "")
    return told


def on_tape(job: Job, result: Result) -> str:
    """A length on a mark of the tape: the nearest, of an end of the window the one inside it."""
    rounded = {"window_low": ceil_to_mark, "window_high": floor_to_mark}.get(result.kind.name)
    return length(job, rounded(result.value, job.tape) if rounded else result.value)


_MOST_PARTS = 10**6  # what has more comes from a number that was rounded


def exact_end(leaf: Leaf) -> str:
    """A value with one square root as people write it; empty where it is another number.

    Examples
    --------
    >>> from stairs.numbers.surd import Roots
    >>> two = Roots().sqrt(Fraction(8)) * Fraction(5, 6) - 1
    >>> exact_end(Leaf("M", "", LENGTH, two))
    '-1 + 5√2/3'
    """
    value = leaf.value
    if not isinstance(value, Surd):
        return ""
    first, share, square = value.a, value.b, value.root.square
    parts = [part for part in (first, share, square) if isinstance(part, Fraction | int)]
    if len(parts) < 3:
        return ""
    first, share, square = map(Fraction, parts)
    share, square = share / square.denominator, square.numerator * square.denominator
    factor = 2
    while factor * factor <= square and factor < 10_000:
        while square % (factor * factor) == 0:
            square, share = square // (factor * factor), share * factor
        factor += 1
    over = "" if share.denominator == 1 else f"/{share.denominator}"
    times = "" if abs(share.numerator) == 1 else str(abs(share.numerator))
    root = f"{times}√{square}{over}"
    if first == 0:
        return f"-{root}" if share < 0 else root
    told = f"{first} {'-' if share < 0 else '+'} {root}"
    return told if max(first.denominator, share.denominator) <= _MOST_PARTS else ""


def given_rows(job: Job, chain: Chain, numbers: dict[int, Printed]) -> list[tuple[str, str, str]]:
    """Letter, number and meaning of all that a chain begins with, what is typed first."""
    rows = []
    for given in sorted(chain.givens, key=lambda one: not one.source):
        source = f" ({given.source})" if given.source else ""
        number = number_text(job, given, numbers)[0]
        rows.append((given.symbol, number, f"{given.meaning}{source}"))
    return rows


def as_typed_name(text: str) -> str:
    """Names that are typed as they stand here, in the words of no country."""
    if not is_spoken():
        return text
    return re.sub(r"[a-z]{4,}", lambda name: name[0][0] + WARD + name[0][1:], text)


def _columns(rows: Sequence[tuple[str, str, str]]) -> str:
    wide = max(len(row[0]) for row in rows), max(len(row[1]) for row in rows)
    lines = []
    for symbol, number, meaning in rows:
        first = f"  {symbol.ljust(wide[0])}  {number.rjust(wide[1])}  ".replace(" ", KEPT)
        rest = " " * len(first)
        lines.append(wrap(meaning, as_typed_name(first), rest))
    return "\n".join(lines)


def letters(leaf: Leaf) -> Text:
    """A leaf as its letter."""
    return leaf.symbol, FUNCTION if " " in leaf.symbol else ATOM


_UNITS = {
    "in": {LENGTH: '"', ANGLE: "°", AREA: " sq in"},
    "mm": {LENGTH: " mm", ANGLE: "°", AREA: " sq mm"},
}


def number_text(job: Job, leaf: Leaf, numbers: dict[int, Printed]) -> Text:
    """A leaf as its number, with its unit."""
    printed = numbers[id(leaf)]
    if printed.places is not None:
        text = f"{float(printed.value):.{printed.places}f}"
    elif leaf.unit == LENGTH and job.units == "in":
        text = exact_text(printed.value, job.units, unit=False)
    else:
        text = _plain(printed.value)
    unit = _UNITS[job.units].get(leaf.unit, "")
    if "/" in text:
        return text + unit, FRACTION
    if unit.startswith(" "):
        return text + unit, MEASURE
    return text + unit, FUNCTION if unit == '"' else ATOM  # in brackets before a power


def _plain(value: Fraction) -> str:
    scaled = value * 10**4
    if value.denominator == 1 or scaled.denominator != 1:
        return str(value)
    return f"{float(value):.4f}".rstrip("0")


def line_parts(job: Job, line: Line, numbers: dict[int, Printed]) -> list[str]:
    """A line's letter, its relation in letters, with the numbers put in, and what it comes to."""

    def put_in(leaf: Leaf) -> Text:
        return number_text(job, leaf, numbers)

    told = [line.symbol, text_of_tree(line.formula, letters)]
    if not isinstance(line.formula, Leaf):
        told.append(text_of_tree(line.formula, put_in))
    return [*told, number_text(job, line, numbers)[0]]


def line_text(job: Job, line: Line, numbers: dict[int, Printed]) -> str:
    """One line of the chain with what it is from, under it."""
    parts = line_parts(job, line, numbers)
    whole = "  " + " = ".join(parts)
    if len(whole) <= WIDTH:
        told = whole
    else:
        indent = " " * (3 + len(parts[0]))
        rows = [wrap(_glued(f"= {part}"), indent, indent + "    ") for part in parts[1:]]
        told = f"  {parts[0]} " + "\n".join(rows).lstrip()
    return told + "\n" + wrap(why_text(line), "      ", "      ")


def _glued(text: str) -> str:
    """A formula that is broken before a sign, or where a piece is too long for that at a dot."""
    glued = re.sub(r" (?![+−] )", KEPT, text)
    if max(map(len, glued.split(" "))) > WIDTH - 16:
        glued = re.sub(rf"{KEPT}(?={TIMES})", " ", glued)
    return glued


def why_text(line: Line) -> str:
    """What a line says, in words, and where that is from."""
    if not line.relations:
        return line.why or line.meaning
    facts = steps().relations
    if len(line.relations) > 1:
        return f"{line.meaning}; put together from: {'; '.join(line.relations)}"
    (name,) = line.relations
    return f"{facts[name].meaning} ({facts[name].source})"


def _also_text(result: Result, others: Sequence[Result]) -> str:
    places = [f"section {one.section}, {place_text(one)}".rstrip(", ") for one in others]
    shown = places[:4]
    more = f" and {len(places) - 4} more" if len(places) > 4 else ""
    return (
        f"{as_typed_name(result.kind.name)} is told of one place; this job also has it for "
        f"{'; '.join(shown)}{more}. Ask with --section, --post, --bay or --tread."
    )


@in_words
def listing_text(solution: Solution) -> str:
    """Every result of a job that can be explained, with its values."""
    job, blocks = solution.job, []
    for part in solution.sections:
        found: dict[str, list[Result]] = {}
        for one in results_of(solution, part.section.number):
            found.setdefault(one.kind.name, []).append(one)
        rows = [
            (name, _values_text(job, results), results[0].kind.meaning)
            for name, results in found.items()
        ]
        blocks.append(f"{section_name(part.section)}\n{_columns(rows)}")
    return "\n\n".join(blocks) + "\n"


def _values_text(job: Job, results: Sequence[Result]) -> str:
    unit = results[0].unit
    values = list(dict.fromkeys(_value_text(job, one, unit) for one in results))
    return values[0] if len(values) == 1 else f"{values[0]} …"


def _value_text(job: Job, result: Result, unit: str) -> str:
    if unit == ANGLE:
        return f"{result.value:.1f}°"
    if unit == COUNT:
        return f"{result.value:g}"
    if result.kind.of == OPENING:  # held against a limit, which no rounding may reach
        return f"{result.value:.4f}" + _UNITS[job.units][LENGTH]
    return on_tape(job, result)


def names_text(kinds: Sequence[Kind] = tuple(KINDS.values())) -> str:
    """What can be asked for, without a job: names and what they are."""
    heads = {"section": "Of a section", "post": "Of a post (--post)", "bay": "Of a bay (--bay)",
             "opening": "Of an opening (--tread, --bay)"}  # fmt: skip
    blocks = []
    for of, head in heads.items():
        rows = [(kind.name, "", kind.meaning) for kind in kinds if kind.of == of]
        if rows:
            blocks.append(f"{head}\n{_columns(rows)}")
    return "\n\n".join(blocks) + "\n"

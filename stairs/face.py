"""The Python face: what ``from stairs import …`` gives, each a thin call of one room.

A job is read, solved, checked and drawn as on the command line, with the same errors; relations and
closed forms are there to reckon with.  Lengths of a solved guard print as on the job's tape.
"""

from __future__ import annotations

import difflib
import json
from collections.abc import Mapping
from fractions import Fraction
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec
from msgspec import Struct

from stairs import job as reader
from stairs.checks.finding import Finding
from stairs.errors import JobError
from stairs.job import Job
from stairs.lengths.tape import Length, as_typed
from stairs.relations.quantities import QUANTITIES, Quantity
from stairs.solution import Solution, solution_for

if TYPE_CHECKING:
    import sympy

    from stairs.drawing.files.pdf import Book
    from stairs.drawing.sheets.page import Page
    from stairs.drawing.sheets.sheet import Sheet
    from stairs.inverse.answer import Found
    from stairs.relations.inverse import Inverse

ANGLES = frozenset(
    {"rake", "max_rack", "turn", "skew", "true_angle", "swing", "angle_low", "angle_high"}
    | {"saw_angle", "riser_slope", "miter", "bevel", "side_miter", "side_bevel"}
)
"""Fields of a solved guard that hold degrees; all other floats of it are lengths."""

_SOLVED = ("stairs.guard.", "stairs.parts.", "stairs.openings.")
_SOLUTION_ROOMS = ("stairs.solution", "stairs.checks.finding")


def read_job(source: str | PathLike[str] | Mapping[str, Any] | None = None, **keys: Any) -> Job:
    """The job of a file, of a text in TOML, of a mapping, or of the keys of a job file by name.

    Parameters
    ----------
    source : str, path or mapping, optional
        A file's name; a text of more than one line is the job itself.
    **keys
        The keys and tables of a job file, where there is no ``source``: ``units="in"``,
        ``panel={"height": "33 1/2", …}``, ``section=[{…}]``.  Lengths are numbers or texts.

    Raises
    ------
    stairs.errors.FileError
        The file cannot be read, or the text is not TOML.
    stairs.errors.JobError
        A key or a value cannot be used.
    """
    if (source is None) == (not keys):
        raise JobError(
            "read_job",
            "no job is given" if source is None else "a job and keys of one are both given",
            "A file's name, a text in TOML, a mapping, or the keys of a job file by name",
            "Give one of them",
        )
    if source is None:
        return reader.job_from_mapping(keys)
    if isinstance(source, Mapping):
        return reader.job_from_mapping(dict(source))
    if isinstance(source, str) and "\n" in source:
        return reader.job_from_text(source)
    if isinstance(source, str | PathLike):
        return reader.read_job(Path(source) if isinstance(source, PathLike) else source)
    raise JobError(
        "read_job",
        f"{as_typed(source)} is no job",
        "A file's name, a text in TOML, a mapping, or the keys of a job file by name",
        "Give one of them",
    )


def solve(job: Job, remedies: bool = False) -> Solution:
    """The guard of a job, solved and held against its rulebook; frozen.

    Parameters
    ----------
    job : Job
        From :func:`read_job`.
    remedies : bool
        Whether it is also tried what would make a failing check pass, which takes longer.

    Raises
    ------
    stairs.errors.JobError
        The measurements do not fix a stair or leave no room, or there is no such rulebook.
    """
    if not isinstance(job, Job):
        raise JobError(
            "solve",
            f"{as_typed(job)} is no job that was read",
            "A job is what read_job gives",
            "Read it first: solve(read_job(…))",
        )
    return _with_lengths(solution_for(job, with_remedies=remedies))


def check(solution: Solution) -> tuple[Finding, ...]:
    """Every check of every section and how it came out; ``solution.ok`` says whether none fails."""
    return tuple(one for part in _solved("check", solution).sections for one in part.findings)


def result(solution: Solution) -> dict[str, Any]:
    """All answers as plain lists, dictionaries, numbers and text: what ``--json`` prints."""
    from stairs.report.result import result_of

    plain: dict[str, Any] = json.loads(json.dumps(result_of(_solved("result", solution))))
    return plain


def find(
    job: Job,
    key: str,
    *,
    section: int | None = None,
    low: str | float | Fraction | None = None,
    high: str | float | Fraction | None = None,
    goal: str | None = None,
    at_least: str | float | Fraction | None = None,
    at_most: str | float | Fraction | None = None,
    equal: str | float | Fraction | None = None,
    posts_anew: bool = False,
) -> Found:
    """For which values of a key of the job everything passes, or one goal is reached; frozen.

    Parameters
    ----------
    job : Job
        From :func:`read_job`.
    key : str
        As in the job file: ``"bottom_gap"``, ``"panel.pitch"``, ``"treads"``, ``"posts.2"``.
    section : int, optional
        From 1: whose key it is; for a key of the parts the only section that has to pass.
    low, high : str or number, optional
        The range; what is usual for the key where they are left out.
    goal : str, optional
        One check, or a number of the result, that alone counts.
    at_least, at_most, equal : str or number, optional
        How much that is to be.
    posts_anew : bool
        Whether posts that the job leaves open are laid out anew for each value, which takes longer;
        else they stay where they stand now.

    Raises
    ------
    stairs.errors.JobError
        What is asked for is not there, or no guard can be solved anywhere in the range.
    """
    from stairs.inverse.found import find as found_for

    if not isinstance(job, Job):
        raise JobError(
            "find",
            f"{as_typed(job)} is no job that was read",
            "A job is what read_job gives",
            "Read it first: find(read_job(…), …)",
        )
    typed = {"low": low, "high": high, "at_least": at_least, "at_most": at_most, "equal": equal}
    texts = {name: None if one is None else str(one) for name, one in typed.items()}
    return found_for(job, str(key), section=section, goal=goal, posts_anew=posts_anew, **texts)


class Drawing(Struct, frozen=True):
    """A sheet or a set of sheets; the first shows itself in a notebook, all can be written."""

    drawn: Sheet | Book
    sheets: tuple[Sheet | Page, ...]

    def write(self, path: str | PathLike[str]) -> None:
        """Write all sheets: to ``.pdf``, or those of one view to ``.svg``, ``.png`` or ``.dxf``."""
        from stairs.drawing import write

        write(self.drawn, path)

    def _repr_svg_(self) -> str:
        from stairs.drawing.files.svg import svg_bytes

        return svg_bytes(self.sheets[0]).decode("utf-8")

    def __repr__(self) -> str:
        count, paper = len(self.sheets), self.sheets[0].paper.name
        return f"<{self.drawn.title}: {count} sheet{'s' * (count > 1)}, {paper}>"


def _of_view(sheet: Sheet) -> Drawing:
    return Drawing(sheet, (sheet, *sheet.following))


def elevation(
    solution: Solution, section: int = 1, *, paper: str | None = None, scale: str | None = None
) -> Drawing:
    """The dimensioned elevation of one section, from 1; sheet and scale chosen where left out.

    Raises
    ------
    stairs.errors.JobError, stairs.errors.SheetError
        There is no such section, sheet or scale, or the drawing does not fit.
    """
    from stairs.drawing import draw_elevation

    if not isinstance(section, int):
        raise JobError(
            "section", f"{as_typed(section)} is no number", "Sections count from 1", "Give one"
        )
    return _of_view(draw_elevation(_solved("elevation", solution), section, paper, scale))


def plan(solution: Solution, *, paper: str | None = None, scale: str | None = None) -> Drawing:
    """The plan of the whole guard; raises as :func:`elevation`."""
    from stairs.drawing.views.plan.plan import draw_plan

    return _of_view(draw_plan(_solved("plan", solution), paper, scale))


def explain(
    solution: Solution, name: str, *, section: int | None = None, post: int | None = None,
    bay: int | None = None, tread: int | None = None,
) -> str:  # fmt: skip
    """How a result follows from the measurements, line by line, as ``stairs explain`` prints it.

    Parameters
    ----------
    name : str
        Of a result, such as ``"rail_length"``; ``stairs explain --list`` names all.
    section, post, bay, tread : int, optional
        Where, each from 1; the first where left out.

    Raises
    ------
    stairs.errors.JobError
        There is no such result, or none there.
    """
    from stairs.report.working_text import explained_text
    from stairs.working.results import Asked, found

    asked = Asked(section, post, bay, tread)
    told, others = found(_solved("explain", solution), name, asked)
    return explained_text(solution, told, others)


def packet(solution: Solution, *, paper: str | None = None, with_working: bool = False) -> Drawing:
    """The whole set for a permit office, on sheets of one size; raises as :func:`elevation`.

    ``with_working`` adds a chapter on how the main results follow from the measurements.
    """
    from stairs.drawing.sets.packet.packet import packet_book

    book = packet_book(_solved("packet", solution), paper, with_working)
    return Drawing(book, book.sheets)


def shop(solution: Solution, *, paper: str | None = None) -> Drawing:
    """Every rail and post as it is cut and marked; raises as :func:`elevation`."""
    from stairs.drawing.sets.shop.shop import shop_book

    book = shop_book(_solved("shop", solution), paper)
    return Drawing(book, book.sheets)


def template(solution: Solution, *, paper: str | None = None) -> Drawing:
    """Templates in full size, in tiles; raises as :func:`elevation`."""
    from stairs.drawing.sets.template.template import template_book

    book = template_book(_solved("template", solution), paper)
    return Drawing(book, book.sheets)


def derive(quantity: str, *given: str) -> sympy.Expr:
    """One quantity as an expression in others, chained from the relations, in their letters.

    Parameters
    ----------
    quantity : str
        A name of the names page.
    *given : str
        Names of what is known; where none is given, what the closed form takes.

    Raises
    ------
    stairs.errors.JobError
        There is no such quantity, or the relations do not lead to it.

    Examples
    --------
    >>> derive("total_rise", "unit_rise", "risers")
    R*n
    """
    for name in (quantity, *given):
        _known(name)
    from stairs.relations.chaining import derive as chained
    from stairs.relations.derivation import FORMS, derivation_of
    from stairs.relations.equations import SYMBOLS

    form = next((one for one in FORMS if one.target == quantity), None)
    if not given and form is None:
        raise JobError(
            "derive",
            f"nothing is given from which {quantity} could follow",
            "No closed form is kept for it, so the names of what is known are needed",
            f'Name them: derive("{quantity}", "unit_rise", …)',
        )
    try:
        found = chained(quantity, given) if given or form is None else derivation_of(form.name)
    except LookupError as error:
        raise JobError(
            "derive",
            str(error.args[0]),
            "What is given has to fix it by way of the relations",
            "Give more" if form is None else f"Enough would be {', '.join(form.given)}",
        ) from None
    return found.expression.subs({SYMBOLS[name]: symbol(name) for name in found.needs})


def relation(name: str) -> tuple[sympy.Eq, ...]:
    """The equations of one relation between quantities, in their letters; most have one.

    Parameters
    ----------
    name : str
        One of those in ``stairs.RELATIONS``.

    Raises
    ------
    stairs.errors.JobError
        There is no such relation.

    Examples
    --------
    >>> relation("slope of the nosing line")
    (Eq(tan(pi*θ/180), R/G),)
    """
    from stairs.relations.equations import RELATIONS, SYMBOLS

    names = {one.name: one for one in RELATIONS}
    if name not in names:
        near = difflib.get_close_matches(str(name), names, n=1)
        raise JobError(
            "relation",
            f"{as_typed(name)} is no relation",
            "Names are those in stairs.RELATIONS",
            f'The nearest is "{near[0]}"' if near else "Look there for what is meant",
        )
    found = names[name]
    letters = {SYMBOLS[one]: symbol(one) for one in found.quantities}
    return tuple(
        equation.func(*(side.subs(letters) for side in equation.args), evaluate=False)
        for equation in found.equations
    )


def solve_for(
    unknown: str, form: str, value: float | Fraction, **known: float | Fraction
) -> Inverse:
    """The input with which a closed form gives the value wanted: every root there is, exact.

    Parameters
    ----------
    unknown : str
        The input looked for, by its name on the names page.
    form : str
        One of the functions of ``stairs.closed_forms``.
    value : number
        What it is to give [its unit; degrees].
    **known
        All of its other inputs by name, as numbers [one unit; degrees].  A ``Length`` counts as it
        was typed, any other float as the number that it is.

    Returns
    -------
    stairs.relations.inverse.Inverse
        ``taken`` are the inputs that do, each with its ``value`` and, where it is made of fractions
        and square roots, ``exact``; ``account`` tells a line of every root, those let go with the
        reason.

    Raises
    ------
    stairs.errors.JobError
        There is no such form, its inputs are others, or something is no number.

    Examples
    --------
    >>> for line in solve_for("unit_rise", "unit_slope", 12, unit_run=10).account:
    ...     print(line)
    unit_rise = 2√11
    let go - unit_rise = -2√11: unit_rise is above 0 in a stair
    """
    from stairs.relations import inverse

    sizes = {name: _exact(name, size) for name, size in known.items()}
    return inverse.solve_for(unknown, form, _exact("value", value), sizes)


def _exact(name: str, number: float | Fraction) -> Fraction:
    if isinstance(number, Length):
        return number.exact
    try:
        if isinstance(number, str):
            raise TypeError
        return Fraction(number)
    except (TypeError, ValueError, OverflowError):
        raise JobError(
            f"solve_for: {name}",
            f"{as_typed(number)} is no number",
            "A number, a fraction or a Length; an angle in degrees",
            'Read texts first: stairs.Length("3 1/2")',
        ) from None


def symbol(quantity: str) -> sympy.Symbol:
    """The letter of a quantity as it stands in what :func:`derive` gives."""
    from sympy import Symbol

    from stairs.relations.equations import SYMBOLS

    return Symbol(_known(quantity).symbol, **SYMBOLS[quantity].assumptions0)


def _known(name: str) -> Quantity:
    """A quantity of the names page."""
    if name in QUANTITIES:
        return QUANTITIES[name]
    near = difflib.get_close_matches(str(name), QUANTITIES, n=1)
    raise JobError(
        "derive",
        f"{as_typed(name)} is no quantity",
        "Names are those of the names page, stairs.QUANTITIES",
        f'The nearest is "{near[0]}"' if near else "Look there for what is meant",
    )


def _solved(what: str, solution: Solution) -> Solution:
    if isinstance(solution, Solution):
        return solution
    raise JobError(
        what,
        f"{as_typed(solution)} is no solution",
        "A solution is what solve gives",
        f"Solve the job first: {what}(solve(job))",
    )


def _with_lengths(solution: Solution) -> Solution:
    """The same answer, those of its floats that are lengths printing as on the job's tape."""
    units, tape = solution.job.units, solution.job.tape
    done: dict[int, tuple[Any, Any]] = {}  # what was told, and how; held, so that no id comes again

    def told(value: Any, is_length: bool) -> Any:
        if type(value) is float:
            return Length(value, units, tape) if is_length else value
        if not isinstance(value, tuple | Struct):
            return value
        if id(value) not in done:
            if isinstance(value, tuple):
                items = (told(one, is_length) for one in value)
                made = getattr(type(value), "_make", tuple)(items)  # a named one stays named
            else:
                made = record_told(value, is_length)
            done[id(value)] = value, made
        return done[id(value)][1]

    def record_told(record: Any, is_length: bool) -> Any:
        room = type(record).__module__
        if isinstance(record, Finding):
            is_length = record.unit == "length"
        elif room.startswith(_SOLVED):
            is_length = True
        elif not room.startswith(_SOLUTION_ROOMS):
            return record
        fields = {name: getattr(record, name) for name in record.__struct_fields__}
        news = {name: told(old, is_length and name not in ANGLES) for name, old in fields.items()}
        news = {name: new for name, new in news.items() if new is not fields[name]}
        return msgspec.structs.replace(record, **news) if news else record

    told_solution: Solution = record_told(solution, False)
    return told_solution

"""The command line: read a job, call one room, print.

No geometry here.  Bad input ends with one message on standard error that names the key, and with
exit code 2; ``check`` ends with 1 where something fails.  Rooms that load heavy libraries are
imported inside the commands that need them.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from stairs import __version__
from stairs.cli import finding, inverse
from stairs.cli.group import Commands
from stairs.cli.job_typed import JobTyped, files, on_a_job, spare
from stairs.cli.terminal import answer_to, fits, is_typed, say
from stairs.errors import FileError, JobError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stairs.job import Job
    from stairs.solution import Solution

_TOLD_LETTERS = 8


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="stairs")
def main() -> None:
    """Solve, check and draw a stair guard before anything is cut or drilled.

    \b
    stairs solve examples/porch.toml
    stairs check examples/porch.toml
    stairs draw examples/porch.toml -o porch.pdf

    stairs form prints a job file to fill in, and draws what to measure.
    """


finding.add_to(main)
main.add_command(inverse.find)


@main.command(short_help="Posts, cuts, marks and how low the rail may sit.")
@on_a_job
@click.option("--json", "as_json", is_flag=True, help="Print the machine-readable result only.")
@click.option(
    "--working", is_flag=True, help="Show how each flight is fixed, as stairs explain does."
)
def solve(job: JobTyped, as_json: bool, working: bool) -> None:
    """Print where posts go, what to cut and where to mark.

    JOB is a job file, or - for standard input.

    \b
    stairs solve examples/porch.toml
    stairs solve --rise 42 --run 50 --treads 5
    """
    from stairs.report.screen import solve_text
    from stairs.solution import solution_for

    solution = solution_for(job.read(), with_remedies=as_json)
    if as_json:
        _print_json(solution)
        return
    say(solve_text(solution), end="")
    if working:
        from stairs.report.working_text import working_text

        say("")
        say(working_text(solution), end="")


@main.command(short_help="Hold the guard against its rulebook.")
@on_a_job
@click.option("--json", "as_json", is_flag=True, help="Print the machine-readable result only.")
@click.option(
    "--witness",
    shell_complete=files,
    help="New file for a job with measurements, each within its tolerance, that make a check fail.",
)
def check(job: JobTyped, as_json: bool, witness: str | None) -> None:
    """Hold the guard against its rulebook; exit 1 where something fails.

    JOB is a job file, or - for standard input.

    \b
    stairs check examples/porch.toml
    """
    from stairs.report.screen import check_text
    from stairs.solution import solution_for

    solution = solution_for(job.read())
    if as_json:
        _print_json(solution)
    else:
        say(check_text(solution), end="")
    if witness is not None:
        _write_witness(solution, witness)
    if not solution.ok:
        raise SystemExit(1)


def _write_witness(solution: Solution, path: str) -> None:
    """Write the job with which the first check that is marginal fails, if there is one."""
    from stairs.files import put_new
    from stairs.job import job_to_mapping
    from stairs.job.written import text_of_job

    for part in solution.sections:
        for one in part.findings:
            if one.measured.witness and part.certainty is not None:
                changed = part.certainty.witness_job(one)
                put_new(text_of_job(job_to_mapping(changed)), path, "a job file")
                where = f", {one.where}" if one.where else ""
                told = f"{path}: {one.title}{where} fails with these measurements"
                say(told, error=True)
                return
    say("stairs: no measurements were found that make a passing check fail", error=True)


@main.command(short_help="How far off each result may be, and what to measure again.")
@on_a_job
@click.option("--json", "as_json", is_flag=True, help="Print the machine-readable result only.")
def bounds(job: JobTyped, as_json: bool) -> None:
    """Print how far each result may be off, and which measurement to take again first.

    JOB is a job file, or - for standard input.

    \b
    stairs bounds examples/porch.toml
    """
    from stairs.report.bounds_text import bounds_rows, bounds_text
    from stairs.solution import solution_for

    solution = solution_for(job.read(), with_remedies=False)
    if as_json:
        say(json.dumps(bounds_rows(solution), indent=2))
    else:
        say(bounds_text(solution), end="")


@main.command(short_help="Draw an elevation, the plan or the framing.")
@on_a_job
@click.option(
    "-o",
    "--output",
    required=True,
    shell_complete=files,
    help="File to write: .pdf, .svg, .png or .dxf.",
)
@click.option(
    "--section",
    "number",
    type=int,
    help="Which section to draw, from 1; the first where left out.",
)
@click.option(
    "--view",
    type=click.Choice(["elevation", "plan", "framing"]),
    default="elevation",
    show_default=True,
    help="What to draw.",
)
@click.option("--paper", help="Sheet to draw on; chosen where left out.")
@click.option("--scale", help="Scale to draw at; chosen where left out.")
def draw(
    job: JobTyped,
    output: str,
    number: int | None,
    view: str,
    paper: str | None,
    scale: str | None,
) -> None:
    """Draw the dimensioned elevation of one section, the plan, or the framing plan.

    JOB is a job file, or - for standard input.

    \b
    stairs draw examples/porch.toml -o porch.pdf
    stairs draw examples/porch.toml --view plan -o plan.pdf
    """
    from stairs.drawing import draw_elevation, write
    from stairs.drawing.files.writing import files_of
    from stairs.solution import solution_for

    spare(output, job.file)
    judged = {number or 1} if view == "elevation" else ()
    solution = solution_for(job.read(), judged=judged, for_sheets=True)
    count = len(solution.sections)
    if number is not None and not 1 <= number <= count:
        raise JobError(
            "--section",
            f"{number} is no section of this job",
            f"It has {count}" + ("" if count == 1 else f", numbered 1 to {count}"),
            "Give one of them",
        )
    if view == "plan":
        from stairs.drawing.views.plan.plan import draw_plan

        sheet = draw_plan(solution, paper=paper, scale=scale)
    elif view == "framing":
        from stairs.drawing.views.framing import draw_framing

        sheet = draw_framing(solution, number, paper, scale)
    else:
        sheet = draw_elevation(solution, section=number or 1, paper=paper, scale=scale)
    write(sheet, output)
    _boxes(solution.job)
    for file in files_of(sheet, Path(output)):
        say(f"{file}: {sheet.scale.words} on {sheet.paper.name}")


def _set_command(
    room: str, short_help: str, paper_help: str, help: str, *more: Callable[..., Any]
) -> None:
    """A command that writes a whole set of sheets, which its own room draws; more options of it
    alone are handed on to that room."""

    @on_a_job
    @click.option(
        "-o", "--output", required=True, shell_complete=files, help="File to write: .pdf."
    )
    @click.option("--paper", help=paper_help)
    def draw_set(job: JobTyped, output: str, paper: str | None, **options: Any) -> None:
        from stairs.drawing import write
        from stairs.solution import solution_for

        book_of = getattr(import_module(f"stairs.drawing.sets.{room}.{room}"), f"{room}_book")
        spare(output, job.file)
        solution = solution_for(job.read(), for_sheets=True)
        book = book_of(solution, paper, **options)
        write(book, output)
        _boxes(solution.job)
        count = len(book.sheets)
        told = "1 sheet" if count == 1 else f"{count} sheets"
        say(f"{output}: {told}, {book.sheets[0].paper.name}")

    for option in more:
        draw_set = option(draw_set)
    main.command(room, short_help=short_help, help=help)(draw_set)


_set_command(
    "packet",
    "Draw the whole set for a permit office.",
    "Sheet size of the whole set; chosen where left out.",
    """Draw the whole set for a permit office: cover, plan, elevations, details and lists.

    JOB is a job file, or - for standard input.

    \b
    stairs packet examples/porch.toml -o porch.pdf
    """,
    click.option(
        "--with-working",
        is_flag=True,
        help="Add a chapter on how the main results follow from the measurements.",
    ),
)
_set_command(
    "shop",
    "Draw every rail and post as cut and marked.",
    "Sheet size; the smallest that does where left out.",
    """Draw every rail and post as it is cut and marked, with boxes to tick.

    JOB is a job file, or - for standard input.

    \b
    stairs shop examples/porch.toml -o shop.pdf
    """,
)
_set_command(
    "template",
    "Draw full-size templates, in tiles.",
    "Paper in the printer; letter or A4 where left out.",
    """Draw full-size templates in tiles: bevels, bracket seats, post faces and baluster holes.

    JOB is a job file, or - for standard input.

    \b
    stairs template examples/porch.toml -o template.pdf --paper letter
    """,
)


def _boxes(job: Job) -> None:
    """Say which letters of a job no face has."""
    from stairs.drawing.paper.lettering import without_face

    letters = [f"{one} (U+{ord(one):04X})" for one in without_face(job)]
    if letters:
        more = f" and {len(letters) - _TOLD_LETTERS} more" if len(letters) > _TOLD_LETTERS else ""
        told = ", ".join(letters[:_TOLD_LETTERS])
        say(f"stairs: a box stands on the sheets for {told}{more}: no face has it", error=True)


@main.command(short_help="Cut list, marks, cutting plan, buying list.")
@on_a_job
@click.option(
    "--csv",
    "which",
    type=click.Choice(["cut", "buy", "set-out"]),
    help="Print one list as CSV and nothing else.",
)
@click.option("--kerf", help="Width of the saw's cut; 1/8 in or 3 mm where left out.")
@click.option("--rails-apart", is_flag=True, help="Top and bottom rails are different stock.")
@click.option("--loads", is_flag=True, help="Add the loads to hand to an engineer or official.")
@click.option("--bolt-spacing", help="Between the two pairs of bolts of a base plate, for --loads.")
def cuts(
    job: JobTyped,
    which: str | None,
    kerf: str | None,
    rails_apart: bool,
    loads: bool,
    bolt_spacing: str | None,
) -> None:
    """Print the cut list, the cutting plan, the buying list and the setting-out table.

    JOB is a job file, or - for standard input.

    \b
    stairs cuts examples/porch.toml
    stairs cuts examples/porch.toml --csv buy
    stairs cuts examples/porch.toml --kerf 3/32 --loads
    """
    from stairs.lengths.tape import parse
    from stairs.report.csv_lists import list_csv
    from stairs.report.lists_text import cuts_text
    from stairs.report.loads_text import loads_text
    from stairs.report.notices import warning_text
    from stairs.solution import solution_for

    if which is not None and loads:
        raise JobError("--csv", "is given with --loads", "One or the other", "Run it twice")
    if bolt_spacing is not None and not loads:
        raise JobError("--bolt-spacing", "is given without --loads", "", "Add --loads")
    solution = solution_for(job.read(), with_remedies=False)
    saw = None if kerf is None else parse(kerf, solution.job.units, "--kerf")
    if which is not None:
        say(list_csv(solution, which, saw, rails_apart), end="")
        warning = warning_text(solution)
        if warning:
            say(f"stairs: {warning}", error=True)
        return
    text = cuts_text(solution, saw, rails_apart)
    if loads:
        spacing = None
        if bolt_spacing is not None:
            spacing = parse(bolt_spacing, solution.job.units, "--bolt-spacing")
        text += "\n" + loads_text(solution, spacing)
    say(text, end="")


@main.command(short_help="List the rulebooks, or print one.")
@click.argument("rulebook", required=False, shell_complete=finding.rulebooks)
def rules(rulebook: str | None) -> None:
    """List the rulebooks, or print one with where each value is from.

    \b
    stairs rules
    stairs rules irc-2021
    """
    from stairs.report.rulebook_listing import list_text, rulebook_text
    from stairs.rules import load

    say(list_text() if rulebook is None else rulebook_text(load(rulebook)))


@main.command(short_help="Print a job file to fill in.")
@click.option(
    "--units",
    type=click.Choice(["in", "mm"]),
    default="in",
    show_default=True,
    help="Inches or millimetres.",
)
@click.option(
    "--kind",
    type=click.Choice(["stair", "deck", "landing", "old"]),
    default="stair",
    show_default=True,
    help="A stair alone, with a deck, two flights at a landing, or an old, uneven stair.",
)
@click.option("-o", "--output", shell_complete=files, help="New file to write it to.")
@click.option(
    "--picture",
    shell_complete=files,
    help="New .pdf, .svg or .png for the picture of what to measure; beside the form where left "
    "out.",
)
@click.option("--no-picture", is_flag=True, help="Write the form alone.")
def form(units: str, kind: str, output: str | None, picture: str | None, no_picture: bool) -> None:
    """Print a job file to fill in, with what every key measures; draw what to measure.

    The picture is two pages to print and take along, arrows with the letters of the form and blanks
    beside them; of .svg and .png the second is a file of its own.

    \b
    stairs form
    stairs form --kind deck --units mm -o my-stair.toml
    stairs form --kind old --picture measure.png
    """
    from stairs.files import put_all_new
    from stairs.job.form import form as text_of
    from stairs.job.form import write_form

    if picture is not None and no_picture:
        raise JobError("--picture", "is given with --no-picture", "", "Leave one of them out")
    if picture is None and output is not None and Path(output).name and not no_picture:
        picture = str(Path(output).with_suffix(".pdf"))
        if picture == output:
            raise JobError(
                "-o", f"{output} is to be the form", "Its picture is the .pdf", "Name it .toml"
            )
    drawn = () if picture is None else _pictures(units, kind, picture)
    if output is None:
        put_all_new(drawn, "A picture")
        say(text_of(units, kind), end="")
        return
    write_form(units, output, kind, drawn)
    if picture is not None:
        say(f"{picture}: print it and take it along; its letters are those of {output}")
    say(f"{output}: write your own measurements over it, then: stairs check {output}")


def _pictures(units: str, kind: str, path: str) -> Iterator[tuple[bytes, Path]]:
    """The pages of what to measure, as their file's ending says; each file must be new."""
    from stairs.drawing.files.writing import picture_files
    from stairs.drawing.views.lettered.measured import measured_pages

    for made, file in picture_files(measured_pages(units, kind), path):
        if os.path.lexists(file):
            raise FileError(
                str(file),
                "there is such a file",
                "The picture of what to measure is written to a new file",
                "Give --picture another name, or --no-picture",
            )
        yield made, file


@main.command(short_help="Ask for the measurements one by one.")
@click.argument("file", shell_complete=files)
@click.option("--replace", is_flag=True, help="Ask again for what the file holds already.")
@click.option("--as-built", is_flag=True, help="Ask how the posts stand, once they are set.")
@click.option(
    "-o",
    "--output",
    shell_complete=files,
    help="With --as-built: ask nothing, and draw a page with blanks to take along; .pdf.",
)
def measure(file: str, replace: bool, as_built: bool, output: str | None) -> None:
    """Ask for the measurements one by one, and write each answer to FILE at once.

    FILE is a new job file, or one to go on with: what it holds is kept. Type ? for help.

    \b
    stairs measure my-stair.toml
    stairs measure my-stair.toml < answers.txt
    stairs measure my-stair.toml --as-built -o posts.pdf
    stairs measure my-stair.toml --as-built
    """
    from stairs.asking import StandingTalk, Talk

    if output is not None:
        _draw_blanks(file, as_built, output)
    elif not as_built:
        Talk(file, answer_to, say, replace, is_typed(sys.stdin)).run()
    else:
        from stairs.lists.planned_posts import planned_posts, planned_solution, why_unsolved

        planned = planned_posts(planned_solution(JobTyped(file, *[None] * 4).read()))
        typed = is_typed(sys.stdin)
        StandingTalk(file, answer_to, say, planned, why_unsolved, replace, typed).run()


def _draw_blanks(file: str, as_built: bool, output: str) -> None:
    """Draw the page to take along to posts that are set."""
    from stairs.drawing import write
    from stairs.drawing.sets.as_built.as_built import as_built_book
    from stairs.lists.planned_posts import planned_solution

    if not as_built:
        raise JobError(
            "-o", "is given without --as-built", "It draws a page for posts that are set",
            "Add --as-built; what to measure before is drawn by stairs form",
        )  # fmt: skip
    spare(output, file)
    book = as_built_book(planned_solution(JobTyped(file, *[None] * 4).read()))
    write(book, output)
    count = len(book.sheets)
    say(f"{output}: {count} page{'s' * (count > 1)}; then: stairs measure {file} --as-built")


def _print_json(solution: Solution) -> None:
    from stairs.report.result import result_of

    result = result_of(solution)
    text = json.dumps(result, indent=2, ensure_ascii=False, allow_nan=False)
    if not fits(text, getattr(sys.stdout, "encoding", None)):
        text = json.dumps(result, indent=2, allow_nan=False)  # escaped, and the same when read
    say(text)

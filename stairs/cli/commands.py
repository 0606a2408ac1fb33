"""The command line: read a job, call one room, print.

No geometry here.  Bad input ends with one message on standard error that names the key, and with
exit code 2; ``check`` ends with 1 where something fails.  Rooms that load heavy libraries are
imported inside the commands that need them.
"""

from __future__ import annotations

import io
import json
import os
import sys
from pathlib import Path

import click

from stairs import __version__
from stairs.cli.terminal import NOT_WRITTEN, NotWritten, fits, let_go, reason_of, say
from stairs.errors import JobError, OutputFailed, StairsError
from stairs.lengths.tape import as_typed
from stairs.progress import shown_on

_TOLD_LETTERS = 8


class Command(click.Command):
    """A command whose own help says so where it cannot be printed."""

    def make_context(self, *args, **extra) -> click.Context:
        """Read the options; ``--help`` prints here."""
        try:
            return super().make_context(*args, **extra)
        except OSError as problem:
            let_go(sys.stdout)
            raise NotWritten(reason_of(problem)) from problem

    def invoke(self, ctx: click.Context):
        """Run it, once no option or argument is given without a value."""
        for param in self.params:
            value = ctx.params.get(param.name)
            if isinstance(value, str) and not value.strip():
                name = param.opts[0] if isinstance(param, click.Option) else param.name.upper()
                remedy = "" if param.required else ", or leave it out"
                raise JobError(name, "is empty", "", f"Give its value{remedy}")
        return super().invoke(ctx)


class Commands(Command, click.Group):
    """The commands, and how each ends: its own exit code, 2 for bad input, 3 without output."""

    command_class = Command

    def main(self, args=None, **extra) -> None:
        """Run one command, and leave with its exit code."""
        code = 0
        try:
            with shown_on(sys.stderr):
                code = super().main(args, **{**extra, "standalone_mode": False})
        except StairsError as error:
            place = _TYPED_AS.get(error.where, error.where)
            say(f"stairs: {place}{str(error).removeprefix(error.where)}", error=True)
            code = NOT_WRITTEN if isinstance(error, OutputFailed) else 2
        except NotWritten as broken:
            if broken.reason:
                say(f"stairs: standard output cannot be written: {broken.reason}", error=True)
            code = NOT_WRITTEN
        except click.ClickException as error:
            say(_usage(error), end="", error=True)
            code = error.exit_code
        except click.Abort:
            say("stairs: stopped", error=True)
            code = 130
        raise SystemExit(code if isinstance(code, int) else 0)


_TYPED_AS = {
    "kerf": "--kerf", "bolt spacing": "--bolt-spacing", "paper": "--paper", "scale": "--scale",
}  # fmt: skip
"""How what is given on the command line is called there."""


def _usage(error: click.ClickException) -> str:
    """A wrong option, or a command that is not there, in the words of the option reader."""
    held = io.StringIO()
    error.show(held)
    return held.getvalue()


def job_arguments(command):
    """The job file, or the three measurements of the quick look."""
    for decorate in (
        click.option(
            "--units",
            type=click.Choice(["in", "mm"]),
            help="Units of bare numbers in the quick look; in where left out.",
        ),
        click.option("--treads", type=str, help="Number of treads, for a quick look."),
        click.option("--run", "total_run", type=str, help="Total run, for a quick look."),
        click.option("--rise", "total_rise", type=str, help="Total rise, for a quick look."),
        click.argument("job", required=False),
    ):
        command = decorate(command)
    return command


def read(job: str | None, total_rise, total_run, treads, units):
    """The job of a file, of standard input, or of the quick look."""
    from stairs.job import quick_job, read_job

    quick = [total_rise, total_run, treads]
    if job is not None:
        if any(value is not None for value in quick):
            raise JobError(
                "command line",
                "a job file and --rise, --run or --treads are both given",
                "One or the other",
                "Put the measurements into the job file, or leave it out",
            )
        if units is not None:
            raise JobError(
                "--units",
                f'"{units}" is given beside a job file',
                "A job says its units itself",
                f'Leave it out, or write units = "{units}" in the file',
            )
        return on_known_paper(read_job(job, sys.stdin))
    if not any(value is not None for value in quick):
        raise JobError(
            "command line",
            "no job is given",
            "",
            "Name a job file, - for standard input, or give --rise, --run and --treads",
        )
    for name, value in zip(("--rise", "--run", "--treads"), quick, strict=True):
        if value is None:
            raise JobError(
                name,
                "is missing",
                "A quick look takes --rise, --run and --treads",
                "Add it, or name a job file",
            )
    return quick_job(total_rise, total_run, treads, units or "in")


def spare(output: str, job: str | None) -> None:
    """Refuse a drawing that would be written over the job that it is drawn from."""
    if job in (None, "-") or not (os.path.exists(output) and os.path.exists(job)):
        return
    if os.path.samefile(output, job):
        raise JobError(
            "-o",
            f"{as_typed(output)} is the job file itself",
            "A drawing is written to a file of its own",
            "Give another name",
        )


def on_known_paper(job):
    """The job, once its sheet is one that can be drawn on; no room below knows of sheets."""
    if job.sheet.paper is not None:
        from stairs.drawing.paper.sheet_sizes import paper_named

        try:
            paper_named(job.sheet.paper)
        except StairsError as error:
            place = f"{job.where}: sheet: paper"
            raise JobError(place, error.found, error.allowed, error.remedy) from None
    return job


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="stairs")
def main() -> None:
    """Solve, check and draw a stair guard before anything is cut or drilled.

    \b
    stairs solve examples/porch.toml
    stairs check examples/porch.toml
    stairs draw examples/porch.toml -o porch.pdf

    stairs form prints a job file to fill in.
    """


@main.command(short_help="Posts, cuts, marks and how low the rail may sit.")
@job_arguments
@click.option("--json", "as_json", is_flag=True, help="Print the machine-readable result only.")
@click.option("--working", is_flag=True, help="Show which relation gave which measurement.")
def solve(job, total_rise, total_run, treads, units, as_json, working) -> None:
    """Print where posts go, what to cut and where to mark.

    JOB is a job file, or - for standard input.

    \b
    stairs solve examples/porch.toml
    stairs solve --rise 42 --run 50 --treads 5
    """
    from stairs.report.screen import solve_text, working_text
    from stairs.solution import answer_for

    answer = answer_for(read(job, total_rise, total_run, treads, units), with_remedies=as_json)
    if as_json:
        _print_json(answer)
        return
    say(solve_text(answer), end="")
    if working:
        say("")
        say(working_text(answer), end="")


@main.command(short_help="Hold the guard against its rulebook.")
@job_arguments
@click.option("--json", "as_json", is_flag=True, help="Print the machine-readable result only.")
def check(job, total_rise, total_run, treads, units, as_json) -> None:
    """Hold the guard against its rulebook; exit 1 where something fails.

    JOB is a job file, or - for standard input.

    \b
    stairs check examples/porch.toml
    """
    from stairs.report.screen import check_text
    from stairs.solution import answer_for

    answer = answer_for(read(job, total_rise, total_run, treads, units))
    if as_json:
        _print_json(answer)
    else:
        say(check_text(answer), end="")
    if not answer.ok:
        raise SystemExit(1)


@main.command(short_help="Draw an elevation, the plan or the framing.")
@job_arguments
@click.option("-o", "--output", required=True, help="File to write: .pdf, .svg, .png or .dxf.")
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
def draw(job, total_rise, total_run, treads, units, output, number, view, paper, scale) -> None:
    """Draw the dimensioned elevation of one section, the plan, or the framing plan.

    JOB is a job file, or - for standard input.

    \b
    stairs draw examples/porch.toml -o porch.pdf
    stairs draw examples/porch.toml --view plan -o plan.pdf
    """
    from stairs.drawing import draw_elevation, write
    from stairs.drawing.files.writing import files_of
    from stairs.solution import answer_for

    spare(output, job)
    judged = {number or 1} if view == "elevation" else ()
    job = read(job, total_rise, total_run, treads, units)
    answer = answer_for(job, judged=judged, for_sheets=True)
    count = len(answer.sections)
    if number is not None and not 1 <= number <= count:
        raise JobError(
            "--section",
            f"{number} is no section of this job",
            f"It has {count}" + ("" if count == 1 else f", numbered 1 to {count}"),
            "Give one of them",
        )
    if view == "plan":
        from stairs.drawing.views.plan.plan import draw_plan

        sheet = draw_plan(answer, paper=paper, scale=scale)
    elif view == "framing":
        from stairs.drawing.views.framing import draw_framing

        sheet = draw_framing(answer, number, paper, scale)
    else:
        sheet = draw_elevation(answer, section=number or 1, paper=paper, scale=scale)
    write(sheet, output)
    _boxes(job)
    for file in files_of(sheet, Path(output)):
        say(f"{file}: {sheet.scale.words} on {sheet.paper.name}")


@main.command(short_help="Draw the whole set for a permit office.")
@job_arguments
@click.option("-o", "--output", required=True, help="File to write: .pdf.")
@click.option("--paper", help="Sheet size of the whole set; chosen where left out.")
def packet(job, total_rise, total_run, treads, units, output, paper) -> None:
    """Draw the whole set for a permit office: cover, plan, elevations, details and lists.

    JOB is a job file, or - for standard input.

    \b
    stairs packet examples/porch.toml -o porch.pdf
    """
    from stairs.drawing.sets.packet.packet import packet_book

    spare(output, job)
    _write_set(packet_book, read(job, total_rise, total_run, treads, units), output, paper)


@main.command(short_help="Draw every rail and post as cut and marked.")
@job_arguments
@click.option("-o", "--output", required=True, help="File to write: .pdf.")
@click.option("--paper", help="Sheet size; the smallest that does where left out.")
def shop(job, total_rise, total_run, treads, units, output, paper) -> None:
    """Draw every rail and post as it is cut and marked, with boxes to tick.

    JOB is a job file, or - for standard input.

    \b
    stairs shop examples/porch.toml -o shop.pdf
    """
    from stairs.drawing.sets.shop.shop import shop_book

    spare(output, job)
    _write_set(shop_book, read(job, total_rise, total_run, treads, units), output, paper)


@main.command(short_help="Draw full-size templates, in tiles.")
@job_arguments
@click.option("-o", "--output", required=True, help="File to write: .pdf.")
@click.option("--paper", help="Paper in the printer; letter or A4 where left out.")
def template(job, total_rise, total_run, treads, units, output, paper) -> None:
    """Draw full-size templates in tiles: bevels, bracket seats, post faces and baluster holes.

    JOB is a job file, or - for standard input.

    \b
    stairs template examples/porch.toml -o template.pdf --paper letter
    """
    from stairs.drawing.sets.template.template import template_book

    spare(output, job)
    _write_set(template_book, read(job, total_rise, total_run, treads, units), output, paper)


def _boxes(job) -> None:
    """Say which letters of a job no face has."""
    from stairs.drawing.paper.lettering import without_face

    letters = [f"{one} (U+{ord(one):04X})" for one in without_face(job)]
    if letters:
        more = f" and {len(letters) - _TOLD_LETTERS} more" if len(letters) > _TOLD_LETTERS else ""
        told = ", ".join(letters[:_TOLD_LETTERS])
        say(f"stairs: a box stands on the sheets for {told}{more}: no face has it", error=True)


def _write_set(draw, job, output: str, paper: str | None) -> None:
    """Write a set of sheets and say how many there are."""
    from stairs.drawing import write
    from stairs.solution import answer_for

    book = draw(answer_for(job, for_sheets=True), paper)
    write(book, output)
    _boxes(job)
    count = len(book.sheets)
    told = "1 sheet" if count == 1 else f"{count} sheets"
    say(f"{output}: {told}, {book.sheets[0].paper.name}")


@main.command(short_help="Cut list, marks, cutting plan, buying list.")
@job_arguments
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
    job, total_rise, total_run, treads, units, which, kerf, rails_apart, loads, bolt_spacing
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
    from stairs.report.verdicts import warning_text
    from stairs.solution import answer_for

    if which is not None and loads:
        raise JobError("--csv", "is given with --loads", "One or the other", "Run it twice")
    if bolt_spacing is not None and not loads:
        raise JobError("--bolt-spacing", "is given without --loads", "", "Add --loads")
    answer = answer_for(read(job, total_rise, total_run, treads, units), with_remedies=False)
    kerf = None if kerf is None else parse(kerf, answer.job.units, "--kerf")
    if which is not None:
        say(list_csv(answer, which, kerf, rails_apart), end="")
        warning = warning_text(answer)
        if warning:
            say(f"stairs: {warning}", error=True)
        return
    text = cuts_text(answer, kerf, rails_apart)
    if loads:
        spacing = None
        if bolt_spacing is not None:
            spacing = parse(bolt_spacing, answer.job.units, "--bolt-spacing")
        text += "\n" + loads_text(answer, spacing)
    say(text, end="")


@main.command(short_help="List the rulebooks, or print one.")
@click.argument("rulebook", required=False)
def rules(rulebook) -> None:
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
@click.option("-o", "--output", help="New file to write it to.")
def form(units, output) -> None:
    """Print a job file to fill in, with what every key measures.

    \b
    stairs form
    stairs form --units mm -o my-stair.toml
    """
    from stairs.job.form import form as text_of
    from stairs.job.form import write_form

    if output is None:
        say(text_of(units), end="")
        return
    write_form(units, output)
    say(f"{output}: write your own measurements over it, then: stairs check {output}")


def _print_json(answer) -> None:
    from stairs.report.result import result_of

    result = result_of(answer)
    text = json.dumps(result, indent=2, ensure_ascii=False, allow_nan=False)
    if not fits(text, getattr(sys.stdout, "encoding", None)):
        text = json.dumps(result, indent=2, allow_nan=False)  # escaped, and the same when read
    say(text)

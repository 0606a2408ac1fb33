"""Commands that help to find the way: keys told, examples, a schema for editors, completion."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from stairs.cli.group import Command
from stairs.cli.job_typed import JobTyped, files, on_a_job, spare
from stairs.cli.terminal import say
from stairs.errors import JobError
from stairs.lengths.tape import as_typed

if TYPE_CHECKING:
    from click import Context, Parameter

_PLACES = {
    "bash": "~/.local/share/bash-completion/completions/stairs",
    "zsh": "~/.zfunc/_stairs",
    "fish": "~/.config/fish/completions/stairs.fish",
    "powershell": "",
}
"""Where each shell looks for what completes a command."""
_ALSO = {"zsh": 'Before "compinit", ~/.zshrc then needs the line: fpath+=~/.zfunc'}


def _begun(words: list[str], incomplete: str) -> list[str]:
    return [word for word in words if word.startswith(incomplete)]


def rulebooks(ctx: Context, param: Parameter, incomplete: str) -> list[str]:
    """The rulebooks whose names begin so."""
    from stairs.rules import available

    return _begun(list(available()), incomplete)


def _keys(ctx: Context, param: Parameter, incomplete: str) -> list[str]:
    from stairs.job.described import key_words

    return _begun(key_words(), incomplete)


def _examples(ctx: Context, param: Parameter, incomplete: str) -> list[str]:
    from stairs.job.examples import example_names

    return _begun(example_names(), incomplete)


@click.command(cls=Command, short_help="Tell all about a key of the job file.")
@click.argument("key", shell_complete=_keys)
def describe(key: str) -> None:
    """Tell what a key means, where it stands, its unit, range and default; or a table's keys.

    A word of the trade for it does too.

    \b
    stairs describe pitch
    stairs describe panel
    stairs describe going
    """
    from stairs.job.described import described

    say(described(key))


@click.command(cls=Command, short_help="List the example jobs, or write one.")
@click.argument("name", required=False, shell_complete=_examples)
@click.option("-o", "--output", shell_complete=files, help="New file to write it to.")
def example(name: str | None, output: str | None) -> None:
    """List the example jobs, print one, or write it to a file to change.

    \b
    stairs example
    stairs example porch -o my-porch.toml
    """
    from stairs.job.examples import example_list, example_text
    from stairs.job.examples import write_example as write

    if name is None:
        say(example_list(), end="")
    elif output is None:
        say(example_text(name), end="")
    else:
        write(name, output)
        say(f"{output}: write your own measurements over it, then: stairs check {output}")


@click.command(cls=Command, short_help="Print a schema by which editors check a job file.")
@click.option("-o", "--output", shell_complete=files, help="New file to write it to.")
def schema(output: str | None) -> None:
    """Print the JSON Schema of a job file, by which editors complete and check its keys.

    An editor that knows TOML takes it from a remark in the first line of the job:
    #:schema ./stairs.schema.json

    \b
    stairs schema -o stairs.schema.json
    """
    from stairs.files import put_new
    from stairs.job.schema import job_schema

    text = json.dumps(job_schema(), indent=2) + "\n"
    if output is None:
        say(text, end="")
        return
    put_new(text, output, "A schema")
    place = output if Path(output).is_absolute() else f"./{Path(output).as_posix()}"
    say(f"{output}: have a job file beside it begin with the line #:schema {place}")


@click.command(cls=Command, short_help="Print what completes commands in your shell.")
@click.argument("shell", type=click.Choice(list(_PLACES)))
def completion(shell: str) -> None:
    """Print what lets a shell complete commands, options, keys and names with the Tab key.

    \b
    stairs completion bash > ~/.local/share/bash-completion/completions/stairs
    stairs completion zsh > ~/.zfunc/_stairs
    stairs completion fish > ~/.config/fish/completions/stairs.fish

    In PowerShell this line at the end of the file that $PROFILE names:

    \b
    stairs completion powershell | Out-String | Invoke-Expression
    """
    from click.shell_completion import get_completion_class

    from stairs.cli import powershell  # which adds itself to the library's shells

    made = get_completion_class(shell)
    assert made is not None  # the shells above are those that it knows
    # The text alone: to make it, its own method would ask a shell that may not be there.
    script = made(click.Command("stairs"), {}, "stairs", "_STAIRS_COMPLETE")
    say(script.source_template % script.source_vars())
    if shell == powershell.NAME:
        say("# The file that $PROFILE names then needs the line:")
        say(f"# stairs completion {shell} | Out-String | Invoke-Expression")
        return
    say(f"# It goes into {_PLACES[shell]}; the next terminal completes.")
    if shell in _ALSO:
        say(f"# {_ALSO[shell]}")


def _results(ctx: Context, param: Parameter, incomplete: str) -> list[str]:
    from stairs.working.results import KINDS

    return _begun(list(KINDS), incomplete)


@click.command(cls=Command, short_help="Show how a result follows from the measurements.")
@click.argument("result", required=False, shell_complete=_results)
@on_a_job
@click.option("--section", type=int, help="Which section, from 1.")
@click.option("--post", type=int, help="Which post of the section, from 1.")
@click.option("--bay", type=int, help="Which bay of the section, from 1.")
@click.option("--tread", type=int, help="Which tread of the section, from 1.")
@click.option("--list", "listing", is_flag=True, help="List what can be explained.")
@click.option("-o", "--output", shell_complete=files, help="Set it on paper: a .pdf to write.")
@click.option("--paper", help="Sheet size for -o; letter or A4 where left out.")
def explain(
    job: JobTyped,
    result: str | None,
    section: int | None,
    post: int | None,
    bay: int | None,
    tread: int | None,
    listing: bool,
    output: str | None,
    paper: str | None,
) -> None:
    """Show how a result follows from the measurements, line by line.

    Each line has the relation in letters, the numbers put in and what comes out, and under it what
    the relation says and where it is from.

    RESULT is a name as in the result for scripts; stairs explain --list names all. JOB is a job
    file, or - for standard input.

    \b
    stairs explain rail_length examples/porch.toml
    stairs explain mark_top examples/two-bays.toml --post 2
    stairs explain rail_length examples/porch.toml -o rails.pdf
    stairs explain --list examples/porch.toml
    """
    from stairs.report.working_text import explained_text, listing_text, names_text
    from stairs.solution import solution_for
    from stairs.working.results import Asked, found, kind_called

    if listing:
        if result is not None and job.file is None:
            job, result = job._replace(file=result), None
        if job.is_empty:
            say(names_text(), end="")
        else:
            say(listing_text(solution_for(job.read(), with_remedies=False)), end="")
        return
    if result is None:
        raise JobError("explain", "no result is named", "", _NAME_ONE)
    if job.is_empty and (result.endswith(".toml") or result == "-"):
        raise JobError("explain", f"no result of {as_typed(result)} is named", "", _NAME_ONE)
    kind_called(result)
    if output is None and paper is not None:
        raise JobError("--paper", "is given without -o", "", "Name the file to write with -o")
    solution = solution_for(job.read(), with_remedies=False)
    told, others = found(solution, result, Asked(section, post, bay, tread))
    if output is not None:
        from stairs.drawing import write
        from stairs.drawing.sets.working.working import working_book

        spare(output, job.file)
        book = working_book(solution, [told, *others], paper)
        write(book, output)
        count = len(book.sheets)
        say(f"{output}: {count} sheet{'' if count == 1 else 's'}, {book.sheets[0].paper.name}")
        return
    say(explained_text(solution, told, others), end="")


_NAME_ONE = (
    "Name it before the job, as in stairs explain rail_length JOB; stairs explain --list names all"
)


def add_to(main: click.Group) -> None:
    """Add these commands to all others."""
    for command in (describe, example, schema, completion, explain):
        main.add_command(command)

"""The job that a command is given: a file, standard input, or the measurements of a quick look."""

from __future__ import annotations

import functools
import os
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from stairs.errors import JobError, StairsError
from stairs.lengths.tape import as_typed

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem

    from stairs.job import Job


class JobTyped(NamedTuple):
    """What was typed on the command line for a job: a file, or three measurements."""

    file: str | None
    rise: str | None
    run: str | None
    treads: str | None
    units: str | None

    @property
    def is_empty(self) -> bool:
        """Whether neither a file nor a measurement was typed."""
        return not any((self.file, self.rise, self.run, self.treads))

    def read(self) -> Job:
        """The job of a file, of standard input, or of the quick look."""
        from stairs.job import quick_job, read_job

        quick = {"--rise": self.rise, "--run": self.run, "--treads": self.treads}
        given = [option for option, value in quick.items() if value is not None]
        if self.file is not None:
            if given:
                raise JobError(
                    "command line",
                    "a job file and --rise, --run or --treads are both given",
                    "One or the other",
                    "Put the measurements into the job file, or leave it out",
                )
            if self.units is not None:
                raise JobError(
                    "--units",
                    f'"{self.units}" is given beside a job file',
                    "A job says its units itself",
                    f'Leave it out, or write units = "{self.units}" in the file',
                )
            return on_known_paper(read_job(self.file, sys.stdin))
        if not given:
            raise JobError(
                "command line",
                "no job is given",
                "",
                "Name a job file, - for standard input, or give --rise, --run and --treads",
            )
        for option in quick:
            if option not in given:
                raise JobError(
                    option,
                    "is missing",
                    "A quick look takes --rise, --run and --treads",
                    "Add it, or name a job file",
                )
        return quick_job(self.rise, self.run, self.treads, self.units or "in")


def files(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """Let the shell complete the name of a file."""
    from click.shell_completion import CompletionItem

    return [CompletionItem(incomplete, type="file")]


def on_a_job(command: Callable[..., None]) -> Callable[..., None]:
    """A command whose first argument is a job: its file, or the measurements of the quick look."""

    def run(
        job: str | None,
        total_rise: str | None,
        total_run: str | None,
        treads: str | None,
        units: str | None,
        **options: Any,
    ) -> None:
        command(JobTyped(job, total_rise, total_run, treads, units), **options)

    whole = functools.update_wrapper(run, command)
    for decorate in (
        click.option(
            "--units",
            type=click.Choice(["in", "mm"]),
            help="Units of bare numbers in the quick look; in where left out.",
        ),
        click.option("--treads", type=str, help="Number of treads, for a quick look."),
        click.option("--run", "total_run", type=str, help="Total run, for a quick look."),
        click.option("--rise", "total_rise", type=str, help="Total rise, for a quick look."),
        click.argument("job", required=False, shell_complete=files),
    ):
        whole = decorate(whole)
    return whole


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


def on_known_paper(job: Job) -> Job:
    """The job, once its sheet is one that can be drawn on; no room below knows of sheets."""
    if job.sheet.paper is not None:
        from stairs.drawing.paper.sheet_sizes import paper_named

        try:
            paper_named(job.sheet.paper)
        except StairsError as error:
            place = f"{job.where}: sheet: paper"
            raise JobError(place, error.found, error.allowed, error.remedy) from None
    return job

"""The command that turns the question round: for which values of a key the guard passes."""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING

import click

from stairs.cli.group import Command
from stairs.cli.job_typed import JobTyped, on_a_job
from stairs.cli.terminal import fits, say

if TYPE_CHECKING:
    from click import Context, Parameter


def _keys(ctx: Context, param: Parameter, incomplete: str) -> list[str]:
    from stairs.job.described import key_words

    return [word for word in key_words() if word.startswith(incomplete)]


@click.command(cls=Command, short_help="For which values of a key all checks pass.")
@click.argument("key", shell_complete=_keys)
@on_a_job
@click.option("--section", type=int, help="Which section's key, from 1; of parts' keys where "
              "it has to pass.")  # fmt: skip
@click.option("--from", "low", help="Where to begin; what is usual where left out.")
@click.option("--to", "high", help="Where to end; what is usual where left out.")
@click.option("--for", "goal", help="One check, or a number of the result, instead of all checks.")
@click.option("--at-least", help="How much that is to be at least.")
@click.option("--at-most", help="How much that is to be at most.")
@click.option("--equal", help="How much that is to be.")
@click.option(
    "--posts-anew", is_flag=True, help="Lay open posts out anew for each value; takes longer."
)
@click.option("--json", "as_json", is_flag=True, help="Print the machine-readable answer only.")
def find(
    job: JobTyped,
    key: str,
    section: int | None,
    low: str | None,
    high: str | None,
    goal: str | None,
    at_least: str | None,
    at_most: str | None,
    equal: str | None,
    posts_anew: bool,
    as_json: bool,
) -> None:
    """Tell for which values of KEY the guard passes, and what fails at all others.

    KEY is a key of the job file, as stairs describe tells them; of a part with its table
    (panel.height), of a list with its place (posts.2). JOB is a job file, or - for standard input.

    \b
    stairs find bottom_gap examples/porch.toml
    stairs find panel.pitch examples/porch.toml --from 4 --to 7
    stairs find treads examples/porch.toml
    stairs find posts.2 examples/porch.toml --for rail_length --at-most 71
    """
    from stairs.inverse.found import find as found_for
    from stairs.report.inverse_result import found_result
    from stairs.report.inverse_text import found_text

    read = job.read()
    found = found_for(
        read,
        key,
        section=section,
        low=low,
        high=high,
        goal=goal,
        at_least=at_least,
        at_most=at_most,
        equal=equal,
        posts_anew=posts_anew,
    )
    if not as_json:
        say(found_text(read, found), end="")
        return
    result = found_result(found)
    text = json.dumps(result, indent=2, ensure_ascii=False, allow_nan=False)
    if not fits(text, getattr(sys.stdout, "encoding", None)):
        text = json.dumps(result, indent=2, allow_nan=False)
    say(text)

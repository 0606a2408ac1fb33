"""The group of all commands: how each is found, is told when it cannot print, and ends."""

from __future__ import annotations

import difflib
import io
import os
import sys
from typing import Any

import click

from stairs.cli.terminal import NOT_WRITTEN, NotWritten, let_go, reason_of, say
from stairs.errors import JobError, OutputFailed, StairsError
from stairs.lengths.tape import as_typed
from stairs.progress import shown_on

_COMPLETE = "_STAIRS_COMPLETE"
"""The variable in which a shell asks what may follow."""


class Command(click.Command):
    """A command whose own help says so where it cannot be printed."""

    def make_context(self, *args: Any, **extra: Any) -> click.Context:
        """Read the options; ``--help`` prints here."""
        try:
            return super().make_context(*args, **extra)
        except OSError as problem:
            let_go(sys.stdout)
            raise NotWritten(reason_of(problem)) from problem

    def invoke(self, ctx: click.Context) -> Any:
        """Run it, once no option or argument is given without a value."""
        for param in self.params:
            value = ctx.params.get(param.name or "")
            if isinstance(value, str) and not value.strip():
                argument = isinstance(param, click.Argument)
                name = param.human_readable_name if argument else param.opts[0]
                remedy = "" if param.required else ", or leave it out"
                raise JobError(name, "is empty", "", f"Give its value{remedy}")
        return super().invoke(ctx)


class Commands(Command, click.Group):
    """The commands, and how each ends: its own exit code, 2 for bad input, 3 without output."""

    command_class = Command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that is named; where there is none, the nearest is told."""
        typed, names = args[0], self.list_commands(ctx)
        if typed in names or typed.startswith("-"):
            return super().resolve_command(ctx, args)
        near = difflib.get_close_matches(typed.lower(), names, n=1)
        remedy = f"The nearest is stairs {near[0]}" if near else "stairs -h tells what each does"
        if typed.endswith(".toml"):
            remedy = f"Say first what to do with it, as in stairs check {typed}"
        raise JobError("command line", f"{as_typed(typed)} is no command", "", remedy)

    def main(self, *args: Any, **extra: Any) -> Any:
        """Run one command, and leave with its exit code."""
        if os.environ.get(_COMPLETE, "").startswith("powershell"):
            import stairs.cli.powershell  # noqa: F401, which adds itself to the library's shells
        code: Any = 0
        try:
            with shown_on(sys.stderr):
                code = super().main(*args, **{**extra, "standalone_mode": False})
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

"""Completion for PowerShell, by the command line library's own mechanism.

PowerShell hands a block what is typed and what is being completed; the block asks the program, as
those of the other shells do, and makes each line of the answer one of its own results.  Nothing is
loaded from here but while a shell asks.
"""

from __future__ import annotations

import os
import re

from click.shell_completion import CompletionItem, ShellComplete, add_completion_class

NAME = "powershell"
_SOURCE = r"""
Register-ArgumentCompleter -Native -CommandName %(prog_name)s -ScriptBlock {
    param($wordToComplete, $commandAst, $cursorPosition)
    $typed = $commandAst.ToString()
    $before = $cursorPosition - $commandAst.Extent.StartOffset
    if ($before -ge 0 -and $before -lt $typed.Length) { $typed = $typed.Substring(0, $before) }
    $env:COMP_WORDS = $typed
    $env:COMP_CWORD = "$wordToComplete"
    $env:%(complete_var)s = "powershell_complete"
    try {
        & %(prog_name)s 2>$null | ForEach-Object {
            $type, $value, $help = $_ -split "`t", 3
            if ($type -eq "file" -or $type -eq "dir") {
                [System.Management.Automation.CompletionCompleters]::CompleteFilename("$value")
            } else {
                [System.Management.Automation.CompletionResult]::new(
                    $value, $value, "ParameterValue", $help)
            }
        }
    } finally {
        Remove-Item Env:COMP_WORDS, Env:COMP_CWORD, Env:%(complete_var)s -ErrorAction Ignore
    }
}
"""
_WORD = re.compile(r"(?:\"[^\"]*(?:\"|$)|'[^']*(?:'|$)|\S)+")


def words_of(typed: str) -> list[str]:
    """The words of a line, quotes around them taken off; a backslash is part of a path.

    >>> words_of('stairs check ".\\\\my jobs\\\\porch.toml"')
    ['stairs', 'check', '.\\\\my jobs\\\\porch.toml']
    """
    return [word.replace('"', "").replace("'", "") for word in _WORD.findall(typed)]


class PowerShellComplete(ShellComplete):
    """What PowerShell asks, and the answer: type, value and help on a line, tabs between."""

    name = NAME
    source_template = _SOURCE

    def get_completion_args(self) -> tuple[list[str], str]:
        """The words before the one that is being completed, and that one."""
        words = words_of(os.environ.get("COMP_WORDS", ""))[1:]
        begun = "".join(words_of(os.environ.get("COMP_CWORD", "")))
        return (words[:-1] if begun and words and words[-1] == begun else words), begun

    def format_completion(self, item: CompletionItem[str]) -> str:
        """One answer on a line; PowerShell takes no result without a help."""
        value = f'"{item.value}"' if " " in item.value and item.type == "plain" else item.value
        return f"{item.type}\t{value}\t{item.help or item.value}"


add_completion_class(PowerShellComplete)

"""Every file that the commands write of a job, and what is in it, for who compares two runs.

    python written_files.py JOB FOLDER

writes them all into the folder and prints one line to a file: its name and the hash of its bytes.
"""

from __future__ import annotations

import hashlib
import sys
from pathlib import Path

from click.testing import CliRunner

from stairs.cli.commands import main

COMMANDS = {
    "elevation.pdf": ("draw",), "elevation.svg": ("draw",), "elevation.png": ("draw",),
    "elevation.dxf": ("draw",), "plan.pdf": ("draw", "--view", "plan"),
    "plan.dxf": ("draw", "--view", "plan"), "framing.svg": ("draw", "--view", "framing"),
    "packet.pdf": ("packet",), "shop.pdf": ("shop",), "template.pdf": ("template",),
    "cut.csv": ("cuts", "--csv", "cut"), "buy.csv": ("cuts", "--csv", "buy"),
    "set-out.csv": ("cuts", "--csv", "set-out"), "check.json": ("check", "--json"),
    "solve.json": ("solve", "--json"), "working.txt": ("solve", "--working"),
    "check.txt": ("check",), "cuts.txt": ("cuts", "--loads"),
}  # fmt: skip


def write_all(job: Path, folder: Path, names=tuple(COMMANDS)) -> list[str]:
    """Writes the files by name; a line to each file that came of it, numbered sheets too."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in names:
        command, *more = COMMANDS[name]
        drawn = command in ("draw", "packet", "shop", "template")
        target = ("-o", str(folder / name)) if drawn else ()
        done = CliRunner().invoke(main, [command, str(job), *more, *target])
        if not isinstance(done.exception, SystemExit | None):
            raise done.exception
        if not drawn:
            (folder / name).write_text(done.stdout, encoding="utf-8")
    return [
        f"{one.name} {hashlib.sha256(one.read_bytes()).hexdigest()}"
        for one in sorted(folder.iterdir())
    ]


if __name__ == "__main__":
    print("\n".join(write_all(Path(sys.argv[1]), Path(sys.argv[2]))))

"""The example jobs that come with the package: beside it in a clone, inside it once installed."""

import difflib
import textwrap
from pathlib import Path

from stairs.errors import JobError
from stairs.files import put_new

_PACKAGE = Path(__file__).parents[1]
_FOLDERS = (_PACKAGE / "examples", _PACKAGE.parent / "examples")


def example_names() -> list[str]:
    """The names of all examples, in order of the alphabet."""
    found = [sorted(path.stem for path in folder.glob("*.toml")) for folder in _FOLDERS]
    return next(filter(None, found), [])


def example_text(name: str) -> str:
    """An example's job file; its name with or without the ending.

    Raises
    ------
    JobError
        Where there is no such example.
    """
    names = example_names()
    stem = Path(name).name.removesuffix(".toml")
    if stem not in names:
        near = difflib.get_close_matches(stem.lower(), names, n=1)
        raise JobError(
            "NAME",
            f'"{stem}" is no example',
            f"There are {', '.join(names)}",
            f"The nearest is {near[0]}" if near else "Give one of them",
        )
    (path, *_) = (one for folder in _FOLDERS if (one := folder / f"{stem}.toml").is_file())
    return path.read_text(encoding="utf-8")


def example_about(name: str) -> str:
    """What an example is of: the remark that heads it."""
    lines = []
    for line in example_text(name).splitlines():
        if not line.startswith("#"):
            break
        lines.append(line.lstrip("# "))
    return " ".join(lines)


def write_example(name: str, path: str | Path) -> None:
    """Write an example to a new file; a file that is there already is left alone."""
    put_new(example_text(name), path, "An example")


def example_list() -> str:
    """Every example and what it is of, in lines of 80 columns."""
    wide = max(map(len, example_names()), default=0) + 2
    return "".join(
        textwrap.fill(
            name.ljust(wide) + example_about(name),
            80,
            subsequent_indent=" " * wide,
            break_on_hyphens=False,
        )
        + "\n"
        for name in example_names()
    )

"""Libraries: those that draw, loaded so that nobody's settings for them reach a sheet.

The plotting library reads a settings file of the folder that a command is typed in, another of the
home folder, and variables of the environment; so does the library that writes DXF.  A sheet must
look the same wherever it is drawn, and a folder that cannot be written to is none of its concern.
"""

from __future__ import annotations

import contextlib
import importlib
import logging
import os
import sys
from collections.abc import Iterator
from types import ModuleType

_ELSEWHERE = {
    "MPLBACKEND": None, "MATPLOTLIBRC": os.devnull, "EZDXF_CONFIG_FILE": None,
    "EZDXF_TEST_FILES": None, "XDG_CONFIG_HOME": os.devnull,
}  # fmt: skip
"""What the environment says while they are loaded; None: nothing."""
_SETTINGS = ("matplotlibrc", "ezdxf.ini")


def load(name: str) -> ModuleType:
    """A module of a drawing library, loaded before it is imported by its name."""
    if name not in sys.modules:
        with _nobodys_settings():
            importlib.import_module(name)
    return sys.modules[name]


@contextlib.contextmanager
def _nobodys_settings() -> Iterator[None]:
    """The environment as if nobody had any settings, and in silence."""
    before = {name: os.environ.get(name) for name in _ELSEWHERE}
    told = logging.root.manager.disable
    here = None
    try:
        _set(_ELSEWHERE)
        logging.disable(logging.CRITICAL)
        if any(map(os.path.exists, _SETTINGS)):  # read from the folder that one is in
            here = os.open(".", os.O_RDONLY)
            os.chdir(os.path.dirname(os.path.abspath(__file__)))
        yield
    finally:
        if here is not None:
            os.chdir(here)
            os.close(here)
        logging.disable(told)
        _set(before)


def _set(variables: dict[str, str | None]) -> None:
    for name, value in variables.items():
        if value is None:
            os.environ.pop(name, None)
        else:
            os.environ[name] = value

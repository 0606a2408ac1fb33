"""What is being worked out, told to whoever waits for it: one line, on a terminal alone.

Rooms that may take long say what they are at; who called decides whether anyone hears of it.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from contextvars import ContextVar
from typing import TextIO

PATIENCE, EVERY = 1.0, 0.2  # seconds before the first line, and from one to the next
_WIDE = 78
_listener: ContextVar[Callable[[str], None] | None] = ContextVar("listener", default=None)


def at_work(text: str) -> None:
    """Say in a few words what is being worked out."""
    listener = _listener.get()
    if listener is not None:
        listener(text)


@contextmanager
def shown_on(stream: TextIO, patience: float = PATIENCE) -> Iterator[None]:
    """Show on a stream what is at work meanwhile, and leave nothing of it.

    A stream that is no terminal is left alone; ``patience`` [s] passes before anything is shown.
    """
    if not stream.isatty():
        yield
        return
    due, wide = time.monotonic() + patience, 0

    def show(text: str) -> None:
        nonlocal due, wide
        if time.monotonic() < due:
            return
        due, line = time.monotonic() + EVERY, f"working: {text}"[:_WIDE]
        with suppress(OSError):
            stream.write("\r" + line.ljust(wide))
            stream.flush()
        wide = len(line)

    token = _listener.set(show)
    try:
        yield
    finally:
        _listener.reset(token)
        if wide:
            with suppress(OSError):
                stream.write("\r" + " " * wide + "\r")
                stream.flush()

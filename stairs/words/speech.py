"""Speaking in the words of a country while a text or a sheet is made.

Every text on its way out goes through :func:`local`, wherever it is first measured or broken into
lines.  What the user typed is found in it whole and warded: an invisible sign inside its words
keeps them from being taken for the program's own later on, when the text is in pieces.
:func:`finished` takes the wards away.  Both do nothing while no country is spoken.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from importlib.resources import files
from typing import Any

WARD = "\u2060"
"""Word joiner: no letter, no width, and no program text holds it."""


class Speech:
    """A country's words, and what the user typed and is left alone."""

    def __init__(self, country: str, typed: Iterable[str]) -> None:
        self._words = words_of(country)
        self._terms = _terms()
        kept = {" ".join(text.split()) for text in typed if self._terms.search(text)}
        self._whole = _alternatives(kept, r"\s+", r"(?<!\w)(?:", r")(?!\w)") if kept else None
        self._known: dict[str, str] = {}

    def say(self, text: str) -> str:
        """A text in the country's words."""
        told = self._known.get(text)
        if told is None:
            warded = text if self._whole is None else self._whole.sub(_warded, text)
            told = self._known[text] = self._terms.sub(self._word, warded)
        return told

    def _word(self, found: re.Match[str]) -> str:
        typed = found[0]
        said = " ".join(typed.lower().split())
        word = self._words.get(said)
        if word is None and said.endswith("s") and said[:-1] in self._words:
            word = self._words[said[:-1]] + "s"
        if word is None:
            return typed
        if typed.isupper():
            return word.upper()
        return word[0].upper() + word[1:] if typed[0].isupper() else word


_SPOKEN: ContextVar[Speech | None] = ContextVar("spoken", default=None)


@contextmanager
def speaking(country: str, typed: Iterable[str] = ()) -> Iterator[None]:
    """Speak a country's words until the end of the block.

    Parameters
    ----------
    country : str
        One of :func:`countries`.
    typed : iterable of str
        What the user typed freely (title, names, notes); it is never put into other words.

    Examples
    --------
    >>> with speaking("uk", ["Baluster Lane"]):
    ...     finished(local("Baluster Lane: BALUSTERS on center, 2 to a guard"))
    'Baluster Lane: SPINDLES centre to centre, 2 to guarding'
    """
    token = _SPOKEN.set(Speech(country, typed))
    try:
        yield
    finally:
        _SPOKEN.reset(token)


def is_spoken() -> bool:
    """Whether a country is spoken now."""
    return _SPOKEN.get() is not None


def local(text: str) -> str:
    """A text in the words of the country that is spoken, the user's own words warded."""
    speech = _SPOKEN.get()
    return text if speech is None else speech.say(text)


def finished(text: str) -> str:
    """The same, without wards: for a reader's eyes, and for no further step."""
    return local(text).replace(WARD, "") if is_spoken() else text


def countries() -> dict[str, tuple[str, ...]]:
    """The countries that have words of their own, and the rulebooks whose jobs are told in them."""
    return {country: tuple(books) for country, books in _vocabulary()["countries"].items()}


def country_of(rulebook: str) -> str:
    """The country whose words go with a rulebook.

    >>> country_of("nz-f4-as1"), country_of("irc-2021")
    ('au', 'us')
    """
    return next(country for country, books in countries().items() if rulebook in books)


@cache
def words_of(country: str) -> dict[str, str]:
    """What a country calls each thing, by how the program's texts may call it."""
    return {
        said: row[country]
        for row in _vocabulary()["word"]
        if country in row
        for said in row["said"]
    }


@cache
def _vocabulary() -> dict[str, Any]:
    return tomllib.loads((files("stairs.words") / "vocabulary.toml").read_text("utf-8"))


@cache
def _terms() -> re.Pattern[str]:
    """Whatever is called otherwise somewhere: whole words only, and none that is part of a key.

    Keys of a job file and names of checks hold hyphens and underlines, stand between quotation
    marks or before an equals sign.
    """
    said = {one for row in _vocabulary()["word"] for one in row["said"]}
    return _alternatives(
        said, "[ \u00a0]", r"(?<![\w\-\"`.])(?:", rf")s?(?![\w{WARD}]|-\w|[\"`]| =)"
    )


def _alternatives(texts: Iterable[str], blank: str, before: str, after: str) -> re.Pattern[str]:
    """Any of some texts, the longest first, whatever its case and, by a pattern, its blanks."""
    longest = sorted(texts, key=lambda text: (-len(text), text))
    spaced = (blank.join(map(re.escape, text.split())) for text in longest)
    return re.compile(f"{before}{'|'.join(spaced)}{after}", re.IGNORECASE)


def _warded(found: re.Match[str]) -> str:
    return re.sub(r"\w+", lambda word: word[0][0] + WARD + word[0][1:], found[0])

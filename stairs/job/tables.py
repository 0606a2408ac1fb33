"""The tables of a job file, and where in them a key stands that is named, or is called otherwise.

What people call a key, in one country or another, stands in ``keys.json`` beside the key.  Such a
word is never taken for it: it is told whose it may be.
"""

import functools
from collections.abc import Iterator
from typing import NamedTuple

import msgspec

from stairs.job.key_notes import INNER, RECORDS, KeyOf, inner_record, keys_of
from stairs.job.records import (
    Bracket,
    Framing,
    Guarded,
    Job,
    JobFlight,
    JobLevel,
    LocalOverride,
    Panel,
    PostKind,
    SheetKeys,
    Tolerance,
)


class JobTable(NamedTuple):
    """One table of the job file: how it is headed, what it holds, what else it is called."""

    header: str
    about: str
    record: type[msgspec.Struct]
    called: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """Its key in the job file; empty where its keys stand above all tables."""
        return self.header.split(",")[0].strip("[]") if "[" in self.header else ""

    @property
    def own_keys(self) -> dict[str, KeyOf]:
        """Its keys, those of all sections left out where it is one kind of them."""
        shared = keys_of(Guarded) if self.record in (JobFlight, JobLevel) else {}
        return {name: key for name, key in keys_of(self.record).items() if name not in shared}


TABLES = (
    JobTable("Above all tables", "", Job),
    JobTable(
        "[panel]",
        "The panel as it is bought, measured level.",
        Panel,
        ("panels", "rail", "rails", "railing", "balustrade", "infill"),
    ),
    JobTable(
        "[bracket]", "What joins a rail to a post.", Bracket, ("brackets", "connector", "fixing")
    ),
    JobTable("[post]", "The post and its foot.", PostKind, ("posts", "newel", "newels")),
    JobTable(
        "[[section]]",
        "Of flights and level runs alike, foot of the stair first.",
        Guarded,
        ("sections", "stair", "stairs", "flight", "steps", "landing", "level", "run", "deck"),
    ),
    JobTable(
        "[[section]], a flight", 'With `kind = "flight"`, or without `span` and `edge`.', JobFlight
    ),
    JobTable(
        "[[section]], a level run", 'With `kind = "level"`, or with `span` or `edge`.', JobLevel
    ),
    JobTable(
        "[framing]",
        "What lies under the level runs, for the blocks below their posts.",
        Framing,
        ("frame", "joists", "joist", "boards", "decking"),
    ),
    JobTable(
        "[measured]",
        "How far off single measurements may be, over `measured_within`: `key = within`, and "
        'outside of sections `"panel.pitch" = within`.',
        Tolerance,
        ("tolerance", "tolerances", "accuracy"),
    ),
    JobTable(
        "[local]",
        "A value of your own over the rulebook's: `check = { limit, reason }`.",
        LocalOverride,
        ("override", "overrides"),
    ),
    JobTable("[sheet]", "For the title block.", SheetKeys, ("sheets", "title_block", "drawing")),
)


class Place(NamedTuple):
    """A key where it stands: its table, and the key in whose braces it is."""

    table: JobTable
    key: KeyOf
    within: str = ""
    listed: bool = False  # whether that is a list of tables

    @property
    def path(self) -> str:
        """The key with all that it stands in, as a person may name it."""
        return ".".join(part for part in (self.table.name, self.within, self.key.name) if part)

    @property
    def under(self) -> str:
        """Where it stands, in words."""
        if self.listed:
            return f"under [[{self.table.name}.{self.within}]]"
        header = self.table.header.replace(", ", " of ")
        place = f"under {header}" if self.table.name else "above all tables"
        return f"in {self.within} = {{ ... }} {place}" if self.within else place


@functools.cache
def all_places() -> tuple[Place, ...]:
    """Every key of a job file, in the order of the page of keys."""
    return tuple(place for table in TABLES for place in _places(table))


def _places(table: JobTable) -> Iterator[Place]:
    for key in table.own_keys.values():
        yield Place(table, key)
        if key.note.reads in INNER:
            for one in keys_of(inner_record(key)).values():
                yield Place(table, one, key.name, key.note.reads == RECORDS)


def plain_word(word: str) -> str:
    """A word as keys are written: small letters, joined by ``_``.

    Examples
    --------
    >>> plain_word("Top rail"), plain_word("on-center")
    ('top_rail', 'on_center')
    """
    return "_".join(word.lower().replace("-", " ").replace("_", " ").split())


def places_called(word: str) -> list[Place]:
    """Where keys stand that some people call by this word.

    Examples
    --------
    >>> [place.path for place in places_called("spindle")]
    ['panel.baluster']
    """
    return [place for place in all_places() if plain_word(word) in place.key.note.called]


def places_named(word: str) -> list[Place]:
    """Where a key stands that has this name, with or without what it stands in.

    Examples
    --------
    >>> [place.under for place in places_named("slot.wall")]
    ['in slot = { ... } under [panel]']
    """
    named = plain_word(word.strip("[] ")).replace(":_", ".").replace(":", ".")
    return [place for place in all_places() if f".{place.path}".endswith(f".{named}")]

"""The key that is asked for: where in the job it stands, what it may be, and the job with a value.

A key is named as in the job file, with the table where that is needed: ``bottom_gap``,
``panel.pitch``, ``slot.wall``; one of a list by its place in it: ``posts.2``, ``panel.stock.1``.
"""

from __future__ import annotations

import difflib
import re
import typing
from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from stairs.errors import JobError, NoSuchShape
from stairs.guard.solving import FlightSection
from stairs.inverse import step_keys
from stairs.job import Job, JobFlight, section_where
from stairs.job.described import key_words
from stairs.job.key_notes import INNER, RECORDS, KeyOf, keys_of, value_of
from stairs.job.tables import Place, places_called, places_named, plain_word
from stairs.lengths.tape import as_typed
from stairs.remedies.job_changes import STEP_KEYS, Change, post_changes
from stairs.remedies.trial_solve import Bench

LENGTH, DEGREES, COUNT, CHOICE = "length", "degrees", "count", "choice"

_TABLES = ("panel", "bracket", "post", "section")
_LISTS = {"posts": "posts", "lengths": "sizes", "stock": "lengths sold"}
_NOT_ASKED = ("kind", "name", "as_built", "done", "surface", "words", "units")
_LAST = re.compile(r"(.+?)(?:\.(\d{1,3})|\[(\d{1,3})\])$")


class Asked(Struct, frozen=True):
    """A key of one job whose value is asked for.

    Parameters
    ----------
    path : str
        As a person names it, without the table where it is a section's.
    key : KeyOf
        What the job file says of it.
    table : str
        ``"panel"``, ``"bracket"``, ``"post"`` or ``"section"``.
    index : int or None
        Of the section, from 0, where it is a section's.
    within : str
        The key in whose braces it stands; empty where in none.
    place : int or None
        In the list that it is one of, from 0.
    kind : str
        ``"length"``, ``"degrees"``, ``"count"`` or ``"choice"``.
    now : Fraction, int, str, bool or None
        As the job has it, or as it is worked out; None where there is none.
    gives_way : tuple of str
        Other keys of the steps that cannot stay where it takes another value.
    """

    path: str
    key: KeyOf
    table: str
    index: int | None
    within: str
    place: int | None
    kind: str
    now: Any
    gives_way: tuple[str, ...] = ()

    @property
    def is_step(self) -> bool:
        """Whether it is one of the measurements that fix a flight's steps."""
        return self.table == "section" and self.key.name in STEP_KEYS and self.place is None

    @property
    def title(self) -> str:
        """In words: ``"bottom gap"``, ``"x of post 2"``."""
        words = self.key.name.replace("_", " ")
        if self.place is None:
            if self.within or self.table != "section":
                return f"{self.within or self.table} {words}"
            return words
        if self.key.name == "posts":
            return f"x of post {self.place + 1}"
        table = "" if self.table == "section" else f"{self.table} "
        return f"{table}{words.removesuffix('s')} {self.place + 1}"

    @property
    def place_in_file(self) -> str:
        """Table or section, and key, as errors name them."""
        where = self.table if self.index is None else f"section {self.index + 1}"
        return f"{where}: {self.path.removeprefix(self.table + '.')}"


def asked_for(typed: str, bench: Bench, number: int | None = None) -> Asked:
    """The key that is meant by what was typed, in a job that can be solved as it is.

    Parameters
    ----------
    typed : str
        A key's name, maybe after its table and a dot, maybe with a place in a list after a dot.
    number : int, optional
        Of the section, from 1, where the key stands in several.

    Raises
    ------
    JobError
        There is no such key, or it is no number and no choice; or it cannot be told which is meant.
    """
    place, nth = _place_meant(typed, bench.in_file, number is not None)
    table = place.table.name
    index = None
    if table == "section":
        index = _section_meant(place.key.name, bench.in_file, number)
    elif number is not None:
        section_known(number, bench.job)
    holder: Any = bench.in_file.sections[index] if index is not None else None
    if index is None:
        holder = getattr(bench.in_file, table)
    kind = _kind_of(place.key)
    path = place.path.removeprefix("section.") + (f".{nth + 1}" if nth is not None else "")
    asked = Asked(path, place.key, table, index, place.within, nth, kind, None)
    if asked.within:
        inner = getattr(holder, asked.within)
        if inner is None:
            raise JobError(
                asked.place_in_file,
                f"the job gives no {asked.within}",
                "",
                f"Add {asked.within} to it first, or ask for another key",
            )
        return replace(asked, now=getattr(inner, place.key.name))
    if asked.is_step and index is not None:
        return _step_asked(asked, bench, index)
    if nth is not None:
        return replace(asked, now=_listed(asked, bench, holder)[nth])
    return replace(asked, now=_now(asked, bench, holder))


def _place_meant(typed: str, job: Job, of_section: bool) -> tuple[Place, int | None]:
    """Where the key stands, a section's where one is named, and which of a list, from 0."""
    word, nth = plain_word(typed), None
    places = _told_by(word, job)
    if not places and (parts := _LAST.fullmatch(word)):
        word, nth = parts[1], int(parts[2] or parts[3]) - 1
        places = _told_by(word, job)
    if not places:
        raise _unknown(typed, job)
    paths = list(dict.fromkeys(place.path for place in places))
    plain = [place for place in places if not place.within]
    if len(paths) > 1 and len({place.path for place in plain}) == 1:
        paths, places = [plain[0].path], plain
    own = [place for place in places if place.table.name == "section"]
    if len(paths) > 1 and of_section and len({place.path for place in own}) == 1:
        paths, places = [own[0].path], own
    if len(paths) > 1:
        raise JobError(
            "KEY",
            f"{as_typed(typed)} is a key of more than one table",
            "",
            f"Write {' or '.join(paths)}",
        )
    place, reads = places[0], places[0].key.note.reads
    if reads in _LISTS and nth is None:
        raise JobError(
            "KEY",
            f"{place.key.name} is a list of {_LISTS[reads]}",
            "One of them can be asked for",
            f"Name it by its place, as in {place.path.removeprefix('section.')}.1",
        )
    if nth is not None and (reads not in _LISTS or nth < 0):
        raise JobError(
            "KEY",
            f"{as_typed(typed)} names one of a list",
            f"{place.key.name} is no list" if reads not in _LISTS else "Places count from 1",
            "Leave the number out" if reads not in _LISTS else "Give one of them",
        )
    return place, nth


def _told_by(word: str, job: Job) -> list[Place]:
    """The keys of that name that can be asked for in a job."""
    here = {key for section in job.sections for key in keys_of(type(section))}
    return [
        place
        for place in places_named(word)
        if place.table.name in _TABLES
        and place.key.name not in _NOT_ASKED
        and not place.listed
        and (place.table.name != "section" or place.key.name in here or place.within in here)
        and _is_askable(place.key)
    ]


def _is_askable(key: KeyOf) -> bool:
    reads = key.note.reads
    if reads in _LISTS or reads.startswith("length ") or reads in ("gap", "place", "degrees"):
        return True
    return reads in ("plain", "trim") and (key.type is bool or bool(key.choices) or _counts(key))


def _counts(key: KeyOf) -> bool:
    return key.type is int or int in typing.get_args(key.type)


def _kind_of(key: KeyOf) -> str:
    reads = key.note.reads
    if reads == "degrees":
        return DEGREES
    if reads in ("plain", "trim"):
        return COUNT if _counts(key) else CHOICE
    return LENGTH


def _unknown(typed: str, job: Job) -> JobError:
    word = plain_word(typed)
    base = word.rsplit(".", 1)[-1]
    if named := [place for place in places_named(word) if place.key.note.reads not in INNER]:
        place = named[0]
        reason = "is text or a choice that decides no check"
        if place.table.name == "section" and not place.within:
            here = {key for section in job.sections for key in keys_of(type(section))}
            reason = "has no section here" if place.key.name not in here else reason
        elif place.table.name not in _TABLES:
            reason = "is nothing that is built"
        return JobError(
            "KEY",
            f"{as_typed(typed)} {reason}",
            "A length, an angle, a count or a choice of panel, bracket, post or a section is found",
            "Ask for one of them, as in stairs find bottom_gap",
        )
    if places_named(word):
        inner = places_named(word)[0].key
        noun = "records" if inner.note.reads == RECORDS else "measurements of its own"
        return JobError(
            "KEY",
            f"{as_typed(typed)} holds {noun}",
            "",
            f"Name one, as stairs describe {word} tells",
        )
    called = [place.path.removeprefix("section.") for place in places_called(base)]
    near = called or difflib.get_close_matches(base, key_words(), n=3)
    verb = "People call so" if called else "The nearest"
    return JobError(
        "KEY",
        f"{as_typed(typed)} is no key of a job file",
        "",
        f"{verb}: {', '.join(dict.fromkeys(near))}"
        if near
        else "stairs describe panel, or section, tells the keys of each table",
    )


def section_known(number: int, job: Job) -> int:
    """The index of a section by its number, from 1; JobError where there is none."""
    count = len(job.sections)
    if 1 <= number <= count:
        return number - 1
    raise JobError(
        "--section",
        f"{number} is no section of this job",
        f"It has {count}" + ("" if count == 1 else f", numbered 1 to {count}"),
        "Give one of them",
    )


def _section_meant(key: str, job: Job, number: int | None) -> int:
    able = [k for k, section in enumerate(job.sections) if key in keys_of(type(section))]
    if number is not None:
        index = section_known(number, job)
        if index not in able:
            kind = job.sections[index].kind
            raise JobError(
                "--section",
                f"section {number} is a {kind}{' run' if kind == 'level' else ''}, which has no "
                f"{key}",
                "",
                f"Give {' or '.join(str(k + 1) for k in able)}",
            )
        return index
    if len(able) == 1:
        return able[0]
    named = ", ".join(section_where(k + 1, job.sections[k].name) for k in able)
    raise JobError(
        "--section",
        f"is missing, and {len(able)} sections have a key {key}",
        named[0].upper() + named[1:],
        f"Say which, as in --section {able[0] + 1}",
    )


def _step_asked(asked: Asked, bench: Bench, index: int) -> Asked:
    section, record = bench.before.sections[index].section, bench.in_file.sections[index]
    assert isinstance(section, FlightSection) and isinstance(record, JobFlight)
    gone = step_keys.let_go(section, record, asked.key.name, asked.place_in_file)
    now = step_keys.now_of(section.flight, asked.key.name)
    given = value_of(record, asked.key.name)
    return replace(asked, now=now if given is None else given, gives_way=gone)


def _listed(asked: Asked, bench: Bench, holder: Any) -> tuple[Fraction, ...]:
    """The list that the key is one of, posts where they stand now."""
    key, nth = asked.key.name, asked.place
    assert nth is not None
    found: Sequence[Fraction] | None = value_of(holder, key)
    if key == "posts" and asked.index is not None:
        found = bench.posts_now(asked.index)
    if not found:
        raise JobError(
            asked.place_in_file, f"the job gives no {key}", "", "Ask for a key that it gives"
        )
    if nth >= len(found):
        raise JobError(
            asked.place_in_file,
            f"there {'is' if len(found) == 1 else 'are'} {len(found)}",
            "",
            f"Give a place from 1 to {len(found)}",
        )
    return tuple(found)


def _now(asked: Asked, bench: Bench, holder: Any) -> Any:
    value, name = value_of(holder, asked.key.name), asked.key.name
    if asked.index is None:
        return value
    part = bench.before.sections[asked.index]
    if name == "bottom_gap":
        return part.job.sections[asked.index].bottom_gap
    if name == "bays":
        return len(part.section.bays)
    return value


# --------------------------------------------------------------------------- the job with a value


def changes_to(asked: Asked, bench: Bench, value: Any) -> tuple[Change, ...]:
    """What to write into the job so that the key has a value; JobError where that cannot be."""
    name, index, nth = asked.key.name, asked.index, asked.place
    if index is None:
        holder: Any = getattr(bench.in_file, asked.table)
    else:
        holder = bench.in_file.sections[index]
    if asked.within:
        inner = replace(getattr(holder, asked.within), **{name: value})
        return (Change(asked.table, asked.within, inner),)
    if asked.is_step and index is not None:
        section = bench.before.sections[index].section
        assert isinstance(section, FlightSection) and isinstance(holder, JobFlight)
        return step_keys.step_changes(section, holder, name, asked.gives_way, value)
    if nth is not None:
        kept = list(_listed(asked, bench, holder))
        kept[nth] = value
        if name == "posts":
            _refuse_disorder(asked, kept)
            return post_changes(holder, tuple(kept))
        return (Change(asked.table, name, tuple(kept)),)
    changes = [Change(asked.table, name, value)]
    if name == "bays" or name == "span" and holder.posts is not None:
        changes.append(Change("section", "posts", None))
    if name == "span" and holder.posts is not None:
        changes.append(Change("section", "bays", len(holder.posts) - 1))
    return tuple(changes)


def _refuse_disorder(asked: Asked, posts: Sequence[Fraction]) -> None:
    if list(posts) != sorted(set(posts)):
        raise NoSuchShape(
            asked.place_in_file, "it passes the post beside it", "Posts stand in order", ""
        )

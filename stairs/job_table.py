"""Reading one table of a job file into one record, key by key.

A table is what stands under ``[panel]`` or ``[[section]]``.  What each key may hold is noted beside
the record's field (:mod:`stairs.job_records`); this room looks the keys up, reads lengths and
angles exactly, leaves yes-or-no, counts and choices to msgspec, and names file, section and key in
every message.
"""

import datetime
import difflib
import typing
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

import msgspec

from stairs.errors import JobError
from stairs.job_holes import read_holes
from stairs.job_notes import KeyOf, Trim, assumption, keys_of
from stairs.job_records import MOST_STEPS
from stairs.tape import as_typed, exact_text, parse, parse_degrees

LONGEST_WORDS = 2000  # characters of a title, a name or a reason
MOST_LINES = 20


def joined(*parts: str) -> str:
    """The parts of a place, outermost first, without the empty ones.

    Examples
    --------
    >>> joined("stair.toml", "", "panel", "pitch")
    'stair.toml: panel: pitch'
    """
    return ": ".join(part for part in parts if part)


class Table:
    """One table of a job file with its place, ready to be read key by key.

    Parameters
    ----------
    values : Mapping
        Keys and values as the file holds them.
    units : str
        ``"in"`` or ``"mm"``.
    where : str
        File and section, for messages.
    header : str
        How the table is headed in a job file, e.g. ``[panel]``.
    keys : str
        Of a table in braces, how its keys are written.

    Raises
    ------
    JobError
        Where ``values`` is no table; the reading methods raise it for keys and values.

    Examples
    --------
    >>> from stairs.job_records import PostKind
    >>> Table({"width": "3"}, "in", "post", "[post]").read(PostKind)["width"]
    Fraction(3, 1)
    """

    def __init__(self, values: object, units: str, where: str, header: str, keys: str = "") -> None:
        if not isinstance(values, Mapping):
            if keys:
                raise JobError(
                    where,
                    f"{as_typed(values)} is not a table",
                    "Its keys stand beside each other in braces",
                    f"Write {header.replace('...', keys)}",
                )
            raise JobError(
                where,
                f"{as_typed(values)} is not a table",
                f"Its keys stand on lines of their own under {header}",
                f"Write {header} on a line of its own and the keys below it",
            )
        self.values = values
        self.units = units
        self.where = where
        self.header = header

    def at(self, key: str) -> str:
        """The place of a key, for a message."""
        return joined(self.where, key)

    def refuse_unknown(self, known: typing.Iterable[str], belongs: Mapping[str, str] = {}) -> None:  # noqa: B006
        """Raise for the first key that is not known; ``belongs`` says where such a key goes."""
        known = sorted(known)
        for key in self.values:
            if key in known:
                continue
            shown = as_typed(str(key))
            near = difflib.get_close_matches(str(key).lower(), known, n=1)
            if key in belongs:
                remedy, allowed = belongs[key], f"Known keys: {', '.join(known)}"
            elif near:
                remedy, allowed = f'The nearest known key is "{near[0]}"', ""
            else:
                remedy, allowed = "Leave it out", f"Known keys: {', '.join(known)}"
            raise JobError(
                joined(self.where, shown[1:-1]),
                f"{shown} is not a key of {self.header}",
                allowed,
                remedy,
            )

    def read(
        self,
        record: type[msgspec.Struct],
        needs: typing.Collection[str] = (),
        assumed: list[str] | None = None,
        short: str = "",
    ) -> dict[str, Any]:
        """The values of a record's keys, each read and within its own bounds.

        Parameters
        ----------
        record : type
            The record whose keys are read.
        needs : collection of str
            Keys that must be there although the record has a default for them.
        assumed : list of str, optional
            Gets one line for each key left out whose default bears on the result.
        short : str
            The table's place without the file, for these lines.

        Returns
        -------
        dict
            One entry for every key of the record.
        """
        values = {}
        for key, what in keys_of(record).items():
            if key in self.values:
                values[key] = self._value(key, what)
                continue
            if what.default is msgspec.NODEFAULT or key in needs:
                raise self._missing(key, what)
            values[key] = self._default(what)
            if assumed is not None and not what.note.get("quiet"):
                text = assumption(key, values[key], what, self.units)
                if text:
                    assumed.append(joined(short, text))
        return values

    def read_one(
        self,
        record: type[msgspec.Struct],
        key: str,
        default: Any = None,
        assumed: list[str] | None = None,
    ) -> Any:
        """The value of a single key of a record; ``default`` stands in for the record's own."""
        what = keys_of(record)[key]
        if key in self.values:
            return self._value(key, what)
        value = self._default(what) if default is None else default
        if value is msgspec.NODEFAULT:
            raise self._missing(key, what)
        if assumed is not None:
            assumed.append(assumption(key, value, what, self.units))
        return value

    def _default(self, what: KeyOf) -> Any:
        if "assumed" in what.note:
            return what.note["assumed"][self.units == "mm"]
        return what.default

    def sample(self, key: str, what: KeyOf) -> str:
        """The key as one would type it in a job file."""
        if "sample" in what.note:
            return f"{key} = {what.note['sample']}"
        return f'{key} = "{what.note["example"][self.units == "mm"]}"'

    def _under(self) -> str:
        """Where in the file a key of this table goes."""
        return f"under {self.header}" if "[" in self.header else f"to {self.header}"

    def _missing(self, key: str, what: KeyOf) -> JobError:
        action = "Measure it" if what.note["reads"] == "length" else "Choose it"
        return JobError(
            self.at(key),
            "is missing",
            f"It is {what.meaning}",
            f"{action} and add it {self._under()}, as in {self.sample(key, what)}",
        )

    # -------------------------------------------------------------- one value

    def _value(self, key: str, what: KeyOf) -> Any:
        read = getattr(self, f"_{what.note['reads']}")
        return read(self.values[key], key, what)

    def _length(self, value: object, key: str, what: KeyOf) -> Fraction:
        length = parse(value, self.units, self.at(key))
        self._bounded(value, length, key, what, "length")
        if "slip" in what.note:
            refuse_unit_slip(self.at(key), value, length, self.units, *what.note["slip"])
        return length

    def _bounded(self, typed: object, number: Fraction, key: str, what: KeyOf, noun: str) -> None:
        least, above = what.note["least"], what.note["above"]
        if number > least or (number == least and not above):
            return
        found = f"{as_typed(typed)} is negative" if number < 0 else f"is {as_typed(typed)}"
        allowed = f"A {noun} above 0 is needed" if above else f"A {noun} of 0 or more is needed"
        raise JobError(self.at(key), found, allowed, f"Give {what.meaning}")

    def _degrees(self, value: object, key: str, what: KeyOf) -> Fraction:
        angle = parse_degrees(value, self.at(key))
        least, most, above = (what.note.get(name) for name in ("least", "most", "above"))
        within = least < angle < most if above else least <= angle <= most
        if not within:
            span = f"between {least} and {most}" if above else f"from {least} to {most}"
            raise JobError(
                self.at(key),
                f"{as_typed(value)} is {'more' if angle >= most else 'less'} than can be",
                f"An angle {span} degrees is read",
                f"Give {what.meaning} in degrees",
            )
        return angle

    def _plain(self, value: object, key: str, what: KeyOf) -> Any:
        try:
            return msgspec.convert(value, what.type)
        except msgspec.ValidationError as error:
            choices = [c for c in _choices(what.type) if isinstance(c, str)]
            near = difflib.get_close_matches(str(value).lower(), choices, n=1)
            raise JobError(
                self.at(key),
                f"{as_typed(value)} cannot be used",
                f"{key} is {what.note['allowed']}",
                f'The nearest is "{near[0]}"' if near else f"It states {what.meaning}",
            ) from error

    def _text(self, value: object, key: str, what: KeyOf) -> str:
        if not isinstance(value, str):
            raise JobError(
                self.at(key),
                f"{as_typed(value)} is not text",
                "Text in quotes is read",
                f"Give {what.meaning} in quotes",
            )
        if len(value) > LONGEST_WORDS:
            raise JobError(
                self.at(key),
                f"{as_typed(value)} has {len(value)} characters",
                f"At most {LONGEST_WORDS} are read",
                "Shorten it",
            )
        return value

    def _date(self, value: object, key: str, what: KeyOf) -> str:
        if isinstance(value, datetime.date):
            return value.isoformat()
        return self._text(value, key, what)

    def _list(self, value: object, key: str, what: KeyOf, most: int) -> Sequence[Any]:
        if not isinstance(value, (list, tuple)):
            raise JobError(
                self.at(key),
                f"{as_typed(value)} is not a list",
                "A list in square brackets is read",
                f"Give {what.meaning} in square brackets, with commas between",
            )
        if len(value) > most:
            raise JobError(
                self.at(key),
                f"is a list of {len(value)}",
                f"At most {most} are read",
                "Split it over several sections or jobs",
            )
        return value

    def _lines(self, value: object, key: str, what: KeyOf) -> tuple[str, ...]:
        lines = self._list(value, key, what, MOST_LINES)
        return tuple(self._text(line, f"{key} {n}", what) for n, line in enumerate(lines, 1))

    def _stock(self, value: object, key: str, what: KeyOf) -> tuple[Fraction, ...]:
        lengths = set()
        for n, typed in enumerate(self._list(value, key, what, MOST_STEPS), 1):
            place = self.at(f"{key} {n}")
            length = parse(typed, self.units, place)
            if length <= 0:
                raise JobError(
                    place,
                    f"{as_typed(typed)} is negative" if length else f"is {as_typed(typed)}",
                    "A stock length is above 0",
                    f"List {what.meaning}, as in [{what.note['example'][self.units == 'mm']}]",
                )
            lengths.add(length)
        return tuple(sorted(lengths))

    def _lengths(self, value: object, key: str, what: KeyOf) -> tuple[Fraction, ...]:
        lengths = []
        for n, typed in enumerate(self._list(value, key, what, MOST_STEPS), 1):
            place = self.at(f"{key} {n}")
            length = parse(typed, self.units, place)
            if length <= 0:
                raise JobError(
                    place,
                    f"{as_typed(typed)} is negative" if length else f"is {as_typed(typed)}",
                    "A length above 0 is needed",
                    f"List {what.meaning}, as in [{what.note['example'][self.units == 'mm']}]",
                )
            lengths.append(length)
        return tuple(lengths)

    def _posts(self, value: object, key: str, what: KeyOf) -> tuple[Fraction, ...]:
        typed = self._list(value, key, what, MOST_STEPS)
        if len(typed) < 2:
            raise JobError(
                self.at(key),
                f"is a list of {len(typed)}",
                "A guard has 2 posts or more",
                f"Give {what.meaning}, first to last",
            )
        centres = [
            parse(centre, self.units, self.at(f"{key} {n}")) for n, centre in enumerate(typed, 1)
        ]
        for n in range(1, len(centres)):
            if centres[n] <= centres[n - 1]:
                raise JobError(
                    self.at(f"{key} {n + 1}"),
                    f"{as_typed(typed[n])} is not beyond {as_typed(typed[n - 1])}, "
                    "the post before it",
                    "Post centres grow from the first post to the last",
                    "Put them in order, foot of the stair first",
                )
        return tuple(centres)

    def _points(
        self, value: object, key: str, what: KeyOf
    ) -> tuple[tuple[Fraction, Fraction], ...]:
        typed = self._list(value, key, what, MOST_STEPS)
        points: list[tuple[Fraction, Fraction]] = []
        for n, pair in enumerate(typed, 1):
            place = self.at(f"{key} {n}")
            if not isinstance(pair, (list, tuple)) or len(pair) != 2:
                raise JobError(
                    place,
                    f"{as_typed(pair)} is not a point",
                    "A nosing point is a pair: x from the first nosing, y from the lower landing",
                    'Write it as in ["10 1/2", "14 1/2"]',
                )
            x, y = (parse(part, self.units, place) for part in pair)
            if not points and x != 0:
                raise JobError(
                    place,
                    f"its x, {as_typed(pair[0])}, is not 0",
                    "The first nosing is where x is measured from",
                    f"Take {exact_text(x, self.units)} off the x of every nosing and post",
                )
            last_x, last_y = points[-1] if points else (Fraction(-1), Fraction(0))
            if x <= last_x or y <= last_y:
                axis, part = ("x", pair[0]) if x <= last_x else ("y", pair[1])
                raise JobError(
                    place,
                    f"its {axis}, {as_typed(part)}, is not beyond that of the nosing before",
                    "Nosings go up the stair, each one farther on and higher than the one before",
                    "Put them in order, lowest first, and check the tape reading",
                )
            points.append((x, y))
        if len(points) < 2:
            raise JobError(
                self.at(key),
                f"is a list of {len(points)}",
                "A flight has 2 nosings or more, the upper landing's edge included",
                "Measure the other nosings",
            )
        return tuple(points)

    def _gap(self, value: object, key: str, what: KeyOf) -> Fraction | str:
        if value == "auto":
            return "auto"
        try:
            return parse(value, self.units, self.at(key))
        except JobError as error:
            allowed = f'{key} is a length or "auto". {error.allowed}'
            raise JobError(error.where, error.found, allowed, error.remedy) from error

    def _trim(self, value: object, key: str, what: KeyOf) -> str | tuple[str, ...]:
        if not isinstance(value, (list, tuple)):
            return self._way(value, key, what)
        words = self._list(value, key, what, MOST_STEPS)
        return tuple(self._way(word, f"{key} {n}", what) for n, word in enumerate(words, 1))

    def _way(self, word: object, place: str, what: KeyOf) -> str:
        choices = typing.get_args(Trim)
        if word in choices:
            return word
        near = difflib.get_close_matches(str(word).lower(), choices, n=1)
        raise JobError(
            self.at(place),
            f"{as_typed(word)} cannot be used",
            f"trim is {what.note['allowed']}, or a list with one of these for each bay",
            f'The nearest is "{near[0]}"' if near else f"It states {what.meaning}",
        )

    def _place(self, value: object, key: str, what: KeyOf) -> Fraction:
        return parse(value, self.units, self.at(key))

    def _inner(self, value: object, key: str, what: KeyOf) -> msgspec.Struct:
        """A record whose keys stand beside each other in braces."""
        record = next(one for one in typing.get_args(what.type) if one is not type(None))
        keys = ", ".join(f"{name} = ..." for name in keys_of(record))
        inner = Table(value, self.units, self.at(key), f"{key} = {{ ... }}", keys)
        inner.refuse_unknown(keys_of(record))
        return record(**inner.read(record))

    def _holes(self, value: object, key: str, what: KeyOf) -> tuple[tuple[Fraction, Fraction], ...]:
        return read_holes(value, self.units, self.at(key))


def _choices(annotation: Any) -> list[Any]:
    """The words that an annotation allows, those inside a union included."""
    if typing.get_origin(annotation) is typing.Literal:
        return list(typing.get_args(annotation))
    return [choice for part in typing.get_args(annotation) for choice in _choices(part)]


def refuse_unit_slip(
    where: str,
    typed: object,
    length: Fraction,
    units: str,
    thing: str,
    inch_most: int,
    metric_least: int,
    parts: int = 1,
) -> None:
    """Raise where a length makes sense only in the other unit, and ask whether that was meant.

    Parameters
    ----------
    where, typed : str, object
        The key, and the words as typed there.
    length : Fraction
        The length as read [units].
    units : str
        ``"in"`` or ``"mm"``.
    thing : str
        What one part is, with its article.
    inch_most, metric_least : int
        The greatest part believed in an inch job [in], the least in a metric job [mm].
    parts : int
        Into how many equal parts the length goes, 1 or more.

    Raises
    ------
    JobError
        Where one part is outside what is believed.

    Examples
    --------
    >>> refuse_unit_slip("unit_rise", 190, Fraction(190), "in", "a riser", 50, 25)
    Traceback (most recent call last):
    ...
    stairs.errors.JobError: unit_rise: 190 is read as 190 in. In inches, a riser is at most 50.
    Were millimetres meant? Then write "190 mm".
    """
    each = length / parts
    if units == "in" and each > inch_most:
        bound, noun, other, other_noun = f"at most {inch_most}", "inches", "mm", "millimetres"
    elif units == "mm" and each < metric_least:
        bound, noun, other, other_noun = f"at least {metric_least}", "millimetres", "in", "inches"
    else:
        return
    number = exact_text(length, units, unit=False)
    found = f"{as_typed(typed)} is read as {number} {units}"
    if parts > 1:
        found += f", which makes {parts} of {float(each):.4g} {units} each"
    raise JobError(
        where,
        found,
        f"In {noun}, {thing} is {bound}",
        f'Were {other_noun} meant? Then write "{number} {other}"',
    )

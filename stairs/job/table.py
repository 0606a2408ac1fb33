"""Reading one table of a job file into one record, key by key.

A table is what stands under ``[panel]`` or ``[[section]]``.  What each key may hold is noted beside
the record's field (:mod:`stairs.job.records`); this room looks the keys up, reads lengths and
angles exactly, leaves yes-or-no, counts and choices to msgspec, and names file, section and key in
every message.
"""

import datetime
import difflib
import typing
import unicodedata
from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import pairwise
from math import atan, degrees
from typing import Any

import msgspec

from stairs.errors import JobError
from stairs.job.bracket_holes import read_holes
from stairs.job.key_notes import KeyOf, Trim, assumption, inner_record, keys_of
from stairs.job.ranges import Range, near_text, other_readings, range_text, refuse_slip
from stairs.job.records import MOST_STEPS
from stairs.lengths.tape import as_typed, exact_text, has_unit, parse, parse_degrees

LONGEST_WORDS = 2000  # characters of a title, a name or a reason
MOST_LINES = 20
_ELSE_CALLED = {
    "going": ("unit_run",), "tread_depth": ("unit_run",), "riser": ("unit_rise",),
    "total_rise": ("rise",), "total_run": ("run",), "steps": ("risers",), "slope": ("rake",),
    "angle": ("rake",), "tread": ("tread_thickness",), "picket": ("baluster",),
    "spindle": ("baluster",), "pitch": ("rake",), "spacing": ("pitch", "max_spacing"),
    "on_center": ("pitch", "max_spacing"), "on_centre": ("pitch", "max_spacing"),
    "cap": ("reveal",), "base_plate": ("base",), "length": ("span",),
}  # fmt: skip
"""What people call some keys, and the key that is meant, where the table has it."""
_YES_OR_NO = {"yes": "true", "true": "true", "no": "false", "false": "false"}
_LINE_ENDS = dict.fromkeys(map(ord, "\t\n\v\f\r\x85\u2028\u2029"), " ")
_UNPRINTED = ("Cc", "Cs", "Cn")  # controls, halves of a character, what no character is


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
    >>> from stairs.job.records import PostKind
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
            called = [name for name in _ELSE_CALLED.get(str(key).lower(), ()) if name in known]
            if called:
                remedy, allowed = f"Here it is called {called[0]}", ""
            elif key in belongs:
                remedy, allowed = belongs[key], f"Known keys: {', '.join(known)}"
            elif near:
                remedy, allowed = f'The nearest known key is "{near[0]}"', ""
            else:
                remedy, allowed = "Use the one that is meant", f"Known keys: {', '.join(known)}"
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
        return self._believed(value, length, key, what)

    def _believed(self, value: object, length: Fraction, place: str, what: KeyOf) -> Fraction:
        """The length, once it can be meant; see :mod:`stairs.job.ranges`."""
        if what.range is not None:
            refuse_slip(self.at(place), value, length, self.units, what.range[self.units])
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
        if what.range is not None and not what.range["in"].believes(angle):
            slope = f"Is it a slope, rise over run? Then write {degrees(atan(angle)):.1f}"
            raise JobError(
                self.at(key),
                f"{as_typed(value)} is read as {float(angle):g} degrees",
                f"A stair has {range_text(what.range['in'], 'degrees')}",
                slope if angle < 2 else "Measure it again, from level",
            )
        return angle

    def _plain(self, value: object, key: str, what: KeyOf) -> Any:
        try:
            return msgspec.convert(value, what.type)
        except msgspec.ValidationError as error:
            choices = [c for c in _choices(what.type) if isinstance(c, str)]
            near = difflib.get_close_matches(str(value).lower(), choices, n=1)
            remedy = f'The nearest is "{near[0]}"' if near else f"It states {what.meaning}"
            if what.type is bool and (said := _YES_OR_NO.get(str(value).lower())):
                remedy = f"Write {key} = {said}"
            raise JobError(
                self.at(key),
                f"{as_typed(value)} cannot be used",
                f"{key} is {what.note['allowed']}",
                remedy,
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
        words = value.translate(_LINE_ENDS)
        odd = next((one for one in words if unicodedata.category(one) in _UNPRINTED), None)
        if odd is not None:
            raise JobError(
                self.at(key),
                f"{as_typed(value)} holds a character that cannot be printed, U+{ord(odd):04X}",
                "Letters, figures and signs are read",
                "Take it out",
            )
        if what.note.get("filled") and not words.strip():
            raise JobError(
                self.at(key), "is empty", f"It is {what.meaning}", f"Write it, or leave {key} out"
            )
        return words

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
        if isinstance(value, str):
            value = [value]
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
            lengths.add(self._believed(typed, length, f"{key} {n}", what))
        if not lengths:
            raise JobError(
                self.at(key),
                "is an empty list",
                f"It lists {what.meaning}",
                f"List them, as in [{what.note['example'][self.units == 'mm']}], or leave {key} "
                "out",
            )
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
        if not any(map(has_unit, typed)):
            self._refuse_spacing(key, centres, what.range[self.units])
        return tuple(centres)

    def _refuse_spacing(self, key: str, centres: list[Fraction], believed: Range) -> None:
        """Raise where all posts stand too near or too far apart, and ask which unit was meant."""
        spaces = [after - before for before, after in pairwise(centres)]
        if any(map(believed.believes, spaces)):
            return
        apart = max(spaces)
        others = other_readings(float(apart), self.units, believed.expects)
        units = [words.rpartition(" ")[2] for words in others]
        remedy = f"Were {units[0]} meant? Then write that unit with each of them" if units else ""
        raise JobError(
            self.at(key),
            f"no two posts are farther apart than {near_text(apart, self.units)}"
            if apart < believed.least
            else f"no two posts are nearer than {near_text(min(spaces), self.units)}",
            f"From post to post a bare number makes {range_text(believed, self.units)}",
            remedy or "Measure them again, or write each with its unit",
        )

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
            gap = parse(value, self.units, self.at(key))
        except JobError as error:
            allowed = f'{key} is a length or "auto". {error.allowed}'
            raise JobError(error.where, error.found, allowed, error.remedy) from error
        return self._believed(value, gap, key, what)

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
        return self._believed(value, parse(value, self.units, self.at(key)), key, what)

    def _inner(self, value: object, key: str, what: KeyOf) -> msgspec.Struct:
        """A record whose keys stand beside each other in braces."""
        record = inner_record(what)
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

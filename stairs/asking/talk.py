"""The talk: one question a line, each answer written at once, until nothing is missing.

The talk knows no terminal.  It is given how to hear an answer and how to tell a line; it can be
broken off at any question and taken up again, since the file is all that it remembers.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from stairs.asking.answers import value_from
from stairs.asking.job_file import JobFile
from stairs.asking.judging import is_fixed, judged, place_in, steps_text, trouble_of, unusual
from stairs.asking.own_values import LOCAL, own_value
from stairs.asking.prompts import all_tables, heading, help_text, in_words, keys_text, prompt
from stairs.asking.prompts import named as key_named
from stairs.asking.walk import (
    ASKED_IF,
    OWN_VALUES,
    Place,
    is_called_for,
    keys_at,
    named,
    record_at,
    sections_of,
    table_of,
    walk,
)
from stairs.errors import JobError, StairsError
from stairs.job.form import is_made_up
from stairs.job.key_notes import keys_of
from stairs.job.reading import job_from_text
from stairs.job.records import JobFlight
from stairs.job.table import Table
from stairs.job.tables import places_called
from stairs.job.values import READERS
from stairs.lengths.tape import as_typed
from stairs.relations.quantities import FLIGHT_KEYS
from stairs.rules import load

_KEPT = ("units", "kind")  # what may be changed and not taken away
_KIND = keys_of(JobFlight)["kind"]


class Ended(Exception):
    """There are no more answers."""


class Talk:
    """Questions about one job file.

    ``hear`` is given the question and gives the line that was typed, None where there is none any
    more; ``tell`` prints a line.  Where the answers are ``typed`` at a terminal, one that cannot be
    is asked again; else it ends the talk, so that no answer is taken for that of another question.
    With ``replace`` what the file holds already is asked again too.

    Raises
    ------
    FileError
        Where the file cannot be read or written.
    """

    def __init__(
        self,
        path: str | Path,
        hear: Callable[[str], str | None],
        tell: Callable[[str], None],
        replace: bool = False,
        typed: bool = True,
    ) -> None:
        self.file = JobFile(path)
        self._hear, self._tell = hear, tell
        self._replace, self._typed = replace, typed
        self._asked: list[Place] = []  # in this talk, in order
        self._next: Place | None = None  # what is asked out of turn
        self._about = ""

    def run(self) -> None:
        """Ask until nothing is left to ask, or until there are no more answers.

        Raises
        ------
        JobError
            Where something that is needed is missing at the end, or an answer that was not typed
            at a terminal cannot be.
        """
        try:
            self._check_file()
            while (place := self._question()) is not None:
                self._ask(place)
            while self._anything_else():
                pass
        except (Ended, KeyboardInterrupt):
            self._tell("")
        missing = self.missing()
        if missing:
            raise JobError(
                self.file.shown, f"still missing: {'; '.join(missing)}", "",
                "What was answered is kept: go on with the same command",
            )  # fmt: skip
        self._tell(f"{self.file.shown}: nothing is missing. Next: stairs check {self.file.shown}")

    def missing(self) -> list[str]:
        """What is still needed to solve the job, each in words and with what would be enough."""
        mapping, lines = self.file.mapping, []
        found = judged(mapping)
        for gap in found.missing:
            place = place_in(gap.where)
            if place is None:
                lines.append(f"{gap.where}: {gap.remedy}")
                continue
            if place.key in table_of(mapping, place):
                lines.append(str(gap).rstrip("."))
                continue
            condition = ASKED_IF.get(place.key)
            if condition is not None and not condition(table_of(mapping, place)):
                continue
            what = keys_at(mapping, place)[place.key]
            others = "".join(f", or {one}" for one in gap.candidates if one != place.key)
            lines.append(f"{key_named(place, what)}, {in_words(mapping, what.meaning)}{others}")
        if found.trouble is not None and not found.missing:
            lines.append(str(found.trouble).rstrip("."))
        return list(dict.fromkeys(lines))

    # ------------------------------------------------------------------ the order

    def _check_file(self) -> None:
        """Ask first for what cannot be in a file that is there already."""
        trouble = trouble_of(self.file.mapping) if self.file.mapping else None
        if trouble is None:
            self._check_made_up()
            return
        place = place_in(trouble.where)
        if place is None or place.key not in table_of(self.file.mapping, place):
            where = f"{self.file.shown}: {trouble.where}"
            raise JobError(where, trouble.found, trouble.allowed, trouble.remedy)
        self._tell(str(trouble))
        self._next = place

    def _check_made_up(self) -> None:
        """Ask everything again where a form was never filled in."""
        try:
            made_up = is_made_up(job_from_text(self.file.text))
        except StairsError:
            return
        if made_up and not self._replace:
            self._tell("Every measurement in it is made up. Each is asked again.")
            self._replace = True

    def _question(self) -> Place | None:
        """The next question, None where none is left."""
        if self._next is not None:
            place, self._next = self._next, None
            return place
        mapping = self.file.mapping
        for place in walk(mapping):
            if place in self._asked:
                continue
            there = self.file.has(place) or (place == OWN_VALUES and LOCAL in mapping)
            if self._replace if there else self._is_open(place):
                return place
        return self._step_left_out()

    def _is_open(self, place: Place) -> bool:
        mapping = self.file.mapping
        fixed = _is_step(place) and is_fixed(mapping, place.number)
        return is_called_for(mapping, place, fixed) and not self.file.is_left_out(place)

    def _step_left_out(self) -> Place | None:
        """A measurement that was left out of a flight which is not fixed without it."""
        for gap in judged(self.file.mapping).missing:
            number = re.fullmatch("section ([0-9]+)", gap.where)
            for key in FLIGHT_KEYS if number else ():
                place = Place("section", key, int(number[1]) if number else 0)
                if place not in self._asked and not self.file.has(place):
                    return place
        return None

    def _ask(self, place: Place) -> None:
        """Ask one question till it has an answer, or is passed over."""
        self._tell_about(place)
        words: str | None = None
        while True:
            words = words or self._heard(self._prompt(place))
            if words in ("?", "help"):
                self._help(place)
            elif words == "missing":
                self._tell("\n".join(self.missing()) or "Nothing.")
            elif words == "back":
                self._back(place)
                return
            elif assigned := self._assigned(words, place):
                self._put_elsewhere(*assigned)
            elif not words:
                if self._passed(place):
                    return
            elif words in ("none", "-"):
                if self._taken_away(place):
                    return
            elif self._put(place, words):
                if place == OWN_VALUES:
                    self._next = place  # till there are no more
                    return
                words = self._confirmed(place)
                if not words:
                    self._done(place)
                    return
                if words.lower() not in ("no", "n"):
                    continue
            words = None

    def _done(self, place: Place) -> None:
        if place not in self._asked:
            self._asked.append(place)

    def _back(self, place: Place) -> None:
        """Ask the question before again, and this one after it."""
        if self._asked:
            self._next = self._asked.pop()
        else:
            self._tell("This is the first question.")
            self._next = place

    def _passed(self, place: Place) -> bool:
        """What Enter does: an answer that is there stays, what is optional is left out."""
        if place == OWN_VALUES:
            if LOCAL not in self.file.mapping:
                self.file.leave_out(place)
        elif not self.file.has(place):
            what = keys_at(self.file.mapping, place).get(place.key)
            first = place == Place("section", "kind", 1)
            if place.key == "units" or first:
                self._tell("Nothing can be asked without it." if not first else "One is needed.")
                return False
            if what is not None and self._needed(place):
                self._tell("It is needed before the guard can be solved. Left open.")
            else:
                self.file.leave_out(place)
        self._done(place)
        return True

    def _taken_away(self, place: Place) -> bool:
        if place == OWN_VALUES:
            for check in list(self.file.mapping.get(LOCAL, {})):
                self.file.put(place._replace(key=check), None)
        elif self.file.has(place):
            if place.key in _KEPT:
                self._tell("It can be changed, and not left out.")
                return False
            self.file.put(place, None)
        return self._passed(place)

    def _anything_else(self) -> bool:
        """Ask for any other key by its name; whether there may be more."""
        words = self._heard("Anything else? Name it, ? lists all keys (Enter: done)")
        if not words:
            return False
        if words in ("?", "help"):
            self._tell(keys_text(self.file.mapping))
        elif words == "missing":
            self._tell("\n".join(self.missing()) or "Nothing.")
        elif words == "back":
            self._next = self._asked.pop() if self._asked else None
            self._rest()
        elif assigned := self._assigned(words, None):
            self._put_elsewhere(*assigned)
            self._rest()
        elif value_from(words, _KIND, "") in ("flight", "level"):
            if self._put(Place("section", "kind", len(sections_of(self.file.mapping)) + 1), words):
                self._rest()
        elif words.lower() == LOCAL:
            self._next = OWN_VALUES
            self._rest()
        elif place := self._the_one(words, None):
            self._next = place
            self._rest()
        return True

    def _rest(self) -> None:
        """What is to be asked after an answer out of turn."""
        while (place := self._question()) is not None:
            self._ask(place)

    # ------------------------------------------------------------------ one answer

    def _heard(self, prompt: str) -> str:
        line = self._hear(prompt)
        if line is None:
            raise Ended
        return line.strip()

    def _assigned(self, words: str, near: Place | None) -> tuple[list[Place], str] | None:
        """Another key, as far as it is told from others, and its answer, where both were typed."""
        match = re.fullmatch(r"([^=]{1,60}?)\s*=\s*(.*\S)", words)
        found = named(self.file.mapping, match[1], near) if match else []
        return (found, match[2]) if match and found else None

    def _put_elsewhere(self, places: list[Place], words: str) -> None:
        """Write the answer of a key out of turn."""
        if len(places) > 1:
            self._which(places)
        elif words in ("none", "-"):
            if self.file.has(places[0]) and places[0].key not in _KEPT:
                self.file.put(places[0], None)
        elif self._put(places[0], words):
            self._done(places[0])

    def _which(self, places: list[Place]) -> None:
        choices = " or ".join(one.spoken.replace(":", "") for one in places)
        self._tell(f"Which one? Write {choices}.")

    def _the_one(self, words: str, near: Place | None) -> Place | None:
        """The one key that is named; None, and what may be meant, where there is no such one."""
        found = named(self.file.mapping, words, near)
        if len(found) == 1:
            return found[0]
        if found:
            self._which(found)
            return None
        known = [key for place in all_tables(self.file.mapping) for key in place]
        close = [place.path for place in places_called(words)]
        close += difflib.get_close_matches(words.lower(), known, n=1)
        hint = f" The nearest is {close[0]}." if close else ""
        self._tell(f"{as_typed(words)} is no key.{hint} ? lists all keys.")
        return None

    def _put(self, place: Place, words: str) -> bool:
        """Write one answer if it can be; False where it was refused, and why was told."""
        try:
            if place == OWN_VALUES:
                check, value = own_value(words, self.file.mapping)
                place = place._replace(key=check)
            else:
                value = self._value(place, words)
        except JobError as error:
            if not self._typed:
                where = f"{self.file.shown}: {place.spoken}"
                other = "" if error.where in ("", place.key, place.spoken) else f"{error.where}: "
                raise JobError(
                    where, f"{other}{error.found}", error.allowed, error.remedy
                ) from error
            self._tell(self._refusal(place, error))
            return False
        self.file.put(place, value, self._keys_beside(place))
        return True

    def _keys_beside(self, place: Place) -> tuple[str, ...]:
        """The keys of the table that an answer may be the first of; empty where they are known."""
        return ()

    def _value(self, place: Place, words: str) -> Any:
        """The value of an answer; raises JobError where it cannot be, beside the others."""
        units = str(self.file.mapping.get("units", "in"))
        what = keys_at(self.file.mapping, place)[place.key]
        value = value_from(words, what, units)
        new = self.file.with_value(place, value)
        if what.note.reads in (*READERS, "inner") and not (place.number and place.key == "kind"):
            where = place.spoken.rpartition(": ")[0]
            table = Table(table_of(new, place), units, where, f"[{place.table}]")
            table.read_one(record_at(new, place), place.key)
        if place == Place("", "rules"):
            try:
                load(str(value))
            except StairsError as error:
                raise JobError(place.key, error.found, error.allowed, error.remedy) from error
        trouble = trouble_of(new)
        if trouble is not None and (
            place_in(trouble.where) == place or trouble_of(self.file.mapping) is None
        ):
            raise trouble
        return value

    def _refusal(self, place: Place, error: JobError) -> str:
        """Why an answer cannot be, and which to take again."""
        parts = [part.rstrip(".") for part in (error.found, error.allowed, error.remedy) if part]
        other = place_in(error.where)
        if other is None or other == place or error.where == place.key:
            text = ". ".join(parts) + "."
            return text[:1].upper() + text[1:]
        again = "Answer again, or take the other one again"
        if other.key in keys_at(self.file.mapping, other):
            again += f", as in {other.key} = ..."
        return f"{error.where}: {'. '.join(parts)}. {again}."

    def _confirmed(self, place: Place) -> str:
        """Tell what an answer makes; what is unusual is asked, and what was typed then is given."""
        line, usual = "", True
        if _is_step(place):
            line, usual = steps_text(self.file.mapping, place.number)
            line = line and f"That makes {line}"
        if usual and (odd := unusual(self.file.mapping, place)):
            line, usual = odd, False
        if usual or not self._typed:
            if line:
                self._tell(f"{line}.")
            return ""
        words = self._heard(f"{line}, right? (Enter: yes; no, or another answer)")
        return "" if words.lower() in ("yes", "y", "right") else words

    # ------------------------------------------------------------------ what is said

    def _tell_about(self, place: Place) -> None:
        """A heading where another part of the guard begins."""
        about = heading(self.file.mapping, place)
        if about and about != self._about:
            self._tell(f"\n{about}")
        self._about = about or self._about

    def _needed(self, place: Place) -> bool:
        """Whether the job cannot be solved without it, as far as it is answered."""
        if place.key == "edge" or place == OWN_VALUES:  # or its span, which is asked next
            return False
        asked = (place, place._replace(key="edge")) if place.key == "span" else (place,)
        return any(place_in(gap.where) in asked for gap in judged(self.file.mapping).missing)

    def _prompt(self, place: Place) -> str:
        """One question on one line."""
        return prompt(self.file.mapping, place, self.file.has(place), self._needed(place))

    def _help(self, place: Place) -> None:
        """What to measure, where, and how it is typed."""
        self._tell(help_text(self.file.mapping, place))


def _is_step(place: Place) -> bool:
    return place.table == "section" and place.key in FLIGHT_KEYS

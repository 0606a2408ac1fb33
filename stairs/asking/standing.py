"""The talk about posts as they stand: what was measured of each, once they are set.

It goes from post to post, as the page of blanks does, each post beside where it was planned.  An
answer is held against the others by solving the guard with it, which is done by whoever holds the
talk; what cannot be is refused at once.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from stairs.asking.judging import trouble_of
from stairs.asking.prompts import in_words, units_of
from stairs.asking.talk import Ended, Talk
from stairs.asking.walk import Place, built_at, keys_at, sections_of, table_of
from stairs.errors import JobError
from stairs.job.as_built import LOOSE_CAUTION, SHIMS_CAUTION, PlannedPost
from stairs.job.key_notes import toml_text
from stairs.lengths.tape_marks import exact_text

Solved = Callable[[Mapping[str, Any]], JobError | None]
"""Why a job file's values cannot be solved; None where they can."""

_AS_PLANNED = "as planned, "


class StandingTalk(Talk):
    """Questions about the posts of one job, each beside where it was ``planned``.

    See :class:`stairs.asking.talk.Talk`; ``solved`` tells why an answer cannot be beside the
    others.
    """

    def __init__(
        self,
        path: str | Path,
        hear: Callable[[str], str | None],
        tell: Callable[[str], None],
        planned: Sequence[PlannedPost],
        solved: Solved,
        replace: bool = False,
        typed: bool = True,
    ) -> None:
        super().__init__(path, hear, tell, replace, typed)
        self._planned, self._solved = planned, solved
        self._posts = {self._place(one, ""): one for one in planned}

    def run(self) -> None:
        """Ask post by post until all are told of, or until there are no more answers.

        Raises
        ------
        JobError
            Where posts are left to ask about at the end, or an answer that was not typed at a
            terminal cannot be.
        """
        left = ""
        try:
            while (place := self._question()) is not None:
                left = self._spoken(place)
                self._ask(place)
            left = ""
        except (Ended, KeyboardInterrupt):
            self._tell("")
        if any("as_built" in section for section in sections_of(self.file.mapping)):
            self._tell(f"{SHIMS_CAUTION}. {LOOSE_CAUTION}.")
        if left:
            raise JobError(
                self.file.shown, f"still to be asked: {left} and what follows", "",
                "What was answered is kept: go on with the same command",
            )  # fmt: skip
        self._tell(
            f"{self.file.shown}: every post is told of. Next: stairs check {self.file.shown}"
        )

    # ------------------------------------------------------------------ the order

    def _place(self, one: PlannedPost, key: str) -> Place:
        section = sections_of(self.file.mapping)[one.section - 1]
        hand = one.hand if section.get("hand") == "both" else ""
        return Place("section", key, one.section, one.post, hand)

    def _places(self) -> list[Place]:
        """Every question that may come up, in order."""
        found: list[Place] = []
        for number, section in enumerate(sections_of(self.file.mapping), 1):
            of_it = [one for one in self._planned if one.section == number]
            bays = section.get("bays")
            if "posts" not in section and not isinstance(bays, int):
                found.append(Place("section", "posts", number))
            found += [self._place(one, key) for one in of_it for key in one.asked]
            found.append(Place("section", "done", number))
        return found

    def _question(self) -> Place | None:
        if self._next is not None:
            place, self._next = self._next, None
            return place
        for place in self._places():
            if place in self._asked:
                continue
            if self._replace or not (self.file.has(place) or self.file.is_left_out(place)):
                return place
        return None

    def _one(self, place: Place) -> PlannedPost:
        return self._posts[place._replace(key="")]

    # ------------------------------------------------------------------ one answer

    def _keys_beside(self, place: Place) -> tuple[str, ...]:
        return self._one(place).asked if place.post else ()

    def _value(self, place: Place, words: str) -> Any:
        value = super()._value(place, words)
        trouble = self._solved(self.file.with_value(place, value))
        if trouble is not None and self._solved(self.file.mapping) is None:
            raise trouble
        return value

    def _put_elsewhere(self, places: list[Place], words: str) -> None:
        """Write the answer of a key out of turn; what the job needs is not taken away."""
        if len(places) == 1 and words in ("none", "-"):
            trouble = self._solved(self.file.with_value(places[0], None))
            if trouble is not None and self._solved(self.file.mapping) is None:
                self._tell(str(trouble))
                return
        super()._put_elsewhere(places, words)

    def _passed(self, place: Place) -> bool:
        """What Enter does: as planned, or not measured."""
        if place.key == "posts" and not self.file.has(place):
            self._put_planned(place)
        elif place.post and not self.file.has(place):
            told = built_at(sections_of(self.file.mapping)[place.number - 1], place) is not None
            if told:
                self.file.leave_out(place)
            elif place.key == self._one(place).asked[-1] and not self.file.is_left_out(place):
                self.file.note_as_planned(place)
        elif place.key == "done" and not (self.file.has(place) or self.file.is_left_out(place)):
            self.file.note_as_planned(place)
        self._done(place)
        return True

    def _put_planned(self, place: Place) -> None:
        """Write the posts that were left open as they were planned; they are set now."""
        value = self._planned_places(place.number)
        new = self.file.with_value(place, value)
        trouble = trouble_of(new) or self._solved(new)
        if trouble is None:
            self.file.put(place, value)
        else:
            self._tell("They cannot be listed here. Then give the x of every post of this section.")

    def _planned_places(self, number: int) -> list[str | int]:
        """The places of a section's posts as a job file lists them, of the right hand first."""
        of_it = [one for one in self._planned if one.section == number]
        return [
            int(one.x)
            if units_of(self.file.mapping) == "mm" and one.x.denominator == 1
            else exact_text(one.x, units_of(self.file.mapping), unit=False)
            for one in of_it
            if one.hand == of_it[0].hand
        ]

    def _confirmed(self, place: Place) -> str:
        words = super()._confirmed(place)
        leans = place.key == "lean" and str(table_of(self.file.mapping, place)["lean"]) != "0"
        if leans and not words:
            self._tell(f"{LOOSE_CAUTION}.")
        return words

    # ------------------------------------------------------------------ what is said

    def _tell_about(self, place: Place) -> None:
        about = f"{self._spoken(place)}: {self._stands(self._one(place))}." if place.post else ""
        if about and about != self._about:
            self._tell(f"\n{in_words(self.file.mapping, about)}")
        self._about = about or self._about

    def _spoken(self, place: Place) -> str:
        """The post that a question is about, in words."""
        if not place.post:
            return f"section {place.number}, {place.key}"
        hand = f", {place.hand} hand" if place.hand else ""
        return f"Section {place.number}, post {place.post}{hand}"

    def _stands(self, one: PlannedPost) -> str:
        """Where it was planned, in words."""
        if one.stands_on == "wall":
            return "a wall"
        on = one.stands_on if one.stands_on.startswith("tread") else f"the {one.stands_on}"
        if one.shared and one.on_level:
            return f"the last post of the section before, on {on}"
        datum = "the first post" if one.on_level else "the first nosing"
        also = ", which the section before has too" if one.shared else ""
        return f"planned {self._text(one.x)} from {datum}, on {on}{also}"

    def _text(self, length: Any) -> str:
        return exact_text(length, units_of(self.file.mapping))

    def _prompt(self, place: Place) -> str:
        mapping = self.file.mapping
        if not place.post:
            return self._prompt_of_section(place)
        one, what = self._one(place), keys_at(mapping, place)[place.key]
        ahead = f"toward post {one.post + 1}" if one.clear is not None else ""
        behind = f"toward post {one.post - 1}" if one.post > 1 else ""
        said, enter = {
            "x": (
                "where its middle stands, level from "
                + ("the first post" if one.on_level else "the first nosing"),
                f"{_AS_PLANNED}{self._text(one.x)}",
            ),
            "surface": (
                "how high its surface lies over "
                + ("the run's own surface" if one.on_level else "the lower landing")
                + ", dips and shims included",
                f"{_AS_PLANNED}{self._text(one.surface)}",
            ),
            "lean": (
                "how far its top is out of plumb along the rail, plus "
                + (ahead or f"away from post {one.post - 1}")
                + ", minus "
                + (behind or f"away from post {one.post + 1}"),
                "plumb",
            ),
            "clear_low": (
                f"clear to post {one.post + 1} where the bottom rail goes, face to face, level",
                f"not measured, {self._text(one.clear or 0)} planned",
            ),
            "clear_high": (
                f"clear to post {one.post + 1} where the top rail goes, face to face, level",
                f"not measured, {self._text(one.clear or 0)} planned",
            ),
        }[place.key]
        if self.file.has(place):
            value = table_of(mapping, place)[place.key]
            enter = value if isinstance(value, str) else toml_text(value)
        return f"{what.letter}  {place.key}: {in_words(mapping, said)}? (Enter: {enter})"

    def _prompt_of_section(self, place: Place) -> str:
        table = table_of(self.file.mapping, place)
        if place.key == "posts":
            planned = ", ".join(map(str, self._planned_places(place.number)))
            return (
                f"posts: where were those of section {place.number} planned? The job file leaves "
                f"that open (Enter: {planned})"
            )
        kept = ", ".join(table["done"]) if self.file.has(place) else "nothing more"
        return (
            f"done: what of section {place.number} is cut already, as in post 2, bay 1, bay 2 top? "
            f"(Enter: {kept})"
        )

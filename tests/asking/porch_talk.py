"""A porch as a person would tell it, and a talk without a terminal."""

import re
import tomllib

from stairs.asking import Talk
from stairs.errors import JobError

PORCH = [
    "in", "flight", "", "43 1/2", "", "52 1/2", "5", "1", "1 1/4", "", "", "yes", "-4, 60 1/4",
    "7/16", "", "33 1/2", "1 3/4", "1 1/2", "3/4", "4 1/2", "72, 96", "2 1/4", "38",
    "1 1/8 x 1/16", "pivot", "1 1/8", "3/8", "40", "3", "5", "2 3/4", "1", "39, 45, 54", "", "",
    "Side porch, right-hand guard", "", "",
]  # fmt: skip
"""One answer to each question, in the order in which they are asked; empty where Enter does."""


class Told:
    """What was asked and told in one talk, and how it ended."""

    def __init__(self, file, answers, **options):
        self.file, self.left = file, list(answers)
        self.lines, self.questions = [], []
        self.error = None
        try:
            Talk(file, self.hear, self.lines.append, **options).run()
        except JobError as error:
            self.error = error

    def hear(self, question):
        self.questions.append(question)
        self.lines.append(question)
        answer = self.left.pop(0) if self.left else None
        if isinstance(answer, BaseException):
            raise answer
        return answer

    @property
    def keys(self):
        """The keys that were asked, in order."""
        found = (re.match(r"(?:\S+  )?([a-z_]+): ", one) for one in self.questions)
        return [one[1] for one in found if one]

    @property
    def text(self):
        return "\n".join(self.lines)

    @property
    def values(self):
        return tomllib.loads(self.file.read_text(encoding="utf-8"))

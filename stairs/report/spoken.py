"""A job's texts in the words of its country: by its rulebook, or as the job itself asks."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from functools import wraps
from typing import Concatenate, ParamSpec

from stairs.job import Job
from stairs.report.columns import NAME
from stairs.solution import Solution
from stairs.words.speech import country_of, finished, is_spoken, speaking

P = ParamSpec("P")


def words_of_the_job(job: Job) -> AbstractContextManager[None]:
    """Speak the words that go with a job; what was typed into it freely is left as it is."""
    sheet = job.sheet
    names = [section.name for section in job.sections]
    typed = [job.title, job.where, *names, *(own.reason for own in job.local), *sheet.address]
    typed += [sheet.drawn_by or "", sheet.revision or "", *(name[:NAME] for name in names)]
    return speaking(job.words or country_of(job.rules), typed)


def in_words(
    text_of: Callable[Concatenate[Solution, P], str],
) -> Callable[Concatenate[Solution, P], str]:
    """A screen or a list, told in the words that go with its job."""

    @wraps(text_of)
    def told(solution: Solution, /, *given: P.args, **named: P.kwargs) -> str:
        if is_spoken():
            return text_of(solution, *given, **named)
        with words_of_the_job(solution.job):
            return finished(text_of(solution, *given, **named))

    return told

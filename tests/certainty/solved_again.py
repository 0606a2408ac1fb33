"""Sections as an answer has them, and solved again with other measurements, the long way round."""

from __future__ import annotations

import random
from fractions import Fraction

from msgspec.structs import replace

from stairs.certainty.proving import Certainty
from stairs.certainty.readings import job_with
from stairs.checks.cases import rule_source
from stairs.errors import JobError
from stairs.guard.left_line import guard_job
from stairs.guard.solving import solve_section
from stairs.job import Job
from stairs.layout.search import laid_out
from stairs.remedies.trial_solve import all_settled, settle
from stairs.rules import load


def certain(job: Job) -> list[Certainty]:
    """How sure each section of a job is, as the answer to it has it."""
    job, rulebook = guard_job(job), load(job.rules).in_units(job.units)
    rule_for = rule_source(rulebook, job)
    laid, _ = laid_out(job, rule_for)
    parts = [settle(laid, index, rule_for) for index in range(len(laid.sections))]
    whole = all_settled(laid, parts)
    return [Certainty(whole, part.section, index, rulebook) for index, part in enumerate(parts)]


def alone_and_joined(job: Job, index: int):
    """A section by itself, and with the posts that it shares as tall as both sections need them."""
    near = range(max(index - 1, 0), min(index + 2, len(job.sections)))
    sections = {each: solve_section(job, each) for each in near}
    section = sections[index]
    posts = list(section.posts)
    for end, lower, upper in ((0, index - 1, index), (-1, index, index + 1)):
        if upper in sections and sections[upper].ends.shared:
            needs = (sections[lower].posts[-1].exact_height, sections[upper].posts[0].exact_height)
            tallest = max(needs, key=float)
            posts[end] = replace(posts[end], height=float(tallest), exact_height=tallest)
    return section, replace(section, posts=tuple(posts))


def solved_again(sure: Certainty, seed: int, times: int):
    """The section at corners of the box and at points inside it; those that can be built."""
    pick = random.Random(seed)
    for number in range(times):
        if number % 2:
            values = {one.key: pick.choice((one.low, one.high)) for one in sure.all_readings}
        else:
            values = {
                one.key: one.low + (one.high - one.low) * Fraction(pick.randint(0, 64), 64)
                for one in sure.all_readings
            }
        job = job_with(sure.job, sure.all_readings, values)
        try:
            yield job, *alone_and_joined(job, sure.index)
        except JobError:
            continue

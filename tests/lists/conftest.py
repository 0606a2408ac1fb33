"""Jobs that the lists are made of: a flight of 3, 4, 5 and its relatives, worked on paper."""

import io

import pytest

from stairs.job import read_job
from stairs.solution import solution_for

JOB = """
title = "three, four, five"
units = "in"
rules = "{rules}"
tape = "1/16"
measured_within = 0

[panel]
height = "33"
top_rail = "{top_rail}"
bottom_rail = "{bottom_rail}"
baluster = "{baluster}"
pitch = "{pitch}"
stock = {stock}
trim = "{trim}"
{panel}

[bracket]
{bracket}

[post]
width = "3"
{base}
reveal = "1"
stock = {posts}

{sections}
"""

FLIGHT = """
[[section]]
name = "flight"
kind = "flight"
unit_rise = "7 1/2"
unit_run = "10"
treads = 4
nosing = 0
tread_thickness = "1"
open_risers = false
posts = {places}
bottom_gap = "2"
turn = {turn}
"""

LEVEL = """
[[section]]
name = "level"
kind = "level"
{places}
bottom_gap = "2"
turn = {turn}
"""

PIVOT = 'kind = "pivot"\npivot_offset = "1"\nrail_setback = "1/2"'
PLUMB = 'kind = "plumb-cut"\nend_clearance = "1/2"'


@pytest.fixture
def flight():
    """Text of a flight section: rake of 3 over 4, so that slope lengths are 5/4 of level ones."""

    def text(places='["-4", "44"]', turn=0):
        return FLIGHT.format(places=places, turn=turn)

    return text


@pytest.fixture
def level():
    """Text of a level section."""

    def text(span="45", bays=1, turn=0, posts=None):
        places = f"posts = {posts}" if posts else f'span = "{span}"\nbays = {bays}'
        return LEVEL.format(places=places, turn=turn)

    return text


@pytest.fixture
def job_text():
    """Text of a job file around some sections."""

    def text(*sections, **changes):
        values = {
            "rules": "irc-2021",
            "top_rail": "2",
            "bottom_rail": "1 1/2",
            "baluster": "1",
            "pitch": "5",
            "stock": '["72"]',
            "trim": "even",
            "panel": "",
            "bracket": PIVOT,
            "base": 'base = "5"',
            "posts": '["40", "48"]',
            **changes,
        }
        return JOB.format(sections="".join(sections), **values)

    return text


@pytest.fixture
def answered(job_text):
    """The answer to such a job."""

    def solution(*sections, **changes):
        return solution_for(read_job("-", io.StringIO(job_text(*sections, **changes))))

    return solution


@pytest.fixture
def plumb_cut():
    """Bracket lines of a plumb-cut rail."""
    return PLUMB

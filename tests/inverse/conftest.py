"""A porch flight to ask about, with some of its keys exchanged."""

import pytest

from stairs.job import job_from_text

PORCH = """
units = "in"
rules = "irc-2021"
tape = "1/16"
measured_within = "1/16"

[panel]
height = "33 1/2"
top_rail = "1 3/4"
bottom_rail = "1 1/2"
baluster = "3/4"
pitch = "4 1/2"
stock = ["72", "96"]
end_margin = "2 1/4"
max_rack = 38
slot = { length = "1 1/8", wall = "1/16" }

[bracket]
kind = "pivot"
pivot_offset = "1 1/8"
rail_setback = "3/8"
max_swing = 40

[post]
width = "3"
base = "5"
edge_distance = "2 3/4"
reveal = "1"
stock = ["39", "45", "54"]

[[section]]
kind = "flight"
rise = "43 1/2"
run = "52 1/2"
treads = 5
nosing = "1"
tread_thickness = "1 1/4"
posts = ["-4", "60 1/4"]
bottom_gap = "7/16"
handrail = true
"""


@pytest.fixture
def porch():
    """The job with some lines exchanged."""

    def made(*changes):
        text = PORCH
        for old, new in changes:
            assert old in text
            text = text.replace(old, new, 1)
        return job_from_text(text)

    return made

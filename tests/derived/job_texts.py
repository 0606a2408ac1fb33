"""Texts of jobs that tests put sections under: a plain panel, its brackets and posts, in inches."""

PLAIN_PIVOT = 'kind = "pivot"\npivot_offset = 1\nrail_setback = 0'


def head(bracket=PLAIN_PIVOT, post=""):
    """All that comes before the sections; the post is 3 in wide on a plate of 5 in."""
    return f"""
units = "in"
rules = "irc-2021"
measured_within = 0
[panel]
height = 34
top_rail = 2
bottom_rail = 2
baluster = "3/4"
pitch = "4 1/2"
stock = [72, 96]
[bracket]
{bracket}
[post]
width = 3
base = 5
{post}
"""

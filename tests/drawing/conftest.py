"""Jobs to draw: plain ones by name, and random ones by number."""

from __future__ import annotations

import functools
import random
import sys
from pathlib import Path

import pytest

from stairs.drawing import draw_elevation
from stairs.errors import JobError
from stairs.job import job_from_text
from stairs.solution import solution_for

sys.path.insert(0, str(Path(__file__).parent))  # for elevations.py, which tests share

INCH = {
    "height": "33 1/2", "top_rail": "1 3/4", "bottom_rail": "1 1/2", "baluster": "3/4",
    "pitch": "4 1/2", "stock": '["72", "96", "120"]', "width": "3", "base": "5",
    "edge": "1", "reveal": "1", "post_stock": '["45", "54", "60"]',
    "pivot": '"1 1/8"', "setback": '"3/8"', "clearance": '"1/8"', "rules": "irc-2021",
    "rise": '"7 1/4"', "run": '"10 1/2"', "nosing": '"1"', "thickness": '"1 1/4"', "gap": '"5/8"',
}  # fmt: skip
METRIC = {
    "height": "900", "top_rail": "45", "bottom_rail": "40", "baluster": "20", "pitch": "110",
    "stock": '["2400", "3600"]', "width": "75", "base": "125", "edge": "30", "reveal": "25",
    "post_stock": '["1150", "1300"]', "pivot": '"28"', "setback": '"10"', "clearance": '"3"',
    "rules": "england-ad-k-2013", "rise": '"175"', "run": '"250"', "nosing": '"25"',
    "thickness": '"40"', "gap": '"40"',
}  # fmt: skip


def job_text(units="in", title="Garden stair", bracket="pivot", sheet="", parts=None, **flight):
    """The job file of one flight, or of whatever ``flight`` says."""
    d = {**(INCH if units == "in" else METRIC), **(parts or {})}
    if bracket == "pivot":
        holds = f'kind = "pivot"\npivot_offset = {d["pivot"]}\nrail_setback = {d["setback"]}'
    else:
        holds = f'kind = "plumb-cut"\nend_clearance = {d["clearance"]}'
    if flight.get("kind") != '"level"':
        flight = {
            "kind": '"flight"', "name": '"garden flight"', "unit_rise": d["rise"],
            "unit_run": d["run"], "treads": "5", "nosing": d["nosing"],
            "tread_thickness": d["thickness"], "bottom_gap": d["gap"], **flight,
        }  # fmt: skip
        if not {"posts", "bays"} & set(flight):
            flight["bays"] = "1"
    keys = "\n".join(f"{key} = {value}" for key, value in flight.items() if value is not None)
    return f"""
title = '''{title}'''
units = "{units}"
rules = "{d["rules"]}"
[panel]
height = "{d["height"]}"
top_rail = "{d["top_rail"]}"
bottom_rail = "{d["bottom_rail"]}"
baluster = "{d["baluster"]}"
pitch = "{d["pitch"]}"
stock = {d["stock"]}
[bracket]
{holds}
[post]
width = "{d["width"]}"
base = "{d["base"]}"
edge_distance = "{d["edge"]}"
reveal = "{d["reveal"]}"
stock = {d["post_stock"]}
{sheet}
[[section]]
{keys}
"""


NAMED = {
    "plain": job_text(posts='["-4", "56"]'),
    "one tread": job_text(treads="1"),
    "fourteen risers": job_text(treads="13", bays="3"),
    "two bays": job_text(treads="8", bays="2"),
    "steep": job_text(unit_rise='"9"', unit_run='"9"', treads="7"),
    "failing": job_text(bottom_gap='"2 1/2"', handrail="true", parts={"height": "36"}),
    "plumb cut": job_text(bracket="plumb-cut", treads="6"),
    "open risers": job_text(open_risers="true"),
    "flush tread": job_text(top='"tread"'),
    "metric": job_text("mm", treads="6", bays="2"),
    "closed stringer": job_text(
        "mm", treads="6", stringer='"closed"', stringer_margin='"50"', bottom_gap='"130"'
    ),
    "level": job_text(kind='"level"', span='"132"', bays="3", bottom_gap='"2"'),
    "passage": job_text(side_gap='"1 1/2"'),
    "slipped": job_text(
        unit_rise=None, unit_run=None, treads=None, posts='["-4", "59"]',
        nosings='[["0", "7 1/8"], ["10 1/4", "14 3/8"], ["20 3/8", "21 1/2"], '
        '["30 3/4", "29 3/4"], ["41", "36"], ["51 1/4", "43 1/4"]]',
    ),
    "to a wall": job_text(kind='"level"', span='"118"', bays="2", bottom_gap='"2"', end='"wall"'),
    "measured": job_text(
        unit_rise=None, unit_run=None, treads=None, posts='["-4", "59"]',
        nosings='[["0", "7 1/8"], ["10 1/4", "14 3/8"], ["20 3/8", "21 1/2"], '
        '["30 3/4", "28 3/4"], ["41", "36"], ["51 1/4", "43 1/4"]]',
    ),
}  # fmt: skip


def random_job_text(seed: int) -> str:
    """A job that no one thought of, within what stairs are made like."""
    pick = random.Random(seed)
    if pick.random() < 0.6:
        units, eighths = "in", lambda low, high: f'"{pick.randint(low * 8, high * 8)}/8"'
        steps = {
            "unit_rise": eighths(6, 9), "unit_run": eighths(9, 13), "nosing": eighths(0, 1),
            "bottom_gap": eighths(0, 3), "tread_thickness": eighths(1, 2),
        }  # fmt: skip
        parts = {
            "height": str(pick.randint(28, 42)), "pitch": f"{pick.randint(28, 44)}/8",
            "width": str(pick.choice([2, 3, 4])), "base": str(pick.choice([4, 5, 6])),
        }  # fmt: skip
    else:
        units = "mm"
        steps = {
            "unit_rise": f'"{pick.randint(150, 220)}"', "unit_run": f'"{pick.randint(220, 320)}"',
            "nosing": f'"{pick.randint(0, 30)}"', "bottom_gap": f'"{pick.randint(0, 80)}"',
            "tread_thickness": f'"{pick.randint(25, 50)}"',
        }  # fmt: skip
        parts = {
            "height": str(pick.randint(750, 1100)), "pitch": str(pick.randint(90, 140)),
            "width": str(pick.choice([50, 75, 90])), "base": str(pick.choice([100, 125, 150])),
        }  # fmt: skip
    bays = pick.choice([1, 1, 1, 2, 3])
    steps["treads"] = str(bays * pick.randint(1, 5) + pick.randint(0, 2))
    steps["bays"] = str(bays)
    if pick.random() < 0.15:
        steps["open_risers"] = "true"
    if pick.random() < 0.15:
        steps["top"] = '"tread"'
    if pick.random() < 0.3:
        steps["handrail"] = "true"
    bracket = pick.choice(["pivot", "pivot", "plumb-cut"])
    return job_text(units, f"Job {seed}", bracket, parts=parts, **steps)


@functools.lru_cache(maxsize=64)
def _solution(text: str):
    return solution_for(job_from_text(text))


@functools.lru_cache(maxsize=64)
def _sheet(text: str, paper, scale):
    return draw_elevation(_solution(text), paper=paper, scale=scale)


@functools.lru_cache(maxsize=128)
def _book(make, text: str, paper: str | None):
    return make(_solution(text), paper)


@pytest.fixture(scope="session")
def book():
    """A set of sheets of a named job, or of a job's text, made once."""
    return lambda make, name, paper=None: _book(make, NAMED.get(name, name), paper)


@pytest.fixture(scope="session")
def solution():
    """The answer to a named job, or to a job's text."""
    return lambda name: _solution(NAMED.get(name, name))


@pytest.fixture(scope="session")
def sheet():
    """The elevation of a named job, or of a job's text."""
    return lambda name, paper=None, scale=None: _sheet(NAMED.get(name, name), paper, scale)


@pytest.fixture(scope="session")
def with_plate():
    """The text of a named job, or a job's text, with lines about the bracket's plate added."""
    return lambda name, lines: NAMED.get(name, name).replace("[post]", f"{lines}\n\n[post]")


@pytest.fixture(scope="session")
def make_text():
    """The text of a job, by its parts."""
    return job_text


@pytest.fixture(scope="session")
def random_answers():
    """So many random jobs, solved; what does not make a stair is passed over."""

    def some(count: int, start: int = 0):
        found, seed = 0, start
        while found < count:
            seed += 1
            assert seed < start + 40 * count + 40, "most random jobs make no stair"
            try:  # remedies are only lettered and take the longest: every sixteenth job has them
                one = solution_for(job_from_text(random_job_text(seed)), seed % 16 == 0)
            except JobError:
                continue
            found += 1
            yield seed, one

    return some


def pytest_generate_tests(metafunc):
    """Every named job, where a test asks for one."""
    if "named" in metafunc.fixturenames:
        metafunc.parametrize("named", list(NAMED), ids=[name.replace(" ", "-") for name in NAMED])

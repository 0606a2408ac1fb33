"""The sheets of random jobs, read back from their files: what is lettered, where, and what it says.

A PDF is read by pdfplumber, a DXF file by ezdxf; figures are taken apart here, by themselves, and
held against the lines that were drawn.  A tenth of the jobs is read by default, the rest and whole
sets of sheets with ``-m fuzz``.
"""

from __future__ import annotations

import io
import math
import re
import sys
from collections import Counter
from fractions import Fraction
from functools import cache
from pathlib import Path
from types import SimpleNamespace

import pdfplumber
import pytest
from ezdxf import recover
from ezdxf.bbox import extents
from shapely import Polygon, STRtree

sys.path.append(str(Path(__file__).parents[1] / "cli"))
from random_jobs import random_job, toml_text

from stairs.drawing import draw_elevation
from stairs.drawing.files.dxf import dxf_bytes
from stairs.drawing.files.pdf import book_bytes, pdf_bytes
from stairs.drawing.paper.primitives import Text
from stairs.drawing.placing.dimensions import ALIGNED, LEVEL, PLUMB, ends_on_paper
from stairs.drawing.sets.packet.packet import packet_book
from stairs.drawing.sets.shop.shop import shop_book
from stairs.drawing.sets.template.template import template_book
from stairs.drawing.views.plan.plan import draw_plan
from stairs.errors import StairsError
from stairs.job import job_from_text
from stairs.solution import solution_for

POINT = 25.4 / 72
COUNT = 60
TENTH = (4, 12, 21, 29, 37, 46)


@cache
def answer_of(seed: int):
    """The answer to a job, or None where its measurements leave no room."""
    try:
        return solution_for(job_from_text(toml_text(random_job(seed))), with_remedies=False)
    except StairsError:
        return None


def seeds():
    return [
        pytest.param(k, marks=() if k in TENTH else pytest.mark.fuzz, id=str(k))
        for k in range(COUNT)
    ]


@cache
def sheets_of(seed: int):
    """An elevation and the plan, with all sheets that follow them; some do not fit any paper."""
    solution = answer_of(seed)
    found = []
    for draw in (
        lambda: draw_elevation(solution, len(solution.sections)),
        lambda: draw_plan(solution),
    ):
        try:
            sheet = draw()
        except StairsError:
            continue
        found += [sheet, *sheet.following]
    return found


@cache
def pages_of(seed: int):
    """The same with each one's page of a PDF."""
    return [
        (sheet, pdfplumber.open(io.BytesIO(pdf_bytes(sheet))).pages[0]) for sheet in sheets_of(seed)
    ]


def inches(figure: str) -> Fraction:
    """A figure as a tape reads it, in inches: feet, whole inches, a fraction or decimals."""
    feet, inch = 0, figure
    if "'" in figure:
        before, _, inch = figure.partition("'-")
        feet = abs(int(before))
    parts = inch.rstrip('"').lstrip("-").split()
    total = 12 * feet + sum(map(Fraction, parts), Fraction(0))
    return -total if figure.startswith("-") else total


def measured(words: str, units: str) -> Fraction | None:
    """The last figure of a dimension's lettering, in the job's unit; None where it has none."""
    if units == "mm":
        found = re.findall(r"-?\d+(?:\.\d+)?", words)
        return Fraction(found[-1]) if found else None
    found = re.findall(r"-?(?:\d+'-)?\d+(?:\.\d+)?(?: \d+/\d+|/\d+)?\"", words)
    return inches(found[-1]) if found else None


def test_figures_are_taken_apart_as_a_tape_is_read():
    assert inches("3'-7 1/4\"") == Fraction(173, 4) and inches('-4"') == -4
    assert inches("-1'-0 1/2\"") == Fraction(-25, 2) and inches('15/16"') == Fraction(15, 16)
    assert measured('6 RISERS @ 7 1/4" = 3\'-7 1/2"', "in") == Fraction(87, 2)
    assert measured("6 RISERS @ 189.5 = 1137", "mm") == 1137


def letter_boxes(page):
    """The middle of every letter as a figure, from the page's own widths and directions [pt].

    Of a letter's height the part from the line it stands on to half the height of the face, of its
    width the middle four fifths, so that lines which stand close above each other do not meet.
    """
    boxes = []
    for char in page.chars:
        a, b, _, _, x, y = char["matrix"]
        cos, sin, wide = a / math.hypot(a, b), b / math.hypot(a, b), char["adv"]
        # What pdfplumber tells is the box around the turned letter: taken apart again.
        across, over, large = char["height"], abs(sin), abs(cos)
        if over > large:
            across, over, large = char["width"], large, over
        high = (across - wide * over) / large
        corners = [(u * wide, v * high) for u, v in ((0.1, 0), (0.9, 0), (0.9, 0.5), (0.1, 0.5))]
        boxes.append(Polygon([(x + u * cos - v * sin, y + u * sin + v * cos) for u, v in corners]))
    return boxes


def read_page(page, sheet):
    """Every letter once, none upside down, outside the border or written over another."""
    wanted = "".join(one.content for one in sheet.primitives if isinstance(one, Text))
    held = "".join(char["text"] for char in page.chars)
    assert Counter("".join(held.split())) == Counter("".join(wanted.split()))
    left, bottom, right, top = (edge / POINT for edge in sheet.paper.border)
    high = float(page.height)
    for char in page.chars:
        a, b = char["matrix"][:2]
        turn = math.degrees(math.atan2(b, a))
        assert -90 < turn <= 90 + 1e-6, char["text"]
        assert left <= char["x0"] and char["x1"] <= right, char["text"]
        assert bottom <= high - char["bottom"] and high - char["top"] <= top, char["text"]
    boxes = letter_boxes(page)
    for first, second in STRtree(boxes).query(boxes, predicate="intersects").T:
        # Neighbours of a line may be kerned into each other, as a comma under an r.
        assert abs(first - second) <= 1, (page.chars[first]["text"], page.chars[second]["text"])


def test_letters_written_over_each_other_are_seen():
    """Letters 5 wide and 10 high: 6 beside is clear, 3 beside and 3 above is not, on any slope."""

    def meet(along: float, up: float, turn: float) -> bool:
        cos, sin = math.cos(turn), math.sin(turn)
        size = {"adv": 5, "width": 5 * cos + 10 * sin, "height": 5 * sin + 10 * cos}
        letters = [
            {"matrix": (cos, sin, -sin, cos, x * cos - y * sin, x * sin + y * cos), **size}
            for x, y in ((0, 0), (along, up))
        ]
        first, second = letter_boxes(SimpleNamespace(chars=letters))
        return first.intersects(second)

    for degrees in (0, 37, 60, 90):
        turn = math.radians(degrees)
        assert meet(3, 3, turn) and not meet(6, 0, turn) and not meet(0, 6, turn)


def lines_on(page):
    """Both ends of every straight line of a page [mm]."""
    high = float(page.height)
    found = []
    for one in page.lines:
        (x0, y0), (x1, y1) = one["pts"]
        found.append((x0 * POINT, (high - y0) * POINT, x1 * POINT, (high - y1) * POINT))
    return found


def held_by(lines, ends) -> bool:
    """Whether a line between two points is among them, either way round, to a fiftieth of a mm."""
    (ax, ay), (bx, by) = ends
    return any(
        max(abs(p - q) for p, q in zip(one, way, strict=True)) < 0.02
        for one in lines
        for way in ((ax, ay, bx, by), (bx, by, ax, ay))
    )


@pytest.mark.parametrize("seed", seeds())
def test_every_text_stands_once_upright_and_inside(seed):
    if answer_of(seed) is None:
        return
    for sheet, page in pages_of(seed):
        read_page(page, sheet)


@pytest.mark.parametrize("seed", seeds())
def test_what_is_lettered_is_what_is_drawn(seed):
    """Each chain's line is as long on paper, at the scale, as its figure says, to half a mark."""
    solution = answer_of(seed)
    if solution is None:
        return
    job, held = solution.job, 0
    for sheet, page in pages_of(seed):
        views = sheet.parts or (sheet,)
        if not all(hasattr(one, "dimension_lines") and one.dimensions for one in views):
            continue  # of a plan in parts the lines are cut off at the match lines
        lines = lines_on(page)
        unit = float(sheet.scale.paper_millimetres(job.units))
        for view in views:
            for one in view.dimensions:
                whole = one.kind == ALIGNED and ": post " not in one.name
                if not whole and one.kind not in (LEVEL, PLUMB):
                    continue
                ends = ends_on_paper(one, view.view)
                assert held_by(lines, ends), one
                told = float(measured(one.text, job.units))
                held += 1
                assert math.dist(*ends) / unit == pytest.approx(
                    told, abs=float(job.tape) / 2 + 1e-6
                ), one
    assert held


@pytest.mark.parametrize("seed", seeds())
def test_a_cad_file_is_sound_shows_all_and_measures_what_it_letters(seed):
    solution = answer_of(seed)
    if solution is None:
        return
    tape = float(solution.job.tape)
    for sheet in sheets_of(seed):
        document, auditor = recover.read(io.BytesIO(dxf_bytes(sheet)))
        assert not auditor.has_errors and not auditor.has_fixes
        assert "Sheet" in document.layouts.names()
        model = document.modelspace()
        low, high = document.header["$EXTMIN"], document.header["$EXTMAX"]
        box = extents(model, fast=True)
        for k in (0, 1):
            assert low[k] <= box.extmin[k] and box.extmax[k] <= high[k]
        for entity in model.query("DIMENSION"):
            told = measured(entity.dxf.text, solution.job.units)
            if told is not None and "°" not in entity.dxf.text:
                measure = entity.get_measurement()
                assert measure == pytest.approx(abs(float(told)), abs=tape / 2 + 1e-6), (
                    entity.dxf.text
                )
            assert -90 < (entity.dxf.text_rotation + 180) % 360 - 180 <= 90 + 1e-6
        texts = [one for one in model.query("TEXT") if (one.dxf.rotation + 180) % 360 - 180 > 90.1]
        assert texts == []


@pytest.mark.fuzz
@pytest.mark.parametrize("make", [packet_book, shop_book, template_book])
@pytest.mark.parametrize("seed", range(COUNT))
def test_a_whole_set_is_read_back(seed, make):
    solution = answer_of(seed)
    if solution is None:
        return
    book = make(solution)
    pages = pdfplumber.open(io.BytesIO(book_bytes(book))).pages
    assert len(pages) == len(book.sheets)
    for page, sheet in zip(pages, book.sheets, strict=True):
        read_page(page, sheet)

"""All that a reader is told of a job: every screen, list and sheet, line by line."""

from stairs.drawing import draw_elevation
from stairs.drawing.paper.primitives import Text
from stairs.drawing.sets.packet.packet import packet_book
from stairs.drawing.sets.shop.shop import shop_book
from stairs.drawing.sets.template.template import template_book
from stairs.drawing.views.framing import draw_framing
from stairs.drawing.views.plan.plan import draw_plan
from stairs.report.bounds_text import bounds_text
from stairs.report.lists_text import cuts_text
from stairs.report.loads_text import loads_text
from stairs.report.screen import check_text, solve_text
from stairs.report.working_text import working_text
from stairs.solution import solution_for

SCREENS = (solve_text, check_text, working_text, cuts_text, loads_text, bounds_text)
BOOKS = (packet_book, shop_book, template_book)


def screens_of(solution):
    """What each screen says, by line."""
    return [line for screen in SCREENS for line in screen(solution).splitlines()]


def sheets_of(solution):
    """What is lettered on each sheet, and what a file says of itself."""
    sheets = [draw_elevation(solution, number + 1) for number in range(len(solution.sections))]
    sheets.append(draw_plan(solution))
    if any(part.framing for part in solution.sections):
        sheets.append(draw_framing(solution))
    told = [text for sheet in sheets for text in (sheet.title, sheet.description)]
    pages = [page for sheet in sheets for page in (sheet, *sheet.following)]
    for book_of in BOOKS:
        book = book_of(solution)
        told += [book.title, book.subject, *(name for mark in book.bookmarks for name in mark)]
        pages += book.sheets
    told += [one.content for page in pages for one in page.primitives if isinstance(one, Text)]
    return told


def everything_told(job):
    """Every line of every screen and sheet."""
    solution = solution_for(job)
    return screens_of(solution) + sheets_of(solution)

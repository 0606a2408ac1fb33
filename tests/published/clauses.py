"""What the tests of every published code ask of a clause; each file has its own printed values."""

from fractions import Fraction

import pytest


def printed_values(rows):
    """A test for each row of clause, check, case, printed value and kind of limit."""
    names = ("clause", "check", "case", "printed", "kind")
    return pytest.mark.parametrize(names, rows, ids=str)


def recalled_values(rows):
    """A test for each row of clause, check, case and a value from memory."""
    return pytest.mark.parametrize(("clause", "check", "case", "recalled"), rows, ids=str)


def holds_clause(book, provenance, clause, check, case, printed, kind):
    """The rulebook has the printed value, under its clause, and says how it was found."""
    rule = book.rule(check, **case)
    assert rule.clause == clause
    assert rule.limit == Fraction(printed)
    assert rule.limit_kind == kind
    assert rule.provenance == provenance


def is_marked_from_memory(book, clause, check, case, recalled):
    """The rulebook has the value, says that nobody saw it and asks to open the code."""
    rule = book.rule(check, **case)
    assert (rule.clause, rule.limit) == (clause, Fraction(recalled))
    assert rule.provenance == "memory"
    assert not rule.verified
    assert "open the code before relying on it" in rule.provenance_text

"""Sizes of real stairs and panels to draw from, in inches, and how near two results have to be."""

from fractions import Fraction

import pytest
from hypothesis import settings
from hypothesis import strategies as st

PROPERTY = settings(deadline=None, derandomize=True, max_examples=24)

rises = st.fractions(min_value=4, max_value=10, max_denominator=16)
runs = st.fractions(min_value=7, max_value=15, max_denominator=16)
depths = st.fractions(min_value=Fraction(1, 2), max_value=4, max_denominator=16)
widths = st.fractions(min_value=Fraction(1, 4), max_value=2, max_denominator=16)
offsets = st.fractions(min_value=0, max_value=3, max_denominator=16)
bays = st.fractions(min_value=20, max_value=90, max_denominator=16)
gaps = st.fractions(min_value=0, max_value=6, max_denominator=16)
heights = st.fractions(min_value=24, max_value=44, max_denominator=16)


def close(value):
    return pytest.approx(value, rel=1e-9, abs=1e-9)

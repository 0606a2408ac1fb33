"""Kinds of things that the views hand to each other."""

from __future__ import annotations

from collections.abc import Callable

from stairs.drawing.paper.primitives import Point
from stairs.drawing.placing.placement import Candidate

LengthText = Callable[..., str]
"""Letters a length of the work; with True as it is, or said to be near."""
Shows = Callable[[Point], bool]
"""Whether a view shows a point."""
Offer = tuple[str, Callable[[], list[Candidate]]]
"""A label's name, and what looks for its places on the board as it stands when it is called."""

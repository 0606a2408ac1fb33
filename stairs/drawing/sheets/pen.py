"""A pen that sets lines of small lettering in a column, from the top down."""

from __future__ import annotations

from msgspec import Struct, field

from stairs.drawing.paper.lettering import SMALL, wrapped
from stairs.drawing.paper.primitives import FINE, Primitive, Text, line
from stairs.drawing.sheets.title_block import PITCH

PAD = 2.0
"""From the edge of a column to its text [mm]."""


class Pen(Struct):
    """A place on the column that moves down as things are set."""

    left: float
    right: float
    y: float
    drawn: list[Primitive] = field(default_factory=list)

    def down(self, distance: float) -> None:
        """Go on lower down."""
        self.y -= distance

    def text(self, content: str, x: float, group: str, height: float = SMALL, **more) -> None:
        """One line of lettering on the pen's own height."""
        self.drawn.append(Text(content, (x, self.y), height, group, **more))

    def rule(self, weight: float = FINE, group: str = "table") -> None:
        """A level line across the whole column."""
        self.drawn.append(line((self.left, self.y), (self.right, self.y), weight, group))

    def paragraph(self, content: str, group: str, indent: float = 0.0) -> None:
        """A paragraph in small lettering, line under line."""
        room = self.right - self.left - 2 * PAD - indent
        for row in wrapped(content, SMALL, room):
            self.down(PITCH)
            self.text(row, self.left + PAD + indent, group)

    def heading(self, content: str, group: str) -> None:
        """A heading in small lettering, a little apart from what stands over it."""
        self.down(PITCH + 1.6)
        self.text(content, self.left + PAD, group)

"""Marks that link the sheets of a packet: each stands on blank paper, however far that is."""

from __future__ import annotations

import math

import pytest

from stairs.drawing.paper.lettering import SMALL
from stairs.drawing.paper.primitives import Arc, Text
from stairs.drawing.placing.inspection import overlaps
from stairs.drawing.placing.placement import LEADER
from stairs.drawing.sets.packet.packet import packet_book
from stairs.drawing.sheets.references import GROUP, marked

AREA = (0.0, 0.0, 400.0, 260.0)


@pytest.mark.parametrize("reach", [0.0, 40.0, 80.0], ids="{:g} mm lettered".format)
def test_a_mark_stands_beyond_all_lettering_around_its_place(reach):
    """Lettering in rows all around, with lanes between them that are too narrow for a circle."""
    target = (200.0, 130.0)
    rows = int(reach / 10)
    words = [
        Text("NOTE", (192.0 + 16 * i, 125.0 + 10 * j), SMALL, "label", "middle")
        for i in range(1 - rows, rows + 1)
        for j in range(1 - rows, rows + 1)
    ]
    drawn = marked(words, AREA, [(target, "3", "12")])
    (circle,) = (one for one in drawn if isinstance(one, Arc) and one.group == GROUP)
    (leader,) = (one for one in drawn if one.group == LEADER and not one.closed)
    assert [one.content for one in drawn if isinstance(one, Text)] == ["3", "12"]
    assert max(abs(a - b) for a, b in zip(circle.center, target, strict=True)) > reach - 10
    assert min(math.dist(end, target) for end in leader.points) < 6.0
    assert overlaps([*words, *drawn], AREA) == []


@pytest.mark.parametrize("name", ["plain", "metric", "level", "two bays"])
def test_every_detail_is_marked_on_an_elevation(name, book):
    made = book(packet_book, name)
    held: dict[str, set] = {"Elevations": set(), "Details": set()}
    for sheet, (group, _) in zip(made.sheets, made.bookmarks, strict=True):
        texts = [one for one in sheet.primitives if isinstance(one, Text)]
        held.setdefault(group, set()).update(
            (upper.content, lower.content)
            for upper, lower in zip(texts, texts[1:], strict=False)
            if lower.owner == "sheet of a reference"
        )
    assert held["Details"] and held["Elevations"] == held["Details"]

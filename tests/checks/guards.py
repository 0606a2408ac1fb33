"""Jobs for the tests of checks: one guard that passes in each system, and many that fail one way.

Each variant changes a few keys of a good guard so that one thing goes wrong.  The same variants are
made in inches and, with every length as many times 25 mm, in millimetres.
"""

from __future__ import annotations

import copy
from fractions import Fraction

from stairs.job import Job, job_from_mapping

MM = 25  # to the inch, so that a variant falls on the marks of both tapes


def base(units: str) -> dict:
    """A guard that keeps the rules of houses: five risers, one bay."""
    mapping = {
        "units": "in",
        "rules": "irc-2021",
        "tape": "1/16",
        "measured_within": "1/16",
        "panel": {
            "height": "33 1/2",
            "top_rail": "1 3/4",
            "bottom_rail": "1 1/2",
            "baluster": "3/4",
            "pitch": "4 1/2",
            "stock": ["72", "96"],
            "end_margin": "2 1/4",
            "max_rack": "40",
            "slot": {"length": "1 1/8", "wall": "1/16"},
        },
        "bracket": {
            "kind": "pivot",
            "pivot_offset": "1 1/8",
            "rail_setback": "3/8",
            "max_swing": "42",
        },
        "post": {
            "width": "3",
            "base": "5",
            "edge_distance": "2 3/4",
            "reveal": "1",
            "stock": ["39", "45", "54"],
        },
        "section": [
            {
                "kind": "flight",
                "rise": "43 1/2",
                "risers": 6,
                "unit_run": "10 1/2",
                "nosing": "1",
                "tread_thickness": "1 1/4",
                "posts": ["-4", "60 1/4"],
                "bottom_gap": "7/16",
                "handrail": True,
            }
        ],
    }
    return mapping if units == "in" else _metric(mapping)


_PLAIN = {"risers", "treads", "max_rack", "max_swing", "riser_slope", "rake", "bays", "rules"}


def _inches(text: str) -> Fraction:
    return sum((Fraction(part) for part in text.split(" ")), Fraction(0))


def _metric(value, key: str = ""):
    if isinstance(value, dict):
        return {name: _metric(item, name) for name, item in value.items()}
    if isinstance(value, list):
        return [_metric(item, key) for item in value]
    if key == "units":
        return "mm"
    if key in ("tape", "measured_within"):
        return "0" if value == "0" else "1"
    if not isinstance(value, str) or key in _PLAIN:
        return value
    try:
        length = _inches(value)
    except ValueError:
        return value
    if length < 0:
        return str(round(length * MM))
    return str(round(length * MM))


def changed(units: str, changes: dict, rules: str = "irc-2021") -> Job:
    """The good guard with some keys changed; None takes a key out."""
    mapping = base("in")
    mapping["rules"] = rules
    changes = copy.deepcopy(changes)
    if "level" in changes:
        mapping["section"] = [{"kind": "level", "span": "120", "bays": 2, "bottom_gap": "2"}]
        changes.pop("level")
    for place, value in changes.items():
        table, key = place.split(".")
        target = {"top": mapping, "section": mapping["section"][0]}.get(table) or mapping[table]
        if value is None:
            target.pop(key, None)
        else:
            target[key] = value
    if units == "mm":
        mapping = _metric(mapping)
    return job_from_mapping(mapping)


AUTO = {"section.posts": None, "section.bays": 1}
FAILING = {
    "low panel": {"panel.height": "31 1/2"},
    "low panel, gap left open": {"panel.height": "31 1/2", "section.bottom_gap": "auto"},
    "high panel": {"panel.height": "40"},
    "high panel, gap left open": {"panel.height": "40", "section.bottom_gap": "auto"},
    "high rail": {"section.bottom_gap": "2"},
    "very high rail": {"section.bottom_gap": "6"},
    "low rail": {"panel.height": "33", "section.bottom_gap": "0"},
    "wide balusters apart": {"panel.pitch": "6 1/4"},
    "end gaps": {"section.posts": ["-4", "62"], "panel.end_margin": "4", "panel.trim": "even"},
    "end gaps without margin": {
        "section.posts": ["-5", "60 1/4"],
        "panel.end_margin": None,
        "panel.pitch": "5 1/8",
        "panel.trim": "even",
    },
    "post far from the head": {"section.posts": ["-4", "64"]},
    "steep": {"section.rise": "46 1/2", "section.unit_run": "9"},
    "steep, gap left open": {
        "section.rise": "46 1/2",
        "section.unit_run": "9",
        "section.bottom_gap": "auto",
        **AUTO,
    },
    "very steep": {"section.rise": "54", "section.unit_run": "8", **AUTO},
    "shallow": {"section.rise": "24", "section.unit_run": "15", **AUTO},
    "tall risers": {"section.rise": "49", "section.bottom_gap": "auto", **AUTO},
    "tall risers, posts listed": {"section.rise": "49"},
    "short risers": {"section.rise": "22", **AUTO},
    "short runs": {"section.unit_run": "8 1/2", **AUTO},
    "long runs": {"section.unit_run": "16", **AUTO},
    "short nosing": {"section.nosing": "1/4", "section.posts": ["-4", "60 1/4"]},
    "long nosing": {"section.nosing": "2", "section.bottom_gap": "auto"},
    "no nosing": {"section.nosing": "0"},
    "panel racks too little": {"panel.max_rack": "30"},
    "slot too short": {"panel.slot": {"length": "15/16", "wall": "1/16"}},
    "slot and panel": {"panel.slot": {"length": "15/16", "wall": "1/16"}, "panel.max_rack": "30"},
    "brackets swing too little": {"bracket.max_swing": "30"},
    "rail corner in the post": {"bracket.pivot_offset": "1/8", "bracket.rail_setback": "0"},
    "rail corner over the pin": {"bracket.pivot_offset": "0", "bracket.rail_setback": "1/4"},
    "no stock": {"panel.stock": ["48", "60"]},
    "no stock, bays": {"panel.stock": ["48"], **AUTO},
    "posts too tall": {"post.stock": ["39", "40"]},
    "posts too tall, long reveal": {"post.stock": ["39", "40"], "post.reveal": "4"},
    "plate near the edge": {"section.posts": ["-4", "56"]},
    "plate near the edge, wide": {"section.posts": ["-4", "56"], "post.edge_distance": "3"},
    "middle plate": {"section.posts": ["-4", "26", "60 1/4"]},
    "side gap": {"section.side_gap": "2"},
    "side gap, low rail": {"section.side_gap": "3", "section.bottom_gap": "-2"},
    "riser slope": {"section.riser_slope": "35"},
    "open risers": {"section.open_risers": True, "section.tread_thickness": "1"},
    "closed stringer, high rail": {
        "section.stringer": "closed",
        "section.stringer_margin": "1",
        "section.bottom_gap": "7",
    },
    "closed stringer, low panel": {
        "section.stringer": "closed",
        "section.stringer_margin": "6",
        "section.bottom_gap": "auto",
        "panel.height": "24",
    },
    "long flight": {"section.rise": "174", "section.risers": 24, "section.posts": None,
                    "section.bays": 4, "section.bottom_gap": "auto"},
    "two risers": {"section.rise": "14", "section.risers": 2, **AUTO},
    "treads flush": {"section.top": "tread", "section.rise": "49", **AUTO},
    "plumb-cut rails": {
        "bracket.kind": "plumb-cut",
        "bracket.pivot_offset": None,
        "bracket.rail_setback": None,
        "bracket.end_clearance": "1/8",
        "panel.stock": ["72"],
        "section.bottom_gap": "2",
    },
    "half-pitch trim": {"panel.trim": "half-pitch", "section.posts": ["-4", "62"]},
    "thick treads": {"section.tread_thickness": "4", "section.bottom_gap": "2"},
    "level, rail high": {"level": 1, "section.bottom_gap": "5", "panel.height": "34"},
    "level, panel low": {"level": 1, "panel.height": "30", "section.bottom_gap": "2"},
    "level, panel low, gap open": {"level": 1, "panel.height": "30", "section.bottom_gap": "auto"},
    "level, balusters": {"level": 1, "panel.pitch": "5 1/4", "panel.height": "36"},
    "level, no stock": {"level": 1, "panel.stock": ["36"], "panel.height": "36"},
    "level, end gaps": {
        "level": 1, "section.posts": ["0", "61 1/2", "123"], "section.span": None,
        "section.bays": None, "panel.height": "36", "panel.trim": "even",
    },
    "measured, uneven": {
        "section.rise": None, "section.risers": None, "section.unit_run": None,
        "section.nosings": [["0", "7"], ["10", "15"], ["21", "21"], ["31", "28 1/2"]],
        "section.posts": ["-4", "38"],
    },
    "measured, steep": {
        "section.rise": None, "section.risers": None, "section.unit_run": None,
        "section.nosings": [["0", "8"], ["9", "16"], ["18", "24"], ["27", "32"]],
        "section.posts": ["-4", "33"],
        "section.bottom_gap": "2",
    },
    "fixed by an angle": {
        "section.rise": None, "section.unit_rise": "8", "section.unit_run": None,
        "section.rake": "40", "section.bottom_gap": "2", **AUTO,
    },
}  # fmt: skip
"""Changes that make the good guard fail in at least one rulebook, by what is wrong."""

"""For which values of a key the guard passes, for programs: what ``stairs find --json`` prints.

Lengths are plain floats in the job's units, angles degrees, counts whole numbers.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from stairs.inverse.answer import End, Found, Run, Tried
from stairs.inverse.goal import Miss


def found_result(found: Found) -> dict[str, Any]:
    """The answer as plain lists, dictionaries, numbers and text."""
    asked, goal, span, way = found.asked, found.goal, found.span, found.way
    target = goal.target
    return {
        "key": asked.path,
        "section": None if asked.index is None else asked.index + 1,
        "unit": asked.kind,
        "units": found.units,
        "now": _plain(asked.now),
        "for": goal.check or (target and target.name),
        "of": target and target.nth,
        "wanted": target and {"side": target.side, "value": float(target.value)},
        "only_section": goal.section,
        "from": None if span.values else float(span.low),
        "to": None if span.values else float(span.high),
        "step": None if span.values else float(span.step),
        "stride": None if span.values else float(span.stride),
        "measured_within": float(found.within),
        "everywhere": [_run(run) for run in found.sure],
        "everywhere_tried_every": found.sure_every,
        "left_aside": [_miss(miss) for miss in found.aside],
        "passes": [
            {
                **_run(run),
                "below": [_miss(miss) for miss in run.below],
                "above": [_miss(miss) for miss in run.above],
            }
            for run in found.marks
        ],
        "exactly": [
            {"low": _end(one.low), "high": _end(one.high), "proved": one.proved}
            for one in found.drawn
        ],
        "fails": [
            {
                "from": float(one.low),
                "to": float(one.high),
                "proved": one.proved,
                "what": [_miss(miss) for miss in one.misses],
            }
            for one in found.fails
        ],
        "solved_again": [_tried(one) for one in found.tried],
        "leaps": [
            {
                "low": float(one.low),
                "high": float(one.high),
                "section": one.below.section,
                "bay": one.below.bay,
                "balusters": [one.below.balusters, one.above.balusters],
                "stock": [_plain(one.below.stock), _plain(one.above.stock)],
            }
            for one in found.changes
        ],
        "contacts": [
            {
                "low": float(one.low),
                "high": float(one.high),
                "below": one.below,
                "above": one.above,
            }
            for one in found.contacts
        ],
        "nearest": found.nearest
        and {
            "value": _plain(found.nearest.value),
            "what": [_miss(miss) for miss in found.nearest.misses],
        },
        "whatever_it_is": [_miss(miss) for miss in found.constant],
        "without_these": found.without and found_result(found.without),
        "elsewhere": [_miss(miss) for miss in found.elsewhere],
        "proved": way.proved,
        "not_proved": float(way.open_width),
        "looked_at_every": _plain(way.steps),
        "unbuilt_looked_at_every": _plain(way.unbuilt),
        "values_solved": way.solved,
        "posts_laid_out": way.laid_out,
        "notes": list(found.notes),
    }


def _plain(value: Any) -> Any:
    return float(value) if isinstance(value, Fraction) else value


def _run(run: Run) -> dict[str, Any]:
    return {"low": _plain(run.low), "high": _plain(run.high)}


def _end(end: End) -> dict[str, Any]:
    return {
        "value": float(end.value),
        "inside": str(end.inside),
        "outside": str(end.outside),
        "included": end.included,
        "of_range": end.of_range,
        "leap": end.jumps,
        "fails": [_miss(miss) for miss in end.misses],
        "value_inside": end.held,
        "leans_inside": end.leans[0] or None,
        "leans_outside": end.leans[1] or None,
    }


def _tried(one: Tried) -> dict[str, Any]:
    return {
        "value": _plain(one.value),
        "passes": not one.misses,
        "fails": [_miss(miss) for miss in one.misses],
        "marginal": [_miss(miss) for miss in one.marginal],
        "with_posts_anew": None if one.anew is None else [_miss(miss) for miss in one.anew],
    }


def _miss(miss: Miss) -> dict[str, Any]:
    return {
        "id": None if miss.because else miss.id,
        "section": miss.section or None,
        "where": miss.where or None,
        "value": miss.value,
        "limit": miss.limit,
        "kind": miss.kind or None,
        "only_as_cut": miss.as_cut_only,
        "because": miss.because or None,
    }

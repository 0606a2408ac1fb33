"""The machine-readable result: what ``--json`` prints.

Other people's scripts read this; the names are a contract.  Lengths are plain floats in the job's
units, unrounded, and angles degrees.  Sections, posts, bays and treads count from 1.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import msgspec

from stairs.checks.finding import Finding
from stairs.guard.shared_posts import Join
from stairs.guard.solving import Bay, Section
from stairs.job import Bracket, Job, JobFlight, JobLevel
from stairs.layout.search import LayoutChoice
from stairs.lists.loads import loads_of
from stairs.parts.bracket_holes import hole_heights
from stairs.parts.posts import Mark, Post
from stairs.parts.survey import Line, Survey, worst_neighbours, worst_riser
from stairs.remedies.as_built import Standing, rails_made
from stairs.report.findings import witness_texts
from stairs.report.notices import unusual_texts
from stairs.report.survey_text import CRITERIA
from stairs.solution import SectionSolution, Solution


def result_of(solution: Solution) -> dict[str, Any]:
    """The answer as plain lists, dictionaries, numbers and text, ready for :func:`json.dumps`."""
    return {
        "title": solution.job.title,
        "units": solution.job.units,
        "rules": solution.job.rules,
        "ok": solution.ok,
        "measured_within": float(solution.job.measured_within),
        "measured": {one.key: float(one.within) for one in solution.job.measured},
        "assumed": list(solution.job.assumed),
        "unusual": list(unusual_texts(solution)),
        "also_asks": list(solution.rulebook.also_asks),
        "loads": [
            {
                "id": load.id,
                "value": float(load.value),
                "unit": load.unit,
                "over": load.over or None,
                "sections": list(sections),
                "clause": load.clause,
                "provenance": load.provenance_text,
                "note": " ".join(load.note.split()) or None,
            }
            for load, sections in loads_of(solution)
        ],
        "sections": [_section(part, solution.job) for part in solution.sections],
        "joins": [_join(join, solution.job.bracket) for join in solution.joins],
        "checks": [
            {
                "id": finding.id,
                "section": finding.section,
                "where": finding.where or None,
                "value": finding.value,
                "level": _level(finding),
                "limit": finding.ruling.limit,
                "kind": finding.ruling.kind or None,
                "verdict": finding.verdict,
                "worst": finding.worst,
                "bounds": finding.measured.bounds,
                "everywhere": finding.measured.everywhere,
                "witness": witness_texts(solution.job, finding),
                "flat": finding.flat,
                "as_cut": {
                    "value": finding.cut.value,
                    "verdict": finding.cut.verdict,
                    "where": finding.cut.where or finding.where or None,
                },
                "clause": finding.ruling.clause or None,
                "provenance": finding.ruling.provenance or None,
                "local_reason": (finding.ruling.rule.local_reason or None)
                if finding.ruling.rule
                else None,
                "unbuildable": [
                    {
                        "measurement": key,
                        "off_by": float(by),
                        "because": one.because,
                    }
                    for one in finding.measured.refused
                    for key, by in one.off
                ],
                "remedy": "; or: ".join(remedy.text for remedy in part.remedies.get(finding.id, ()))
                or None,
            }
            for part in solution.sections
            for finding in part.findings
        ],
    }


def _level(finding: Finding) -> float | None:
    """Of a length along the rake the same level; null for all else."""
    level = None if finding.measure is None else finding.measure.level
    return None if level is None else float(level)


def _edge(section: JobFlight | JobLevel) -> dict[str, Any]:
    """The edge that a level run is given by, and how far its end posts stand in from it."""
    if not isinstance(section, JobLevel) or section.measured.edge is None:
        return {}
    ends = (section.measured.at_start, section.measured.at_end)
    start, end = (None if one is None else float(one) for one in ends)
    length, span = float(section.measured.edge), float(section.span)
    return {"edge": {"length": length, "start": start, "end": end, "span": span}}


def _section(part: SectionSolution, job: Job) -> dict[str, Any]:
    section, window, bracket = part.section, part.window, job.bracket
    surface = section.surface
    steps: dict[str, Any] = {}
    if section.kind == "flight":
        steps = {
            "risers": section.flight.risers,
            "treads": section.flight.treads,
            "unit_rise": float(section.flight.unit_rise),
            "unit_run": float(section.flight.unit_run),
            "total_rise": section.total_rise,
            "total_run": float(section.flight.total_run),
            "rake": section.rake,
        }
    return {
        "name": section.name,
        "kind": section.kind,
        "surface": surface and surface.kind,
        "surface_because": surface and surface.because,
        "turn": section.turn,
        "hand": section.hand,
        "left_of": section.line.opposite_of or None,
        "sides": section.sides,
        **steps,
        **_edge(job.sections[section.number - 1]),
        "bottom_gap": section.bottom_gap,
        "filler": section.filler,
        "bottom_gap_window": {
            "low": float(window.low.value),
            "high": None if window.high is None else float(window.high.value),
            "empty": window.empty,
            "low_set_by": window.low.set_by,
            "high_set_by": None if window.high is None else window.high.set_by,
            "openers": None if part.openers is None else [one.told for one in part.openers],
        },
        "guard_height": section.guard_height,
        "panel_height": section.panel_height,
        "rail_spacing": float(section.racked.rail_spacing),
        "baluster_clear": float(section.racked.baluster_clear),
        "max_rack": section.racked.max_rack,
        "layout": _layout(part.layout),
        "framing": None if part.framing is None else msgspec.to_builtins(part.framing),
        "posts": [_post(post, bracket) for post in section.posts],
        "bays": [_bay(bay, part.standing) for bay in section.bays],
        "as_built": None if part.standing is None else _as_built(part.standing),
        "openings": [
            {
                "kind": opening.kind,
                "bay": opening.bay,
                "tread": opening.tread,
                "diameter": opening.diameter,
                "flat_diameter": opening.flat_diameter,
                "center": list(opening.center),
                "limit": finding.ruling.limit,
                "limit_kind": finding.ruling.kind or None,
                "value": finding.value,
                "cube": finding.value if finding.ruling.kind == "cube-smaller" else None,
                "clause": finding.ruling.clause or None,
                "verdict": finding.verdict,
                "leans_on": list(map(str, opening.leans_on)),
                "end": opening.end or None,
            }
            for opening, finding in zip(section.openings, part.openings, strict=True)
        ],
        "remarks": list(section.flight.measure.remarks)
        if section.flight is not None and section.flight.measure is not None
        else [],
        **_survey(section),
    }


def _layout(choice: LayoutChoice | None) -> dict[str, Any] | None:
    """Where posts were put and why; null where the job lists them."""
    if choice is None:
        return None
    runner = choice.runner_up
    return {
        "positions": [float(x) for x in choice.positions],
        "treads_per_bay": list(choice.treads) or None,
        "score": list(choice.score),
        "given_up": list(choice.given_up),
        "notes": list(choice.notes),
        "runner_up": None if runner is None else [float(x) for x in runner],
        "why_it_lost": choice.why_it_lost or None,
    }


def _survey(section: Section) -> dict[str, Any]:
    """What a measured flight adds: its line, each nosing's own gap, and slips of the tape."""
    if section.flight is None or section.flight.survey is None:
        return {}
    survey = section.flight.survey
    worst = worst_riser(survey)
    return {
        "nosings": [list(point) for point in section.nosings],
        "nosing_line": _line(survey, survey.line),
        "nosing_line_criterion": CRITERIA[survey.taken],
        "rail_line": survey.taken,
        "other_lines": {name: _line(survey, line) for name, line in survey.others.items()},
        "nosing_gaps": [section.bottom_gap + float(gap) for gap in survey.line_gaps],
        "rises": [float(rise) for rise in survey.rises],
        "runs": [float(run) for run in survey.runs],
        "worst_riser": {"riser": worst, "rise": float(survey.rises[worst - 1])},
        "uneven": {
            name: {
                "differ_by": float(max(steps) - min(steps)),
                "neighbours_differ_by": float(worst_neighbours(steps)[1])
                if len(steps) > 1
                else 0.0,
            }
            for name, steps in (("rises", survey.rises), ("runs", survey.runs))
        },
        "slips": [
            {
                "nosing": slip.nosing,
                "axis": slip.axis,
                "read": float(slip.read),
                "expected": float(slip.expected),
            }
            for slip in survey.slips
        ],
        "doubts": [
            {
                "step": doubt.step,
                "axis": doubt.axis,
                "read": float(doubt.read),
                "usual": float(doubt.usual),
                "borne_out": doubt.borne_out,
            }
            for doubt in survey.doubts
        ],
    }


def _line(survey: Survey, line: Line) -> dict[str, Any]:
    """A straight line over measured nosings, and how far it lies over the lowest and highest."""
    gaps = [float(line.height(x) - y) for x, y in survey.points]
    return {
        "at_zero": float(line.at_zero),
        "slope": float(line.slope),
        "least_gap": min(gaps),
        "greatest_gap": max(gaps),
    }


def _post(post: Post, bracket: Bracket) -> dict[str, Any]:
    return {
        "x": post.x,
        "surface": post.surface,
        "plate_edge": post.plate_edge,
        "height": post.height,
        "length": post.length,
        "lean": float(post.stand.lean) * post.height,
        "stands_on": post.stands_on,
        "stock": post.stock,
        "marks": _marks(post.marks, bracket),
        "wall": post.wall,
        "shared_with": None
        if post.shared_with is None
        else {"section": post.shared_with[0], "post": post.shared_with[1]},
    }


def _marks(marks: Sequence[Mark], bracket: Bracket) -> list[dict[str, Any]]:
    return [
        {
            "bay": mark.bay,
            "rail": mark.rail,
            "side": mark.side,
            "height": mark.height,
            "holes": [
                {"across": float(across) + mark.aside, "height": height}
                for across, height in hole_heights(bracket, mark.height)
            ],
        }
        for mark in marks
    ]


def _join(join: Join, bracket: Bracket) -> dict[str, Any]:
    return {
        "lower": {"section": join.lower, "post": join.below.post, "needs": join.needs[0]},
        "upper": {"section": join.upper, "post": join.above.post, "needs": join.needs[1]},
        "turn": join.turn,
        "stands_on": join.surface,
        "height": join.height,
        "governed_by": join.governed_by,
        "stock": join.stock,
        "top_step": join.top_step,
        "bottom_step": join.bottom_step,
        "rails": [
            {
                "section": rails.section,
                "bay": rails.bay,
                "top": rails.top,
                "bottom": rails.bottom,
                "swing": rails.swing,
                "skew": rails.skew,
                "leans": rails.leans or None,
                "true_angle": rails.true_angle,
                "saw": msgspec.to_builtins(rails.saw),
                "marks": _marks(rails.marks, bracket),
            }
            for rails in (join.below, join.above)
        ],
        "remark": join.remark or None,
    }


def _as_built(standing: Standing) -> list[dict[str, Any]]:
    """What is not as planned; ``post`` of a post, ``bay`` of a rail."""
    return [
        {
            "bay" if one.what in ("top", "bottom") else "post": one.number,
            "what": one.what,
            "planned": one.planned,
            "found": one.found,
            "off_by": one.off,
            "do": one.do,
            "by": one.amount,
            "costs": list(one.costs),
        }
        for one in standing.deviations
    ]


def _bay(bay: Bay, standing: Standing | None) -> dict[str, Any]:
    used, other = bay.trims.used, bay.trims.other
    return {
        "clear": bay.clear,
        "spacing": float(bay.spacing),
        "spacing_along": float(bay.spacing_along),
        "rail_length": bay.rail_length,
        "stock": used and float(used.stock),
        "trim_low": used and used.low,
        "trim_high": used and used.high,
        "sawn_holes": used and used.sawn_holes,
        "balusters": bay.balusters,
        "end_gap_low": bay.end_gap_low,
        "end_gap_high": bay.end_gap_high,
        "rails": [
            {
                "rail": rail.name,
                "length": rail.length,
                "trim_low": rail.cut and rail.cut.low,
                "trim_high": rail.cut and rail.cut.high,
                "stock": rail.cut and float(rail.cut.stock),
                "done": done,
            }
            for rail, done in rails_made(bay, standing)
        ],
        "swing": bay.ends.swing,
        "angle_low": bay.ends.angle_low,
        "angle_high": bay.ends.angle_high,
        "saw_angle": bay.ends.saw_angle,
        "stock_needed": bay.stock_needed,
        "corner_clearance": float(bay.ends.corner_clearance),
        "holes": list(bay.made.along_rail),
        "trim": bay.trims.way,
        "better_trim": bay.trims.better,
        "better_because": bay.trims.because,
        "other_trim": None
        if other is None
        else {
            "way": other.way,
            "stock": float(other.stock),
            "trim_low": other.low,
            "trim_high": other.high,
            "sawn_holes": other.sawn_holes,
            "balusters": other.balusters,
            "end_gap_low": float(other.end_gap_low),
            "end_gap_high": float(other.end_gap_high),
        },
    }

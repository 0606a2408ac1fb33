"""A whole job file's tables, read and held against each other.

The panel, the bracket and the post of a job each stand in a table of their own.  A key may be right
by itself and still be impossible beside another: rails deeper than their panel, balusters wider
than their pitch.  Such pairs are refused here, with both values named.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from stairs.errors import JobError, NoSuchShape
from stairs.job.bracket_holes import refuse_holes
from stairs.job.edges import with_edges
from stairs.job.joists import with_joists
from stairs.job.key_notes import keys_of
from stairs.job.measured import read_measured
from stairs.job.records import (
    USUAL_SPACING,
    Bracket,
    Job,
    LocalOverride,
    Panel,
    PostKind,
    SheetKeys,
)
from stairs.job.sections import read_sections
from stairs.job.table import Table
from stairs.lengths.tape import as_typed
from stairs.lengths.tape_marks import exact_text

_TABLES = ("panel", "bracket", "post", "section", "framing", "measured", "local", "sheet")
_COARSEST = {"in": Fraction(1), "mm": Fraction(25)}  # mark of any tape
OF_A_KIND = {"pivot": ("pivot_offset", "rail_setback"), "plumb-cut": ("end_clearance",)}
"""Keys that each kind of bracket needs."""


def job_from_mapping(mapping: Mapping[str, Any], where: str = "") -> Job:
    """The job that a mapping of keys to values holds, as parsed from TOML.

    Numbers may be int, float, Decimal or Fraction; ``where`` is the file's name, for messages.

    Raises
    ------
    JobError
        Where a key or a value cannot be used.

    Examples
    --------
    >>> job = job_from_mapping({"units": "in", "panel": {"height": 32}})
    Traceback (most recent call last):
    ...
    stairs.errors.MeasurementMissing: panel: top_rail: is missing. It is the depth of the top rail
    as you face it. Measure it (ht in the picture that stairs form draws) and add it under [panel],
    as in top_rail = "1 3/4".
    """
    top = Table(mapping, "in", where, "the job file")
    top.refuse_unknown([*keys_of(Job), *_TABLES])
    top.units = top.read_one(Job, "units")
    assumed: list[str] = []
    given = top.read(Job, (), assumed)
    for key in ("tape", "measured_within"):
        _check_mark(top, key, given[key])
    _check_tape(top, given["tape"])
    measured = read_measured(top)
    panel = _panel(_table(top, "panel", "what the panel measures"), assumed)
    bracket_table = _table(top, "bracket", "what the brackets measure")
    needs = OF_A_KIND.get(str(bracket_table.values.get("kind")), ())
    bracket = bracket_table.read_whole(Bracket, needs, assumed, "bracket")
    post = _post(_table(top, "post", "what the posts measure"), assumed)
    refuse_holes(bracket, panel, post, top.units, top.at("bracket"))
    sections = with_edges(top, read_sections(top, assumed), post, assumed)
    sections = with_joists(top, sections, post, assumed)
    if post.max_spacing is None and any(s.bays == "auto" for s in sections):
        spacing = exact_text(USUAL_SPACING[top.units], top.units)
        assumed.append(f"post: max_spacing {spacing} on centre (common practice, no source)")
    return Job(
        **given,
        panel=panel,
        bracket=bracket,
        post=post,
        sections=sections,
        measured=measured,
        local=_local(top),
        sheet=_sheet(top),
        assumed=tuple(assumed),
        where=where,
    )


def _check_mark(top: Table, key: str, mark: Fraction) -> None:
    """Refuse a mark, or an uncertainty, that is coarser than any tape's."""
    coarsest = _COARSEST[top.units]
    if mark <= coarsest:
        return
    typed = top.values[key]
    raise JobError(
        top.at(key),
        f"{as_typed(typed)} is read as {exact_text(mark, top.units, unit=False)} {top.units}",
        f"{key} is at most {exact_text(coarsest, top.units, unit=False)} {top.units}",
        f'Was 1/{mark} meant? Then write "1/{mark}"'
        if mark.denominator == 1
        else "Give the smallest mark of the tape",
    )


def _check_tape(top: Table, mark: Fraction) -> None:
    """Refuse a tape of the other unit, whose marks the job's lengths could not be written in."""
    inches = top.units == "in"
    if mark.numerator == 1 if inches else (mark * 100).denominator == 1:
        return
    read = f"{top.typed('tape')} is {exact_text(mark, top.units, unit=False)} "
    if inches:
        raise JobError(
            top.at("tape"),
            f"{read}in, and no inch tape is divided so",
            "A mark is a whole part of an inch",
            'Give it as in "1/16", or write units = "mm"; lengths in inches can stay, each with '
            'its unit, as in "33 in"',
        )
    raise JobError(
        top.at("tape"),
        f"{read}mm, and no metric tape is divided so",
        "A mark is in millimetres, of two decimals at most",
        'Give it as in 1 or 0.5, or write units = "in"; lengths in millimetres can stay, each '
        'with its unit, as in "900 mm"',
    )


def _table(top: Table, key: str, meaning: str) -> Table:
    if key not in top.values:
        raise JobError(
            top.at(key), "is missing", f"It says {meaning}", f"Add a table headed [{key}]"
        )
    return Table(top.values[key], top.units, top.at(key), f"[{key}]")


def _panel(table: Table, assumed: list[str]) -> Panel:
    panel: Panel = table.read_whole(Panel, (), assumed, "panel")
    units = table.units
    rails = panel.top_rail + panel.bottom_rail
    if rails >= panel.height:
        raise NoSuchShape(
            table.at("height"),
            f"{table.typed('height')} leaves no room between the rails, "
            f"which are {exact_text(rails, units)} deep together",
            "A panel is higher than its two rails",
            "Measure the panel from underside of bottom rail to top of top rail",
        )
    if panel.baluster >= panel.pitch:
        raise NoSuchShape(
            table.at("pitch"),
            f"{table.typed('pitch')} leaves no gap between balusters that are "
            f"{exact_text(panel.baluster, units)} wide",
            "The pitch is greater than the baluster's width",
            "Measure the pitch from centre to centre of neighbouring balusters",
        )
    if panel.slot is not None and panel.slot.length < panel.baluster:
        raise NoSuchShape(
            table.at("slot: length"),
            f"{as_typed(table.values['slot']['length'])} is shorter than the baluster's width, "
            f"{exact_text(panel.baluster, units)}",
            "A baluster passes the hole in the level panel",
            "Measure the hole along the rail",
        )
    if panel.end_margin is not None and panel.stock and panel.end_margin >= min(panel.stock):
        raise NoSuchShape(
            table.at("end_margin"),
            f"{table.typed('end_margin')} is not shorter than the rail stock of "
            f"{exact_text(min(panel.stock), units)}",
            "The first baluster stands on the rail",
            "Measure from the uncut rail end to the first baluster centre",
        )
    return panel


def _post(table: Table, assumed: list[str]) -> PostKind:
    found: list[str] = []
    post: PostKind = table.read_whole(PostKind, (), found, "post")
    if post.below is not None:  # no plate that has to keep from an edge
        found = [line for line in found if not line.startswith("post: edge_distance")]
    assumed += found
    if post.base is not None and post.base < post.width:
        raise NoSuchShape(
            table.at("base"),
            f"{table.typed('base')} is narrower than the post, "
            f"{exact_text(post.width, table.units)}",
            "A base plate is at least as wide as its post",
            "Measure the side of the base plate",
        )
    if post.base is not None and post.below is not None:
        raise JobError(
            table.at("below"),
            f"{table.typed('below')} is given beside a base plate of {table.typed('base')}",
            "A post stands on its surface by a base plate, or goes on below it, fixed to the side "
            "or set in",
            "Leave out one of them",
        )
    if post.outside is not None and post.below is None:
        raise JobError(
            table.at("outside"),
            "stands without below",
            "Only a post that goes on below its surface is fixed to the side of a deck",
            f"Add {keys_of(PostKind)['below'].sample(table.units)}, or leave outside out",
        )
    widest = post.base or post.width
    given, spacing = post.max_spacing is not None, post.max_spacing or USUAL_SPACING[table.units]
    if spacing <= widest:
        shown = f"{exact_text(spacing, table.units)}, as assumed,"
        raise NoSuchShape(
            table.at("max_spacing"),
            f"{table.typed('max_spacing') if given else shown} "
            "leaves no room between "
            f"{'base plates' if post.base else 'posts'} {exact_text(widest, table.units)} wide",
            "Posts stand farther apart, centre to centre, than they are wide",
            "Give the greatest distance that the maker or the local office allows",
        )
    return post


def _local(top: Table) -> tuple[LocalOverride, ...]:
    if "local" not in top.values:
        return ()
    table = Table(top.values["local"], top.units, top.at("local"), "[local]")
    overrides = []
    for check, values in table.values.items():
        shown = as_typed(check)[1:-1]
        header, keys = f"{shown} = {{ ... }}", 'limit = ..., reason = "..."'
        inner = Table(values, top.units, table.at(shown), header, keys)
        inner.refuse_unknown(keys_of(LocalOverride))
        read = inner.read(LocalOverride)
        if not read["reason"].strip():
            raise JobError(
                inner.at("reason"),
                "is empty",
                "Every sheet shows why a rule was replaced",
                "Say who allows it, and where that is written",
            )
        overrides.append(LocalOverride(check=check, **read))
    return tuple(overrides)


def _sheet(top: Table) -> SheetKeys:
    if "sheet" not in top.values:
        return SheetKeys()
    table = Table(top.values["sheet"], top.units, top.at("sheet"), "[sheet]")
    return table.read_whole(SheetKeys)

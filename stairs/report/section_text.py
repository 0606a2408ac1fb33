"""One section on screen: its steps, its posts, their bracket marks, its rails and its brackets."""

from __future__ import annotations

from stairs.guard.solving import Section
from stairs.job import Job, JobLevel
from stairs.lengths.tape_marks import angle_against_limit, round_to_mark
from stairs.numbers.tolerances import SAME
from stairs.parts.bays import taped_cut
from stairs.parts.bays_as_built import TOP
from stairs.parts.flight import Flight
from stairs.parts.posts import face_name
from stairs.relations.exact import Amount
from stairs.remedies.as_built import Standing, rails_made
from stairs.report.columns import counted, length, listed, remark, section_name, table, wrap
from stairs.report.cuts_text import end_names, saw_setting, stands_text, way_texts
from stairs.solution import SectionSolution


def section_head(job: Job, part: SectionSolution) -> str:
    """What the section is, its steps, and where its rails lie."""
    section = part.section
    lines = [section_name(section) + _hand(section)]
    gap, height = length(job, section.bottom_gap), length(job, section.guard_height)
    if section.kind == "level":
        between = length(job, section.posts[-1].x - section.posts[0].x)
        told = job.sections[section.number - 1]
        edge = told.measured.edge if isinstance(told, JobLevel) else None
        of = "" if edge is None else f" on an edge of {length(job, edge)}"
        lines += [
            remark(f"{between} between end posts{of}, bottom gap {gap}, guard height {height}"),
            f"  on a {section.surface.kind}: {section.surface.because}",
        ]
    else:
        flight = section.flight
        steps = (
            f"{flight.risers} risers of {_step(job, flight, flight.unit_rise)}, "
            f"{counted(flight.treads, 'tread')} of {_step(job, flight, flight.unit_run)}, "
            f"rake {section.rake:.1f}°"
        )
        if float(section.exact["lowest_nosing"]) > 0:
            height += f" to {length(job, float(section.exact['greatest_guard_height']))}"
        chosen = " (chosen)" if part.gap_chosen else ""
        rise, run = length(job, section.total_rise), length(job, float(flight.total_run))
        lines += [
            remark(steps),
            f"  total rise {rise}, total run {run}",
            remark(f"bottom gap {gap}{chosen}, guard height over the nosings {height}"),
        ]
    if section.filler:
        left = length(job, section.bottom_gap - section.filler)
        lines.append(
            f"  under the rail a strip {length(job, section.filler)} deep, which leaves {left}"
        )
    return "\n".join(lines)


def _hand(section: Section) -> str:
    """The side of the stair, where the job says another than the right."""
    if section.line.opposite_of:
        return ""  # a line of its own, whose name says so
    texts = {"left": " (left hand)", "both": " (both hands: everything twice)"}
    return texts.get(section.hand, "")


def _step(job: Job, flight: Flight, exact: Amount) -> str:
    """A riser or a tread; where it is on no mark, also in decimals, which do not add up wrong."""
    size = float(exact)
    text = length(job, size)
    if flight.survey is not None:
        return f"{text} on average"
    if abs(size - float(round_to_mark(size, job.tape))) < SAME:
        return text
    unit = '"' if job.units == "in" else " mm"
    exactly = f"{size:.3f}".rstrip("0").rstrip(".")
    return f"{exactly}{unit} (near {text})"


def posts_text(job: Job, section: Section) -> str:
    """Where each post stands, on what, how tall it is and which one to buy."""
    rows = []
    for post in section.posts:
        buy = "-" if post.stock is None else length(job, post.stock)
        tall = [post.height] if job.post.below is None else [post.height, post.length]
        sizes = ["-" if post.wall else length(job, one) for one in tall]
        rows.append(
            [str(post.number), length(job, post.x), stands_text(section, post), *sizes, buy]
        )
    stands = ["stands on", "height"] if job.post.below is None else ["beside", "height", "length"]
    start = "first nosing" if section.kind == "flight" else "center of the first post"
    head = f"Posts: measure level from the {start} to the center of the post"
    if section.posts[0].x < 0:
        head += "\n  Minus: out in front of the first step"
    columns = range(3, 3 + len(stands))
    return f"{head}\n" + table(["post", "x", *stands, "buy"], rows, (1, *columns))


def marks_text(job: Job, section: Section) -> str:
    """How high each bracket is marked up the faces of the posts."""
    rows, below = [], False
    for post in section.posts:
        for side in ("down", "up"):
            marks = {mark.rail: mark for mark in post.marks if mark.side == side}
            if not marks:
                continue
            low, high = marks["bottom"], marks["top"]
            if round_to_mark(low.height, job.tape) < 0 and not (post.wall or post.below):
                below = True
            face = face_name(section.number, post.number, side)
            heights = (length(job, mark.height) for mark in (low, high))
            rows.append([str(post.number), face, str(low.bay), *heights])
    square = any(bay.ends.saw_angle == 0 for bay in section.bays)
    surface = f"the {section.surface.kind}" if section.surface else "what the post stands on"
    lines = [
        f"Bracket marks, up from {surface} (to the {'pivot' if square else 'middle of the rail'})",
        table(["post", "face", "bay", "bottom rail", "top rail"], rows, (2, 3, 4)),
    ]
    if below:
        lines.append(
            "  A mark below 0 lies under the surface: the post goes on below it, fixed to the\n"
            "  side, and its height above does not count what goes below"
        )
    return "\n".join(lines)


def rails_text(job: Job, section: Section, standing: Standing | None) -> str:
    """How each bay's rails are cut, each from a stock rail of its own, and where balusters end."""
    cuts, balusters = [], []
    already: list[str] = []
    unlike = False
    for bay in section.bays:
        made = rails_made(bay, standing)
        alike = made[0][1] == made[1][1] and bay.second is None
        for rail, done in made[: 1 if alike else 2]:
            row = [length(job, rail.length), "none", "-", "-"]
            if rail.cut is not None:
                cut, *off = taped_cut(rail.cut.stock, rail.length, rail.cut.low, job.tape)
                row = [length(job, part) for part in (cut, rail.cut.stock, *off)]
            name = str(bay.number) if alike else f"{bay.number} {rail.name}"
            unlike = unlike or not alike
            already += [name] * done
            clear = bay.clear if rail.name == TOP else bay.clear_low
            cuts.append([name, length(job, clear), *row])
        gaps = (length(job, gap) for gap in (bay.end_gap_low, bay.end_gap_high))
        balusters.append([str(bay.number), str(bay.balusters), *gaps])
    low, high = end_names(section)
    together = "not alike where a bay has two lines" if unlike else "top and bottom alike"
    heads = ["bay", "clear", "cut length", "from stock", f"cut off {low}", f"cut off {high}"]
    lines = [
        wrap(f"Rails: two to a bay, {together}, each from a stock rail of its own", "", "  "),
        table(heads, cuts, range(1, 6)),
        *([remark(f"Cut already, as planned: bay {listed(already)}")] if already else ()),
        "",
        "Balusters: gaps from post face to baluster, level",
        table(["bay", "balusters", f"gap at {low}", f"gap at {high}"], balusters, range(1, 4)),
    ]
    for bay in section.bays:
        texts = way_texts(job, bay)
        if bay.trims.used is None and not texts:
            texts = [bay.trims.because]
        lines += [remark(f"bay {bay.number}: {text}") for text in texts]
    return "\n".join(lines)


def brackets_text(job: Job, section: Section) -> str:
    """How far brackets turn and the saw is set, and the panel as it is racked."""
    ends, racked = section.bays[0].ends, section.racked
    clear = length(job, float(racked.baluster_clear))
    if section.kind == "level":
        return f"Panel: clear between balusters {clear}"
    rake = f"{section.rake:.1f}°"
    if racked.max_rack is not None:
        rake = " of at most ".join(angle_against_limit(section.rake, racked.max_rack))
    return "\n".join(
        [
            f"Brackets turned {ends.swing:.1f}° from level; {ends.angle_low:.1f}° between rail and "
            "post at the bottom,",
            f"  {ends.angle_high:.1f}° at the top; {saw_setting(ends.saw_angle)}",
            f"Panel: racked {rake}; clear between balusters {clear}",
            f"  {length(job, section.panel_height)} tall, plumb; "
            f"{length(job, float(racked.rail_spacing))} between rail center lines, square",
        ]
    )

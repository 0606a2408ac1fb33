"""A layout against every other there is: all marks of a coarse tape, one loop inside the other."""

import random
from fractions import Fraction
from functools import cache
from itertools import combinations, pairwise, product
from math import floor

import msgspec
import pytest
from plain_bays import ways_of

from stairs.checks.cases import rule_source
from stairs.job import Bracket, Job, JobFlight, JobLevel, Panel, PostKind
from stairs.job.key_notes import record_of
from stairs.layout.search import KEPT, choose_layout
from stairs.rules import load

F = Fraction
WHOLE, EQUAL, NEARLY = range(3)


def chosen(job):
    return choose_layout(job, 0, rule_source(load(job.rules).in_units(job.units), job))


def job_of(section, panel, post, tape, within):
    shape = {"height": F(36), "top_rail": F(3, 2), "bottom_rail": F(3, 2), "baluster": F(3, 4)}
    return Job(
        units="in",
        rules="irc-2021",
        tape=tape,
        measured_within=within,
        panel=Panel(**shape, **panel),
        bracket=Bracket(kind="pivot", pivot_offset=F(1), rail_setback=F(1, 4)),
        post=PostKind(width=F(3), reveal=F(1), **post),
        sections=(section,),
    )


class PlainScore:
    """The objective worked out in plain numbers for given post centres."""

    def __init__(self, job, slope):
        self.job, self.slope = job, slope
        self.limit = 4.375 if slope else 4.0  # IRC 2021 R312.1.3: a ball that may not pass [in]
        self.along = (1 + slope**2) ** 0.5
        self.bay = cache(self._bay)

    def _bay(self, width):
        """End gaps, whether stock reaches, the widest as cut and where a close baluster is lost."""
        panel, clear = self.job.panel, float(width) - 3
        rail = (clear - 2) * self.along - 0.5
        if rail <= 0:
            return None
        ways = ways_of(clear, self.slope, panel, self.job.bracket)
        if panel.trim not in ways:
            made = made_to_length(panel, rail)
            gaps = ways_of(clear, self.slope, made, self.job.bracket)["even"][:2]
            return *gaps, True, max(gaps), max(gaps)
        low, high, stock = ways[panel.trim]
        pitch = float(panel.pitch) / self.along
        kept = round((clear - low - high - float(panel.baluster)) / pitch) + 1
        error = float(self.job.measured_within) * max(1, (kept - 1) / self.held)
        stand_off = 1 + 0.25 / self.along
        half = float(panel.baluster) / 2
        lost = max(low, high)
        for gap in (low, high):
            hole = (gap + half - stand_off) * self.along  # from the cut, along the rail
            if hole - half * self.along <= error + 1e-9:
                lost = max(lost, gap + pitch)
        tape = float(self.job.tape)
        off = (stock - rail) / 2 - (float(panel.pitch) / 2 if panel.trim != "even" else 0)
        shorter, moved = (x - floor(x / tape + 0.5) * tape for x in (rail, off))
        cut = (low + (shorter / 2 + moved) / self.along, high - (shorter / 2 + moved) / self.along)
        return low, high, False, max(low, high, *cut), lost

    @property
    def held(self):
        return 2 if self.job.panel.end_margin is None else 1

    def key(self, places, alike, near=False, under=False):
        """What two layouts are compared by, the first difference deciding; None if it cannot be."""
        bays = [self.bay(high - low) for low, high in pairwise(places)]
        if None in bays:
            return None
        widths = [high - low for low, high in pairwise(places)]
        plate = self.job.post.base or self.job.post.width
        if min(widths) < plate:
            return None
        narrow, wide = min(min(bay[:2]) for bay in bays), max(max(bay[:2]) for bay in bays)
        room = self.limit - wide
        sure = min(room, self.limit - max(bay[4] for bay in bays))
        within, tape = float(self.job.measured_within), self.job.tape
        errors = min(floor(sure / within + 1e-9), 8) if within else 0
        apart = float(max(widths)) * self.along > float(self.job.post.max_spacing) + 1e-9
        fails = max(bay[3] for bay in bays) >= self.limit - 1e-9
        lost = (any(bay[2] for bay in bays), False, fails, False, near, under, apart)
        uneven = max(widths) - min(widths)
        if alike != WHOLE:
            alike = EQUAL if uneven <= tape else NEARLY
        return (
            lost,
            len(bays) + (alike == NEARLY),
            alike,
            -errors,
            uneven if alike == NEARLY else 0,
            floor((wide - narrow) / float(tape) + 0.5),
            -floor(room / float(tape) + 1e-9),
            sum((F(x).denominator - 1).bit_length() for x in places),
            places[-1] - places[0],
            places,
        )


def made_to_length(panel, rail):
    """The panel sold in so many whole pitches that one rail reaches."""
    pitches = 1
    while (pitches - 1) * panel.pitch < rail:
        pitches += 1
    return msgspec.structs.replace(panel, stock=(pitches * panel.pitch,))


def rounded(x, tape):
    return floor(x / tape + F(1, 2)) * tape


def level_row(dice):
    """A level run on a tape of inches or halves, with rails that often leave wide end gaps."""
    tape = dice.choice((F(1), F(1), F(1, 2)))
    span = dice.randint(24, 48) if tape == 1 else dice.randint(16, 32)
    panel = {
        "pitch": F(dice.randint(14, 19), 4),
        "stock": dice.choice(((F(24), F(40)), (F(30),), (F(36), F(60)))),
        "trim": dice.choice(("even", "half-pitch")),
        "end_margin": dice.choice((None, None, F(1), F(5, 2))),
    }
    post = {"base": F(dice.choice((4, 5))), "max_spacing": F(dice.choice((20, 24, 30)))}
    within = dice.choice((F(0), F(1, 16), F(1, 8)))
    return job_of(
        record_of(JobLevel, span=F(span), bays="auto", bottom_gap=F(2)), panel, post, tape, within
    )


def all_level(job):
    """Every number of bays up to five more than the fewest, every mark for every post between."""
    (run,) = job.sections
    span, tape = run.span, job.tape
    marks = [n * tape for n in range(1, int(span / tape))]
    longest = max(job.panel.stock) + F(5, 2) + 3
    fewest = -(-span // min(job.post.max_spacing, floor(longest / tape) * tape))
    most = 4 if tape == 1 else 3
    for bays in range(int(fewest), min(int(fewest) + 5, most) + 1):
        equal = tuple(rounded(n * span / bays, tape) for n in range(bays + 1))
        for between in combinations(marks, bays - 1):
            places = (F(0), *between, span)
            yield places, WHOLE if places == equal else EQUAL
    if fewest + 5 > most:
        yield None, most


ROWS = [pytest.param(seed, id=f"row {seed}", marks=[pytest.mark.fuzz] * (seed % 10 > 0))
        for seed in range(60)]  # fmt: skip


@pytest.mark.parametrize("seed", ROWS)
def test_no_row_of_a_level_run_is_better(seed):
    job = level_row(random.Random(seed))
    score, best, most = PlainScore(job, 0.0), None, None
    for places, alike in all_level(job):
        if places is None:
            most = alike
            continue
        key = score.key(places, alike)
        if key is not None and (best is None or key < best):
            best = key
    try:
        choice = chosen(job)
    except Exception:
        assert best is None
        raise
    mine = score.key(choice.positions, EQUAL)
    (span, bays) = job.sections[0].span, len(choice.positions) - 1
    if choice.positions == tuple(rounded(n * span / bays, job.tape) for n in range(bays + 1)):
        mine = score.key(choice.positions, WHOLE)
    if most is not None and bays > most:  # more posts than the loops here go through
        assert mine < best
        return
    assert choice.given_up == tuple(name for name, lost in zip(KEPT, best[0], strict=True) if lost)
    assert mine == best


def stair_row(dice):
    """A low flight, on which every ball is held back wherever the posts stand."""
    tape = F(1)
    section = record_of(
        JobFlight,
        unit_rise=F(3),
        unit_run=F(dice.randint(8, 11)),
        risers=dice.randint(3, 6),
        nosing=F(1),
        tread_thickness=F(1),
        bays=dice.choice((1, 2, 2, 3)),
        bottom_gap=F(1, 4),
    )
    panel = {
        "pitch": F(dice.randint(14, 19), 4),
        "stock": dice.choice(((F(24), F(40)), (F(30),), (F(36), F(60)))),
        "trim": dice.choice(("even", "half-pitch")),
    }
    post = {"base": F(dice.choice((4, 5))), "edge_distance": F(dice.choice((0, 1, 2))),
            "max_spacing": F(dice.choice((30, 48, 72)))}  # fmt: skip
    return job_of(section, panel, post, tape, F(0))


@pytest.mark.parametrize("seed", ROWS)
def test_no_row_on_a_flight_is_better(seed):
    """All places on treads and landings, to where a tread more would begin beyond each landing."""
    job = stair_row(random.Random(seed))
    (stair,) = job.sections
    run, risers, bays = stair.steps.unit_run, stair.steps.risers, stair.bays
    half, edge, top = job.post.base / 2, job.post.edge_distance, (risers - 1) * run
    score, best, told = PlainScore(job, float(3 / run)), None, {}
    nearest = max(half - 1, F(3, 2))
    lows = [-x for x in range(int(run) + 2) if x >= nearest]
    highs = [x for x in range(int(top), int(top + half + edge + run) + 1) if x >= top + half]
    inner = [
        x
        for tread in range(1, risers)
        for x in range(int((tread - 1) * run), int(tread * run) + 1)
        if x - half >= (tread - 1) * run
        and x + half <= tread * run + 1
        and x + F(3, 2) <= tread * run
    ]
    whole = {
        tuple(n * total // bays * run - a for n in range(bays + 1))
        for total in (risers, risers + 1)
        if total % bays == 0 and (bays - 1) * (total // bays) < risers
        for a in range(int(run) + 1)
    }
    rows = {
        (low, *between, high)
        for low, high in product(lows, highs)
        for between in combinations(inner, bays - 1)
    }
    whole = {row for row in whole if row[0] in lows and row[-1] >= top + half
             and set(row[1:-1]) <= set(inner)}  # fmt: skip
    for places in rows | whole:
        steps = (0, *(int(x // run) + 1 for x in places[1:-1]), risers)
        stands = list(zip(places, steps, strict=True))
        near = any(x - half - (step - 1) * run < edge for x, step in stands if step)
        under = any(x + half > step * run for x, step in stands if step < risers)
        alike = WHOLE if bays == 1 or places in whole else EQUAL
        key = score.key(tuple(map(F, places)), alike, near, under)
        if key is not None:
            told[places] = key
            best = key if best is None else min(key, best)
    choice = chosen(job)
    assert "openings" not in choice.given_up
    assert told[choice.positions][:6] == best[:6]

"""Jobs that mix every key of the job file at random, through every command, held against sums.

A few jobs are tried by default; the long runs are started by hand with
``-m fuzz``.  A seed that fails is reproduced by its number alone.
"""

from __future__ import annotations

import json
import math
import warnings

import pytest
from click.testing import CliRunner
from random_jobs import random_job, toml_text

from stairs.cli.commands import main
from stairs.drawing import draw_elevation
from stairs.drawing.placing.inspection import overlaps
from stairs.drawing.sets.packet.packet import packet_book
from stairs.drawing.sets.shop.shop import shop_book
from stairs.drawing.sets.template.template import template_book
from stairs.drawing.views.framing import draw_framing
from stairs.drawing.views.plan.plan import draw_plan
from stairs.errors import StairsError
from stairs.job import job_from_text
from stairs.job.key_notes import keys_of
from stairs.job.records import Framing, JobFlight, JobLevel
from stairs.remedies.job_changes import Change, apply
from stairs.remedies.trial_solve import depends_on_gap
from stairs.report.result import result_of
from stairs.solution import solution_for

SOME = [0, 1, 12]
"""A level run over framing, two that pass, and two flights that fail: each soon worked out."""


def seeds(count: int):
    """A few seeds by default, and so many by hand."""
    others = (seed for seed in range(count) if seed not in SOME)
    return [*SOME, *(pytest.param(seed, marks=pytest.mark.fuzz) for seed in others)]


def job_of(seed: int):
    """The job, or None where its measurements leave no room, which a message says."""
    try:
        job = job_from_text(toml_text(random_job(seed)))
        solution_for(job, with_remedies=False, judged=())
    except StairsError:
        return None
    return job


MEASURED_ELSEWHERE = {"edge", "opening", "as_built", "done"}
"""Keys that fit a job drawn at random hardly ever: random decks by their edges and random posts as
they stand have tests of their own."""


def test_every_key_is_drawn():
    made = [random_job(seed) for seed in range(600)]
    drawn = {key for job in made for section in job["section"] for key in section}
    assert {*keys_of(JobFlight), *keys_of(JobLevel)} == drawn | MEASURED_ELSEWHERE
    assert not drawn & MEASURED_ELSEWHERE
    framed = {key for job in made for key in job.get("framing", ())}
    assert framed == set(Framing.__struct_fields__) - {"outside", "unknown"}


COMMANDS = (
    ("solve",), ("solve", "--working"), ("solve", "--json"), ("check",), ("check", "--json"),
    ("cuts",), ("cuts", "--loads"), ("cuts", "--csv", "cut"), ("cuts", "--csv", "buy"),
    ("cuts", "--csv", "set-out"), ("cuts", "--rails-apart", "--kerf", "0"),
)  # fmt: skip


@pytest.mark.parametrize("seed", seeds(1500))
def test_commands_end_as_they_should(seed, tmp_path):
    path = tmp_path / "job.toml"
    path.write_text(toml_text(random_job(seed)), encoding="utf-8")
    said = {}
    for words in COMMANDS:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            done = CliRunner().invoke(main, [words[0], str(path), *words[1:]])
        assert done.exception is None or isinstance(done.exception, SystemExit), words
        said[words] = done
        if done.exit_code == 2:
            assert done.stdout == ""
            assert done.stderr.startswith("stairs: ") and done.stderr.count("\n") == 1
            assert done.stderr.count(". ") >= 1, "a message says what to do"
        elif "--csv" not in words and "--json" not in words:
            assert max(map(len, done.stdout.splitlines())) <= 80, words
    codes = {words[0]: set() for words in COMMANDS}
    for words, done in said.items():
        codes[words[0]].add(done.exit_code)
    solved = codes["solve"] == {0}
    assert codes["solve"] in ({0}, {2})
    if not solved:
        assert codes["check"] == {2} and codes["cuts"] == {2}
        return
    result = json.loads(said["check", "--json"].stdout)
    assert codes["check"] == {0 if result["ok"] else 1}
    failing = {row["id"] for row in result["checks"] if "fail" in verdicts(row)}
    assert bool(failing) != result["ok"]
    assert ("\nFAILS" in said["check",].stdout) == (not result["ok"])
    assert (
        sum(row["verdict"] == "fail" != row["as_cut"]["verdict"] for row in result["checks"]) == 0
    )


def verdicts(row: dict) -> tuple:
    return row["verdict"], row["as_cut"]["verdict"]


@pytest.mark.parametrize("seed", seeds(1500))
def test_lengths_add_up(seed):
    """Rails and trims make the stock, gaps and pitches the bay, and marks follow the rake."""
    job = job_of(seed)
    if job is None:
        return
    solution = solution_for(job, with_remedies=False)
    result = json.loads(json.dumps(result_of(solution)))
    askew = {
        join[side]["section"]
        for join in result["joins"]
        for side in ("lower", "upper")
        if join["turn"] % 90
    }
    for number, section in enumerate(result["sections"], 1):
        if number not in askew:
            add_up(solution.job, section)


def add_up(job, section: dict) -> None:
    rake = math.radians(section.get("rake", 0))
    if "nosing_line" in section:
        rake = math.atan(section["nosing_line"]["slope"])
    width, bracket = float(job.post.width), job.bracket
    pivot = bracket.kind == "pivot"
    off = 2 * float(bracket.pivot_offset if pivot else bracket.end_clearance)
    rail_depths = float(job.panel.top_rail + job.panel.bottom_rail)
    for number, bay in enumerate(section["bays"]):
        low, high = section["posts"][number : number + 2]
        halves = sum(0 if post["wall"] else width / 2 for post in (low, high))
        clear = high["x"] - low["x"] - halves
        assert bay["clear"] == pytest.approx(clear)
        length = (clear - off) / math.cos(rake) - 2 * float(bracket.rail_setback) * pivot
        assert bay["rail_length"] == pytest.approx(length)
        if bay["stock"] is not None:
            assert bay["trim_low"] + length + bay["trim_high"] == pytest.approx(bay["stock"])
            assert min(bay["trim_low"], bay["trim_high"]) >= 0
        if bay["balusters"]:
            pitches = (bay["balusters"] - 1) * float(job.panel.pitch) * math.cos(rake)
            gaps = bay["end_gap_low"] + bay["end_gap_high"]
            assert gaps + pitches + float(job.panel.baluster) == pytest.approx(clear)
        pins = [
            {mark["rail"]: mark["height"] for mark in post["marks"] if mark["side"] == side}
            for post, side in ((low, "up"), (high, "down"))
        ]
        for heights in pins:
            apart = float(job.panel.height) - rail_depths / 2
            assert heights["top"] - heights["bottom"] == pytest.approx(apart)
        rise = high["surface"] - low["surface"] + pins[1]["top"] - pins[0]["top"]
        assert rise == pytest.approx((clear - off) * math.tan(rake), abs=1e-6)


@pytest.mark.parametrize("seed", seeds(1500))
def test_printed_ends_of_the_window_pass_and_the_next_mark_fails(seed):
    """With the posts where they were put: left open they would move with the gap."""
    job = job_of(seed)
    if job is None:
        return
    solution = solution_for(job, with_remedies=False)
    laid = solution.guard.job
    for index, part in enumerate(solution.sections):
        for out, mark in zip((-1, 1), part.marks or (), strict=False):
            if mark is None:
                continue
            assert not fails_for_its_gap(laid, index, mark), (index, mark)
            assert fails_for_its_gap(laid, index, mark + out * laid.tape), (index, mark)


def fails_for_its_gap(job, index: int, gap) -> bool:
    """Whether a bottom gap is refused or fails a check that hangs on it."""
    try:
        changed = apply(job, [Change("section", "bottom_gap", gap)], index)
        part = solution_for(changed, with_remedies=False, judged={index + 1}).sections[index]
    except StairsError:
        return True
    return any(finding.fails for finding in part.findings if depends_on_gap(finding))


@pytest.mark.parametrize("seed", seeds(400))
def test_remedies_mend_what_they_say(seed):
    job = job_of(seed)
    if job is None:
        return
    solution = solution_for(job)
    before, tried = failing_of(solution), set()
    for part in solution.sections:
        for finding in (one for one in part.findings if one.fails):
            assert part.remedies[finding.id], finding.id
            for remedy in part.remedies[finding.id]:
                if not remedy.changes or (finding.section, remedy.text) in tried:
                    continue
                tried.add((finding.section, remedy.text))
                changed = apply(job, remedy.changes, in_file(solution, finding.section))
                after = failing_of(solution_for(changed, with_remedies=False))
                assert (finding.section, finding.id) not in after, remedy.text
                assert {check for _, check in after - before} == set(dict(remedy.costs.fails)), (
                    remedy.text
                )


def in_file(solution, number: int) -> int:
    """The section of the job file, from 0, that a guard's section was made of."""
    return (solution.job.lines[number - 1].opposite_of or number) - 1


def failing_of(solution) -> set[tuple[int, str]]:
    return {
        (finding.section, finding.id)
        for part in solution.sections
        for finding in part.findings
        if finding.fails
    }


@pytest.mark.parametrize("seed", seeds(200))
def test_sheets_are_without_a_fault(seed):
    job = job_of(seed)
    if job is None:
        return
    solution = solution_for(job, for_sheets=True)
    drawn = [
        packet_book(solution),
        shop_book(solution),
        template_book(solution),
        draw_plan(solution),
    ]
    drawn += [draw_elevation(solution, section=k) for k in range(1, len(solution.sections) + 1)]
    if any(part.framing for part in solution.sections):
        drawn.append(draw_framing(solution, None, None, None))
    for one in drawn:
        for sheet in getattr(one, "sheets", None) or (one, *one.following):
            assert overlaps(sheet.primitives, sheet.paper.border) == [], sheet.title

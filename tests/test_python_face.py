"""The Python face: its tour runs, importing it is free, and wrong calls say what to do."""

import doctest
import json
import math
import subprocess
import sys
import tomllib
from fractions import Fraction
from pathlib import Path

import pytest
import sympy
from click.testing import CliRunner

import stairs
from stairs import Length, StairsError, check, derive, elevation, read_job, solve, symbol
from stairs.cli.commands import main
from stairs.drawing import draw_elevation
from stairs.drawing.files.svg import svg_bytes
from stairs.job import read_job as read_file
from stairs.relations.quantities import ANGLE, QUANTITIES
from stairs.report.result import result_of
from stairs.report.screen import solve_text
from stairs.solution import solution_for

ROOT = Path(__file__).parent.parent
PORCH = ROOT / "examples" / "porch.toml"


@pytest.fixture(scope="module")
def solution():
    return solve(read_job(PORCH))


def test_every_line_of_the_tour_runs(monkeypatch):
    """The Markdown file is a doctest, run in the project's folder."""
    monkeypatch.chdir(ROOT)
    tour = str(ROOT / "examples" / "python.md")
    done = doctest.testfile(tour, module_relative=False, optionflags=doctest.NORMALIZE_WHITESPACE)
    assert done.failed == 0 and done.attempted > 25


def test_importing_costs_nothing():
    """No library, and no room of the package, is loaded before a name of it is asked for."""
    said = (
        "import stairs, sys; print([m for m in sys.modules if m.split('.')[0] in "
        "('sympy', 'numpy', 'scipy', 'matplotlib', 'msgspec', 'ezdxf') or m.startswith('stairs.')])"
    )
    done = subprocess.run([sys.executable, "-c", said], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"


def test_every_name_of_the_face_is_there_and_told_to_type_checkers():
    """What is filled in on first use is what stands under ``TYPE_CHECKING``."""
    text = Path(stairs.__file__).read_text(encoding="utf-8")
    typed = {
        line.split(" as ")[1] for line in text.splitlines() if line.startswith("    from stairs")
    }
    assert typed == set(stairs.__all__) - {"__version__"}
    for name in stairs.__all__:
        assert getattr(stairs, name) is not None
    assert set(stairs.__all__) <= set(dir(stairs))
    with pytest.raises(AttributeError, match="module 'stairs' has no attribute 'girder'"):
        _ = stairs.girder


def test_file_text_mapping_and_keys_give_the_same_job():
    """One reader behind all four; only the file's name is told apart."""
    text = PORCH.read_text(encoding="utf-8")
    keys = tomllib.loads(text)
    jobs = [read_job(PORCH), read_job(str(PORCH)), read_job(text), read_job(keys), read_job(**keys)]
    assert jobs[0] == jobs[1] == read_file(str(PORCH))
    assert jobs[2] == jobs[3] == jobs[4]
    assert {job.where for job in jobs} == {str(PORCH), ""}
    assert len({solve(job).sections[0].bays[0].rail_length for job in jobs}) == 1


def test_lengths_of_a_solution_print_as_on_the_tape(solution):
    """The printed length is the screen's; the number is untouched."""
    bay = solution.sections[0].bays[0]
    plain = solution_for(read_file(str(PORCH)), with_remedies=False)
    assert repr(bay.rail_length) == str(bay.rail_length) == '70 15/16"'
    assert solution == plain and float(bay.rail_length) == plain.sections[0].bays[0].rail_length
    assert type(bay.ends.swing) is float and bay.ends.swing == pytest.approx(
        math.degrees(math.atan2(7.25, 10.5))
    )
    assert type(solution.sections[0].section.rake) is float


@pytest.mark.parametrize("name", ["porch", "quarter-landing", "raised-porch", "old-stair"])
def test_what_python_shows_is_a_line_or_two(name):
    """A solution, its sections, bays, posts and findings in a shell of 80 columns."""
    whole = solve(read_job(ROOT / "examples" / f"{name}.toml"))
    shown = [whole, *whole.sections, *(part.section for part in whole.sections), *check(whole)]
    shown += [one for part in whole.sections for one in (*part.bays, *part.posts)]
    for one in shown:
        assert len(repr(one)) <= 160 and "\n" not in repr(one), repr(one)
    assert repr(whole).startswith(f"<{whole.job.title}, irc-2021: ")
    failing = sum(finding.fails for finding in check(whole))
    assert repr(whole).endswith(f"checks that fail: {failing or 'none'}>")


def every_float(record, path=""):
    """Paths and values of all floats under a record of the solved guard."""
    if isinstance(record, float):
        yield path, record
    elif isinstance(record, tuple):
        for one in record:
            yield from every_float(one, path)
    elif hasattr(record, "__struct_fields__") and type(record).__module__.startswith(
        ("stairs.guard.", "stairs.parts.", "stairs.openings.")
    ):
        for name in record.__struct_fields__:
            yield from every_float(getattr(record, name), name)


@pytest.mark.parametrize("name", ["porch", "quarter-landing", "old-stair", "raised-porch"])
def test_floats_of_a_guard_are_lengths_unless_they_are_angles(name):
    """What the names page has in degrees, and two angles more, stays as it is."""
    told = dict(every_float(solve(read_job(ROOT / "examples" / f"{name}.toml")).guard.sections))
    angles = {key for key, value in told.items() if not isinstance(value, Length)}
    named = {q.name for q in QUANTITIES.values() if q.unit == ANGLE}
    assert {"rake", "swing", "angle_low", "angle_high"} <= angles
    assert angles <= named | {"turn", "saw_angle"}
    assert not {key for key, value in told.items() if isinstance(value, Length)} & named


def test_sheets_and_lists_of_a_solution_are_those_of_the_command_line(solution):
    """Lengths that print themselves change nothing of what is drawn or listed."""
    plain = solution_for(read_file(str(PORCH)), with_remedies=False)
    assert elevation(solution)._repr_svg_().encode() == svg_bytes(draw_elevation(plain))
    assert json.dumps(stairs.result(solution)) == json.dumps(result_of(plain))
    assert not isinstance(stairs.result(solution)["sections"][0]["posts"][0]["stock"], Length)


def test_sheet_is_written_as_it_is_shown(solution, tmp_path):
    """The notebook's picture and the file are one."""
    sheet = elevation(solution, paper="ARCH D")
    sheet.write(tmp_path / "porch.svg")
    assert (tmp_path / "porch.svg").read_text(encoding="utf-8") == sheet._repr_svg_()
    assert repr(sheet).endswith(": 1 sheet, ARCH D>")


@pytest.mark.parametrize("name", ["packet", "shop", "template"])
def test_sets_are_those_of_the_command_line(name, solution, tmp_path):
    """The same bytes as the command writes, and the first sheet for a notebook."""
    mine, theirs = tmp_path / "mine.pdf", tmp_path / "theirs.pdf"
    drawn = getattr(stairs, name)(solution)
    drawn.write(mine)
    done = CliRunner().invoke(main, [name, str(PORCH), "-o", str(theirs)])
    assert done.exit_code == 0 and mine.read_bytes() == theirs.read_bytes()
    assert len(drawn.sheets) > 1 and drawn._repr_svg_().startswith("<?xml")


def test_check_gives_every_finding(solution):
    """In the order of the sections, as the screen has them."""
    assert check(solution) == solution.sections[0].findings
    assert {finding.verdict for finding in check(solution)} <= {"pass", "marginal", "fail", "n/a"}


def test_derived_expression_is_the_closed_form_in_letters():
    """Put numbers in and it is what the function gives."""
    sizes = {"clear": 42, "pivot_offset": 1, "rail_setback": Fraction(1, 2), "unit_rise": 3,
             "unit_run": 4}  # fmt: skip
    found = derive("rail_length")
    assert {str(one) for one in found.free_symbols} == {"D", "q", "e", "R", "G"}
    put_in = {symbol(name): sympy.Rational(str(size)) for name, size in sizes.items()}
    assert found.subs(put_in) == 49 == stairs.closed_forms.rail_length(**sizes)


def test_closed_form_solved_for_an_input():
    """The rail of 49 on steps of 3 to 4 again: 42 of clear bay, from numbers or from lengths."""
    for half in (Fraction(1, 2), 0.5, Length("1/2")):
        answer = stairs.solve_for("clear", "rail_length", 49, pivot_offset=1, rail_setback=half,
                                  unit_rise=3, unit_run=4)  # fmt: skip
        assert [root.exact for root in answer.taken] == [42]
    third = stairs.solve_for("nosing", "tread_depth", Length("10 1/3"), unit_run=10)
    assert third.taken[0].exact == Fraction(1, 3)


def test_length_carries_its_unit_into_a_job():
    """A metric length in a job in inches is turned into inches, exactly."""
    metric = Length("25.4 mm", "mm")
    text = PORCH.read_text(encoding="utf-8").replace('nosing = "1"', 'nosing = "25.4 mm"')
    keys = tomllib.loads(text)
    keys["section"][0]["nosing"] = metric
    assert read_job(keys).sections == read_job(text).sections
    assert Length(metric, "in").exact == 1 and repr(metric) == "25 mm" and metric == 25.4
    assert Length("1/3").exact == Fraction(1, 3)


WRONG = {
    "nothing": (lambda s: read_job(), "read_job", "no job is given"),
    "two": (lambda s: read_job("a.toml", units="in"), "read_job", "a job and keys of one"),
    "number": (lambda s: read_job(3), "read_job", "3 is no job"),
    "no file": (lambda s: read_job("none.toml"), "none.toml", "there is no such file"),
    "no TOML": (lambda s: read_job("units = in\n"), "line 1, column 9", "cannot be read"),
    "missing": (lambda s: read_job(units="in"), "panel", "is missing"),
    "path solved": (lambda s: solve("porch.toml"), "solve", '"porch.toml" is no job'),
    "job checked": (lambda s: check(s.job), "check", "is no solution"),
    "job drawn": (lambda s: elevation(3), "elevation", "3 is no solution"),
    "plan drawn": (lambda s: stairs.plan(3), "plan", "3 is no solution"),
    "result": (lambda s: stairs.result(s.job), "result", "is no solution"),
    "explained": (lambda s: stairs.explain(s.job, "rake"), "explain", "is no solution"),
    "no result": (lambda s: stairs.explain(s, "girth"), "explain", '"girth" is no result'),
    "packet drawn": (lambda s: stairs.packet(3), "packet", "3 is no solution"),
    "set as a picture": (lambda s: stairs.shop(s).write("x.svg"), "x.svg", "no ending of a set"),
    "section": (lambda s: elevation(s, 4), "section", "there is no section 4"),
    "section text": (lambda s: elevation(s, "1"), "section", '"1" is no number'),
    "paper": (lambda s: elevation(s, paper="A9"), "paper", "not a sheet size"),
    "scale": (lambda s: stairs.plan(s, scale="1:7"), "scale", "not a standard scale"),
    "ending": (lambda s: elevation(s).write("x.jpg"), "x.jpg", "not a kind of drawing"),
    "quantity": (lambda s: derive("rail_lenth"), "derive", '"rail_lenth" is no quantity'),
    "far quantity": (lambda s: symbol(7), "derive", "7 is no quantity"),
    "no way": (lambda s: derive("rail_length", "clear"), "derive", "no way from clear"),
    "no way at all": (lambda s: derive("total_rise", "unit_run"), "derive", "no way from unit_run"),
    "from nothing": (lambda s: derive("treads"), "derive", "nothing is given"),
    "form": (lambda s: stairs.solve_for("clear", "rail", 1), "solve_for", '"rail" is no'),
    "input": (lambda s: stairs.solve_for("pitch", "step_sum", 25), "step_sum", '"pitch" is no'),
    "inputs": (lambda s: stairs.solve_for("unit_run", "step_sum", 25), "step_sum", "no inputs"),
    "no number": (lambda s: stairs.solve_for("unit_run", "step_sum", "25", unit_rise=7),
                  "solve_for: value", '"25" is no number'),
    "not finite": (lambda s: stairs.solve_for("unit_run", "step_sum", 25, unit_rise=float("nan")),
                   "solve_for: unit_rise", "is no number"),
    "length": (lambda s: Length("seven"), "", '"seven" is not a length'),
    "unit": (lambda s: Length(3, "cm"), "units", '"cm" is no unit'),
}  # fmt: skip


@pytest.mark.parametrize(("call", "where", "found"), WRONG.values(), ids=WRONG)
def test_wrong_calls_say_where_what_what_is_allowed_and_what_to_do(call, where, found, solution):
    """The family of errors of the command line, with its four parts."""
    with pytest.raises(StairsError) as caught:
        call(solution)
    error = caught.value
    assert error.where == where and found in error.found
    assert error.remedy
    assert error.allowed or isinstance(error, FileNotFoundError | stairs.FileError)
    assert str(error).endswith(".") and "?." not in str(error)


def test_holes_are_told_by_their_names_where_lengths_are_told_as_on_the_tape():
    """A job whose bracket has holes prints as it does at the command line."""
    text = PORCH.read_text(encoding="utf-8").replace(
        "[post]", 'holes = [["0", "3/4"]]\nhole_diameter = "1/4"\n\n[post]'
    )
    job = read_job(text)
    assert hasattr(solve(job).guard.sections[0].posts[0].holes, "top")
    assert solve_text(solve(job)) == solve_text(solution_for(job, with_remedies=False))

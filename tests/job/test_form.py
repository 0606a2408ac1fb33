"""The form: it is a job that solves and passes, it holds every key, and every example is usable."""

import re
import tomllib

import pytest
from click.testing import CliRunner

from stairs.cli.commands import main
from stairs.errors import FileError, JobError
from stairs.job import job_from_mapping
from stairs.job.form import KINDS, form, is_made_up, toml_text, write_form
from stairs.job.key_notes import keys_of
from stairs.job.records import (
    Bracket,
    Framing,
    Job,
    JobFlight,
    JobLevel,
    Panel,
    PostKind,
    SheetKeys,
)
from stairs.relations.quantities import TYPED
from stairs.solution import solution_for

UNITS = ("in", "mm")
TABLES = {
    "": Job,
    "[panel]": Panel,
    "[bracket]": Bracket,
    "[post]": PostKind,
    "[[section]]": JobFlight,
    "# [[section]]": JobLevel,
    "# [framing]": Framing,
    "# [sheet]": SheetKeys,
}

NOT_WITH = {"nosings", "rises", "runs", "stringer_margin", "post_gap", "rail_line",
            "hole_diameter", "below", "outside"}  # fmt: skip
"""Keys that do not go with what the form says as it comes."""


def blocks(text):
    """The lines of each table, by its header as it stands in the form."""
    found, header = {"": []}, ""
    for line in text.splitlines():
        if re.fullmatch(r"(# )?\[\[?[a-z]+\]\]?", line):
            header = line
            found[header] = []
        elif re.match(r"(# )?[a-z_-]+ = ", line):
            found[header].append(line)
    return found


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("units", UNITS)
def test_the_form_as_it_comes_solves_and_passes(units, kind):
    solution = solution_for(job_from_mapping(tomllib.loads(form(units, kind)), "form"))
    assert solution.ok
    assert is_made_up(solution.job)
    verdicts = {one.verdict for part in solution.sections for one in part.findings}
    assert verdicts <= {"pass", "n/a"}  # not even marginal


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("header", TABLES)
def test_every_key_of_every_table_is_there_once(units, header):
    lines = blocks(form(units))[header]
    names = [line.removeprefix("# ").split(" = ")[0] for line in lines]
    wanted = set(keys_of(TABLES[header])) - {"framing"}
    assert len(names) == len(set(names))
    assert set(names) == wanted


def optional(units):
    """Every line that is a comment; in millimetres they are tried by hand."""
    marks = () if units == "in" else pytest.mark.fuzz
    for header in ("", "[panel]", "[bracket]", "[post]", "[[section]]"):
        for line in blocks(form(units))[header]:
            if line.startswith("# "):
                name = f"{units}-{header}{line.split(' = ')[0][2:]}"
                yield pytest.param(units, line, id=name, marks=marks)


@pytest.mark.parametrize(("units", "line"), [case for units in UNITS for case in optional(units)])
def test_every_optional_line_can_be_taken_into_use(units, line):
    name = line[2:].split(" = ")[0]
    job = tomllib.loads(form(units).replace(line, line[2:], 1))
    if name in NOT_WITH:
        with pytest.raises(JobError, match="stands (beside|without)|is given beside"):
            job_from_mapping(job, "form")
    elif (units, name) == ("in", "use"):  # the code for houses tells no uses apart
        with pytest.raises(JobError, match="no use that this rulebook tells apart. Uses: none"):
            solution_for(job_from_mapping(job, "form"))
    else:
        assert solution_for(job_from_mapping(job, "form"), with_remedies=False).job.units == units


@pytest.mark.parametrize("units", UNITS)
def test_the_level_run_the_framing_and_the_rest_can_be_taken_into_use_together(units):
    text = form(units)
    start = re.search("# Only if the guard(ing)? goes on along a level run", text).start()
    kit, rest = text.index("# 2. THE RAIL KIT"), text.index("# 3. ONLY IF")

    def taken(part):
        return "\n".join(
            line[2:] if re.match(r"# (\[|[a-z_-]+ = )", line) else line
            for line in part.splitlines()
            if not re.match(r"# (post_gap|bays|edge|opening) = ", line)  # posts are there
        )

    text = "\n".join((text[:start], taken(text[start:kit]), text[kit:rest], taken(text[rest:])))
    job = job_from_mapping(tomllib.loads(text), "form")
    assert [section.kind for section in job.sections] == ["flight", "level"]
    assert job.sections[1].framing.joist_thickness > 0
    assert [own.check for own in job.local] == ["guard-height-min"]
    assert solution_for(job, with_remedies=False).sections[1].section.posts


LETTERS = {one.symbol for one in TYPED.values()}
INNER_TABLES = ("slot", "body", "ground_slope")
SECTIONS = {
    "stair": ["flight"],
    "deck": ["flight", "level"],
    "landing": ["flight", "level", "level", "flight"],
    "old": ["flight"],
}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("units", UNITS)
def test_each_kind_of_job_has_its_sections_and_every_key_of_them(units, kind):
    text = form(units, kind)
    job = tomllib.loads(text)
    assert [one["kind"] for one in job["section"]] == SECTIONS[kind]
    turns = [one["turn"] for one in job["section"] if "turn" in one]
    assert turns == {"deck": [-90], "landing": [90]}.get(kind, [])
    assert ("rises" in job["section"][0]) is (kind == "old")
    first, last = text.index("[[section]]"), text.index("\n[panel]")
    names = set(re.findall(r"^(?:# )?([a-z_]+) = ", text[first:last], re.MULTILINE))
    assert names == set(keys_of(JobFlight)) | set(keys_of(JobLevel)) - {"framing"}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("units", UNITS)
def test_the_stair_is_first_and_the_rail_kit_second_and_the_rest_only_if(units, kind):
    lines = form(units, kind).splitlines()
    headers = [line for line in lines if re.fullmatch(r"(# )?\[\[?[a-z]+\]\]?|# \d\. .*", line)]
    marks = [one[:5] for one in headers if one.startswith(("# 1.", "# 2.", "# 3."))]
    assert marks == ["# 1. ", "# 2. ", "# 3. "]
    kit = next(k for k, one in enumerate(headers) if one.startswith("# 2."))
    rest = next(k for k, one in enumerate(headers) if one.startswith("# 3."))
    assert {one.removeprefix("# ") for one in headers[1:kit]} == {"[[section]]"}
    assert headers[kit + 1 : rest] == ["[panel]", "[bracket]", "[post]"]
    assert all(one.startswith("# ") for one in headers[rest:])


@pytest.mark.parametrize("kind", KINDS)
def test_each_measurement_carries_its_letter_and_no_other(kind):
    """The letters of the names page, by the table that the key stands in."""
    table, found = "", {}
    for line in form("in", kind).splitlines():
        header = re.fullmatch(r"(?:# )?\[\[?([a-z]+)\]\]?", line)
        table = header[1] if header else table
        said = re.match(r"(?:# )?([a-z_]+) = .* # (\S+), ", line)
        if said and said[2] in LETTERS:
            found[table, said[1]] = said[2]
    wanted = {place: one.symbol for place, one in TYPED.items() if place[0] not in INNER_TABLES}
    assert found == wanted
    assert "length is a0; " in form("in", kind) and "wall is w; " in form("in", kind)


def test_no_line_is_wider_than_a_page():
    texts = [form(units, kind) for units in UNITS for kind in KINDS]
    assert max(len(line) for text in texts for line in text.splitlines()) <= 100


def test_text_that_toml_would_read_otherwise_is_escaped():
    for value in ('a "quoted" word', "back\\slash", ["x", 1], {"limit": 3, "reason": "so"}, False):
        assert tomllib.loads(f"key = {toml_text(value)}")["key"] == value


def test_the_command_prints_it_and_writes_it(tmp_path):
    run = CliRunner().invoke(main, ["form", "--units", "mm"])
    assert (run.exit_code, run.output) == (0, form("mm"))
    target = tmp_path / "mine.toml"
    run = CliRunner().invoke(main, ["form", "-o", str(target)])
    assert run.exit_code == 0 and "stairs check" in run.output
    assert target.read_text(encoding="utf-8") == form("in")


def test_a_job_that_is_there_already_is_left_alone(tmp_path):
    target = tmp_path / "mine.toml"
    target.write_text("mine", encoding="utf-8")
    run = CliRunner().invoke(main, ["form", "-o", str(target)])
    assert run.exit_code == 2
    assert "there is such a file, and it may be a job of yours" in run.output
    assert "Give another name" in run.output
    assert target.read_text(encoding="utf-8") == "mine"


def test_a_folder_that_is_not_there_is_named(tmp_path):
    with pytest.raises(FileError, match="cannot be written: No such file or directory"):
        write_form("in", tmp_path / "none" / "mine.toml")

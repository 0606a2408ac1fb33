"""The form: it is a job that solves and passes, it holds every key, and every example is usable."""

import re
import tomllib

import pytest
from click.testing import CliRunner

from stairs.cli.commands import main
from stairs.errors import FileError, JobError
from stairs.job import job_from_mapping
from stairs.job.form import form, toml_text, write_form
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
from stairs.solution import answer_for

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
            "hole_diameter", "below"}  # fmt: skip
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


@pytest.mark.parametrize("units", UNITS)
def test_the_form_as_it_comes_solves_and_passes(units):
    answer = answer_for(job_from_mapping(tomllib.loads(form(units)), "form"))
    assert answer.ok
    verdicts = {one.verdict for part in answer.sections for one in part.findings}
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
    for header in ("", "[panel]", "[bracket]", "[post]", "[[section]]"):
        for line in blocks(form(units))[header]:
            if line.startswith("# "):
                yield pytest.param(units, line, id=f"{units}-{header}{line.split(' = ')[0][2:]}")


@pytest.mark.parametrize(("units", "line"), [case for units in UNITS for case in optional(units)])
def test_every_optional_line_can_be_taken_into_use(units, line):
    name = line[2:].split(" = ")[0]
    job = tomllib.loads(form(units).replace(line, line[2:], 1))
    if name in NOT_WITH:
        with pytest.raises(JobError, match="stands (beside|without)|is given beside"):
            job_from_mapping(job, "form")
    elif (units, name) == ("in", "use"):  # the code for houses tells no uses apart
        with pytest.raises(JobError, match="no use that this rulebook tells apart. Uses: none"):
            answer_for(job_from_mapping(job, "form"))
    else:
        assert answer_for(job_from_mapping(job, "form"), with_remedies=False).job.units == units


@pytest.mark.parametrize("units", UNITS)
def test_the_level_run_the_framing_and_the_rest_can_be_taken_into_use_together(units):
    text = form(units)
    start = text.index("# A level run")
    lines = [
        line[2:] if re.match(r"# (\[|[a-z_-]+ = )", line) else line
        for line in text[start:].splitlines()
        if not re.match(r"# (post_gap|bays) = ", line)  # for a post of its own; posts are listed
    ]
    job = job_from_mapping(tomllib.loads(text[:start] + "\n".join(lines)), "form")
    assert [section.kind for section in job.sections] == ["flight", "level"]
    assert job.sections[1].framing.joist_thickness > 0
    assert [own.check for own in job.local] == ["guard-height-min"]
    assert answer_for(job, with_remedies=False).sections[1].section.posts


def test_no_line_is_wider_than_a_page():
    assert max(len(line) for units in UNITS for line in form(units).splitlines()) <= 100


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

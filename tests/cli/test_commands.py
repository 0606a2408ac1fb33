"""The commands as a person types them: exit codes, what is printed where, what is not written."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from job_text import JOB

from stairs.cli.commands import main

QUICK = ("--rise", "42", "--run", "50", "--treads", "5")


# ------------------------------------------------------------------ what works


def test_solve_prints_and_ends_with_0(run, job):
    code, out, err = run("solve", job())
    assert (code, err) == (0, "")
    assert out.startswith("Back steps\n")
    assert max(map(len, out.splitlines())) <= 80


def test_long_figures_of_a_measured_flight_stay_within_eighty_columns(run, job):
    nosings = '[["0", "5 7/8"], ["9 3/4", "11 3/4"], ["20 1/8", "17 5/8"], ["30 1/4", "23 1/4"]]'
    changes = (
        ('rise = "43 1/2"\nrun = "52 1/2"\ntreads = 5', f"nosings = {nosings}"),
        ('tape = "1/16"', 'tape = "1/32"'),
        ('height = "33 1/2"', 'height = "40 1/32"'),
        ('"26 1/2", "58"', '"38 1/4"'),
        ('bottom_gap = "5/8"', 'bottom_gap = "auto"\nside_gap = "2 1/2"\nfiller = "11 9/32"'),
    )
    code, out, _ = run("solve", job(*changes))
    (told,) = re.findall(r"^  bottom gap.*\n    .*\d\"$", out, re.MULTILINE)
    assert (code, len(" ".join(told.split())) > 78) == (0, True)
    assert max(map(len, out.splitlines())) <= 80


def test_check_of_a_guard_that_passes_ends_with_0(run, job):
    code, out, err = run("check", "--json", *QUICK)
    assert (code, err, json.loads(out)["ok"]) == (0, "", True)
    code, out, err = run("check", *QUICK)
    assert (code, err) == (0, "")


def test_check_of_a_guard_that_fails_ends_with_1_and_says_why_on_stdout(run, job):
    name = job(('bottom_gap = "5/8"', 'bottom_gap = "3"'))
    code, out, err = run("check", name)
    assert (code, err) == (1, "")
    assert "FAIL" in out.upper()
    assert max(map(len, out.splitlines())) <= 80
    code, out, err = run("check", name, "--json")
    assert (code, err) == (1, "")
    failing = [c for c in json.loads(out)["checks"] if c["verdict"] == "fail"]
    assert "opening-triangle" in {c["id"] for c in failing}
    assert all(c["remedy"] for c in failing if c["id"] == "opening-triangle")


def test_solve_of_a_guard_that_fails_still_ends_with_0(run, job):
    code, out, err = run("solve", job(('bottom_gap = "5/8"', 'bottom_gap = "3"')))
    assert (code, err) == (0, "")
    assert out


def test_solve_and_check_print_the_same_object(run, job):
    name = job()
    solved, checked = run("solve", name, "--json"), run("check", name, "--json")
    assert json.loads(solved[1]) == json.loads(checked[1])


def test_quick_look_lists_what_it_assumed(run):
    code, out, err = run("solve", *QUICK)
    assert (code, err) == (0, "")
    assert "ssumed" in out and "handrail = false" in " ".join(out.split())
    assert 'height 33 1/2"' in " ".join(out.split())


def test_quick_look_in_millimetres(run):
    code, out, _ = run("solve", "--rise", "1100", "--run", "1250", "--treads", "5", "--units", "mm",
                       "--json")  # fmt: skip
    result = json.loads(out)
    assert (code, result["units"], result["rules"]) == (0, "mm", "england-ad-k-2013")
    assert result["sections"][0]["unit_run"] == 250.0


def test_quick_look_reads_lengths_in_any_form(run):
    assert (
        run("solve", "--rise", "3' 6\"", "--run", "1.27 m", "--treads", "5", "--json")[1]
        == (run("solve", *QUICK, "--json")[1])
    )


@pytest.mark.parametrize(
    "command", [("solve", "--working"), ("check",), ("cuts", "--loads")], ids=" ".join
)
def test_long_names_stay_within_eighty_columns(run, job, command):
    name = 'name = "' + "the stair behind the house " * 6 + '"'
    text = JOB.replace('title = "Back steps"', f'title = "{"x" * 300}"')
    assert text.count("name = ") == 2
    changed = re.sub('^name = ".*"$', name, text, flags=re.MULTILINE)
    Path("long.toml").write_text(changed, encoding="utf-8")
    _, out, _ = run(command[0], "long.toml", *command[1:])
    assert "the stair behind" in out and max(map(len, out.splitlines())) <= 80


def test_working_tells_how_flights_are_fixed(run, job):
    code, out, err = run("solve", job(), "--working")
    assert (code, err) == (0, "")
    assert "how the flight is fixed" in out
    assert "the total rise is made of equal risers" in " ".join(out.split())


def test_working_can_be_followed_by_hand(run):
    """1137 / 6 = 189.5 and 1315 / 5 = 263; the angle with that slope is 35.774°."""
    flight = ("--rise", "1137", "--run", "1315", "--treads", "5", "--units", "mm")
    told = run("solve", *flight, "--working")[1]
    assert "R = H/n = (1137 mm)/6 = 189.5 mm" in told
    assert "θ = arctan(R/G) = arctan((189.5 mm)/(263 mm)) = 35.774" in told


def test_working_from_an_angle_goes_to_the_run(run, job):
    """7 1/4 / tan 36° = 9.9787, and five treads of it are 49.8937."""
    code, out, err = run("solve", job(('run = "52 1/2"', "rake = 36")), "--working")
    assert (code, err) == (0, "")
    assert 'G = R/tan θ = (7 1/4")/tan 36° = 9.9787' in out
    assert "W = T ⋅ G = 5 ⋅ 9.9787" in out.replace("G ⋅ T", "T ⋅ G")


def test_working_of_a_measured_flight_shows_its_steps_and_line(run, job):
    """Three nosings: the line parallel to the one through the outer two, 14 in 20, passes over the
    middle one at 15 - 0.7 x 10 = 8 over x = 0; its angle has the tangent 0.7, 34.992 degrees."""
    measured = 'nosings = [["0", "7"], ["10", "15"], ["20", "21"]]\n'
    path = job(
        ('rise = "43 1/2"\nrun = "52 1/2"\ntreads = 5\n', measured),
        ('"-4", "26 1/2", "58"', '"-4", "26"'),
    )
    code, out, err = run("solve", path, "--working")
    assert (code, err) == (0, "")
    assert 'R2 = y2 − y1 = 15" − 7" = 8"' in out
    assert 'G2 = x3 − x2 = 20" − 10" = 10"' in out
    assert 'σ = (y3 − y1)/(x3 − x1) = (21" − 7")/(20" − 0") = 0.7' in out
    assert 'R′ = y2 − σ ⋅ x2 = 15" − 0.7 ⋅ 10" = 8"' in out and "= 34.992°" in out


def test_dash_reads_standard_input(tmp_path):
    """The same job from a file and from a pipe give the same answer; as a module, too."""
    (tmp_path / "job.toml").write_text(JOB, encoding="utf-8")
    command = [sys.executable, "-m", "stairs", "solve", "--json"]
    piped = subprocess.run([*command, "-"], input=JOB.encode(), capture_output=True, timeout=60)
    named = subprocess.run([*command, "job.toml"], cwd=tmp_path, capture_output=True, timeout=60)
    assert piped.returncode == named.returncode == 0
    assert json.loads(piped.stdout) == json.loads(named.stdout)
    assert piped.stderr == named.stderr == b""


def test_rules_lists_rulebooks_and_prints_one(run):
    code, out, err = run("rules")
    assert (code, err) == (0, "")
    assert "irc-2021" in out and "england-ad-k-2013" in out
    code, out, err = run("rules", "irc-2021")
    assert (code, err) == (0, "")
    assert "R312.1.3" in out


@pytest.mark.parametrize("ending", [".svg", ".pdf", ".png", ".dxf"])
def test_draw_writes_the_file_and_says_scale_and_sheet(run, job, ending, tmp_path):
    code, out, err = run("draw", job(), "-o", f"steps{ending}")
    assert (code, err) == (0, "")
    assert out.startswith(f"steps{ending}: ")
    assert (tmp_path / f"steps{ending}").stat().st_size > 1000
    assert sorted(p.name for p in tmp_path.iterdir()) == ["job.toml", f"steps{ending}"]


def test_version_and_help(run):
    code, out, _ = run("--version")
    assert (code, out.startswith("stairs, version ")) == (0, True)
    for words in ([], ["solve"], ["check"], ["draw"], ["rules"]):
        code, out, _ = run(*words, "--help")
        assert code == 0 and "stairs " in out and out.startswith("Usage: ")


def test_every_command_has_help_and_an_example():
    """No command without a sentence and a line to copy."""
    for name, command in main.commands.items():
        assert command.help.split("\n")[0].endswith("."), name
        assert f"stairs {name}" in command.help, name


# ------------------------------------------------------------------ what does not


def refused(run, tmp_path, *words):
    """A command that is refused: code 2, one message, nothing printed and nothing written."""
    before = sorted(p.name for p in tmp_path.iterdir())
    code, out, err = run(*words)
    assert (code, out) == (2, "")
    assert sorted(p.name for p in tmp_path.iterdir()) == before
    assert "Traceback" not in err
    assert err.startswith("stairs: ") and err.count("\n") == 1
    return err[len("stairs: ") : -1]


COMMANDS = [("solve",), ("solve", "--json"), ("check",), ("check", "--json"),
            ("draw", "-o", "out.svg")]  # fmt: skip
each_command = pytest.mark.parametrize("command", COMMANDS, ids=" ".join)


@each_command
def test_no_job(run, tmp_path, command):
    assert refused(run, tmp_path, *command) == (
        "command line: no job is given. Name a job file, - for standard input, or give --rise, "
        "--run and --treads."
    )


@each_command
def test_job_file_and_quick_look_together(run, tmp_path, job, command):
    assert refused(run, tmp_path, *command, job(), "--rise", "42") == (
        "command line: a job file and --rise, --run or --treads are both given. One or the other. "
        "Put the measurements into the job file, or leave it out."
    )


@pytest.mark.parametrize("missing", ["--rise", "--run", "--treads"])
def test_quick_look_with_a_measurement_missing(run, tmp_path, missing):
    words = dict(zip(QUICK[::2], QUICK[1::2], strict=True))
    del words[missing]
    typed = [word for pair in words.items() for word in pair]
    assert refused(run, tmp_path, "solve", *typed) == (
        f"{missing}: is missing. A quick look takes --rise, --run and --treads. Add it, or name a "
        "job file."
    )


@each_command
def test_file_that_is_not_there(run, tmp_path, job, command):
    job()
    assert refused(run, tmp_path, *command, "jab.toml") == (
        "jab.toml: there is no such file. The nearest file there is job.toml."
    )


@each_command
def test_directory_instead_of_a_file(run, tmp_path, command):
    assert refused(run, tmp_path, *command, str(tmp_path)) == (
        f"{tmp_path}: is a directory. A job is one TOML file. Name the file in it."
    )


@each_command
@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "is empty"),
        (b"\n  \n", "is empty"),
        (b"\x00\x01\x02\x80", "is not text"),
        ("title = 'Küche'".encode("latin-1"), "is not text in UTF-8"),
        (b"units = ", "line 1, column"),
        (b"units = 'in'\nunits = 'mm'", "the key or table was given before"),
    ],
    ids=["empty", "blank", "binary", "latin-1", "cut short", "twice"],
)
def test_file_that_is_no_job(run, tmp_path, command, data, words):
    (tmp_path / "bad.toml").write_bytes(data)
    assert words in refused(run, tmp_path, *command, "bad.toml")


WRONG = {
    "negative length": (('rise = "43 1/2"', 'rise = "-43 1/2"'), "section 1 (steps): rise: "),
    "zero length": (('pitch = "4 1/2"', "pitch = 0"), "panel: pitch: "),
    "not a number": (('rise = "43 1/2"', "rise = nan"), "section 1 (steps): rise: "),
    "infinite": (('rise = "43 1/2"', "rise = inf"), "section 1 (steps): rise: "),
    "no length": (('rise = "43 1/2"', 'rise = "high"'), 'section 1 (steps): rise: "high" '),
    "code": (('rise = "43 1/2"', 'rise = "__import__(1)"'), "section 1 (steps): rise: "),
    "one riser": (("treads = 5", "risers = 1"), "section 1 (steps): risers: is 1"),
    "rake of 90": (("treads = 5", "rake = 90"), "section 1 (steps): rake: "),
    "misspelt key": (("nosing = ", "nosng = "), "section 1 (steps): nosng: "),
    "unknown table": (("[panel]", "[pannel]"), "pannel: "),
    "millimetres": (('rise = "43 1/2"', "unit_rise = 190"), "section 1 (steps): unit_rise: "),
    "wrong type": (("handrail = true", 'handrail = "yes"'), "section 1 (steps): handrail: "),
    "two measurements": (("treads = 5\n", ""), "section 1 (steps): rise, run given, which is not "),
    "contradiction": (("treads = 5", "treads = 5\nunit_rise = 8"),
                      "section 1 (steps): unit_rise is given as "),
    "posts out of order": (('"26 1/2", "58"', '"58", "26 1/2"'), "section 1 (steps): posts 3: "),
    "posts overlap": (('"26 1/2"', '"56"'), "section 1 (steps): posts: posts 2 and 3 are "),
    "plate over a nosing": (('"26 1/2"', '"23"'), "section 1 (steps): posts: post 2 at 23"),
    "plate through a riser": (('"-4"', '"-1"'), "section 1 (steps): posts: post 1 at -1"),
    "off the stair": (('"-4", "26 1/2", "58"', '"-40", "-20", "-8"'),
                      "section 1 (steps): posts: all "),
    "thick tread": (('tread_thickness = "1 1/4"', 'tread_thickness = "8"'),
                    "section 1 (steps): tread_thickness: "),
    "long nosing": (('nosing = "1"', 'nosing = "12"'), "section 1 (steps): nosing: "),
}  # fmt: skip


@pytest.mark.parametrize(("change", "start"), WRONG.values(), ids=WRONG)
@pytest.mark.parametrize("command", [("solve", "--json"), ("check",), ("draw", "-o", "out.svg")],
                         ids=" ".join)  # fmt: skip
def test_job_that_cannot_be_used_names_file_and_key(run, tmp_path, job, command, change, start):
    """Code 2, the file and the key first; nothing on standard output, nothing on disk."""
    text = refused(run, tmp_path, *command, job(change))
    assert text.startswith(f"job.toml: {start}")


def test_unknown_rulebook_in_a_job_names_file_and_key(run, tmp_path, job):
    text = refused(run, tmp_path, "check", job(('"irc-2021"', '"irc-1921"')))
    assert text.startswith('job.toml: rules: "irc-1921" is no rulebook. ')
    assert "irc-2021" in text


def test_misspelt_key_is_told_the_nearest(run, tmp_path, job):
    assert (
        "nosing"
        in refused(run, tmp_path, "solve", job(("nosing = ", "nosng = "))).split("nosng")[-1]
    )


def test_riser_of_190_in_an_inch_job_is_asked_about(run, tmp_path, job):
    text = refused(run, tmp_path, "solve", job(('rise = "43 1/2"', "unit_rise = 190")))
    assert "mm" in text


def test_text_that_would_be_code_is_not_run(run, tmp_path, job):
    trap = "__import__('pathlib').Path('trap').touch()"
    refused(run, tmp_path, "check", job(('rise = "43 1/2"', f'rise = "{trap}"')))
    refused(run, tmp_path, "check", "--rise", trap, "--run", "50", "--treads", "5")
    refused(run, tmp_path, "check", "--rise", "42", "--run", "50", "--treads", trap)
    assert not (tmp_path / "trap").exists()


@pytest.mark.parametrize(
    ("words", "start"),
    [
        (("--rise", "abc", "--run", "50", "--treads", "5"), '--rise: "abc" is not a length'),
        (("--rise", "-42", "--run", "50", "--treads", "5"), "--rise: "),
        (("--rise", "42", "--run", "0", "--treads", "5"), "--run: "),
        (("--rise", "42", "--run", "50", "--treads", "4.5"), '--treads: "4.5" is not a count'),
        (("--rise", "42", "--run", "50", "--treads", "0"), "--treads: "),
        (("--rise", "1100", "--run", "1250", "--treads", "5"), "--rise: "),
    ],
)
def test_quick_look_names_the_option(run, tmp_path, words, start):
    assert refused(run, tmp_path, "solve", *words).startswith(start)


def test_drawing_of_an_unknown_kind(run, tmp_path, job):
    assert refused(run, tmp_path, "draw", job(), "-o", "out.gif") == (
        'out.gif: ".gif" is not a kind of drawing. Endings: .pdf, .svg, .png, .dxf. Name the file '
        "with one of these."
    )


def test_drawing_into_a_folder_that_is_not_there(run, tmp_path, job):
    assert refused(run, tmp_path, "draw", job(), "-o", "none/out.svg").startswith("none")


@pytest.mark.parametrize("number", ["0", "3", "-1"])
def test_drawing_of_a_section_that_is_not_there(run, tmp_path, job, number):
    assert "section" in refused(run, tmp_path, "draw", job(), "-o", "out.svg", "--section", number)


@pytest.mark.parametrize("words", [("draw", "-o", "out.svg"), ("packet", "-o", "out.pdf")])
def test_letters_that_no_face_has_are_told(run, job, words):
    named = job(("Back steps", "Stair \u968e 2 \u05e9 \U0001f528 \u968e"))
    code, out, err = run(words[0], named, *words[1:])
    assert (code, err.count("\n")) == (0, 1)
    assert "\u968e (U+968E), \U0001f528 (U+1F528): no face has it" in err


def test_letters_that_are_set_are_not_spoken_of(run, job):
    assert run("draw", job(), "-o", "out.svg")[2] == ""


def test_failed_drawing_leaves_an_older_one_alone(run, tmp_path, job):
    """Bad input does not touch the file that is there."""
    (tmp_path / "out.svg").write_text("older", encoding="utf-8")
    refused(run, tmp_path, "draw", job(("treads = 5\n", "")), "-o", "out.svg")
    assert (tmp_path / "out.svg").read_text(encoding="utf-8") == "older"


def test_unknown_rulebook_lists_those_there_are(run, tmp_path):
    text = refused(run, tmp_path, "rules", "nope")
    assert text.startswith('rules: "nope" is no rulebook. Rulebooks: ')
    assert "irc-2021" in text


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("frobnicate",), '"frobnicate" is no command'),
        (("solve", *QUICK, "--foo"), "No such option"),
        (("draw", *QUICK), "Missing option '-o'"),
        (("solve", *QUICK, "--units", "ft"), "'ft' is not one of 'in', 'mm'"),
        (("solve", "a.toml", "b.toml"), "unexpected extra argument"),
    ],
)
def test_usage_mistakes_end_with_2(run, words, says):
    code, out, err = run(*words)
    assert (code, out) == (2, "")
    assert says in err and "Traceback" not in err


@pytest.mark.skipif(os.geteuid() == 0, reason="everything may be read by the superuser")
def test_file_that_may_not_be_read(run, tmp_path, job):
    Path(job()).chmod(0)
    assert "may not be read" in refused(run, tmp_path, "solve", "job.toml")


LANDING = """
[[section]]
kind = "flight"
rise = "29"
unit_run = "10 1/2"
risers = 4
posts = ["-4", "39"]
bottom_gap = "5/8"
"""


def test_what_several_sections_leave_open_is_told_once(run, tmp_path):
    (tmp_path / "two.toml").write_text(JOB + LANDING, encoding="utf-8")
    out = run("solve", "two.toml")[1]
    assert out.count("the stringer is cut") == 1
    assert '  the stringer is cut (stringer = "cut"): sections 1, 3\n' in out
    assert "  nosings do not stand out over the risers (nosing = 0): section 3\n" in out


def test_the_only_section_is_not_named_in_what_it_leaves_open(run):
    assert '\n  the stringer is cut (stringer = "cut")\n' in run("solve", *QUICK)[1]


@pytest.mark.parametrize("command", [("solve",), ("check",), ("cuts",)])
def test_a_sheet_size_that_is_none_is_told_by_every_command(run, job, command):
    name = job(('tape = "1/16"', 'tape = "1/16"\nsheet = { paper = "A9" }'))
    code, out, err = run(*command, name)
    assert (code, out) == (2, "")
    assert 'job.toml: sheet: paper: "A9" is not a sheet size. Sheets: ' in err
    assert "Name one of these." in err


def test_rails_without_stock_are_told_to_have_none_given(run, job):
    name = job(('stock = ["72", "96"]\n', ""))
    assert "no rail lengths are given (panel: stock)" in " ".join(run("solve", name)[1].split())
    assert "no rail lengths are given (panel: stock)" in " ".join(run("cuts", name)[1].split())


def test_a_first_hole_is_held_against_the_shortest_stock(run, job):
    name = job(('stock = ["72", "96"]\n', 'stock = ["96", "12"]\nend_margin = "12"\n'))
    assert 'is not shorter than the rail stock of 12"' in run("check", name)[2]

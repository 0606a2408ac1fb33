"""Commands that help to find the way, typed: keys, examples, a schema, completion, near names."""

import json
import os
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from stairs.job import job_from_text, read_job
from stairs.job.described import described
from stairs.job.examples import example_names
from stairs.job.tables import TABLES, all_places
from stairs.relations.quantities import TYPED

ROOT = Path(__file__).parents[2]


def test_a_key_is_told_in_full(run):
    code, out, _ = run("describe", "panel.pitch")
    assert code == 0
    for words in ("pitch, under [panel]", "distance between baluster centres along the rail",
                  "letter   p", "none: it is needed", "1 to 24 in; 25 to 600 mm",
                  'pitch = "4 1/2"; in millimetres pitch = 110'):  # fmt: skip
        assert words in out
    assert max(map(len, out.splitlines())) <= 80


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("going", "unit_run, under [[section]] of a flight"),
        ("spindle", "baluster, under [panel]"),
        ("Base plate", "base, under [post]"),
        ("hand", "for left some say l, lh, left hand"),
        ("steps", "treads, under [[section]] of a flight"),
        ("pitch", "Some call so: rake under [[section]] of a flight"),
        ("[post]", "[post]: The post and its foot."),
        ("section", "[[section]], a level run"),
        ("panel: slot: wall", "wall, in slot = { ... } under [panel]"),
    ],
)
def test_words_of_the_trade_and_tables_lead_to_their_keys(run, typed, told):
    code, out, _ = run("describe", typed)
    assert code == 0 and told in out


def test_every_key_and_table_is_told():
    """By its path each key is told once, with its meaning, and its letter where it has one."""
    lettered = set()
    for place in all_places():
        text = described(place.path)
        assert f", {place.under}\n" in text
        assert " ".join(place.key.meaning.split()[:3]) in text
        assert not re.search("None|NODEFAULT|Fraction", text), text
        if "letter   " in text:
            lettered.add(place.key.name)
    assert lettered >= {key for _, key in TYPED}
    for table in filter(lambda one: one.name, TABLES):
        assert all(f"  {key} " in described(table.name) for key in table.own_keys)


def test_a_key_that_is_not_there_is_refused_with_the_nearest(run):
    assert run("describe", "ptich")[::2] == (
        2, 'stairs: KEY: "ptich" is no key of a job file. The nearest: pitch.\n')  # fmt: skip
    code, out, err = run("describe", "qqqq")
    assert (code, out) == (2, "") and "Tables: panel, bracket, post, section" in err


def test_an_example_is_listed_printed_and_written(run):
    code, out, _ = run("example")
    assert code == 0 and all(f"\n{name} " in f"\n{out}" for name in example_names())
    assert example_names() == sorted(path.stem for path in (ROOT / "examples").glob("*.toml"))
    porch = (ROOT / "examples" / "porch.toml").read_text(encoding="utf-8")
    assert run("example", "porch")[:2] == (0, porch)
    code, out, _ = run("example", "porch.toml", "-o", "mine.toml")
    assert code == 0 and out.endswith("then: stairs check mine.toml\n")
    assert read_job("mine.toml").sections == job_from_text(porch).sections
    code, _, err = run("example", "terrace", "-o", "mine.toml")
    assert code == 2 and "there is such a file" in err
    assert Path("mine.toml").read_text(encoding="utf-8") == porch
    code, _, err = run("example", "porhc")
    assert code == 2 and "The nearest is porch" in err


def test_the_schema_is_printed_and_written(run):
    code, out, _ = run("schema")
    assert code == 0 and json.loads(out)["required"][0] == "units"
    code, told, _ = run("schema", "-o", "stairs.schema.json")
    assert code == 0 and told.endswith("begin with the line #:schema ./stairs.schema.json\n")
    assert json.loads(Path("stairs.schema.json").read_text(encoding="utf-8")) == json.loads(out)
    assert run("schema", "-o", "stairs.schema.json")[0] == 2


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion_says_where_it_goes(run, shell):
    code, out, _ = run("completion", shell)
    assert code == 0 and f"{shell}_complete" in out
    assert "# It goes into ~/" in out.splitlines()[-1 if shell != "zsh" else -2]


@pytest.mark.parametrize(
    ("typed", "begun", "offered"),
    [
        ("stairs", "dr", ["draw"]),
        ("stairs describe", "max_r", ["max_rack"]),
        ("stairs example", "quart", ["quarter-landing"]),
        ("stairs rules", "irc-2021", ["irc-2021"]),
        ("stairs draw job.toml --view", "fr", ["framing"]),
    ],
)
def test_the_shell_is_given_what_may_follow(typed, begun, offered):
    """As the shell's own script asks for it."""
    words = f"{typed} {begun}"
    asked = {"COMP_WORDS": words, "COMP_CWORD": str(len(words.split()) - 1),
             "_STAIRS_COMPLETE": "bash_complete", "PYTHONPATH": str(ROOT)}  # fmt: skip
    code = "import sys; sys.argv[0] = 'stairs'; from stairs.__main__ import run; run()"
    done = subprocess.run([sys.executable, "-c", code], env={**os.environ, **asked},
                          capture_output=True, text=True)  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert [line.split(",")[1] for line in done.stdout.splitlines()] == offered


@pytest.mark.parametrize(
    ("typed", "begun", "offered"),
    [
        ("stairs dr", "dr", ["plain\tdraw\tDraw an elevation, the plan or the framing."]),
        ("stairs describe max_r", "max_r", ["plain\tmax_rack\tmax_rack"]),
        ("stairs example", "", None),
        ('stairs check ".\\my jobs\\p', '".\\my jobs\\p', ["file\t.\\my jobs\\p\t.\\my jobs\\p"]),
    ],
)
def test_powershell_is_given_what_may_follow(typed, begun, offered):
    """As its script asks for it: all that is typed, and the word that is being completed, which is
    empty behind a blank; a backslash is part of a path.  How PowerShell hands both over is from
    memory."""
    asked = {"COMP_WORDS": typed, "COMP_CWORD": begun, "_STAIRS_COMPLETE": "powershell_complete",
             "PYTHONPATH": str(ROOT)}  # fmt: skip
    code = "import sys; sys.argv[0] = 'stairs'; from stairs.__main__ import run; run()"
    done = subprocess.run([sys.executable, "-c", code], env={**os.environ, **asked},
                          capture_output=True, text=True)  # fmt: skip
    assert done.returncode == 0, done.stderr
    told = done.stdout.splitlines()
    assert told == offered if offered is not None else "plain\tporch\tporch" in told


def test_the_script_for_powershell_asks_by_the_variables_that_are_read(run):
    code, out, _ = run("completion", "powershell")
    assert code == 0 and "Register-ArgumentCompleter -Native -CommandName stairs" in out
    for name in ("COMP_WORDS", "COMP_CWORD", "_STAIRS_COMPLETE"):
        assert out.count(f"$env:{name} = ") == 1 and f"Env:{name}" in out.rpartition("finally")[2]
    assert "powershell_complete" in out and out.count("{") == out.count("}")
    assert out.splitlines()[-1] == (
        "# stairs completion powershell | Out-String | Invoke-Expression"
    )


@pytest.mark.skipif(shutil.which("bash") is None, reason="no bash is installed")
def test_bash_takes_what_is_printed(run, tmp_path):
    (tmp_path / "stairs").write_text(run("completion", "bash")[1], encoding="utf-8")
    done = subprocess.run(["bash", "-c", "source ./stairs && complete -p stairs"], cwd=tmp_path,
                          capture_output=True, text=True)  # fmt: skip
    assert done.returncode == 0 and "_stairs_completion" in done.stdout, done.stderr


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("sovle", "The nearest is stairs solve."),
        ("Check", "The nearest is stairs check."),
        ("zzz", "stairs -h tells what each does."),
        ("porch.toml", "Say first what to do with it, as in stairs check porch.toml."),
    ],
)
def test_a_command_that_is_not_there_is_refused_with_the_nearest(run, typed, told):
    code, out, err = run(typed)
    assert (code, out) == (2, "")
    assert err == f'stairs: command line: "{typed}" is no command. {told}\n'


def test_the_form_says_what_to_do_next(run):
    code, out, _ = run("form", "-o", "mine.toml")
    assert code == 0 and "then: stairs check mine.toml" in out
    assert tomllib.loads(Path("mine.toml").read_text(encoding="utf-8"))["units"] == "in"

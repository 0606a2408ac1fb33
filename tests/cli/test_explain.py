"""How a result is explained as it is asked for, with the right words and with wrong ones."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "working"))

from worked_again import work_again  # noqa: E402

QUICK = ("--rise", "42", "--run", "50", "--treads", "5")


def test_a_result_is_told_with_letters_numbers_and_sources(run, job):
    code, out, err = run("explain", "rail_length", job(), "--bay", "1")
    assert (code, err) == (0, "") and max(map(len, out.splitlines())) <= 80
    assert "M = N − 2 ⋅ e = " in out and "the rail stops short of both pins (definition" in out
    assert "(bracket: rail_setback)" in " ".join(out.split()) and "Pythagoras" in out
    lines, last = work_again(out)
    rail = json.loads(run("solve", job(), "--json")[1])["sections"][0]["bays"][0]["rail_length"]
    assert lines > 10 and last == pytest.approx(rail, abs=5e-5)


def test_the_exact_end_stands_beside_the_decimals(run):
    """A stair of 3 to 4 has only fractions, one of 42 to 50 in 6 and 5 steps √149."""
    _, out, _ = run("explain", "spacing_along", *QUICK)
    assert "√149" in out.split("What it comes from", maxsplit=1)[0]
    _, out, _ = run("explain", "rake", "--rise", "36", "--run", "40", "--treads", "5")
    assert "exactly" not in out


def test_an_end_of_the_window_is_told_on_the_mark_inside_it(run, job):
    """The nearest mark below the least gap would fail."""
    path = job()
    window = json.loads(run("solve", path, "--json")[1])["sections"][0]["bottom_gap_window"]
    for name, end, inward in (("window_low", "low", 1), ("window_high", "high", -1)):
        _, out, _ = run("explain", name, path)
        told = out.split("on the tape ")[1].split('"')[0]
        whole, _, part = told.rpartition(" ")
        above, below = part.split("/") if "/" in part else (part, "1")
        mark = int(whole or 0) + int(above) / int(below)
        assert 0 <= (mark - window[end]) * inward < 1 / 16


def test_a_ball_without_a_closed_form_is_told_by_what_it_touches(run):
    """At the foot of a quick look: every distance from the center is its radius."""
    code, out, _ = run("explain", "foot_opening", *QUICK)
    assert code == 0 and out.count("so it touches") >= 3
    worked = [line for line in out.splitlines() if line.startswith("  r")]
    ends = {line.split(" = ")[-1] for line in worked if line.startswith(("  r1", "  r2", "  r3"))}
    assert len(ends) == 1


def test_other_words_and_spellings_lead_to_the_same_result(run, job):
    path = job()
    told = run("explain", "rail_length", path)
    assert run("explain", "Rail-Length", path) == run("explain", "cut length", path) == told


def test_a_bay_that_is_left_open_is_the_first_and_the_others_are_told(run, job):
    path = job()
    _, out, _ = run("explain", "rail_length", path)
    assert "bay 1" in out.splitlines()[0]
    bays = json.loads(run("solve", path, "--json")[1])["sections"]
    more = sum(len(section["bays"]) for section in bays) - 1
    told = "this job also has it for" in out
    assert told == (more > 0)


def test_a_post_is_picked_by_its_number(run, job):
    code, out, _ = run("explain", "post_height", job(), "--post", "2")
    assert code == 0 and "post 2" in out.splitlines()[0]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("rail_lenght",), "names all that can be explained. The nearest is rail_length"),
        (("girth",), '"girth" is no result. stairs explain --list names all'),
        (("saw_miter",), "this job has no saw_miter. It has risers, treads, unit_rise"),
        (("rail_length", "--bay", "9"), "--bay: rail_length has none at bay 9"),
        (("rail_length", "--post", "1"), "It is of a bay. Leave --post out"),
        (("rail_length", "--section", "7"), "--section: 7 is no section of this job"),
    ],
    ids=lambda one: " ".join(one) if isinstance(one, tuple) else "",
)
def test_what_cannot_be_explained_is_said(run, job, words, told):
    name, *options = words
    code, out, err = run("explain", name, job(), *options)
    assert code == 2 and out == "" and told in " ".join(err.split())


def test_a_job_without_a_result_and_a_result_without_a_job_are_asked_back(run, job):
    code, _, err = run("explain", job())
    assert code == 2 and "no result" in err and "stairs explain rail_length JOB" in err
    code, _, err = run("explain")
    assert code == 2 and "no result is named" in err
    code, _, err = run("explain", "rail_length")
    assert code == 2 and "no job is given" in err


def test_the_list_needs_no_job_and_with_one_has_its_values(run, job):
    code, out, _ = run("explain", "--list")
    assert code == 0 and "rail_length" in out and "Of a bay (--bay)" in out
    code, out, _ = run("explain", "--list", job())
    rows = {line.split()[0]: line for line in out.splitlines() if line.startswith("  ")}
    assert code == 0 and '7 1/4"' in rows["unit_rise"] and "saw_miter" not in rows


def test_names_stay_as_they_are_typed_in_the_words_of_any_country(run, job):
    """What is called pitch elsewhere is asked for by its name here."""
    path = job(('rules = "irc-2021"', 'rules = "irc-2021"\nwords = "uk"'))
    _, out, _ = run("explain", "--list", path)
    names = [line.split()[0] for line in out.splitlines() if line.startswith("  ")]
    assert {"rake", "baluster_clear", "unit_run"} <= set(names)
    assert "\u2060" not in out and "spindles" in out


def test_letters_that_a_terminal_has_not_are_written_out(run, job):
    from stairs.cli.terminal import fitted

    _, out, _ = run("explain", "rail_length", job())
    plain = fitted(out, "ascii")
    assert "cos theta = G/L" in plain and "sqrt(R^2 + G^2)" in plain and "2 * e" in plain
    assert "?" not in plain


def test_a_result_is_set_on_paper(run, job):
    code, out, err = run("explain", "rail_length", job(), "-o", "rails.pdf")
    assert (code, err) == (0, "") and out.startswith("rails.pdf: ") and "letter" in out
    assert Path("rails.pdf").read_bytes().startswith(b"%PDF")


def test_paper_is_for_a_pdf_and_never_for_the_job(run, job):
    path = job()
    code, _, err = run("explain", "rail_length", path, "-o", "rails.svg")
    assert code == 2 and ".pdf" in err and not Path("rails.svg").exists()
    code, _, err = run("explain", "rail_length", path, "--paper", "A4")
    assert code == 2 and "--paper" in err and "-o" in err
    code, _, err = run("explain", "rail_length", path, "-o", path)
    assert code == 2 and "the job file itself" in err
    code, _, err = run("explain", "rail_length", path, "-o", "rails.pdf", "--paper", "A9")
    assert code == 2 and "A9" in err and not Path("rails.pdf").exists()


def test_the_packet_takes_a_chapter_of_working(run, job):
    """Beside the sheets that it has anyway."""
    path = job()
    count = {}
    for name, options in (("plain", ()), ("more", ("--with-working",))):
        code, out, _ = run("packet", path, "-o", f"{name}.pdf", *options)
        assert code == 0
        count[name] = int(out.split(": ")[1].split()[0])
    assert count["more"] > count["plain"]


def test_a_rail_between_posts_that_lean_is_told_from_what_is_clear_between_them(run):
    """What their lean makes of the bay is rounded, so nothing is said to be exact."""
    example = Path(__file__).parents[2] / "examples" / "porch-as-built.toml"
    code, out, _ = run("explain", "rail_length", str(example))
    assert code == 0 and "exactly" not in out
    assert "worked out from the lean of the posts" in " ".join(out.split())
    bay = json.loads(run("solve", str(example), "--json")[1])["sections"][0]["bays"][0]
    assert work_again(out)[1] == pytest.approx(bay["rail_length"], abs=5e-5)

"""What is written where: through links, over no file that is not its own, whole or not at all."""

from __future__ import annotations

import errno
import os
import stat
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from stairs import files
from stairs.cli.commands import main
from stairs.drawing.files.writing import write
from stairs.errors import FileError, OutputFailed
from stairs.files import put_all_in_place, put_in_place

QUICK = ("--rise", "42", "--run", "50", "--treads", "5")


@pytest.fixture
def page(tmp_path, monkeypatch):
    """Makes a drawing of so many pages, each with its number in its title."""
    monkeypatch.chdir(tmp_path)
    paper = SimpleNamespace(width=100, height=80)

    def make(count):
        sheets = [
            SimpleNamespace(title=f"T{n}", description="", paper=paper, primitives=())
            for n in range(1, count + 1)
        ]
        sheets[0].following = tuple(sheets[1:])
        return sheets[0]

    return make


# ----------------------------------------------------------------------- one file


def test_a_link_is_written_through_and_a_mode_is_kept(tmp_path):
    (tmp_path / "deep").mkdir()
    real, link = tmp_path / "deep" / "real.svg", tmp_path / "link.svg"
    link.symlink_to(Path("deep") / "real.svg")
    put_in_place(b"first", link)  # there is nothing behind it yet
    real.chmod(0o640)
    put_in_place(b"second", link)
    assert link.is_symlink() and real.read_bytes() == b"second"
    assert stat.S_IMODE(real.stat().st_mode) == 0o640
    assert sorted(tmp_path.rglob("*")) == [tmp_path / "deep", real, link]


def test_a_file_that_may_only_be_read_is_refused(tmp_path):
    target = tmp_path / "kept.svg"
    target.write_bytes(b"old")
    target.chmod(0o444)
    with pytest.raises(FileError, match="is a file that may only be read"):
        put_in_place(b"new", target)
    assert target.read_bytes() == b"old" and os.listdir(tmp_path) == ["kept.svg"]


def test_a_device_takes_what_it_is_given(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    reader = os.open(tmp_path / "pipe", os.O_RDONLY | os.O_NONBLOCK)
    put_in_place(b"through", tmp_path / "pipe")
    assert os.read(reader, 20) == b"through"
    os.close(reader)
    with pytest.raises(OutputFailed, match="No space left on device. Make room"):
        put_in_place(b"x", Path("/dev/full"))


class Full:
    """A file on a disk that is full."""

    def __init__(self, handle, _):
        os.close(handle)

    def __enter__(self):
        return self

    def __exit__(self, *_):
        return None

    def write(self, _):
        raise OSError(errno.ENOSPC, "No space left on device")


@pytest.mark.parametrize(
    "words",
    [("draw", *QUICK, "-o", "new.svg"), ("shop", *QUICK, "-o", "new.pdf"),
     ("form", "-o", "new.toml")],
    ids=["draw", "shop", "form"],
)  # fmt: skip
def test_a_full_disk_leaves_no_half_of_a_file_and_ends_with_3(words, run, monkeypatch, tmp_path):
    monkeypatch.setattr(files.os, "fdopen", Full)
    code, out, err = run(*words)
    assert (code, out) == (3, "")
    assert f"{words[-1]}: cannot be written: No space left on device" in err
    assert os.listdir(tmp_path) == []


def test_a_form_that_was_stopped_leaves_nothing_and_can_be_written_again(
    run, monkeypatch, tmp_path
):
    def stop(*_):
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(files.os, "link", stop)
        code, _, err = run("form", "-o", "new.toml")
    assert (code, os.listdir(tmp_path)) == (130, []) and "stopped" in err
    assert run("form", "-o", "new.toml")[0] == 0
    assert run("form", "-o", "new.toml")[0] == 2
    (tmp_path / "mine.toml").symlink_to("new.toml")
    assert "there is such a file" in run("form", "-o", "mine.toml")[2]


# ---------------------------------------------------------------- files of a set


@pytest.mark.parametrize("ending", ["svg", "png"])
def test_a_shorter_run_takes_its_own_last_sheets_away_and_no_others(ending, page, tmp_path):
    write(page(4), f"ms.{ending}")
    stranger = Path(f"ms-7.{ending}")
    stranger.write_bytes(b"a picture of the site")
    Path(f"ms-photo.{ending}").write_bytes(b"another")
    write(page(2), f"ms.{ending}")
    kept = [f"ms{one}.{ending}" for one in ("", "-2", "-7", "-photo")]
    assert sorted(os.listdir(tmp_path)) == sorted(kept)
    assert stranger.read_bytes() == b"a picture of the site"


def test_a_set_is_not_written_over_a_file_of_another(page, tmp_path):
    Path("ms-3.svg").write_text("mine")
    write(page(1), "ms.svg")
    before = Path("ms.svg").read_bytes()
    with pytest.raises(FileError, match="ms-3.svg: is there already, and is no sheet of ms.svg"):
        write(page(3), "ms.svg")
    assert sorted(os.listdir(tmp_path)) == ["ms-3.svg", "ms.svg"]
    assert Path("ms.svg").read_bytes() == before and Path("ms-3.svg").read_text() == "mine"
    write(page(2), "a -- b.svg")  # a name that a remark cannot hold as it is
    write(page(2), "a -- b.svg")


@pytest.mark.parametrize("stop", [1, 2, 3])
def test_a_set_is_written_whole_or_not_at_all(stop, tmp_path, monkeypatch):
    for name in ("a", "b"):
        (tmp_path / name).write_text("old")
    replaced, calls = os.replace, []

    def fails(source, target):
        calls.append(target)
        if len(calls) == stop:
            raise OSError(errno.EIO, "Input/output error")
        replaced(source, target)

    monkeypatch.setattr(files.os, "replace", fails)
    with pytest.raises(OutputFailed, match="Input/output error"):
        put_all_in_place([(b"new", tmp_path / name) for name in "abc"])
    found = {path.name: path.read_text() for path in tmp_path.iterdir()}
    assert found == {"a": "old", "b": "old"}


# --------------------------------------------------------------- what is refused


def test_a_drawing_is_not_written_over_its_job(run, job, tmp_path):
    job(name="job.svg")
    os.link(tmp_path / "job.svg", tmp_path / "same.pdf")
    text = (tmp_path / "job.svg").read_text()
    for words in (("draw", "job.svg", "-o", "job.svg"), ("packet", "job.svg", "-o", "same.pdf"),
                  ("shop", "./job.svg", "-o", "same.pdf")):  # fmt: skip
        code, _, err = run(*words)
        assert (code, "is the job file itself" in err) == (2, True)
    assert (tmp_path / "job.svg").read_text() == text


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("solve", ""), "JOB: is empty. Give its value, or leave it out"),
        (("draw", *QUICK, "-o", ""), "-o: is empty. Give its value"),
        (("form", "-o", " "), "-o: is empty"),
        (("shop", *QUICK, "-o", "x.pdf", "--paper", ""), "--paper: is empty"),
        (("cuts", *QUICK, "--kerf", "-1"), "--kerf: -1 is below 0"),
        (("cuts", *QUICK, "--kerf", "x"), '--kerf: "x" is not a length'),
        (("cuts", *QUICK, "--loads", "--bolt-spacing", "0"), "--bolt-spacing: is 0"),
        (("draw", *QUICK, "-o", "x.svg", "--scale", "x"), "--scale: "),
        (("solve", "job.toml", "--units", "in"), '--units: "in" is given beside a job file'),
        (("packet", "job.toml", "-o", "x.pdf", "--units", "mm"), "--units: "),
        (("solve", "\x1b[2Jx.toml"), "\\x1b[2Jx.toml: there is no such file"),
        (("draw", *QUICK, "-o", "no\x1b[2J/x.svg"), "no\\x1b[2J/x.svg: cannot be written"),
    ],
)
def test_what_is_refused_is_named_as_it_is_typed(words, told, run, job):
    job(name="job.toml")
    code, out, err = run(*words)
    assert (code, out) == (2, "")
    assert err.startswith(f"stairs: {told}") and "\x1b" not in err


def test_a_name_with_escapes_does_not_reach_the_screen_raw(run):
    code, out, _ = run("draw", *QUICK, "-o", "a\x1b[2J.svg")
    assert (code, out.startswith("a\\x1b[2J.svg: "), "\x1b" in out) == (0, True, False)


# ------------------------------------------------- settings of the drawing libraries


def test_nobodys_settings_change_a_sheet_or_print_a_line(tmp_path, monkeypatch, capfd):
    """A settings file in the folder, variables, and a home that cannot be written to."""
    names = ("x.svg", "x.png", "x.dxf")
    plain, odd = tmp_path / "plain", tmp_path / "odd"
    plain.mkdir()
    odd.mkdir()
    monkeypatch.chdir(plain)
    for name in names:
        with pytest.raises(SystemExit):
            main(["draw", *QUICK, "-o", name])
    (odd / "matplotlibrc").write_bytes(
        b"lines.linewidth: 9\nfigure.facecolor: red\nsvg.fonttype: path\nfont.size: 30\n"
        b"no setting\nsavefig.bbox: tight\nbackend: nonsense\n\xff\n"
    )
    (odd / "ezdxf.ini").write_text("[core]\nWRITE_FIXED_META_DATA_FOR_TESTING = false\n")
    hostile = {"MPLBACKEND": "nonsense", "MPLCONFIGDIR": "/dev/null/x", "HOME": "/dev/null/home",
               "MATPLOTLIBRC": "matplotlibrc", "PYTHONHASHSEED": "7"}  # fmt: skip
    script = (
        "import sys\nfrom stairs.cli.commands import main\n"
        "for name in sys.argv[1:]:\n"
        "    try:\n"
        f"        main(['draw', *{QUICK!r}, '-o', name])\n"
        "    except SystemExit as left:\n"
        "        assert not left.code, left.code\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", script, *names], cwd=odd, env={**os.environ, **hostile},
        capture_output=True, text=True, timeout=120,
    )  # fmt: skip
    assert (ran.returncode, ran.stderr) == (0, "")
    for name in names:
        assert (plain / name).read_bytes() == (odd / name).read_bytes(), name
    assert sorted(os.listdir(odd)) == sorted((*names, "matplotlibrc", "ezdxf.ini"))

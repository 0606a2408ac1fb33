"""What is handed on: the source archive is whole, and the floors of what it needs are true.

What installs something runs with ``-m fuzz`` alone: it takes minutes and a package index.
"""

import os
import shutil
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from importlib.metadata import version
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
NEEDS = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
EXAMPLES = ("porch", "metric-deck")


def files_written(python: Path | str, folder: Path) -> list[str]:
    """What every command writes of two examples under another interpreter, a line to a file."""
    written = []
    for name in EXAMPLES:
        done = subprocess.run(
            [python, ROOT / "tests" / "cli" / "written_files.py",
             ROOT / "examples" / f"{name}.toml", folder / name],
            capture_output=True, text=True, env={**os.environ, "PYTHONPATH": str(ROOT)},
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        written += done.stdout.splitlines()
    return written


def environment(python: str, folder: Path, needs: list[str]) -> Path:
    """A fresh environment that holds so much and no more; its interpreter."""
    made = folder / "bin" / "python"
    subprocess.run([python, "-m", "venv", folder], check=True)
    subprocess.run([made, "-m", "pip", "install", "--quiet", *needs], check=True)
    return made


def test_the_source_archive_holds_tests_examples_and_figures(tmp_path):
    made = subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "sdist", "-d", str(tmp_path)],
        cwd=ROOT, capture_output=True, text=True, timeout=60,
    )  # fmt: skip
    (archive,) = tmp_path.glob("*.tar.gz")
    assert made.returncode == 0, made.stderr
    with tarfile.open(archive) as held:
        names = {name.partition("/")[2] for name in held.getnames()}
    for pattern in ("tests/**/*.py", "examples/*.toml", "figures/*.svg", "stairs/**/*.toml",
                    "stairs/**/*.json", "stairs/drawing/paper/faces/*", "*.md"):  # fmt: skip
        wanted = {one.relative_to(ROOT).as_posix() for one in ROOT.glob(pattern)}
        assert wanted and wanted <= names, sorted(wanted - names)
    assert not any(name.endswith(".pyc") for name in names)


def test_the_wheel_holds_the_examples(tmp_path):
    made = subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(tmp_path)],
        cwd=ROOT, capture_output=True, text=True, timeout=60,
    )  # fmt: skip
    assert made.returncode == 0, made.stderr
    (archive,) = tmp_path.glob("*.whl")
    with zipfile.ZipFile(archive) as held:
        held.extractall(tmp_path / "installed")
    code = "from stairs.job.examples import example_names; print(*example_names())"
    told = subprocess.run(
        [sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True,
        env={**os.environ, "PYTHONPATH": str(tmp_path / "installed")},
    )  # fmt: skip
    assert told.stdout.split() == sorted(one.stem for one in ROOT.glob("examples/*.toml"))


def test_the_floors_are_releases_that_do_what_is_asked_of_them():
    """Tried: with pypdf 5.1 no packet is written, with scipy 1.14 cutting plans fail, and with
    matplotlib 3.10 nothing is drawn; tomlkit 0.12.0 does all that is asked of it."""
    floors = dict(one.split(">=") for one in NEEDS["dependencies"])
    least_of = {"pypdf": (5, 2), "scipy": (1, 15), "matplotlib": (3, 11), "tomlkit": (0, 12)}
    for name, least in least_of.items():
        assert tuple(map(int, floors[name].split("."))) >= least


@pytest.mark.fuzz
def test_the_lowest_versions_write_every_file(tmp_path):
    """Figures and lists are those of the newest versions; a PDF names what wrote it."""
    needs = [one.replace(">=", "==") for one in NEEDS["dependencies"]]
    lowest = environment(sys.executable, tmp_path / "lowest", needs)
    low, here = (
        files_written(python, tmp_path / name)
        for name, python in (("low", lowest), ("here", sys.executable))
    )
    assert [line.split()[0] for line in low] == [line.split()[0] for line in here]
    for mine, theirs in zip(here, low, strict=True):
        assert mine == theirs or mine.split()[0].endswith((".pdf", ".png", ".dxf"))


def python_of(minor: int) -> str | None:
    """A Python 3 of that release that runs here, on the path or kept by pyenv."""
    name = f"python3.{minor}"
    kept = (Path.home() / ".pyenv" / "versions").glob(f"3.{minor}.*/bin/{name}")
    for found in (shutil.which(name), *map(str, kept)):
        if found and subprocess.run([found, "-c", ""], capture_output=True).returncode == 0:
            return found
    return None


@pytest.mark.fuzz
@pytest.mark.parametrize("minor", [k for k in range(11, 16) if k != sys.version_info.minor])
def test_another_python_writes_the_same_bytes(minor, tmp_path):
    if (python := python_of(minor)) is None:
        pytest.skip(f"no Python 3.{minor} is installed")
    names = [one.partition(">=")[0] for one in NEEDS["dependencies"]]
    other = environment(python, tmp_path / "other", [f"{one}=={version(one)}" for one in names])
    assert files_written(other, tmp_path / "there") == files_written(
        sys.executable, tmp_path / "here"
    )

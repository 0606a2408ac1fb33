"""What is handed on: the source archive is whole, and the floors of what it needs are true."""

import subprocess
import sys
import tarfile
import tomllib
from pathlib import Path

ROOT = Path(__file__).parent.parent


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
                    "stairs/drawing/paper/faces/*", "*.md"):  # fmt: skip
        wanted = {one.relative_to(ROOT).as_posix() for one in ROOT.glob(pattern)}
        assert wanted and wanted <= names, sorted(wanted - names)
    assert not any(name.endswith(".pyc") for name in names)


def test_the_floors_are_releases_that_do_what_is_asked_of_them():
    """Tried: with pypdf 5.1 no packet is written, with scipy 1.14 cutting plans fail."""
    needs = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    floors = dict(one.split(">=") for one in needs["dependencies"])
    assert tuple(map(int, floors["pypdf"].split("."))) >= (5, 2)
    assert tuple(map(int, floors["scipy"].split("."))) >= (1, 15)

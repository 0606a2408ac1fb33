"""The same job gives the same bytes in every file, whatever order a set is walked in."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from random_jobs import random_job, toml_text
from written_files import COMMANDS, write_all

ROOT = Path(__file__).parents[2]
FRAMED = [k for k in range(200) if "framing" in random_job(k)]


@pytest.mark.parametrize(
    "seed", [4, *(pytest.param(k, marks=pytest.mark.fuzz) for k in (*range(5, 30), *FRAMED[:10]))]
)
def test_another_hash_seed_writes_the_same_bytes(seed, tmp_path):
    job = tmp_path / "job.toml"
    job.write_text(toml_text(random_job(seed)), encoding="utf-8")
    here = write_all(job, tmp_path / "here")
    done = subprocess.run(
        [sys.executable, str(Path(__file__).parent / "written_files.py"), str(job),
         str(tmp_path / "there")],
        capture_output=True, text=True, check=True,
        env={**os.environ, "PYTHONHASHSEED": "7", "PYTHONPATH": os.pathsep.join(sys.path)},
    )  # fmt: skip
    assert done.stdout.split("\n")[:-1] == here
    assert {line.split()[0] for line in here} >= {*COMMANDS} - {"framing.svg"}

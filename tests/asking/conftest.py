"""A talk without a terminal, about a file of the test's folder."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from porch_talk import Told  # noqa: E402


@pytest.fixture
def talk(tmp_path):
    """Hold one talk."""

    def held(answers, name="job.toml", **options):
        return Told(tmp_path / name, answers, **options)

    return held

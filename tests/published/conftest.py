"""The questions of :mod:`clauses` are shared by the tests of codes in this folder."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
pytest.register_assert_rewrite("clauses")

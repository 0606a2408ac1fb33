"""The questions of :mod:`clauses`, and results run :mod:`backwards`, are shared in this folder."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
pytest.register_assert_rewrite("clauses", "backwards")

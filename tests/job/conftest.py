"""The tables of :mod:`job_tables` are shared by tests in this folder."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
pytest.register_assert_rewrite("job_tables")

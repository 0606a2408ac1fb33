"""The path search of :mod:`path_search` is shared by tests in this folder."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
pytest.register_assert_rewrite("path_search")

"""All that is told of a job is gathered in :mod:`told`, shared by tests in this folder."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

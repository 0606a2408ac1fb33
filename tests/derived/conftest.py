"""The path search of :mod:`path_search` is shared by tests in this folder."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

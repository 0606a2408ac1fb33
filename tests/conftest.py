"""Set-up of all tests."""

import gc
import sys
from pathlib import Path

gc.set_threshold(100_000, 20, 100)  # much is made and kept: fewer walks over all of it

sys.path.insert(0, str(Path(__file__).parent))  # for the documents' sessions

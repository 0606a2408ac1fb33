"""Jobs and guards at random stand beside the tests that first drew them."""

import sys
from pathlib import Path

for _room in ("checks", "cli", "certainty"):
    sys.path.insert(0, str(Path(__file__).parents[1] / _room))

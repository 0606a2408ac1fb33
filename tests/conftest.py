"""Set-up of all tests."""

import gc

gc.set_threshold(100_000, 20, 100)  # much is made and kept: fewer walks over all of it

"""Set-up of all tests."""

import gc
import sys
from pathlib import Path

import pytest

gc.set_threshold(100_000, 20, 100)  # much is made and kept: fewer walks over all of it

sys.path.insert(0, str(Path(__file__).parent))  # for the documents' sessions


@pytest.hookimpl(tryfirst=True)
def pytest_cmdline_main(config):
    """Several processes take long runs of tests each, so that what a file's tests share is made
    once and not once in each process; who is done first takes over from the others."""
    if getattr(config.option, "numprocesses", None) and config.option.dist == "no":
        config.option.dist = "worksteal"

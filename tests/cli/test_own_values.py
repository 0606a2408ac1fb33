"""A value that the user put over the rulebook shows on every screen, list and sheet."""

from __future__ import annotations

from pathlib import Path

import pdfplumber
import pytest
from click.testing import CliRunner

from stairs.cli.commands import main

PORCH = (Path(__file__).parents[2] / "examples" / "porch.toml").read_text(encoding="utf-8")
OWN = '\n[local]\n"opening-triangle" = { limit = "5 7/8", reason = "agreed on site" }\n'


@pytest.fixture
def job(tmp_path):
    path = tmp_path / "job.toml"
    path.write_text(PORCH + OWN, encoding="utf-8")
    return str(path)


@pytest.mark.parametrize("command", ["solve", "check", "cuts", "cuts --loads"])
def test_screen_shows_the_value_and_the_reason(command, job):
    result = CliRunner().invoke(main, [*command.split(), job])
    assert result.exit_code == 0
    assert 'own value: opening-triangle 5 7/8": agreed on site' in result.output


@pytest.mark.parametrize("command", ["packet", "shop", "template"])
def test_every_sheet_shows_that_a_value_is_the_users_own(command, job, tmp_path):
    target = tmp_path / "set.pdf"
    result = CliRunner().invoke(main, [command, job, "-o", str(target)])
    assert result.exit_code == 0, result.output
    with pdfplumber.open(target) as pdf:
        texts = [page.extract_text().lower() for page in pdf.pages]
    assert all("own value" in text or "agreed on site" in text for text in texts)


def test_elevation_shows_the_reason(job, tmp_path):
    target = tmp_path / "elevation.pdf"
    assert CliRunner().invoke(main, ["draw", job, "-o", str(target)]).exit_code == 0
    with pdfplumber.open(target) as pdf:
        text = " ".join(pdf.pages[0].extract_text().split())
    assert "agreed" in text
    assert "on site" in text

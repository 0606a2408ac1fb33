"""One slip in an example job, as people make them: refused in words that name the place, or read as
it was typed.  A tenth of the slips by default; all of them with ``-m fuzz``."""

import re
import tomllib
from decimal import Decimal
from fractions import Fraction

import msgspec
import pytest
from slips import COUNT, HARMLESS, MADE, example, slip

from stairs.errors import StairsError
from stairs.job import job_from_text
from stairs.job.key_notes import value_of


def lengths(value):
    """A number, or a mixed number in text, exactly; None for any other words."""
    if isinstance(value, bool):
        return None
    if isinstance(value, int | Decimal):
        return Fraction(value)
    plain = (
        re.fullmatch(r"(-?)(?:(\d+) )?(\d+)(?:/(\d+))?", value) if isinstance(value, str) else None
    )
    if plain is None or (plain[2] and not plain[4]):
        return None
    whole = int(plain[2] or 0) + Fraction(int(plain[3]), int(plain[4] or 1))
    return -whole if plain[1] else whole


def read_as_typed(job, mapping):
    """How many numbers of the file the job holds exactly as they were typed."""
    count = 0
    records = [(job, mapping), *zip(job.sections, mapping["section"], strict=True)]
    records += [(getattr(job, name), mapping[name]) for name in ("panel", "bracket", "post")]
    for record, table in records:
        for key, value in table.items():
            held = value_of(record, key)
            number = isinstance(held, Fraction | int) and not isinstance(held, bool)
            if number and (typed := lengths(value)) is not None:
                assert held == typed, key
                count += 1
    return count


@pytest.mark.parametrize(
    "first", [*range(0, COUNT, 100), *(pytest.param(n, marks=pytest.mark.fuzz)
                                       for n in range(10, COUNT, 10) if n % 100)]
)  # fmt: skip
def test_a_slip_is_refused_in_words_or_read_as_typed(first, run, tmp_path):
    """Ten slips at a time; the first of them is solved as well where it is read."""
    for number in range(first, first + 10):
        name, kind, text = slip(number)
        about = f"{number}: {name}, {kind}"
        (tmp_path / "job.toml").write_bytes(text.encode())
        try:
            job = job_from_text(text.removeprefix("\ufeff"), "job.toml")
        except StairsError as error:
            told = str(error)
            assert told.startswith("job.toml: "), about
            assert told.isprintable() and len(told) < 900, about
            assert kind not in HARMLESS, f"{about}: {told}"
            code, out, err = run("solve", "job.toml")
            assert (code, out) == (2, ""), about
            assert err == f"stairs: {told}\n", about
            continue
        mapping = tomllib.loads(text.removeprefix("\ufeff"), parse_float=Decimal)
        assert read_as_typed(job, mapping) > 8, about
        if kind in HARMLESS:
            assert msgspec.structs.replace(job, where="") == job_from_text(example(name)), about
        if number % 10 == 0:
            code, out, err = run("solve", "job.toml")
            assert code in (0, 2) and "Traceback" not in out + err, about
            assert (out == "") == (code == 2) == (err != ""), about


def test_the_slips_are_of_every_kind_and_spoil_every_example():
    made = [slip(number) for number in range(COUNT)]
    spoiled = [(name, kind) for name, kind, text in made if text != example(name)]
    assert len(spoiled) > COUNT * 9 // 10
    assert {kind for _, kind in spoiled} == set(MADE)
    assert len({name for name, _ in spoiled}) > 10

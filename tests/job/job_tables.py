"""Tables of job files that can be used, to spoil one key at a time."""

import pytest

from stairs.errors import StairsError
from stairs.job import job_from_text

GOOD = {
    "top": {"units": '"in"'},
    "panel": {
        "height": '"32"',
        "top_rail": '"1 3/4"',
        "bottom_rail": '"1 1/2"',
        "baluster": '"3/4"',
        "pitch": '"4 1/2"',
    },
    "bracket": {"kind": '"pivot"', "pivot_offset": '"1 1/8"', "rail_setback": '"3/8"'},
    "post": {"width": '"3"'},
    "section": {"kind": '"flight"', "rise": '"43 1/2"', "run": '"52 1/2"', "treads": "5"},
}
METRIC = {
    "top": {"units": '"mm"'},
    "panel": {
        "height": "800",
        "top_rail": "45",
        "bottom_rail": "40",
        "baluster": "20",
        "pitch": "110",
    },
    "bracket": {"kind": '"plumb-cut"', "end_clearance": "3"},
    "post": {"width": "75"},
    "section": {"kind": '"flight"', "rise": "1100", "run": "1250", "treads": "5"},
}
LEVEL = {"kind": '"level"', "span": '"132"'}


def text_of(tables, changes=None, section=None):
    """The text of a job file; a change of None takes a key out."""
    tables = {name: dict(keys) for name, keys in tables.items()}
    if section is not None:
        tables["section"] = dict(section)
    for place, value in (changes or {}).items():
        table, _, key = place.partition(".")
        if value is None:
            del tables[table][key]
        else:
            tables.setdefault(table, {})[key] = value
    lines = []
    for name, keys in tables.items():
        if name != "top":
            lines.append("[[section]]" if name == "section" else f"[{name}]")
        lines += [f"{key} = {value}" for key, value in keys.items()]
    return "\n".join(lines)


def refusal(text, where="stair.toml"):
    with pytest.raises(StairsError) as caught:
        job_from_text(text, where)
    error = caught.value
    assert str(error).startswith(f"{where}: ")
    assert "Traceback" not in str(error) and "\n" not in str(error)
    return error

"""The contract of the JSON: every name that scripts use, for every kind of job, unrounded."""

import json

import pytest

# ------------------------------------------------------------------ the contract

NUMBER, TEXT, COUNT = (int, float), (str,), (int,)
FINDING = {"pass", "marginal", "fail", "n/a"}
KINDS = {"triangle", "foot", "head", "under-rail", "baluster", "end", "open-riser"}
CONTRACT = {
    "top": {"units": TEXT, "rules": TEXT, "ok": (bool,), "sections": (list,), "checks": (list,)},
    "section": {
        "name": TEXT, "kind": TEXT, "bottom_gap": NUMBER, "bottom_gap_window": (dict,),
        "guard_height": NUMBER, "panel_height": NUMBER, "rail_spacing": NUMBER,
        "baluster_clear": NUMBER, "max_rack": (*NUMBER, type(None)), "posts": (list,),
        "bays": (list,), "openings": (list,),
    },
    "flight": {
        "risers": COUNT, "treads": COUNT, "unit_rise": NUMBER, "unit_run": NUMBER,
        "total_rise": NUMBER, "total_run": NUMBER, "rake": NUMBER,
    },
    "window": {
        "low": NUMBER, "high": (*NUMBER, type(None)), "empty": (bool,), "low_set_by": TEXT,
        "high_set_by": (str, type(None)),
    },
    "post": {"x": NUMBER, "surface": NUMBER, "height": NUMBER, "marks": (list,)},
    "mark": {"bay": COUNT, "rail": TEXT, "side": TEXT, "height": NUMBER},
    "bay": {
        "clear": NUMBER, "rail_length": NUMBER, "stock": (*NUMBER, type(None)),
        "trim_low": (*NUMBER, type(None)), "trim_high": (*NUMBER, type(None)),
        "balusters": COUNT, "end_gap_low": NUMBER, "end_gap_high": NUMBER, "swing": NUMBER,
        "angle_low": NUMBER, "angle_high": NUMBER, "saw_angle": NUMBER, "stock_needed": NUMBER,
    },
    "opening": {
        "kind": TEXT, "bay": (int, type(None)), "tread": (int, type(None)), "diameter": NUMBER,
        "center": (list,), "limit": (*NUMBER, type(None)), "clause": (str, type(None)),
        "verdict": TEXT,
    },
    "check": {
        "id": TEXT, "section": COUNT, "value": (*NUMBER, type(None)),
        "limit": (*NUMBER, type(None)), "verdict": TEXT,
        "clause": (str, type(None)), "remedy": (str, type(None)),
    },
}  # fmt: skip


def holds(record, name):
    for key, kinds in CONTRACT[name].items():
        assert key in record, f"{name}: {key}"
        assert isinstance(record[key], kinds), f"{name}: {key} is {record[key]!r}"
        if bool not in kinds:
            assert not isinstance(record[key], bool), f"{name}: {key}"


JOBS = {
    "inch": (),
    "gap chosen": (('bottom_gap = "5/8"', 'bottom_gap = "auto"'),),
    "plumb cut": ((
        'kind = "pivot"\npivot_offset = "1 1/8"\nrail_setback = "3/8"',
        'kind = "plumb-cut"\nend_clearance = "1/8"',
    ),),
    "closed stringer": (
        ("handrail = true", 'handrail = true\nstringer = "closed"\nstringer_margin = "2"'),
        ('bottom_gap = "5/8"', 'bottom_gap = "3"'),
    ),
    "no stock": (('stock = ["72", "96"]\n', ""),),
    "open risers": (("handrail = true", "handrail = true\nopen_risers = true"),),
    "no rake limit": (("max_rack = 38\nslot = { length = \"1 1/8\", wall = \"1/16\" }\n", ""),),
    "flush tread": (("treads = 5", 'treads = 5\ntop = "tread"'), ('"58"]', '"46"]'),
                    ('rise = "43 1/2"', 'rise = "36 1/4"')),
}  # fmt: skip


@pytest.mark.parametrize("changes", JOBS.values(), ids=JOBS)
def test_json_holds_the_contract(run, job, changes):
    """Keys and types of the result; nothing but the object on standard output."""
    code, out, err = run("solve", job(*changes), "--json")
    assert (code, err) == (0, "")
    result = json.loads(out, parse_constant=lambda name: pytest.fail(f"{name} in the result"))
    holds(result, "top")
    assert result["units"] in ("in", "mm")
    for number, section in enumerate(result["sections"], start=1):
        holds(section, "section")
        holds(section["bottom_gap_window"], "window")
        if section["kind"] == "flight":
            holds(section, "flight")
        else:
            assert section["kind"] == "level"
            assert not set(CONTRACT["flight"]) & set(section)
        assert len(section["posts"]) == len(section["bays"]) + 1
        for place, post in enumerate(section["posts"]):
            holds(post, "post")
            for mark in post["marks"]:
                holds(mark, "mark")
                assert mark["rail"] in ("top", "bottom") and mark["side"] in ("up", "down")
                assert mark["bay"] == place + (mark["side"] == "up")
                assert 0 < mark["height"] < post["height"]
            inner = 0 < place < len(section["posts"]) - 1
            assert len(post["marks"]) == (4 if inner else 2)
        for bay in section["bays"]:
            holds(bay, "bay")
        for opening in section["openings"]:
            holds(opening, "opening")
            assert opening["kind"] in KINDS and opening["verdict"] in FINDING
            assert len(opening["center"]) == 2
            assert all(isinstance(value, float) for value in opening["center"])
            if opening["kind"] != "open-riser":
                assert (opening["tread"] is not None) == (opening["kind"] == "triangle")
            assert opening["bay"] is None or 1 <= opening["bay"] <= len(section["bays"])
            if opening["limit"] is None:
                assert opening["verdict"] == "n/a"
        assert {c["section"] for c in result["checks"]} >= {number}
    for check in result["checks"]:
        holds(check, "check")
        assert check["verdict"] in FINDING
        assert check["limit"] is not None or check["verdict"] == "n/a"
        assert check["value"] is not None or check["verdict"] == "n/a"
    fails = any(check["verdict"] == "fail" for check in result["checks"])
    assert result["ok"] is not fails


def test_json_lengths_are_not_rounded(run, job):
    """The rail length is the float itself, not a mark of the tape."""
    out = run("solve", job(), "--json")[1]
    bay = json.loads(out)["sections"][0]["bays"][0]
    step = (7.25**2 + 10.5**2) ** 0.5
    clear = 26.5 + 4 - 3
    assert bay["clear"] == clear
    assert bay["rail_length"] == pytest.approx(
        (clear - 2 * 1.125) * step / 10.5 - 2 * 0.375, rel=1e-14
    )
    assert bay["rail_length"] * 16 % 1 != 0


def test_an_opening_held_against_a_cube_gives_the_cube(run, job):
    """In the corner of tread and riser under the rail the square is (gap + R) G / (R + G)."""
    din = ('rules = "irc-2021"', 'rules = "din-18065-2015"'), ('nosing = "1"', 'nosing = "0"')
    out = run("solve", job(*din), "--json")[1]
    openings = json.loads(out)["sections"][0]["openings"]
    edge = (0.625 + 7.25) * 10.5 / (7.25 + 10.5)
    found = next(one for one in openings if one["kind"] == "triangle" and one["tread"] == 1)
    assert found["limit_kind"] == "cube-smaller"
    assert found["cube"] == found["value"] == pytest.approx(edge)
    assert found["diameter"] > edge  # the ball that stands beside it is no cube
    plain = json.loads(run("solve", job(), "--json")[1])["sections"][0]["openings"]
    for one in plain:
        assert one["limit_kind"] == "ball-smaller" and one["cube"] is None
        assert one["value"] == one["diameter"]

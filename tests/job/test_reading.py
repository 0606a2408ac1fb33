"""Job files that can be used: every key exactly, and what is assumed where one is left out."""

import io
import re
from fractions import Fraction

import msgspec
import pytest

from stairs.job import (
    Bracket,
    GroundSlope,
    JobFlight,
    JobLevel,
    LocalOverride,
    SheetKeys,
    Slot,
    job_from_mapping,
    job_from_text,
    job_to_mapping,
    quick_job,
    read_job,
    section_where,
)
from stairs.job.key_notes import record_of, value_of

FULL = """
title = "Back stair"
units = "in"
rules = "irc-2021"
tape = "1/16"
measured_within = "1/32"

[panel]
height = "32"
top_rail = "1 3/4"
bottom_rail = "1 1/2"
baluster = "3/4"
pitch = "4 1/2"
stock = ["96", "72", "6'"]
end_margin = "2 1/4"
max_rack = 38
trim = "even"
slot = { length = "1 1/8", wall = "1/16" }

[bracket]
kind = "pivot"
pivot_offset = "1 1/8"
rail_setback = "3/8"
max_swing = 40
end_clearance = "1/8"

[post]
width = "3"
base = "5"
edge_distance = "2 3/4"
reveal = "1"
stock = ["39", "45", "54"]

[[section]]
name = "lower flight"
kind = "flight"
rise = "3'-7 1/2"
run = 52.5
treads = 5
top = "landing"
nosing = "1"
tread_thickness = "1 1/4"
open_risers = false
riser_slope = 0.1
stringer = "closed"
stringer_margin = "0"
side_gap = "0"
posts = ["-4", "56"]
bays = 1
bottom_gap = "5/8"
handrail = true
turn = 90

[[section]]
kind = "level"
span = "132"
bays = 3
bottom_gap = "2"
handrail = false
surface = "deck"
ground_slope = { fall = "14 1/2", over = "4 ft" }

[local]
guard-height = { limit = "42", reason = "asked for by the owner" }

[sheet]
paper = "tabloid"
address = ["the house with the", "green door"]
drawn_by = "the maker"
date = 2024-05-17
revision = "B"
north = -37.5
"""


def test_every_key_arrives_exactly():
    job = job_from_text(FULL, "stair.toml")
    assert (job.title, job.units, job.rules) == ("Back stair", "in", "irc-2021")
    assert (job.tape, job.measured_within) == (Fraction(1, 16), Fraction(1, 32))
    assert job.panel.stock == (72, 96)
    assert job.panel.slot == Slot(length=Fraction(9, 8), wall=Fraction(1, 16))
    assert (job.panel.max_rack, job.panel.end_margin) == (38, Fraction(9, 4))
    assert job.bracket == Bracket(
        kind="pivot",
        pivot_offset=Fraction(9, 8),
        rail_setback=Fraction(3, 8),
        max_swing=Fraction(40),
        end_clearance=Fraction(1, 8),
    )
    assert (job.post.width, job.post.base, job.post.stock) == (3, 5, (39, 45, 54))
    flight, level = job.sections
    assert flight == record_of(
        JobFlight,
        name="lower flight",
        rise=Fraction(87, 2),
        run=Fraction(105, 2),
        treads=5,
        nosing=Fraction(1),
        tread_thickness=Fraction(5, 4),
        riser_slope=Fraction(1, 10),
        stringer="closed",
        stringer_margin=Fraction(0),
        posts=(Fraction(-4), Fraction(56)),
        bottom_gap=Fraction(5, 8),
        handrail=True,
        turn=Fraction(90),
    )
    assert level == record_of(
        JobLevel,
        span=Fraction(132),
        bays=3,
        bottom_gap=Fraction(2),
        surface="deck",
        ground_slope=GroundSlope(fall=Fraction(29, 2), over=Fraction(48)),
    )
    assert job.local == (
        LocalOverride(check="guard-height", limit=Fraction(42), reason="asked for by the owner"),
    )
    assert job.sheet == SheetKeys(
        paper="tabloid",
        address=("the house with the", "green door"),
        drawn_by="the maker",
        date="2024-05-17",
        revision="B",
        north=Fraction(-75, 2),
    )
    assert job.assumed == ()
    assert job.where == "stair.toml"


def test_a_decimal_in_the_file_is_exact():
    job = job_from_text(FULL.replace("run = 52.5", "run = 52.1"))
    assert job.sections[0].steps.run == Fraction(521, 10)


LEAST = """
units = "{units}"
[panel]
height = "800 mm"
top_rail = "40 mm"
bottom_rail = "40 mm"
baluster = "20 mm"
pitch = "110 mm"
[bracket]
kind = "plumb-cut"
end_clearance = "3 mm"
[post]
width = "75 mm"
[[section]]
rise = "1.1 m"
run = "1.25 m"
treads = 5
"""


@pytest.mark.parametrize(
    ("units", "rules", "mark", "reveal"),
    [("in", "irc-2021", Fraction(1, 16), 1), ("mm", "england-ad-k-2013", 1, 25)],
)
def test_what_is_left_out_is_assumed_and_listed(units, rules, mark, reveal):
    job = job_from_text(LEAST.format(units=units))
    assert (job.rules, job.tape, job.measured_within) == (rules, mark, mark)
    assert job.post.reveal == reveal
    one = '"' if units == "in" else " mm"
    shown = "1/16" if units == "in" else "1"
    spacing = 72 if units == "in" else 1800
    assert job.post.max_spacing is None
    assert job.assumed == (
        f"rules {rules}",
        f"tape {shown}{one}",
        f"measured_within {shown}{one}",
        'panel: rails are cut whichever way is better, bay by bay (trim = "auto")',
        f"post: edge_distance 0{one}",
        f"post: reveal {reveal}{one}",
        "section 1: kind flight",
        'section 1: the last riser leads onto the upper landing (top = "landing")',
        "section 1: nosings do not stand out over the risers (nosing = 0)",
        "section 1: risers are closed (open_risers = false)",
        'section 1: the stringer is cut (stringer = "cut")',
        "section 1: no gap between tread ends and guard (side_gap = 0)",
        'section 1: the bottom gap is chosen inside its window (bottom_gap = "auto")',
        "section 1: the top rail is not the handrail (handrail = false)",
        'section 1: as many bays as it takes (bays = "auto")',
        f"post: max_spacing {spacing}{one} on centre (common practice, no source)",
    )


def test_a_section_with_a_span_and_no_kind_is_level():
    text = LEAST.format(units="mm").split("[[section]]")[0] + '[[section]]\nspan = "3 m"\n'
    (level,) = job_from_text(text).sections
    assert isinstance(level, JobLevel)
    assert (level.span, level.bays) == (3000, "auto")


def test_posts_of_a_level_run_give_its_span_and_count_from_the_first():
    text = LEAST.format(units="mm").split("[[section]]")[0]
    job = job_from_text(text + "[[section]]\nposts = [100, 1600, 3100]\nkind = 'level'\n")
    assert job.sections[0].span == 3000
    assert job.sections[0].posts == (0, 1500, 3000)
    assert job.sections[0].bays is None


def test_measured_nosings_stand_for_rise_and_run():
    text = LEAST.format(units="in").split("rise =")[0]
    job = job_from_text(text + 'nosings = [["0", "7 1/8"], ["10 1/16", "14 3/16"]]')
    assert job.sections[0].steps.nosings == (
        (0, Fraction(57, 8)),
        (Fraction(161, 16), Fraction(227, 16)),
    )


def test_a_negative_bottom_gap_goes_with_a_side_gap():
    text = LEAST.format(units="mm") + "side_gap = 20\nbottom_gap = -30\n"
    assert job_from_text(text).sections[0].bottom_gap == -30


@pytest.mark.parametrize(
    "line", ["nosing = 0", "side_gap = 0", "turn = -180", "bottom_gap = 0", "riser_slope = 0"]
)
def test_what_may_be_zero_is_read(line):
    key = line.split(" = ")[0]
    job = job_from_text(LEAST.format(units="mm") + line)
    assert value_of(job.sections[0], key) == Fraction(line.split(" = ")[1])


def test_any_text_is_a_title():
    words = 'a $\\frac{1}{2}$ <script> "quoted" שלום 🪜 ' + "x" * 1900
    mapping = {**job_to_mapping(quick_job(42, 50, 5)), "title": words}
    assert job_from_mapping(mapping).title == words


@pytest.mark.parametrize("data", [FULL.encode(), b"\xef\xbb\xbf" + FULL.encode()])
def test_a_file_and_standard_input_read_alike(tmp_path, data):
    path = tmp_path / "stair.toml"
    path.write_bytes(data)
    from_file = read_job(path)
    from_bytes = read_job("-", stdin=io.BytesIO(data))
    from_text = read_job("-", stdin=io.TextIOWrapper(io.BytesIO(data), encoding="ascii"))
    from_words = read_job("-", stdin=io.StringIO(data.decode()))
    assert from_file.where == str(path)
    assert from_bytes.where == from_text.where == from_words.where == "standard input"
    assert msgspec.structs.replace(from_file, where="standard input") == from_bytes
    assert from_bytes == from_text == from_words


@pytest.mark.parametrize(
    "job",
    [
        job_from_text(FULL),
        job_from_text(LEAST.format(units="mm")),
        quick_job(42, 50, 5),
        quick_job("1.1 m", 1250, "5", "mm"),
        job_from_text(
            LEAST.format(units="in").split("rise =")[0]
            + "nosings = [[0, 7.1], [10, '14 1/3'], [20.5, 21]]"
        ),
        job_from_text(LEAST.format(units="in").replace("treads = 5", "rake = '36 1/3'")),
    ],
    ids=["full", "least", "quick in", "quick mm", "nosings", "rake"],
)
def test_a_job_written_out_reads_back_as_itself(job):
    again = job_from_mapping(job_to_mapping(job), job.where)
    # a spacing that the job does not ask for cannot be written out
    assert [line for line in again.assumed if "max_spacing" not in line] == []
    assert again == msgspec.structs.replace(job, assumed=again.assumed)


def test_an_address_of_one_line_is_read_as_a_list_of_one():
    assert job_from_text(
        FULL.replace('address = ["the house with the", "green door"]', 'address = "12 Elm Street"')
    ).sheet.address == ("12 Elm Street",)


@pytest.mark.parametrize(
    ("units", "values"), [("in", ("42", 50.5, 5)), ("mm", (1050, "1.25 m", "5"))]
)
def test_the_quick_look_lists_all_that_it_assumed(units, values):
    job = quick_job(*values, units=units)
    (flight,) = job.sections
    assert (flight.steps.treads, flight.bays, flight.bottom_gap) == (5, "auto", "auto")
    assert flight.steps.rise == Fraction(values[0])
    listed = {line.rsplit(": ", 1)[-1].split(" ")[0] for line in job.assumed}
    listed |= {key for line in job.assumed for key in re.findall(r"\((\w+) = ", line)}
    written = job_to_mapping(job)
    quiet = {"title", "name", "turn", "riser_slope", "trim", "end_clearance", "filler"}
    quiet |= {"hand", "start", "end"}
    for table in (written["panel"], written["bracket"], written["post"], written["section"][0]):
        assert set(table) - quiet - {"rise", "run", "treads"} - listed <= {"kind"}
    assert {"units", "rules", "tape", "measured_within"} <= listed
    assert not {"rise", "run", "treads"} & listed


def test_the_quick_look_takes_a_rulebook():
    assert quick_job(42, 50, 5, rules="irc-2018").rules == "irc-2018"


def test_records_are_frozen():
    job = quick_job(42, 50, 5)
    with pytest.raises(AttributeError):
        job.panel.pitch = Fraction(1)


@pytest.mark.parametrize(
    ("parts", "place"),
    [
        ((1,), "section 1"),
        ((2, "upper"), "section 2 (upper)"),
        ((2, "a\nb", "rise", "f.toml"), r"f.toml: section 2 (a\nb): rise"),
    ],
)
def test_a_section_is_named_by_number_and_name(parts, place):
    assert section_where(*parts) == place


def test_reading_imports_nothing_heavy():
    import subprocess
    import sys

    code = (
        "import sys, stairs.job; "
        "print([m for m in ('sympy', 'numpy', 'matplotlib', 'scipy', 'click') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"

"""What people type who are new to it, and what they are told: one row for each slip that was once
told in the words of a file parser, or misled."""

import pytest
from job_tables import GOOD, METRIC, refusal, text_of

from stairs.errors import FileError
from stairs.job import job_from_text, read_job
from stairs.job.tables import all_places

BETWEEN, INCH = "between two quotes", "and leave off the inch mark"

TYPED = [
    (GOOD, "section.rise", '"36 1/4""', f'{BETWEEN} {INCH}: rise = "36 1/4".'),
    (GOOD, "section.rise", "36 1/4", f'{BETWEEN}: rise = "36 1/4".'),
    (GOOD, "section.rise", "“36 1/4”", 'curly quotes. Use straight ones: rise = "36 1/4"'),
    (GOOD, "section.rise", "36,25", "Write it without a comma: rise = 36.25."),
    (METRIC, "panel.height", "1,000", "Write it without a comma: height = 1000."),
    (GOOD, "section.rise", '"36\' 1/4\\""', 'Was "36 1/4" meant? Then write that.'),
    (GOOD, "section.rise", "36' 1/4\"", 'if inches were meant: rise = "36 1/4".'),
    (METRIC, "panel.height", "1.0", '1 mm or 1.0 m (1000)? Write "1 mm" or "1.0 m".'),
    (METRIC, "section.rise", "1.05", '1.05 mm or 1.05 m (1050)? Write "1.05 mm" or "1.05 m".'),
    (METRIC, "section.unit_rise", "17.5", '17.5 mm or 17.5 cm (175)? Write "17.5 mm" or "17.5'),
    (METRIC, "panel.stock", "[1.8, 2.4]", "1.8 mm or 1.8 m (1800)?"),
    (METRIC, "panel.height", "100", "100 mm or 100 cm (1000)?"),
    (METRIC, "panel.height", "100", "A bare number here is 200 to 3000 mm."),
    (GOOD, "section.going", "10", "Here it is called unit_run."),
    (GOOD, "section.pitch", "35", "Here it is called rake."),
    (GOOD, "section.total_rise", "43", "Here it is called rise."),
    (GOOD, "section.steps", "6", "risers (the number of risers) or treads (the number of treads)."),
    (GOOD, "section.tread", "1", "Here it is called tread_thickness."),
    (GOOD, "panel.picket", "1", "Here it is called baluster."),
    (GOOD, "panel.spindle", "1", "Here it is called baluster."),
    (GOOD, "panel.spacing", "4", "Here it is called pitch."),
    (GOOD, "panel.on_center", "4", "Here it is called pitch."),
    (GOOD, "post.cap", "1", "Here it is called reveal."),
    (GOOD, "post.base_plate", "5", "Here it is called base."),
    (GOOD, "section.length", "96", "It is called span."),
    (GOOD, "section.handrail", "yes", "in small letters, without quotes: handrail = true."),
    (GOOD, "section.handrail", "True", "in small letters, without quotes: handrail = true."),
    (GOOD, "top.units", '"inches"', 'Write units = "in".'),
    (GOOD, "top.units", '"metric"', 'Write units = "mm".'),
    (GOOD, "section.kind", '"stairs"', 'Write kind = "flight".'),
    (GOOD, "section.kind", '"deck"', 'Write kind = "level".'),
    (GOOD, "section.hand", '"LH"', 'Write hand = "left".'),
    (GOOD, "section.stringer", '"open"', 'Write stringer = "cut".'),
    (GOOD, "section.turn", '"left"', "Write turn = 90."),
    (GOOD, "section.turn", '"right"', "Write turn = -90."),
    (GOOD, "section.bottom_gap", '"Auto"', 'Write bottom_gap = "auto".'),
    (GOOD, "section.treads", '"5"', "Write treads = 5."),
    (GOOD, "section.treads", "5.0", "Write treads = 5."),
    (GOOD, "bracket.kind", '"swivel"', 'Write kind = "pivot".'),
    (GOOD, "panel.stock", "72", "with commas between: stock = [72]."),
    (GOOD, "panel.stock", '"72, 96"', 'with commas between: stock = ["72", "96"].'),
    (GOOD, "section.handrail", '"no"', "Write handrail = false."),
]  # fmt: skip


@pytest.mark.parametrize(("tables", "place", "typed", "told"), TYPED)
def test_a_slip_is_told_in_plain_words(tables, place, typed, told):
    error = str(refusal(text_of(tables, {place: typed})))
    assert told in error
    for word in ("expected", "statement", "invalid", "Leave it out"):
        assert word not in error


def test_every_word_for_a_value_leads_to_one_that_is_read():
    """No word is given for two values of a key, and none that is a value itself."""
    told = 0
    for place in all_places():
        said = place.key.note.said
        words = [word for others in said.values() for word in others]
        assert len(set(words)) == len(words) and not set(words) & set(said), place.path
        for value, others in said.items():
            for word in others:
                told += 1
                assert place.key.meant(word.upper()).strip('"') == value
            if place.key.choices and place.key.name != "kind":
                assert value in place.key.choices, place.path
    assert told > 50


def test_one_line_of_an_address_is_a_list_of_one():
    assert job_from_text(text_of(GOOD, {"sheet.address": '"12 Elm St"'})).sheet.address == (
        "12 Elm St",
    )


def test_a_file_is_named_only_where_its_name_is_near(tmp_path):
    (tmp_path / "bom.toml").write_text("", encoding="utf-8")
    for name, told in (("nofile.toml", "Check the path."), ("bomb.toml", "is bom.toml.")):
        with pytest.raises(FileError) as caught:
            read_job(tmp_path / name)
        assert str(caught.value).endswith(told)

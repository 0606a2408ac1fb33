"""Job files that cannot be used: each message names file, section, key, the words as typed, what is
allowed and what to do.  Every case below is one message, told apart by its words."""

import pytest
from job_tables import GOOD, LEVEL, METRIC, refusal, text_of

from stairs.errors import JobError, MeasurementsContradict, NoSuchShape
from stairs.job import job_from_mapping, job_from_text


def test_the_unchanged_jobs_are_read():
    for tables in (GOOD, METRIC):
        assert job_from_text(text_of(tables)).sections
    assert job_from_text(text_of(GOOD, section=LEVEL)).sections


# One row for each message: what is changed in the good inch job, the place, the words.
KEY_ERRORS = [
    # missing keys
    ({"top.units": None}, "units", 'is missing. It is the units of bare numbers. Choose it and add'
                                   ' it to the job file, as in units = "in"'),
    ({"panel.height": None}, "panel: height", "is missing. It is the height of the level panel, "
     "underside of bottom rail to top of top rail. Measure it (P in the picture that stairs form "
     "draws) and add it under [panel], as in "
     'height = "32"'),
    ({"panel.top_rail": None}, "panel: top_rail", 'as in top_rail = "1 3/4"'),
    ({"panel.bottom_rail": None}, "panel: bottom_rail", 'as in bottom_rail = "1 1/2"'),
    ({"panel.baluster": None}, "panel: baluster", "It is the width of a baluster"),
    ({"panel.pitch": None}, "panel: pitch", "It is the distance between baluster centres"),
    ({"bracket.kind": None}, "bracket: kind", "is missing. It is the kind of bracket. Choose it"),
    ({"bracket.pivot_offset": None}, "bracket: pivot_offset", "the distance from post face to pin"),
    ({"bracket.rail_setback": None}, "bracket: rail_setback", "from pin to rail end"),
    ({"bracket.kind": '"plumb-cut"'}, "bracket: end_clearance", "is missing. It is the distance "
     "from post face to cut face. Measure it (j in the picture that stairs form draws) and add it "
     "under [bracket], "
     'as in end_clearance = "1/8"'),
    ({"post.width": None}, "post: width", "is missing. It is the width of a post"),
    # unknown keys
    ({"panel.picth": "1"}, "panel: picth",
     '"picth" is not a key of [panel]. The nearest known key is "pitch"'),
    ({"panel.colour": '"red"'}, "panel: colour", '"colour" is not a key of [panel]. Known keys: '
     "baluster, bottom_rail, end_margin, height, max_rack, pitch, rail_width, slot, stock, "
     "top_rail, trim. Use the one that is meant"),
    ({"section.going": "10"}, "section 1: going", "is not a key of [[section]]. Here it is called "
     "unit_run"),
    ({"section.pitch": "35"}, "section 1: pitch", "Here it is called rake"),
    ({"section.steps": "6"}, "section 1: steps", "Here it is called risers"),
    ({"panel.spindle": "1"}, "panel: spindle", "Here it is called baluster"),
    ({"panel.on_center": "4"}, "panel: on_center", "Here it is called pitch"),
    ({"post.spacing": "72"}, "post: spacing", "Here it is called max_spacing"),
    ({"post.cap": "1"}, "post: cap", "Here it is called reveal"),
    ({"top.unit": '"in"'}, "unit", '"unit" is not a key of the job file. '
     'The nearest known key is "units"'),
    ({"bracket.setback": "1"}, "bracket: setback", 'The nearest known key is "rail_setback"'),
    ({"post.with": "1"}, "post: with", 'The nearest known key is "width"'),
    ({"section.RISERS": "6"}, "section 1: RISERS", 'The nearest known key is "risers"'),
    ({"section.unitrun": "1"}, "section 1: unitrun", 'The nearest known key is "unit_run"'),
    ({"section.span": '"132"'}, "section 1: span",
     'It belongs to a section of kind "level"'),
    ({"frames.joists": "1"}, "frames", '"frames" is not a key of the job file'),
    ({"sheet.papr": '"letter"'}, "sheet: papr", 'The nearest known key is "paper"'),
    ({"panel.slot": '{ lenght = "1", wall = "1/16" }'}, "panel: slot: lenght",
     'is not a key of slot = { ... }. The nearest known key is "length"'),
    ({"local.guard": '{ limit = "42", reason = "r", why = "" }'}, "local: guard: why",
     "is not a key of guard = { ... }"),
    # lengths
    ({"panel.pitch": '"-4 1/2"'}, "panel: pitch", '"-4 1/2" is negative. A length above 0 is '
     "needed. Give the distance between baluster centres along the rail"),
    ({"panel.pitch": "0"}, "panel: pitch", "is 0. A length above 0 is needed"),
    ({"panel.pitch": "nan"}, "panel: pitch", "nan is not a finite number"),
    ({"panel.pitch": "-inf"}, "panel: pitch", "-inf is not a finite number"),
    ({"panel.pitch": "1e99"}, "panel: pitch", "1E+99 is longer than 1000 ft"),
    ({"panel.pitch": '"__import__(\'os\')"'}, "panel: pitch",
     "\"__import__('os')\" is not a length"),
    ({"panel.pitch": "true"}, "panel: pitch", "true is not a length. A length is a number"),
    ({"panel.pitch": "[4.5]"}, "panel: pitch", "a list of 1 is not a length"),
    ({"panel.pitch": "2024-05-17"}, "panel: pitch", "2024-05-17 is not a length"),
    ({"section.nosing": "-1"}, "section 1: nosing", "-1 is negative. A length of 0 or more is "
     "needed. Give how far a nosing stands out"),
    ({"section.side_gap": "-1"}, "section 1: side_gap", "A length of 0 or more is needed"),
    ({"section.rise": '"0"'}, "section 1: rise", 'is "0". A length above 0 is needed. '
     "Give the total rise"),
    ({"section.name": '"lower flight"', "section.unit_run": '"-1"'},
     "section 1 (lower flight): unit_run", '"-1" is negative'),
    ({"top.measured_within": '"-1/16"'}, "measured_within", "A length of 0 or more is needed"),
    ({"top.tape": "0"}, "tape", "is 0. A length above 0 is needed"),
    ({"top.tape": "16"}, "tape", "16 is read as 16 in. tape is at most 1 in. Was 1/16 meant? "
                                 'Then write "1/16"'),
    ({"top.tape": '"1 mm"'}, "tape", '"1 mm" is 5/127 in, and no inch tape is divided so. A mark '
     'is a whole part of an inch. Give it as in "1/16", or write units = "mm"; lengths in inches '
     'can stay, each with its unit, as in "33 in"'),
    ({"top.measured_within": '"1 1/2"'}, "measured_within", '"1 1/2" is read as 1 1/2 in. '
     "measured_within is at most 1 in. Give the smallest mark of the tape"),
    ({"section.bottom_gap": '"atuo"'}, "section 1: bottom_gap", '"atuo" is not a length. '
     'bottom_gap is a length or "auto"'),
    ({"section.bottom_gap": '"-1/2"'}, "section 1: bottom_gap", '"-1/2" is negative. A bottom rail '
     "goes below the nosing line only where the guard stands outside the tread ends (side_gap "
     'above 0). Give side_gap, or a bottom_gap of 0 or more, or "auto"'),
    # unit slips
    ({"section.unit_rise": "190"}, "section 1: unit_rise", "190 is read as 190 in. A bare number "
     'here is 2 1/2 to 16 in. 190 in or 190 mm? Write "190 in" or "190 mm"'),
    ({"section.unit_run": "250"}, "section 1: unit_run", "250 in or 250 mm?"),
    ({"section.rise": '"1140"'}, "section 1: rise", "1140 in or 1140 mm?"),
    ({"section.rise": '"4"'}, "section 1: rise", '4 in or 4 ft? Write "4 in" or "4 ft"'),
    ({"panel.height": "900"}, "panel: height", "900 in or 900 mm?"),
    ({"panel.height": "3"}, "panel: height", "3 in or 3 ft?"),
    ({"panel.pitch": "110"}, "panel: pitch", "110 in or 110 mm?"),
    ({"panel.stock": "[6, 8]"}, "panel: stock 1", "6 is read as 6 in. A bare number here is 12 to "
     '600 in. 6 in or 6 ft? Write "6 in" or "6 ft"'),
    ({"panel.slot": '{ length = "28", wall = "1/16" }'}, "panel: slot: length", "28 in or 28 mm?"),
    ({"bracket.body": '{ height = "1 1/2", reach = "9" }'}, "bracket: body: reach",
     '"9" is read as 9 in. A bare number here is 1/16 to 8 in. 9 in or 9 mm?'),
    ({"bracket.holes": '[["12", "18"]]'}, "bracket: holes", "18 in or 18 mm?"),
    ({"post.width": "75"}, "post: width", "75 in or 75 mm?"),
    ({"post.stock": '["3 3/4"]'}, "post: stock 1", "3 3/4 in or 3 3/4 ft?"),
    ({"section.width": '"4"'}, "section 1: width", "4 in or 4 ft?"),
    ({"section.drop": '"3"'}, "section 1: drop", "3 in or 3 ft?"),
    ({"section.posts": '["-0.3", "5"]'}, "section 1: posts", "no two posts are farther apart than "
     "5.3 in. From post to post a bare number makes 7 to 300 in. Were ft meant? Then write that "
     "unit with each of them"),
    ({"section.posts": '["-100", "1500"]'}, "section 1: posts", "no two posts are nearer than 1600 "
     "in. From post to post a bare number makes 7 to 300 in. Were mm meant?"),
    ({"section.nosing": "25"}, "section 1: nosing", "25 in or 25 mm?"),
    ({"section.bottom_gap": "50"}, "section 1: bottom_gap", "50 in or 50 mm?"),
    ({"section.rise": '"435"'}, "section 1: rise", '"435" is read as 435 in, which makes 6 risers '
     "of 72 1/2 in each. Risers are 2 1/2 to 16 in. Measure rise again, and count the risers"),
    ({"section.rise": '"1080 mm"', "section.treads": "29"}, "section 1: rise", "which makes 30 "
     "risers of 1.417 in each"),
    ({"section.rise": '"7 1/4"', "section.treads": "4"}, "section 1: rise", '"7 1/4" is read as '
     "7 1/4 in, which makes 5 risers of 1.45 in each. Risers are 2 1/2 to 16 in. Is it one riser? "
     'Then write unit_rise = "7 1/4". Else measure rise again, and count the risers'),
    ({"section.rise": '"7 1/4 in"', "section.treads": "4"}, "section 1: rise", "Is it one riser?"),
    ({"section.run": '"10 1/2"'}, "section 1: run", "which makes 5 treads of 2.1 in each. Treads "
     'are 3 to 80 in. Is it one tread? Then write unit_run = "10 1/2"'),
    ({"section.rise": "\"36' 1/4\\\"\""}, "section 1: rise", "is read as 432 1/4 in, which makes 6 "
     'risers of 72.04 in each. Risers are 2 1/2 to 16 in. Was "36 1/4" meant? Then write that'),
    ({"section.unit_rise": '"71/4"', "section.rise": None}, "section 1: unit_rise",
     '17 3/4 in or 7 1/4? Write "17 3/4 in" or "7 1/4"'),
    ({"section.rake": "0.69"}, "section 1: rake", "0.69 is read as 0.69 degrees. A stair has 2 to "
     "80 degrees. Is it a slope, rise over run? Then write 34.6"),
    ({"section.rake": "85"}, "section 1: rake", "Measure it again, from level"),
    # angles
    ({"section.rake": "0"}, "section 1: rake", "0 is less than can be. An angle between 0 and 90 "
     "degrees is read. Give the angle of the nosing line from level in degrees"),
    ({"section.rake": "90"}, "section 1: rake", "90 is more than can be"),
    ({"section.rake": "-30"}, "section 1: rake", "-30 is less than can be"),
    ({"section.rake": '"steep"'}, "section 1: rake", '"steep" is not an angle'),
    ({"section.rake": "nan"}, "section 1: rake", "nan is not a finite number. An angle is"),
    ({"section.turn": "200"}, "section 1: turn", "An angle from -180 to 180 degrees is read"),
    ({"section.riser_slope": "50"}, "section 1: riser_slope", "An angle from 0 to 45 degrees"),
    ({"panel.max_rack": "91"}, "panel: max_rack", "91 is more than can be. An angle from 0 to 90"),
    ({"bracket.max_swing": "-1"}, "bracket: max_swing", "-1 is less than can be"),
    # counts
    ({"section.risers": "1"}, "section 1: risers", "is 1. One riser is a step: it has no nosing "
     "line and no rake. Give 2 or more"),
    ({"section.treads": "0"}, "section 1: treads", "is 0. A flight has one tread or more between "
     "its landings. Give 1 or more"),
    ({"section.treads": "1", "section.top": '"tread"'}, "section 1: treads",
     'is 1 with top = "tread", which makes one riser'),
    ({"section.treads": "5.5"}, "section 1: treads", "5.5 cannot be used. treads is a whole number "
     "of 1 or more. It states the number of treads"),
    ({"section.treads": '"5"'}, "section 1: treads", '"5" cannot be used. treads is a whole'),
    ({"section.treads": "true"}, "section 1: treads", "true cannot be used"),
    ({"section.risers": "6.0"}, "section 1: risers", "risers is a whole number of 2 or more"),
    ({"section.risers": "100000"}, "section 1: risers", "is 100000. At most 100 are read. "
     "Check the number"),
    ({"section.bays": "0"}, "section 1: bays", "is 0. A guard has one bay or more"),
    ({"section.bays": '"Auto"'}, "section 1: bays", '"Auto" cannot be used. bays is a whole number '
     'of 1 or more, or "auto". The nearest is "auto"'),
    # choices, yes or no, text
    ({"top.units": '"cm"'}, "units", '"cm" cannot be used. units is "in" or "mm"'),
    ({"bracket.kind": '"pivto"'}, "bracket: kind", '"pivto" cannot be used. kind is "pivot" or '
     '"plumb-cut". The nearest is "pivot"'),
    ({"panel.trim": '"odd"'}, "panel: trim", 'trim is "even", "half-pitch" or "auto". It states'),
    ({"post.base": '"90 in"'}, "post: max_spacing", '72", as assumed, leaves no room between base '
     'plates 90" wide. Posts stand farther apart, centre to centre, than they are wide'),
    ({"section.rail_line": '"ends"'}, "section 1: rail_line", "stands without measured nosings. "
     "Only over nosings that were measured is there a line to choose. Leave rail_line out, or "
     "measure nosings, or rises and runs"),
    ({"section.rail_line": '"lowest"'}, "section 1: rail_line", 'rail_line is "cover", "ends" or '
     '"mean". It states the straight line over measured nosings that the rail follows'),
    ({"section.trim": '"half pitch"'}, "section 1: trim", '"half pitch" cannot be used. trim is '
     '"even", "half-pitch" or "auto", or a list with one of these for each bay. The nearest is '
     '"half-pitch"'),
    ({"section.trim": "7"}, "section 1: trim", "7 cannot be used. trim is"),
    ({"section.trim": '["even", 7]', "section.bays": "2"}, "section 1: trim 2",
     "7 cannot be used. trim is"),
    ({"section.trim": '["even"]'}, "section 1: trim", "is a list of 1, and how many bays there are "
     "is left open. A list of trims has one for each bay. List the posts, give bays as a number, "
     'or write one word for all bays, as in trim = "auto"'),
    ({"section.trim": '["even"]', "section.bays": "2"}, "section 1: trim", "is a list of 1, and "
     "there are 2 bays. A list of trims has one for each bay, foot of the section first. Give as "
     "many as there are bays, or one word for all of them"),
    ({"section.trim": "[]", "section.posts": '["-4", "60"]'}, "section 1: trim", "is a list of 0, "
     "and there is 1 bay"),
    ({"section.kind": '"ramp"'}, "section 1: kind", '"ramp" cannot be used. kind is "flight" or '
     '"level". It states the kind of section'),
    ({"section.kind": "[1]"}, "section 1: kind", "a list of 1 cannot be used"),
    ({"section.top": '"deck"'}, "section 1: top", 'top is "landing" or "tread"'),
    ({"section.stringer": '"Cut"'}, "section 1: stringer", '"Cut" cannot be used. stringer is '
     '"cut" or "closed". The nearest is "cut"'),
    ({"section.handrail": '"yes"'}, "section 1: handrail", '"yes" cannot be used. handrail is true '
     "or false, without quotes. Write handrail = true"),
    ({"section.handrail": '"perhaps"'}, "section 1: handrail", "It states whether the top rail "
     "is the handrail"),
    ({"section.open_risers": "1"}, "section 1: open_risers", "1 cannot be used. open_risers is"),
    ({"top.title": "5"}, "title", "5 is not text. Text in quotes is read. Give the job's title in"),
    ({"top.rules": "2021"}, "rules", "2021 is not text"),
    ({"top.title": '"' + "x" * 2001 + '"'}, "title", "has 2001 characters. At most 2000 are read"),
    ({"section.name": "7"}, "section 1: name", "7 is not text"),
    ({"sheet.date": "7"}, "sheet: date", "7 is not text"),
    ({"sheet.north": "361"}, "sheet: north", "361 is more than a full turn. Angles stay within 360 "
     "degrees either way"),
    ({"sheet.north": '"east"'}, "sheet: north", '"east" is not an angle. An angle is a number of '
     "degrees"),
    ({"sheet.north": "true"}, "sheet: north", "true is not an angle"),
    ({"sheet.address": "3"}, "sheet: address", "3 is not a list. A list in square brackets is "
     "read"),
    ({"top.title": '" "'}, "title", "is empty. It is the job's title. Write it, or leave title "
     "out"),
    ({"section.name": '""'}, "section 1: name", "is empty"),
    ({"top.title": '"a\\u0007b"'}, "title", '"a\\x07b" holds a character that cannot be printed, '
     "U+0007. Letters, figures and signs are read. Take it out"),
    ({"section.name": '"\\u001b[2J"'}, "section 1 (\\x1b[2J): name", "U+001B"),
    ({"local.guard": '{ limit = "42", reason = "a\\uFFFEb" }'}, "local: guard: reason", "U+FFFE"),
    ({"sheet.address": "[7]"}, "sheet: address 1", "7 is not text"),
    ({"sheet.address": str(["x"] * 21)}, "sheet: address", "is a list of 21. At most 20 are read"),
    # lists
    ({"panel.stock": '"72"'}, "panel: stock", '"72" is not a list. A list in square brackets is '
     "read. Give the rail lengths sold in square brackets, with commas between"),
    ({"panel.stock": '["72", "-96"]'}, "panel: stock 2", '"-96" is negative. A stock length is '
     'above 0. List the rail lengths sold, as in ["72"]'),
    ({"panel.stock": "[]"}, "panel: stock", "is an empty list. It lists the rail lengths sold. "
     'List them, as in ["72"], or leave stock out'),
    ({"post.stock": "[]"}, "post: stock", 'as in ["45"], or leave stock out'),
    ({"post.stock": "[0]"}, "post: stock 1", "is 0. A stock length is above 0"),
    ({"panel.stock": '["6 x 2"]'}, "panel: stock 1", '"6 x 2" is not a length'),
    ({"section.posts": "[1]"}, "section 1: posts", "is a list of 1. A guard has 2 posts or more"),
    ({"section.posts": '["56", "-4"]'}, "section 1: posts 2", '"-4" is not beyond "56", the post '
     "before it. Post centres grow from the first post to the last"),
    ({"section.posts": "[1, 1]"}, "section 1: posts 2", "1 is not beyond 1"),
    ({"section.posts": str(list(range(1001)))}, "section 1: posts", "is a list of 1001"),
    ({"section.posts": '["-4", "x"]'}, "section 1: posts 2", '"x" is not a length'),
    ({"section.nosings": "[[0, 7], [10, 14]]"}, "section 1: rise", "stands beside nosings. "
     "Measured nosings already say every rise and run; they stand instead of rake, rise, risers, "
     "run, treads, unit_rise, unit_run. Leave out rise or nosings"),
    # tables
    ({"panel.slot": "3"}, "panel: slot", "3 is not a table. Its keys stand beside each other in "
     "braces. Write slot = { length = ..., wall = ... }"),
    ({"panel.slot": '{ length = "1" }'}, "panel: slot: wall", "is missing. It is the thickness"),
    ({"section.ground_slope": '"1 in 2"'}, "section 1: ground_slope", '"1 in 2" is not a table. '
     "Its keys stand beside each other in braces. Write ground_slope = { fall = ..., over = ... }"),
    ({"section.ground_slope": '{ fall = "8" }'}, "section 1: ground_slope: over", "is missing. It "
     "is how far out, level, from the edge it falls so much"),
    ({"section.ground_slope": '{ fall = "-8", over = "48" }'}, "section 1: ground_slope: fall",
     '"-8" is negative. A length of 0 or more is needed'),
    ({"section.ground_slope": '{ fall = "8", over = "0" }'}, "section 1: ground_slope: over",
     'is "0". A length above 0 is needed'),
    ({"top.sheet": "3"}, "sheet", "3 is not a table. Its keys stand on lines of their own under "
     "[sheet]. Write [sheet] on a line of its own and the keys below it"),
    ({"local.guard": "42"}, "local: guard", "42 is not a table. Its keys stand beside each other "
     'in braces. Write guard = { limit = ..., reason = "..." }'),
    ({"local.guard": '{ limit = "42" }'}, "local: guard: reason", "is missing. It is why, in the "
     "words that every sheet is to show"),
    ({"local.guard": '{ limit = "42", reason = " " }'}, "local: guard: reason", "is empty. Every "
     "sheet shows why a rule was replaced"),
    ({"local.guard": '{ reason = "x" }'}, "local: guard: limit", "is missing. It is the limit"),
    ({"local.guard": '{ limit = "-1", reason = "x" }'}, "local: guard: limit", "is negative"),
    # keys beside others
    ({"section.stringer": '"closed"'}, "section 1: stringer_margin", "is missing. A closed "
     "stringer's straight edge lies this far, plumb, above the nosing line. Measure it (mv in the "
     "picture that stairs form draws) and add it, "
     'as in stringer_margin = "2"; it may be 0'),
    ({"section.stringer_margin": "2"}, "section 1: stringer_margin", "stands beside a cut"),
]  # fmt: skip


@pytest.mark.parametrize(("changes", "place", "words"), KEY_ERRORS)
def test_each_message_names_the_key_and_what_to_do(changes, place, words):
    error = refusal(text_of(GOOD, changes))
    assert isinstance(error, JobError)
    assert str(error).startswith(f"stair.toml: {place}: ")
    assert words in str(error)
    assert error.where == f"stair.toml: {place}"
    assert error.found


METRIC_ERRORS = [
    ({"section.unit_rise": "7.5"}, "section 1: unit_rise", "7.5 is read as 7.5 mm. A bare number "
     'here is 60 to 400 mm. 7.5 mm or 7.5 in? Write "7.5 mm" or "7.5 in"'),
    ({"section.unit_rise": '"7 1/2"'}, "section 1: unit_rise", "7.5 mm or 7 1/2 in?"),
    ({"section.unit_rise": "17.5"}, "section 1: unit_rise", "17.5 mm or 17.5 cm (175)?"),
    ({"section.unit_run": "10"}, "section 1: unit_run", "10 mm or 10 in?"),
    ({"section.rise": "43.5"}, "section 1: rise", "43.5 mm, 43.5 cm (435) or 43.5 in?"),
    ({"section.rise": "1.05"}, "section 1: rise", "1.05 mm or 1.05 m (1050)?"),
    ({"section.rise": "130"}, "section 1: rise", "130 is read as 130 mm, which makes 6 risers of "
     '21.67 mm each. Risers are 60 to 400 mm. Was "130 cm" meant? Then write that'),
    ({"panel.height": "32"}, "panel: height", "32 mm or 32 in?"),
    ({"panel.height": "1.0"}, "panel: height", "1 mm or 1.0 m (1000)?"),
    ({"panel.height": "100"}, "panel: height", "100 mm or 100 cm (1000)?"),
    ({"panel.stock": "[1.8, 2.4]"}, "panel: stock 1", "1.8 mm or 1.8 m (1800)?"),
    ({"panel.pitch": "4.5"}, "panel: pitch", "4.5 mm or 4.5 in?"),
    ({"post.width": "3"}, "post: width", "3 mm, 3 cm (30) or 3 in?"),
    ({"section.width": "36"}, "section 1: width", "36 mm or 36 in?"),
    ({"section.drop": "110"}, "section 1: drop", "110 mm, 110 cm (1100) or 110 in?"),
    ({"section.tread_thickness": "1.25"}, "section 1: tread_thickness", "1.25 mm"),
    ({"panel.pitch": None}, "panel: pitch", 'as in pitch = "110"'),
    ({"top.tape": '"1/16 in"'}, "tape", '"1/16 in" is 1.5875 mm, and no metric tape is divided so. '
     "A mark is in millimetres, of two decimals at most. Give it as in 1 or 0.5, or write units = "
     '"in"; lengths in millimetres can stay, each with its unit, as in "900 mm"'),
    ({"top.tape": "32"}, "tape", "32 is read as 32 mm. tape is at most 25 mm. Was 1/32 meant"),
]  # fmt: skip


@pytest.mark.parametrize(("changes", "place", "words"), METRIC_ERRORS)
def test_each_message_of_a_metric_job_speaks_millimetres(changes, place, words):
    error = refusal(text_of(METRIC, changes))
    assert error.where == f"stair.toml: {place}"
    assert words in str(error)


SHAPE_ERRORS = [
    ({"panel.top_rail": '"31 in"'}, "panel: height", '"32" leaves no room between the rails, which '
     'are 32 1/2" deep together. A panel is higher than its two rails'),
    ({"panel.baluster": '"5"'}, "panel: pitch", '"4 1/2" leaves no gap between balusters that are '
     '5" wide. The pitch is greater'),
    ({"panel.baluster": '"4 1/2"'}, "panel: pitch", "leaves no gap between balusters"),
    ({"panel.slot": '{ length = "1/2", wall = "1/16" }'}, "panel: slot: length", '"1/2" is shorter '
     'than the baluster\'s width, 3/4". A baluster passes the hole'),
    ({"panel.stock": '["72"]', "panel.end_margin": '"72 in"'}, "panel: end_margin", '"72 in" is '
     'not shorter than the rail stock of 72"'),
    ({"post.base": '"2"'}, "post: base", '"2" is narrower than the post, 3". A base plate is at '
     "least as wide as its post"),
]  # fmt: skip


@pytest.mark.parametrize(("changes", "place", "words"), SHAPE_ERRORS)
def test_parts_that_leave_no_room_are_no_shape(changes, place, words):
    error = refusal(text_of(GOOD, changes))
    assert isinstance(error, NoSuchShape)
    assert error.where == f"stair.toml: {place}"
    assert words in str(error)


def test_bays_and_posts_that_disagree_show_both():
    error = refusal(text_of(GOOD, {"section.posts": "[-4, 26, 56]", "section.bays": "3"}))
    assert isinstance(error, MeasurementsContradict)
    assert "section 1: bays: is 3, and the 3 posts listed make 2" in str(error)
    assert error.values == (3, 2)


def test_span_and_posts_that_disagree_show_both_and_the_difference():
    error = refusal(text_of(GOOD, {"section.posts": "[0, 66, 131]"}, LEVEL))
    assert isinstance(error, MeasurementsContradict)
    assert (
        'section 1: span: is 132", and the posts listed stand 131" from first to last, which '
        'differs by 1"' in str(error)
    )
    assert error.difference == 1


@pytest.mark.parametrize(
    ("place", "meant"),
    [
        ("section.going", "unit_run"),
        ("section.tread_depth", "unit_run"),
        ("section.riser", "unit_rise"),
        ("section.pitch", "rake"),
        ("section.slope", "rake"),
        ("section.angle", "rake"),
        ("section.total_rise", "rise"),
        ("section.total_run", "run"),
        ("section.steps", "risers (the number of risers) or treads (the number of treads)"),
        ("section.tread_run", "unit_run"),
        ("section.overhang", "nosing"),
        ("section.string", "stringer"),
        ("panel.length", "stock"),
        ("panel.lower_rail", "bottom_rail"),
        ("top.code", "rules"),
        ("top.railing", "[panel]"),
        ("top.newels", "[post]"),
        ("top.stairs", "[[section]]"),
        ("section.tread", "tread_thickness"),
        ("panel.picket", "baluster"),
        ("panel.spindle", "baluster"),
        ("panel.spacing", "pitch"),
        ("panel.on_center", "pitch"),
        ("post.spacing", "max_spacing"),
        ("post.cap", "reveal"),
        ("post.base_plate", "base"),
    ],
)
def test_a_word_of_the_trade_is_told_as_the_key_that_is_meant_and_never_taken(place, meant):
    error = refusal(text_of(GOOD, {place: "10"}))
    assert str(error).endswith(f"Here it is called {meant}.")


@pytest.mark.parametrize(
    ("place", "told"),
    [
        ("panel.going", "It is called unit_run under [[section]] of a flight"),
        ("post.pitch", "It belongs under [panel]. Or: It is called rake under [[section]] of a "
         "flight"),
        ("top.picket", "It is called baluster under [panel]"),
        ("section.spacing", "It is called pitch under [panel], max_spacing under [post] or "
         "joist_spacing under [framing]"),
        ("bracket.wall", "It belongs in slot = { ... } under [panel]"),
        ("section.address", "It belongs under [sheet]"),
        ("framing.width", "Here it is called board_width"),
        ("framing.direct", 'The nearest known key is "direction"'),
        ("framing.bolt", 'The nearest known key is "bolt_diameter" or "bolt_inset"'),
    ],
)  # fmt: skip
def test_a_key_of_another_table_is_told_with_its_table(place, told):
    tables = {**GOOD, "framing": {}} if place.startswith("framing") else GOOD
    assert str(refusal(text_of(tables, {place: "10"}))).endswith(f"{told}.")


def test_the_length_of_a_level_run_is_its_span_also_where_the_kind_is_left_out():
    told = 'It is called span. It belongs to a section of kind "level".'
    assert str(refusal(text_of(GOOD, {"section.length": "132"}))).endswith(told)
    level = text_of(GOOD, {"section.length": "132"}, {"kind": '"level"'})
    assert str(refusal(level)).endswith("Here it is called span.")


@pytest.mark.parametrize(
    ("typed", "plain"), [("36,25", "36.25"), ("1,000", "1000"), ("-0,5", "-0.5")]
)
def test_a_comma_in_a_quoted_number_is_taken_out_in_the_message(typed, plain):
    error = refusal(text_of(GOOD, {"section.rise": f'"{typed}"'}))
    assert str(error).endswith(f"Write it without a comma: {plain}.")


LEVEL_ERRORS = [
    ({"section.span": None}, "section 1: edge", "is missing. It is the length of the edge of the "
     "deck or landing, from corner, wall or stair to corner, wall or stair. Measure it (E in the "
     'picture that stairs form draws) and add it under [[section]], as in edge = "144"; or give '
     'the centres of the end posts (As), as in span = "132"'),
    ({"section.span": "0"}, "section 1: span", "is 0. A length above 0 is needed"),
    ({"section.edge": "0"}, "section 1: edge", "is 0. A length above 0 is needed. Give the length "
     "of the edge of the deck or landing"),
    ({"section.edge": '"-96"', "section.span": None}, "section 1: edge", '"-96" is negative'),
    ({"section.edge": '"eight feet"'}, "section 1: edge", '"eight feet"'),
    ({"section.edge": "3000"}, "section 1: edge", "3000 in or 3000 mm?"),
    ({"section.edge": '"96"', "section.opening": '"left"'}, "section 1: opening", '"left" cannot '
     'be used. opening is "start", "end" or "both"'),
    ({"section.rise": "7"}, "section 1: rise", '"rise" is not a key of [[section]]. Known keys: '
     "as_built, bays, bottom_gap, done, drop, edge, end, filler, framing, ground_slope, hand, "
     "handrail, kind, name, opening, post_gap, posts, span, start, surface, trim, turn, width. "
     'It belongs to a section of kind "flight"'),
    ({"section.bottom_gap": "-1"}, "section 1: bottom_gap", "-1 is negative. A bottom rail stays "
     'above the deck or the landing. Give a bottom_gap of 0 or more, or "auto"'),
    ({"section.bays": "1001"}, "section 1: bays", "At most 100 are read"),
]  # fmt: skip


@pytest.mark.parametrize(("changes", "place", "words"), LEVEL_ERRORS)
def test_each_message_of_a_level_run_names_the_key(changes, place, words):
    error = refusal(text_of(GOOD, changes, LEVEL))
    assert error.where == f"stair.toml: {place}"
    assert words in str(error)


NOSING_ERRORS = [
    ("[[0, 7]]", "nosings", "is a list of 1. A flight has 2 nosings or more, the upper landing's"),
    ("[]", "nosings", "is a list of 0"),
    ("[[0, 7], [10, 14, 20]]", "nosings 2", "a list of 3 is not a point. A nosing point is a pair: "
     "x from the first nosing, y from the lower landing"),
    ("[0, 7]", "nosings 1", "0 is not a point"),
    ("[[4, 7], [14, 14]]", "nosings 1", "its x, 4, is not 0. The first nosing is where x is "
     'measured from. Take 4" off the x of every nosing and post'),
    ("[[0, 0], [10, 7]]", "nosings 1", "its y, 0, is not beyond that of the nosing before"),
    ("[[0, 7], [0, 14]]", "nosings 2", "its x, 0, is not beyond that of the nosing before. Nosings "
     "go up the stair"),
    ('[[0, 7], [10, "6"]]', "nosings 2", 'its y, "6", is not beyond'),
    ('[[0, 7], [10, "six"]]', "nosings 2", '"six" is not a length'),
    ('"0 7"', "nosings", '"0 7" is not a list'),
]  # fmt: skip


@pytest.mark.parametrize(("typed", "key", "words"), NOSING_ERRORS)
def test_measured_nosings_that_cannot_be_used_are_named_by_number(typed, key, words):
    error = refusal(text_of(GOOD, section={"kind": '"flight"', "nosings": typed}))
    assert error.where == f"stair.toml: section 1: {key}"
    assert words in str(error)


@pytest.mark.parametrize("key", ["rise", "run", "unit_rise", "unit_run", "rake"])
def test_nothing_that_nosings_fix_stands_beside_them(key):
    error = refusal(text_of(GOOD, section={"nosings": "[[0, 7], [10, 14]]", key: "12"}))
    assert f"Leave out {key} or nosings" in str(error)


STRUCTURE_ERRORS = [
    ({"units": "in", "section": []}, "panel", "is missing. It says what the panel measures. Add a "
     "table headed [panel]"),
    ({"bracket": None}, "bracket", "is missing. It says what the brackets measure"),
    ({"post": None}, "post", "is missing. It says what the posts measure"),
    ({"panel": 3}, "panel", "3 is not a table"),
    ({"section": None}, "section", "there is none. A job has one section or more, foot of the "
     "stair first. Add a table headed [[section]] with rise, run and treads"),
    ({"section": []}, "section", "there is none"),
    ({"section": {"rise": 7}}, "section", "is a single table. Sections are a list, each headed "
     "[[section]]. Write [[section]] with double brackets"),
    ({"section": 5}, "section", "5 is not a list of sections. Each section is headed [[section]]"),
    ({"section": [5]}, "section 1", "5 is not a table"),
    ({"section": [{"span": 90, "hand": "left"}, {"span": 90, "name": "deck"}]},
     "section 2 (deck): hand", 'is "right", and the guard of section 1, from which it goes on, is '
     "on the left hand. A guard does not change over to the other side of the stair between two "
     'posts. Write the same hand for both, or "both", or make two jobs of them'),
    ({"section": [{}] * 201}, "section", "there are 201. At most 200 are read. Split the job"),
]  # fmt: skip


@pytest.mark.parametrize(("changes", "place", "words"), STRUCTURE_ERRORS)
def test_tables_that_are_missing_or_misplaced_are_named(changes, place, words):
    mapping = {
        "units": "in",
        "panel": {"height": 32, "top_rail": 2, "bottom_rail": 2, "baluster": 1, "pitch": 4},
        "bracket": {"kind": "plumb-cut", "end_clearance": 0},
        "post": {"width": 3},
        "section": [{"rise": 42, "run": 50, "treads": 5}],
    }
    assert job_from_mapping(mapping)
    if "units" in changes:
        mapping = {}
    for key, value in changes.items():
        if value is None:
            del mapping[key]
        else:
            mapping[key] = value
    with pytest.raises(JobError) as caught:
        job_from_mapping(mapping, "stair.toml")
    assert caught.value.where == f"stair.toml: {place}"
    assert words in str(caught.value)


def test_a_mapping_that_is_none_is_refused():
    with pytest.raises(JobError, match="^a list of 1 is not a table"):
        job_from_mapping([1])

"""Jobs at random that mix every key of the job file, as someone might measure them.

A key alone is easily right.  Faults hide where two or three meet: a wall at the head of a measured
flight, a filler under a rail that hangs below the nosings, bracket holes of a plumb-cut rail.  So a
job is drawn here from all keys at once, each within what is built and sold, and written as the text
that a user would type.  The same number gives the same job.
"""

from __future__ import annotations

import json
import random

USES = {
    "din-18065-2015": ("general", "dwelling", "workplace"),
    "england-ad-k-2013": ("private", "utility", "general"),
    "ibc-2021": ("general", "dwelling", "industrial"),
    "irc-2018": (), "irc-2021": (), "irc-2024": (), "iso-14122-3-2016": (),
    "nbc-2020": ("dwelling", "dwelling-inside", "public", "exit"),
    "ncc-2022": ("private", "public"), "osha-1910-2016": (),
}  # fmt: skip
OWN_VALUES = {
    "guard-height-min": (34, 850), "unit-rise-max": (8, 200), "unit-run-min": (9, 230),
    "opening-baluster": (4, 99), "opening-triangle": (6, 150), "guard-needed-drop": (30, 600),
    "handrail-height-min": (34, 860), "opening-under-rail": (4, 100),
}  # fmt: skip
ODD_WORDS = (
    "Plot 7, Mill Meadow", "c/o the builder's yard & Co. <gate>", "Straße 4½, Hof \\ links",
    "Ünter den Bäumen", "a very long line of an address that goes on past any box it stands in",
    "", "階段 12", "$\\frac{1}{2}$ lane",
)  # fmt: skip


class Dice:
    """Draws for one job; lengths are asked for in inches and come out in the job's units."""

    def __init__(self, seed: int) -> None:
        self.pick = random.Random(seed)
        self.units = self.pick.choice(("in", "in", "mm"))
        self.choice, self.randint = self.pick.choice, self.pick.randint

    def one_in(self, chance: float) -> bool:
        """Whether something that happens once in so many jobs happens."""
        return self.pick.random() < 1 / chance

    def length(self, low: float, high: float, part: int = 8) -> str | int:
        """A length between two in inches, on a mark of the tape."""
        if self.units == "mm":
            return self.randint(round(low * 25.4), max(round(low * 25.4), round(high * 25.4)))
        marks = self.randint(round(low * part), max(round(low * part), round(high * part)))
        return mixed(marks, part)


def mixed(marks: int, part: int) -> str:
    """So many parts of an inch as a tape has them."""
    whole, rest = divmod(abs(marks), part)
    sign = "-" if marks < 0 else ""
    if not rest:
        return f"{sign}{whole}"
    return f"{sign}{whole} {rest}/{part}" if whole else f"{sign}{rest}/{part}"


def marks_of(length: str | int, part: int = 8) -> int:
    """A length as drawn here, back in parts of an inch, or in millimetres."""
    if isinstance(length, int):
        return length
    sign = -1 if length.startswith("-") else 1
    total = 0
    for piece in length.lstrip("-").split():
        above, _, below = piece.partition("/")
        total += int(above) * part // int(below or 1)
    return sign * total


def toml_value(value) -> str:
    """A value as TOML."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {toml_value(one)}" for key, one in value.items()) + " }"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(toml_value(one) for one in value) + "]"
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str) else str(value)


def toml_text(job: dict) -> str:
    """A whole job as the text of its file."""
    tables = ("panel", "bracket", "post", "framing", "local", "sheet")
    lines = [
        f"{key} = {toml_value(v)}" for key, v in job.items() if not isinstance(v, (dict, list))
    ]
    for name in tables:
        if name in job:
            lines += ["", f"[{name}]"] + [f"{k} = {toml_value(v)}" for k, v in job[name].items()]
    for section in job["section"]:
        lines += ["", "[[section]]"]
        lines += [f"{k} = {toml_value(v)}" for k, v in section.items() if k != "framing"]
        if "framing" in section:
            lines.append("[section.framing]")
            lines += [f"{k} = {toml_value(v)}" for k, v in section["framing"].items()]
    return "\n".join(lines) + "\n"


def random_job(seed: int) -> dict:
    """One job as a mapping of keys to what a user types."""
    dice = Dice(seed)
    rules = dice.choice(list(USES))
    job = {"title": dice.choice(("Garden stair", "Deck & steps", "Steps")), "units": dice.units}
    job["rules"] = rules
    if USES[rules] and dice.one_in(1.5):
        job["use"] = dice.choice(USES[rules])
    if dice.one_in(1.4):
        if dice.units == "in":
            job["tape"] = dice.choice(("1/8", "1/16", "1/16", "1/32", "1/10"))
        else:
            job["tape"] = dice.choice((1, 1, 5, 2, "0.5"))
    if dice.one_in(1.4):
        inch = dice.units == "in"
        job["measured_within"] = dice.choice(("0", "1/16", "1/8") if inch else (0, 1, 2))
    job["panel"] = panel(dice)
    job["bracket"] = bracket(dice)
    job["post"] = post(dice)
    job["section"] = sections(dice)
    if dice.one_in(3):
        job["framing"] = framing(dice)
    if dice.one_in(4):
        own = dice.pick.sample(list(OWN_VALUES), dice.randint(1, 2))
        which = 0 if dice.units == "in" else 1
        job["local"] = {
            name: {"limit": OWN_VALUES[name][which], "reason": dice.choice(("as the office says",
            "letter of the owners' board, with a reason that takes more than a line to say"))}
            for name in own
        }  # fmt: skip
    if dice.one_in(3):
        job["sheet"] = sheet(dice)
    return job


def panel(dice: Dice) -> dict:
    height = dice.length(28, 44, 2)
    made = {
        "height": height, "top_rail": dice.length(1, 2.5), "bottom_rail": dice.length(1, 2),
        "baluster": dice.choice(("1/2", "3/4", "5/8", "1", "1 1/2") if dice.units == "in"
                                else (10, 12, 16, 20, 38)),
        "pitch": dice.length(3.75, 5.25),
    }  # fmt: skip
    inch = dice.units == "in"
    if dice.one_in(1.2):
        sold = ("72", "96", "120", "144") if inch else (1800, 2400, 3000, 3600)
        made["stock"] = sorted(dice.pick.sample(sold, dice.randint(1, 3)), key=float)
    if dice.one_in(3):
        made["end_margin"] = dice.length(0, 3)
    if dice.one_in(2):
        made["max_rack"] = dice.randint(30, 45)
    if dice.one_in(3):
        wide = marks_of(made["baluster"]) + (dice.randint(0, 6) if inch else dice.randint(0, 20))
        made["slot"] = {"length": mixed(wide, 8) if inch else wide}
        made["slot"]["wall"] = dice.choice(("1/16", "1/8", "1 1/2") if inch else (2, 3, 30))
    if dice.one_in(2):
        made["rail_width"] = dice.length(1, 2.5)
    if dice.one_in(2):
        made["trim"] = dice.choice(("even", "half-pitch", "auto"))
    return made


def bracket(dice: Dice) -> dict:
    if dice.one_in(1.6):
        made = {"kind": "pivot", "pivot_offset": dice.length(0.5, 2),
                "rail_setback": dice.length(0, 0.75)}  # fmt: skip
    else:
        made = {"kind": "plumb-cut", "end_clearance": dice.length(0, 0.5)}
    if dice.one_in(3):
        made["max_swing"] = dice.randint(30, 50)
    if dice.one_in(4):
        made["body"] = {"height": dice.length(0.75, 2.5), "reach": dice.length(0.25, 2)}
    if dice.one_in(2.5):
        holes = {
            (dice.length(-0.5, 0.5), dice.length(-1.5, 1.5)) for _ in range(dice.randint(1, 4))
        }
        made["holes"] = sorted(map(list, holes), key=str)
        if dice.one_in(1.5):
            made["hole_diameter"] = dice.length(0.125, 0.25)
    return made


def post(dice: Dice) -> dict:
    made = {"width": dice.length(1.5, 4, 2)}
    if dice.one_in(1.3):
        made["base"] = dice.length(4, 6, 2)
    if dice.one_in(1.6):
        made["edge_distance"] = dice.length(0, 3)
    if dice.one_in(1.4):
        made["reveal"] = dice.length(0, 3)
    if dice.one_in(1.3):
        sold = ("39", "45", "54", "60") if dice.units == "in" else (1000, 1200, 1350, 1500)
        made["stock"] = sorted(dice.pick.sample(sold, dice.randint(1, 3)), key=float)
    if dice.one_in(3):
        made["max_spacing"] = dice.length(48, 96, 1)
    if "base" not in made and dice.one_in(2):
        made["below"] = dice.length(3, 12, 4)
    return made


def framing(dice: Dice) -> dict:
    way = dice.choice(("across", "along"))
    made = {
        "direction": way, "joist_spacing": dice.length(12, 24, 1),
        "first_joist": dice.length(0 if way == "along" else -6, 8),
        "joist_thickness": dice.length(1.5, 2),
    }  # fmt: skip
    if dice.one_in(2):
        made["joist_depth"] = dice.length(5, 11)
    if dice.one_in(2):
        made["board_width"], made["board_gap"] = dice.length(3.5, 6), dice.length(0, 0.375)
        if dice.one_in(2):
            made["board_direction"] = dice.choice(("across", "along"))
        if dice.one_in(2):
            made["first_board"] = dice.length(-2, 3)
    if dice.one_in(2):
        made["edge_to_post"] = dice.length(2, 7)
    if dice.one_in(2):
        made["bolt_inset"] = dice.length(0.5, 1)
    if dice.one_in(2):
        made["bolt_diameter"] = dice.length(0.25, 0.5)
    return made


def sheet(dice: Dice) -> dict:
    made = {}
    if dice.one_in(2):
        made["paper"] = dice.choice(("letter", "tabloid", "A4", "A3", "ARCH D"))
    if dice.one_in(1.5):
        made["address"] = [dice.choice(ODD_WORDS) for _ in range(dice.randint(0, 3))]
    if dice.one_in(2):
        made["drawn_by"] = dice.choice(("A. B.", *ODD_WORDS))
    if dice.one_in(2):
        made["date"] = dice.choice(("2026-03-02", "2 March 2026", "soon"))
    if dice.one_in(2):
        made["revision"] = dice.choice(("A", "3.1", "B <draft>", "the one after the meeting"))
    return made


def sections(dice: Dice) -> list[dict]:
    count = dice.choice((1, 1, 1, 1, 1, 1, 2, 2, 2, 3))
    hand = dice.choice(("right", "right", "left", "both"))
    width = dice.length(34, 60, 1) if hand == "both" or dice.one_in(2) else None
    made = []
    for number in range(count):
        section = flight(dice) if dice.one_in(1.7) else level(dice)
        if hand != "right":
            section["hand"] = hand if not dice.one_in(12) else dice.choice(("right", "both"))
        if width is not None and (section["kind"] == "flight" or dice.one_in(3)):
            section["width"] = width
        if dice.one_in(2):
            section["name"] = dice.choice(("lower flight", "deck, front", "landing", "Treppe ½"))
        if number and dice.one_in(1.7):
            section["turn"] = dice.choice((90, -90, 90, -90, 45, -45, 30, 180, -180, 22.5))
        if number and dice.one_in(5):
            section["start"] = "own"
            section["post_gap"] = dice.length(1, 4)
        made.append(section)
    ends(dice, made)
    return made


def ends(dice: Dice, made: list[dict]) -> None:
    """Walls, mostly where the guard begins and ends."""
    for number, section in enumerate(made):
        if section["kind"] == "flight" and "posts" not in section:
            continue
        if section.get("start") != "own" and dice.one_in(8 if number == 0 else 25):
            section["start"] = "wall"
        if dice.one_in(8 if number == len(made) - 1 else 25):
            section["end"] = "wall"


def common(dice: Dice, bays: int | None) -> dict:
    made = {}
    if dice.one_in(2):
        made["drop"] = dice.length(8, 100)
        made["ground_slope"] = {"fall": made["drop"], "over": made["drop"]}
    if dice.one_in(2):
        made["handrail"] = dice.choice((True, True, False))
    if bays is not None and dice.one_in(3):
        word = dice.choice(("even", "half-pitch", "auto"))
        made["trim"] = dice.choice(
            (word, [dice.choice(("even", "half-pitch", "auto")) for _ in range(bays)])
        )
    return made


def level(dice: Dice) -> dict:
    made = {
        "kind": "level",
        "bottom_gap": dice.choice(("auto", dice.length(0, 5), dice.length(1, 4))),
    }
    bays = None
    if dice.one_in(4):
        places = [0]
        for _ in range(dice.randint(1, 3)):
            places.append(places[-1] + marks_of(dice.length(24, 80)))
        made["posts"] = [mixed(x, 8) if dice.units == "in" else x for x in places]
        bays = len(places) - 1
    else:
        made["span"] = dice.length(24, 240, 2)
        way = dice.choice((0, 1, 2, 2, 2, 2))
        if way == 1:
            made["bays"] = "auto"
        elif way == 2:
            inches = marks_of(made["span"]) / (8 if dice.units == "in" else 25.4)
            made["bays"] = bays = max(1, round(inches / dice.choice((48, 66, 72, 90))))
    if dice.one_in(8):
        made |= {"filler": dice.length(0.5, 2), "bottom_gap": "auto"}
    if dice.one_in(6):
        made["framing"] = framing(dice)
    if dice.one_in(8):
        made["surface"] = dice.choice(("landing", "deck"))
    return {**made, **common(dice, bays)}


def flight(dice: Dice) -> dict:
    made = {"kind": "flight"}
    risers = dice.choice((2, 3, 3, 4, 4, 5, 6, 7, 8))
    rise = marks_of(dice.length(5.5, 8.5))
    run = marks_of(dice.length(9, 13))

    def show(marks: int):
        return mixed(marks, 8) if dice.units == "in" else marks

    top = "tread" if dice.one_in(6) else "landing"
    if dice.one_in(1.4) or top == "tread":
        made["top"] = top
    treads = risers - (top == "landing")
    wobble = 3 if dice.units == "in" else 9
    way = dice.randint(0, 6)
    if way <= 3:
        rise_keys = dice.choice(({"rise": show(rise * risers)}, {"unit_rise": show(rise)}))
        run_keys = dice.choice(({"run": show(run * treads)}, {"unit_run": show(run)}))
        count = dice.choice(({"risers": risers}, {"treads": treads}))
        made |= {**rise_keys, **run_keys, **count}
        if dice.one_in(12):
            made |= {"rise": show(rise * risers), "unit_rise": show(rise)}
    elif way == 4:
        made |= {"unit_rise": show(rise), "rake": dice.randint(24, 42), "risers": risers}
    elif way == 5:
        steps = range(risers)
        rises = [rise + dice.randint(-wobble, wobble) for _ in steps]
        runs = [run + dice.randint(-wobble, wobble) for _ in range(risers - 1)]
        made |= {"rises": [show(one) for one in rises], "runs": [show(one) for one in runs]}
        if dice.one_in(2):
            made["rail_line"] = dice.choice(("cover", "ends", "mean"))
    else:
        x, y, points = 0, 0, []
        for _ in range(risers):
            y += rise + dice.randint(-wobble, wobble)
            points.append([show(x), show(y)])
            x += run + dice.randint(-wobble, wobble)
        made["nosings"] = points
        if dice.one_in(2):
            made["rail_line"] = dice.choice(("cover", "ends", "mean"))
    if dice.one_in(1.4):
        made["nosing"] = dice.length(0, 1.25)
    if dice.one_in(1.6):
        made["tread_thickness"] = dice.length(1, 3)
    if dice.one_in(4):
        made["open_risers"] = True
    if dice.one_in(6):
        made["riser_slope"] = dice.randint(1, 25)
    if dice.one_in(4):
        made |= {"stringer": "closed", "stringer_margin": dice.length(0, 3)}
    if dice.one_in(4):
        made["side_gap"] = dice.length(0.25, 3)
    low = -4 if "side_gap" in made else 0
    made["bottom_gap"] = dice.choice(("auto", dice.length(low, 3), dice.length(0, 1)))
    if made.get("stringer") == "closed" and dice.one_in(2):
        made["bottom_gap"] = dice.length(3, 7)
    if dice.one_in(8):
        made |= {"filler": dice.length(0.25, 1.5), "bottom_gap": "auto"}
    return {**made, **placed(dice, run, treads, show)}


def placed(dice: Dice, run: int, treads: int, show) -> dict:
    """Posts of a flight: listed, counted or left open."""
    way, bays = dice.choice((0, 0, 0, 0, 0, 1, 2, 3)), None
    made = {}
    if way == 0:
        unit = 8 if dice.units == "in" else 25.4
        first = dice.choice(
            (-4 * unit, -5 * unit, -2.5 * unit, run / 2 if treads > 2 else -4 * unit)
        )
        places = [
            round(first),
            round(run * (treads - 1) + dice.choice((run / 2, run + 5 * unit, run + 8 * unit))),
        ]
        if treads > 5 or dice.one_in(5):
            places.insert(1, round(run * (treads // 2) + run / 2))
        if places == sorted(set(places)):
            made["posts"] = [show(x) for x in places]
            bays = len(places) - 1
    elif way == 1:
        made["bays"] = "auto"
    elif way == 2:
        made["bays"] = bays = max(1, round(treads / dice.choice((4, 5, 6))))
    return {**made, **common(dice, bays)}

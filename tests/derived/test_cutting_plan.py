"""The cutting plan against a search through every possible plan, and where it meets its edges."""

import itertools
import random
import time
from fractions import Fraction

import numpy as np
import pytest

from stairs.errors import JobError
from stairs.lists import cutting_search
from stairs.lists.cutting_plan import (
    HOLES_ELSEWHERE,
    NO_STOCK,
    TOO_SHORT,
    Cut,
    Piece,
    StockRail,
    plan_cuts,
)

PITCH = Fraction(9, 2)
KERF = Fraction(1, 8)


def punched(length, pitch=PITCH, first=None):
    """A stock rail with as many holes as fit, centred, or from a given first hole on."""
    if first is None:
        count = int((length - Fraction(3, 4)) / pitch) + 1
        first = (length - (count - 1) * pitch) / 2
    else:
        count = int((length - first) / pitch) + 1
    return StockRail(Fraction(length), Fraction(first), count)


def random_piece(rng, name, shortest=14, longest=44):
    length = Fraction(rng.randint(shortest * 16, longest * 16), 16)
    first = Fraction(rng.randint(8, 72), 16)
    holes = int((length - first - Fraction(3, 8)) / PITCH) + 1
    return Piece(name, length, first, holes)


def fits_in_some_order(pieces, rail, pitch, kerf):
    """Whether one stock rail holds the pieces: every order, every hole for every piece.

    What comes off by a cut of its own is at least as thick as the kerf, at the stock's ends too.
    """
    if sum(piece.length for piece in pieces) + kerf * (len(pieces) - 1) > rail.length:
        return False
    starts = {}
    for piece in pieces:
        holes = range(-piece.holes - 2, rail.holes + int(rail.length / pitch) + 2)
        if piece.holes:
            holes = [hole for hole in holes if 0 <= hole <= rail.holes - piece.holes]
        places = [rail.first_hole + hole * pitch - piece.first_hole for hole in holes]
        starts[piece.name] = [x for x in places if 0 <= x <= rail.length - piece.length]
    for order in itertools.permutations(pieces):
        ends = {-kerf}
        for piece in order:
            ends = {
                start + piece.length
                for start in starts[piece.name]
                if any(start == end + kerf or start >= end + 2 * kerf for end in ends)
            }
        if any(end == rail.length or end + kerf <= rail.length for end in ends):
            return True
    return False


def cheapest(pieces, stock, pitch, kerf):
    """Least length bought and then fewest stock rails, over every way to share out the pieces."""
    cost = {}
    for size in range(1, len(pieces) + 1):
        for chosen in itertools.combinations(range(len(pieces)), size):
            mask = sum(1 << index for index in chosen)
            group = [pieces[index] for index in chosen]
            cost[mask] = min(
                (rail.length for rail in stock if fits_in_some_order(group, rail, pitch, kerf)),
                default=None,
            )
    best = {0: (Fraction(0), 0)}
    for mask in range(1, 1 << len(pieces)):
        part = mask
        options = []
        while part:
            if cost[part] is not None and best[mask ^ part] is not None:
                length, count = best[mask ^ part]
                options.append((length + cost[part], count + 1))
            part = (part - 1) & mask
        best[mask] = min(options, default=None)
    return best[(1 << len(pieces)) - 1]


def hold_together(plan, pieces, pitch):
    """Nothing lost, nothing overlapping, every hole where it is wanted."""
    placed = [item.piece.name for rail in plan.rails for item in rail.placed]
    missing = [piece.name for piece, _ in plan.unplaced]
    assert sorted(placed + missing) == sorted(piece.name for piece in pieces)
    for rail in plan.rails:
        end = None
        for item in rail.placed:
            piece = item.piece
            assert item.end - item.start == piece.length
            assert item.start >= 0 and item.end <= rail.stock.length
            if end is not None:
                assert item.start - end >= plan.kerf
            if piece.holes:
                hole = rail.stock.first_hole + (item.holes_from - 1) * pitch
                assert hole - item.start == piece.first_hole
                assert 1 <= item.holes_from <= item.holes_to <= rail.stock.holes
                assert item.holes_to - item.holes_from + 1 == piece.holes
            end = item.end


@pytest.mark.parametrize("seed", range(25))
def test_plan_agrees_with_search_of_all_plans(seed):
    rng = random.Random(seed)
    kinds = [random_piece(rng, str(number)) for number in range(rng.randint(1, 4))]
    pieces = []
    for number in range(5):
        kind = rng.choice(kinds)
        pieces.append(Piece(str(number), kind.length, kind.first_hole, kind.holes))
    stock = [punched(length) for length in rng.choice([(72,), (72, 96), (60, 84, 96), (48, 120)])]
    kerf = rng.choice([Fraction(0), KERF, Fraction(1, 4)])
    plan = plan_cuts(pieces, stock, PITCH, kerf)
    hold_together(plan, pieces, PITCH)
    assert not plan.unplaced
    assert (plan.bought, len(plan.rails)) == cheapest(pieces, stock, PITCH, kerf)
    assert plan.proved
    assert plan.gap == 0


def test_plan_buys_fewer_rails_where_lengths_tie():
    """Two pieces of 40 come from one 96 or from two 48s: the same length, one rail is fewer."""
    pieces = [Piece(name, Fraction(40), Fraction(0), 0) for name in "ab"]
    stock = [StockRail(Fraction(length), Fraction(0), length + 1) for length in (48, 96)]
    plan = plan_cuts(pieces, stock, Fraction(1), KERF)
    assert plan.stock_counts == ((Fraction(96), 1),)
    assert plan.proved


def test_plan_moves_pieces_by_whole_pitches_only():
    """Two pieces of 10 fill 20 of plain stock; punched at 6 the second has to wait for 12."""
    pieces = [Piece(name, Fraction(10), Fraction(2), 1) for name in "ab"]
    plain = StockRail(Fraction(21), Fraction(0), 22)
    assert len(plan_cuts(pieces, [plain], Fraction(1), Fraction(0)).rails) == 1
    holed = StockRail(Fraction(21), Fraction(2), 4)
    assert len(plan_cuts(pieces, [holed], Fraction(6), Fraction(0)).rails) == 2
    longer = StockRail(Fraction(22), Fraction(2), 4)
    plan = plan_cuts(pieces, [longer], Fraction(6), Fraction(0))
    assert [item.start for item in plan.rails[0].placed] == [0, 12]


def test_plan_leaves_no_piece_without_its_last_hole():
    """Stock of 30 with holes at 3, 9 and 15 only: a piece of 10 with 2 holes ends at 18."""
    piece = Piece("a", Fraction(10), Fraction(2), 2)
    short = StockRail(Fraction(30), Fraction(3), 3)
    plan = plan_cuts([piece, Piece("b", *_shape(piece))], [short], Fraction(6), Fraction(0))
    assert len(plan.rails) == 2
    assert all(item.holes_to <= 3 for rail in plan.rails for item in rail.placed)
    whole = StockRail(Fraction(30), Fraction(3), 5)
    assert len(plan_cuts([piece, Piece("b", *_shape(piece))], [whole], Fraction(6), 0).rails) == 1


def _shape(piece):
    return piece.length, piece.first_hole, piece.holes


@pytest.mark.parametrize(
    ("stock", "rails"), [("62 1/8", 1), ("62 1/16", 2)], ids=["just enough", "a mark short"]
)
def test_kerf_decides_to_the_mark(stock, rails):
    """Two pieces of 31 and one cut of 1/8 take 62 1/8; no kerf is lost at the stock's own ends."""
    whole, over = stock.split()
    length = Fraction(whole) + Fraction(over)
    rail = StockRail(length, Fraction(0), 1000)
    pieces = [Piece(name, Fraction(31), Fraction(0), 0) for name in "ab"]
    assert len(plan_cuts(pieces, [rail], Fraction(1, 16), KERF).rails) == rails


def test_kerf_of_nothing_lets_pieces_touch():
    rail = StockRail(Fraction(62), Fraction(0), 1000)
    pieces = [Piece(name, Fraction(31), Fraction(0), 0) for name in "ab"]
    plan = plan_cuts(pieces, [rail], Fraction(1, 16), Fraction(0))
    assert plan.waste == 0
    assert plan.rails[0].leftovers == ()


def test_kerf_below_nothing_is_refused():
    with pytest.raises(JobError, match="kerf: -1 is below 0. A saw's kerf is 0 or more"):
        plan_cuts([], [], PITCH, Fraction(-1))


def test_leftovers_pieces_and_kerfs_make_up_the_stock():
    rng = random.Random(7)
    pieces = [random_piece(rng, str(number)) for number in range(9)]
    plan = plan_cuts(pieces, [punched(96)], PITCH, KERF)
    for rail in plan.rails:
        cuts = len(rail.placed) + 1
        made = sum(item.piece.length for item in rail.placed) + sum(rail.leftovers)
        lost = rail.stock.length - made
        assert 0 <= lost <= 2 * cuts * KERF


def test_leftover_of_one_piece_by_hand():
    """Start at 3, 31 long, from 72: 3 - 1/8 before it and 72 - 34 - 1/8 behind it."""
    plan = plan_cuts(
        [Piece("a", Fraction(31), Fraction(3), 1)],
        [StockRail(Fraction(72), Fraction(6), 1)],
        Fraction(50),
        KERF,
    )
    assert plan.rails[0].leftovers == (Fraction(23, 8), Fraction(303, 8))


def test_rail_longer_than_all_stock_is_said_and_the_rest_planned():
    pieces = [Piece("long", Fraction(100), Fraction(2), 5), Piece("short", Fraction(20), 2, 3)]
    plan = plan_cuts(pieces, [punched(72), punched(96)], PITCH, KERF)
    assert [(piece.name, why) for piece, why in plan.unplaced] == [("long", TOO_SHORT)]
    assert [item.piece.name for rail in plan.rails for item in rail.placed] == ["short"]


def test_rail_that_no_pattern_suits_is_said():
    piece = Piece("many", Fraction(60), Fraction(2), 12)
    plan = plan_cuts([piece], [StockRail(Fraction(72), Fraction(3), 5)], PITCH, KERF)
    assert plan.unplaced == ((piece, HOLES_ELSEWHERE),)
    assert plan.rails == () and plan.bought == 0


def test_no_stock_named_is_said():
    piece = Piece("a", Fraction(60), Fraction(2), 12)
    assert plan_cuts([piece], [], PITCH, KERF).unplaced == ((piece, NO_STOCK),)


def rails_for(pieces, length, kerf=KERF):
    stock = StockRail(Fraction(length), Fraction(0), 1000)
    return len(plan_cuts(pieces, [stock], Fraction(1, 8), kerf).rails)


def plumb(tip, factor=1):
    cut = Cut(up=Fraction(tip), kerf_factor=Fraction(factor))
    return {"low": cut, "high": cut}


def test_slanted_tips_need_room_at_the_ends_but_nest():
    """Two plumb-cut pieces of 30 with tips of 1: 62 for both and the kerf, not 64."""
    pieces = [Piece(name, Fraction(30), Fraction(0), 0, **plumb(1)) for name in "ab"]
    assert rails_for(pieces, Fraction(62) + KERF) == 1
    assert rails_for(pieces, Fraction(62)) == 2


def test_unlike_slants_leave_a_wedge():
    """A square-cut piece beside a tip of 1 leaves a wedge of 1: 30 + 30 + 1 + 1, and the kerf."""
    pieces = [Piece("a", Fraction(30), 0, 0, **plumb(1)), Piece("b", Fraction(30), 0, 0)]
    assert rails_for(pieces, Fraction(62) + KERF) == 1
    assert rails_for(pieces, Fraction(62)) == 2


def test_slants_to_either_side_do_not_cancel():
    """A plumb cut and one askew reach 1 each, one up and one aside: 2 between, 30 + 30 + 1 + 2."""
    aside = Cut(left=Fraction(1))
    pieces = [
        Piece("a", Fraction(30), 0, 0, **plumb(1)),
        Piece("b", Fraction(30), 0, 0, aside, aside),
    ]
    assert rails_for(pieces, 64 + KERF) == 1
    assert rails_for(pieces, 64) == 2


def test_slanted_kerf_is_longer_on_the_axis():
    pieces = [Piece(n, Fraction(30), 0, 0, **plumb(0, 2)) for n in "ab"]
    narrow = StockRail(Fraction(60) + KERF, Fraction(0), 1000)
    wide = StockRail(Fraction(60) + 2 * KERF, Fraction(0), 1000)
    assert len(plan_cuts(pieces, [narrow], Fraction(1, 16), KERF).rails) == 2
    assert len(plan_cuts(pieces, [wide], Fraction(1, 16), KERF).rails) == 1


@pytest.mark.parametrize(("spare", "rails"), [(0, 1), (1, 2), (2, 2), (3, 1), (4, 1)])
def test_no_sliver_thinner_than_the_kerf_comes_off(spare, rails):
    """Of two pieces of 400 mm in one stock the second may end where the stock does, or 3 mm off."""
    pieces = [Piece(name, Fraction(400), Fraction(0), 0) for name in "ab"]
    stock = StockRail(Fraction(803 + spare), Fraction(0), 1)
    plan = plan_cuts(pieces, [stock, StockRail(Fraction(500), Fraction(0), 1)], 403, Fraction(3))
    assert len(plan.rails) == rails


@pytest.mark.parametrize(("pitch", "second"), [(403, 403), (404, 808), (406, 406)])
def test_no_sliver_is_left_between_two_pieces(pitch, second):
    """3 mm apart is one cut, 6 mm apart are two; at 4 mm the piece waits for the next hole."""
    pieces = [Piece(name, Fraction(400), Fraction(0), 0) for name in "ab"]
    plan = plan_cuts(pieces, [StockRail(Fraction(1300), 0, 1)], Fraction(pitch), Fraction(3))
    assert [item.start for item in plan.rails[0].placed] == [0, second]


def test_piece_that_a_further_hole_would_spoil_stays_at_the_end():
    """Its blank first 8 inches exist only where the pattern begins."""
    rail = StockRail(Fraction(96), Fraction(8), 15)
    pieces = [Piece(n, Fraction(30), Fraction(8), 4, first_only=True) for n in "ab"]
    plan = plan_cuts(pieces, [rail], Fraction(6), KERF)
    assert [[item.start for item in rail.placed] for rail in plan.rails] == [[0], [0]]
    other = [Piece("c", Fraction(30), Fraction(8), 4, last_only=True)]
    plan = plan_cuts(pieces[:1] + other, [rail], Fraction(6), KERF)
    assert len(plan.rails) == 1
    assert plan.rails[0].placed[1].holes_to == 15


def test_more_kerf_never_buys_less():
    rng = random.Random(3)
    pieces = [random_piece(rng, str(number)) for number in range(7)]
    bought = [
        plan_cuts(pieces, [punched(72), punched(96)], PITCH, Fraction(width, 8)).bought
        for width in range(5)
    ]
    assert bought == sorted(bought)


def test_plan_does_not_depend_on_the_order_of_pieces():
    rng = random.Random(11)
    pieces = [random_piece(rng, str(number)) for number in range(8)]
    stock = [punched(72), punched(96)]
    one = plan_cuts(pieces, stock, PITCH, KERF)
    other = plan_cuts(pieces[::-1], stock[::-1], PITCH, KERF)
    assert (one.bought, len(one.rails)) == (other.bought, len(other.rails))


def test_every_run_gives_the_same_plan():
    pieces = unlike_pieces(3, 20)
    plans = [plan_cuts(pieces, [punched(Fraction(96))], PITCH, KERF) for _ in range(3)]
    assert plans[0].proved
    assert plans[0] == plans[1] == plans[2]


def test_forty_rails_of_six_kinds_take_less_than_a_second():
    rng = random.Random(5)
    kinds = [random_piece(rng, "", 24, 50) for _ in range(6)]
    pieces = [Piece(str(number), *_shape(kinds[number % 6])) for number in range(40)]
    stock = [punched(length) for length in (72, 96, 120)]
    plan_cuts(pieces[:12], stock, PITCH, KERF)  # the solver is loaded
    begin = time.perf_counter()
    plan = plan_cuts(pieces, stock, PITCH, KERF)
    assert time.perf_counter() - begin < 1
    hold_together(plan, pieces, PITCH)
    assert plan.proved


# --------------------------------------------------------------------------- many pieces


def unlike_pieces(seed, count):
    rng = random.Random(seed)
    return [random_piece(rng, str(number), 20, 60) for number in range(count)]


def material(pieces, kerf):
    """No plan buys less than the pieces and a kerf for all but one in each stock rail."""
    return sum(piece.length for piece in pieces)


@pytest.mark.parametrize(("count", "length", "seconds"), [(40, 240, 0.0), (60, 120, 1.0)])
def test_a_plan_without_time_for_a_proof_is_a_fair_one_with_a_true_bound(count, length, seconds):
    """First fit, longest first, is no better; the bound lies between the material and the plan."""
    pieces = unlike_pieces(count, count)
    stock = punched(Fraction(length))
    begin = time.process_time()
    plan = plan_cuts(pieces, [stock], PITCH, KERF, seconds)
    assert time.process_time() - begin < seconds + 2
    hold_together(plan, pieces, PITCH)
    assert len(plan.rails) <= first_fit(pieces, stock, PITCH, KERF)
    assert -(-material(pieces, KERF) // length) * length <= plan.bound <= plan.bought


def first_fit(pieces, rail, pitch, kerf):
    """How many rails it takes to put each piece, longest first, behind those of the first rail."""
    ends = []
    for piece in sorted(pieces, key=lambda piece: -piece.length):
        for index, end in enumerate([*ends, None]):
            least = 0 if end is None else end + 2 * kerf
            hole = max(-((rail.first_hole - piece.first_hole - least) // pitch), 0)
            start = rail.first_hole - piece.first_hole + hole * pitch
            if 0 < start < kerf:
                hole, start = hole + 1, start + pitch
            if hole + piece.holes <= rail.holes and start + piece.length + kerf <= rail.length:
                ends[index : index + 1] = [start + piece.length]
                break
    return len(ends)


def test_the_time_holds_for_the_whole_call():
    """Two stocks and 90 pieces, no two alike: nothing can be proved in half a second."""
    pieces = unlike_pieces(9, 90)
    begin = time.process_time()
    plan = plan_cuts(pieces, [punched(Fraction(length)) for length in (96, 192)], PITCH, KERF, 0.5)
    assert time.process_time() - begin < 2.5
    hold_together(plan, pieces, PITCH)
    assert 0 < plan.bound <= plan.bought


def test_more_arrows_than_the_solver_can_take_are_not_given_to_it(monkeypatch):
    monkeypatch.setattr(cutting_search, "MOST_ARROWS", 10)
    pieces = unlike_pieces(1, 12)
    plan = plan_cuts(pieces, [punched(Fraction(120))], PITCH, KERF)
    hold_together(plan, pieces, PITCH)
    assert material(pieces, KERF) <= plan.bound <= plan.bought
    monkeypatch.undo()
    best = plan_cuts(pieces, [punched(Fraction(120))], PITCH, KERF)
    assert best.proved
    assert plan.bound <= best.bought <= plan.bought


def test_pieces_that_share_no_stock_rail_take_one_each():
    pieces = [Piece(name, Fraction(40), Fraction(2), 8) for name in "ab"]
    plan = plan_cuts(pieces, [punched(72), punched(48)], PITCH, KERF)
    assert plan.proved
    assert plan.stock_counts == ((Fraction(48), 2),)


# --------------------------------------------------------------------------- unlike ends


def test_a_cut_askew_reaches_further_at_one_end_only():
    """Tips of 2 and 1 about 30: 33 of stock hold it, 32 1/2 do not, and 31 after 2 is its place."""
    low, high = Cut(Fraction(1), Fraction(1)), Cut(Fraction(1))
    piece = Piece("a", Fraction(30), Fraction(1, 2), 5, low, high)
    rail = StockRail(Fraction(33), Fraction(5, 2), 12)
    plan = plan_cuts([piece], [rail], PITCH, Fraction(0))
    assert [(cut.start, cut.end) for cut in plan.rails[0].placed] == [(2, 32)]
    short = StockRail(Fraction(65, 2), Fraction(5, 2), 12)
    assert plan_cuts([piece], [short], PITCH, Fraction(0)).unplaced[0][0] is piece


def test_two_cuts_that_are_not_parallel_stand_apart_by_their_wedge():
    """The upper end of one reaches 1 up, the lower end of the next 1 up and 1 aside: 1 between."""
    low, high = Cut(Fraction(1), Fraction(1)), Cut(Fraction(1))
    piece = Piece("a", Fraction(10), Fraction(1), 2, low, high)
    stock = StockRail(Fraction(40), Fraction(1), 40)
    plan = plan_cuts([piece] * 3, [stock], Fraction(1), Fraction(0))
    assert [(cut.start, cut.end) for cut in plan.rails[0].placed] == [(2, 12), (13, 23), (24, 34)]


class Box:
    """A rail as a box of 2 by 3 along the first axis, cut by two planes: its eight corners."""

    def __init__(self, item, normals):
        self.normals = normals
        self.feet = [np.array([float(x), 0, 0]) for x in (item.start, item.end)]
        edges = [np.array([0, y, z]) for y in (-1, 1) for z in (-1.5, 1.5)]
        along = np.array([1.0, 0, 0])
        self.corners = np.array([
            edge + along * (((foot - edge) @ normal) / (along @ normal))
            for foot, normal in zip(self.feet, normals, strict=True)
            for edge in edges
        ])  # fmt: skip

    def beyond(self, end, points):
        """The least distance of points beyond one of its cuts, square to it."""
        way = (-1, 1)[end]
        return (way * (points - self.feet[end]) @ self.normals[end]).min()


def random_normal(rng):
    """Of a plumb or square cut, askew or not: the rake turns it up, the skew aside."""
    rake, skew = rng.choice([0, 0, 20, 36.87, 42]), rng.choice([0, 0, 0, 30, -45])
    across = np.array([1.0, -np.tan(np.radians(rake)), -np.tan(np.radians(skew))])
    return across / np.linalg.norm(across)


def cut_with(normal):
    """How far that plane meets the upper face (1 above the axis) and the left one (1.5 beside)."""
    up, left = -normal[1] / normal[0], -1.5 * normal[2] / normal[0]
    return Cut(Fraction(up), Fraction(left), Fraction(1 / normal[0]))


def laid_out_well(plan, normals, kerf):
    """No box leaves its stock; each keeps clear of its neighbours' kerfs; no sliver is sawn."""
    pairs = 0
    for rail in plan.rails:
        boxes = [Box(item, normals[item.piece.name]) for item in rail.placed]
        for box in boxes:
            assert box.corners[:, 0].min() > -1e-9
            assert box.corners[:, 0].max() < float(rail.stock.length) + 1e-9
        for one, other in itertools.pairwise(boxes):
            assert one.beyond(1, other.corners) >= kerf - 1e-9
            assert other.beyond(0, one.corners) >= kerf - 1e-9
            parallel = abs(one.normals[1] @ other.normals[0]) > 1 - 1e-9
            if not (parallel and one.beyond(1, other.corners[:4]) < kerf + 1e-3):
                thickest = max((other.corners[:4] - one.feet[1]) @ one.normals[1])
                assert thickest >= 2 * kerf - 1e-3
            pairs += 1
    return pairs


def random_boxes(seed, count):
    rng = random.Random(seed)
    pieces, normals = [], {}
    kinds = [[random_normal(rng) for _ in range(2)] for _ in range(3)]
    for number in range(count):
        piece = random_piece(rng, str(number), 14, 30)
        normals[piece.name] = rng.choice(kinds)
        low, high = map(cut_with, normals[piece.name])
        pieces.append(Piece(piece.name, piece.length, piece.first_hole, piece.holes, low, high))
    return pieces, normals


@pytest.mark.parametrize("seed", range(12))
def test_boxes_cut_by_planes_never_overlap(seed):
    pieces, normals = random_boxes(seed, 8)
    plan = plan_cuts(pieces, [punched(Fraction(108))], PITCH, KERF, 3.0)
    assert not plan.unplaced
    assert laid_out_well(plan, normals, float(KERF)) > 0


@pytest.mark.fuzz
@pytest.mark.parametrize("seed", range(100, 300))
def test_boxes_cut_by_planes_never_overlap_at_length(seed):
    pieces, normals = random_boxes(seed, 9)
    plan = plan_cuts(pieces, [punched(Fraction(120))], PITCH, KERF, 3.0)
    assert laid_out_well(plan, normals, float(KERF)) > 0

"""Where posts go when only a number of bays is given."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stairs.errors import NoSuchShape
from stairs.job import JobFlight, PostKind
from stairs.job.key_notes import record_of
from stairs.parts.flight import flight_of
from stairs.parts.post_places import posts_on_flight, posts_on_level
from stairs.parts.stands import stand_on_flight

SIXTEENTH = Fraction(1, 16)


def part(low, high):
    return st.fractions(min_value=low, max_value=high, max_denominator=16)


def flight(rise=7, run=12, risers=6, nosing=1):
    section = record_of(JobFlight, unit_rise=Fraction(rise), unit_run=Fraction(run), risers=risers,
                     nosing=Fraction(nosing), tread_thickness=Fraction(1))  # fmt: skip
    return flight_of(section, Fraction(0), "section 1")


def show(value):
    return f"{float(value):g} in"


def kind_of(width=3, base=5, edge=2):
    return PostKind(width=Fraction(width), base=None if base is None else Fraction(base),
                    edge_distance=Fraction(edge))  # fmt: skip


PLATE = kind_of()


@settings(deadline=None, derandomize=True, max_examples=90)
@given(run=part(9, 14), nosing=part(0, 1), risers=st.integers(3, 12), data=st.data())
def test_posts_that_are_laid_out_stand_where_they_may(run, nosing, risers, data):
    """Every plate lies wholly on its surface, and keeps its edge distance to within a mark."""
    bays = data.draw(st.integers(1, risers))
    kind = kind_of(data.draw(part(2, 3)), data.draw(part(3, 5)), data.draw(part(0, 3)))
    place = flight(run=run, risers=risers, nosing=nosing)
    try:
        posts = posts_on_flight(place, kind, bays, SIXTEENTH, "section 1", show)
    except NoSuchShape as error:
        assert "does not fit a run of" in error.found
        room = run + min(nosing, kind.base / 2 - kind.width / 2)
        assert room < kind.base + kind.edge_distance
        return
    assert len(posts) == bays + 1
    assert all(low < high for low, high in pairwise(posts))
    assert all((x / SIXTEENTH).denominator == 1 for x in posts)
    stands = [
        stand_on_flight(place, kind, number, x, "section 1", show)
        for number, x in enumerate(posts, start=1)
    ]
    assert stands[0].stands_on == "lower landing"
    assert stands[-1].stands_on == "upper landing"
    for stand in stands[1:]:
        assert float(stand.plate_edge) >= float(kind.edge_distance) - float(SIXTEENTH)


def test_posts_that_are_laid_out_keep_their_edge_distance():
    """Where a mark is there that keeps the edge distance, the post stands on it."""
    run, base = Fraction(251, 25), Fraction(251, 50)
    place = flight(run=run, risers=6, nosing=0)
    kind = kind_of(base=base, edge=run - base - Fraction(1, 20))
    posts = posts_on_flight(place, kind, 2, SIXTEENTH, "section 1", show)
    step = 3
    marks = [x * SIXTEENTH for x in range(round(2 * run / SIXTEENTH), round(3 * run / SIXTEENTH))]
    possible = [
        x for x in marks
        if x - kind.base / 2 - (step - 1) * run >= kind.edge_distance
        and x + kind.base / 2 <= step * run
    ]  # fmt: skip
    assert possible
    assert posts[1] in possible


@pytest.mark.parametrize(("risers", "bays"), [(6, 2), (6, 3), (6, 6), (8, 4), (9, 3)])
def test_whole_treads_in_every_bay_make_the_bays_equal(risers, bays):
    """Every post stands at the same place on its step, the lower one before the first riser."""
    posts = posts_on_flight(flight(risers=risers), PLATE, bays, SIXTEENTH, "section 1", show)
    assert {b - a for a, b in pairwise(posts)} == {Fraction(12 * risers, bays)}


@pytest.mark.parametrize(("risers", "bays"), [(5, 2), (7, 2), (7, 3), (8, 3), (11, 4)])
def test_bays_that_cannot_be_equal_differ_by_one_tread(risers, bays):
    posts = posts_on_flight(flight(risers=risers), PLATE, bays, SIXTEENTH, "section 1", show)
    clear = [b - a for a, b in pairwise(posts)]
    assert max(clear) - min(clear) == 12


def test_one_bay_reaches_from_landing_to_landing():
    """Plates against the first riser's nosing and the edge distance behind the top nosing."""
    assert posts_on_flight(flight(), PLATE, 1, SIXTEENTH, "section 1", show) == (
        Fraction(-5, 2), Fraction(60 + 2) + Fraction(5, 2),
    )  # fmt: skip


def test_more_bays_than_steps_are_refused():
    with pytest.raises(NoSuchShape) as caught:
        posts_on_flight(flight(), PLATE, 7, SIXTEENTH, "section 1", show)
    assert str(caught.value) == (
        "section 1: bays: 7 bays on a flight of 5 treads. Each post between the ends needs a tread "
        "of its own, so at most 6 bays. Give fewer bays."
    )


def test_plate_that_does_not_fit_a_tread_is_refused():
    """12 in of run, plate 8 with 5 in front: behind the nosing 12 - 3 (nosing 1) - 4 are left."""
    with pytest.raises(NoSuchShape) as caught:
        posts_on_flight(flight(), kind_of(3, 8, 6), 2, SIXTEENTH, "section 1", show)
    assert str(caught.value) == (
        "section 1: bays: a base plate of 8 in with 6 in to the nosing does not fit a run of "
        "12 in. Behind the nosing there is 5 in. Give 1 bay, or smaller plates, or the posts "
        "themselves."
    )


@given(span=part(10, 400), bays=st.integers(1, 12))
def test_level_bays_are_equal_exactly(span, bays):
    posts = posts_on_level(span, bays)
    assert posts[0] == 0 and posts[-1] == span
    assert {b - a for a, b in pairwise(posts)} == {span / bays}

"""Step rules: two risers and a run, as carpentry books print them with the pairs they allow.

US Army carpentry text EN5156; *Cyclopedia* of carpentry and *Drawing*, Stairways (both read at
chestofbooks.com); Neufert, *Architects' Data*, extract (read at northernarchitecture.us).
"""

from fractions import Fraction

import pytest

from stairs.relations.closed_forms import rake, step_sum
from stairs.relations.inverse import solve_for
from stairs.rules import load


@pytest.mark.parametrize(
    ("rise", "run", "off"),
    [
        # printed with the rule 2R + T = 25: the pair lies on it
        (Fraction(15, 2), 10, 0),
        (Fraction(13, 2), 12, 0),
    ],
    ids=["7 1/2 with 10", "6 1/2 with 12"],
)
def test_army_en5156_rule_of_25(rise, run, off):
    """EN5156: 2R + T = 25; R + T from 17 to 19; R times T about 75."""
    assert step_sum(rise, run) - 25 == off
    assert 17 <= rise + run <= 19
    assert rise * run == pytest.approx(75, rel=0.05)  # "about": the pairs give 75 and 78


@pytest.mark.parametrize(
    ("tread", "rise"), [(8, 8), (9, Fraction(15, 2)), (10, 7)], ids=["8, 8", "9, 7 1/2", "10, 7"]
)
def test_cyclopedia_rule_of_24(tread, rise):
    """*Cyclopedia*: 2R + T = 24, pairs printed tread first."""
    assert step_sum(rise, tread) == 24


def test_drawing_stairways_seven_with_ten():
    """*Drawing*: R + T 17 to 18 and 2R + T = 24, with the pair 7 and 10."""
    assert step_sum(7, 10) == 24
    assert 17 <= 7 + 10 <= 18


def test_neufert_example_landing_lengths():
    """Neufert, step length 63 cm for a step of 17 by 29: landings of 92 and 155 cm."""
    step, going = step_sum(17, 29), 29
    assert step == 63
    assert [count * step + going for count in (1, 2)] == [92, 155]


@pytest.mark.parametrize(
    ("rise", "going", "inside"),
    [(150, 250, True), (150, 249, False), (220, 260, True), (220, 261, False)],
    ids=str,
)
def test_approved_document_k_550_to_700(rise, going, inside):
    """AD K 2013: 2R + G from 550 to 700 mm, both ends included."""
    book = load("england-ad-k-2013")
    value = step_sum(Fraction(rise), Fraction(going))
    kept = all(book.rule(name).allows(value) for name in ("step-formula-min", "step-formula-max"))
    assert kept is inside


@pytest.mark.parametrize(("g", "inside"), [(280, True), (340, True), (279, False), (341, False)])
def test_iso_14122_3_600_to_660(g, inside):
    """EN ISO 14122-3:2016: g + 2h from 600 to 660 mm, tried with h = 160."""
    book = load("iso-14122-3-2016")
    value = step_sum(Fraction(160), Fraction(g))
    kept = all(book.rule(name).allows(value) for name in ("step-formula-min", "step-formula-max"))
    assert kept is inside


def test_approved_document_k_corner_of_table_1_1_breaks_its_own_pitch():
    """AD K 2013 Table 1.1 allows rise 220 and going 220 each; together they are 45 > 42 degrees."""
    book = load("england-ad-k-2013")
    assert book.rule("unit-rise-max").allows(Fraction(220))
    assert book.rule("unit-run-min").allows(Fraction(220))
    angle = rake(220, 220)
    assert angle == pytest.approx(45.0, rel=0, abs=0.0005)
    assert not book.rule("rake-max").allows(Fraction(angle))


@pytest.mark.parametrize(
    ("rule", "rise", "run"),
    [(25, Fraction(15, 2), 10), (25, Fraction(13, 2), 12), (24, 8, 8), (24, Fraction(15, 2), 9),
     (24, 7, 10), (63, 17, 29)],
    ids=["EN5156 7 1/2", "EN5156 6 1/2", "Cyclopedia 8", "Cyclopedia 7 1/2", "Drawing 7",
         "Neufert 17"],
)  # fmt: skip
def test_printed_pairs_from_their_rule(rule, rise, run):
    """Each pair's rise from its tread and the rule, and its tread from the rise."""
    (found,) = solve_for("unit_rise", "step_sum", rule, {"unit_run": run}).taken
    assert found.exact == rise
    (found,) = solve_for("unit_run", "step_sum", rule, {"unit_rise": rise}).taken
    assert found.exact == run

"""The written-out closed forms are current, complete and say what they are."""

import ast
import inspect
from collections import Counter
from pathlib import Path

import pytest

from stairs.job import AsBuilt, Bracket, JobFlight, JobLevel, Panel, PostKind, Slot
from stairs.job.key_notes import keys_of
from stairs.job.records import BracketBody, Framing, GroundSlope
from stairs.relations import closed_forms
from stairs.relations import derivation as generate
from stairs.relations.derivation import (
    FORMS,
    derivation_of,
    flight_forms,
    inverse_text,
    module_text,
)
from stairs.relations.equations import RELATIONS, SYMBOLS
from stairs.relations.quantities import (
    ANGLE,
    AS_BUILT,
    COUNT,
    FLIGHT_KEYS,
    LENGTH,
    NAMES_PAGE,
    QUANTITIES,
    RATIO,
    TYPED,
)

NAMES = [form.name for form in FORMS] + [form.name for form, _ in flight_forms()]


def test_closed_forms_are_what_the_relations_give():
    """Writing the module again changes nothing."""
    committed = Path(closed_forms.__file__).read_text(encoding="utf-8")
    assert module_text() == committed


def test_generator_writes_beside_itself(tmp_path, monkeypatch, capsys):
    """The command writes the same texts, and says how many forms it wrote."""
    monkeypatch.setattr(generate, "__file__", str(tmp_path / "generate.py"))
    generate.main()
    assert (tmp_path / "closed_forms.py").read_text(encoding="utf-8") == module_text()
    assert (tmp_path / "inverse_forms.py").read_text(encoding="utf-8") == inverse_text()
    written = (tmp_path / "steps.json").read_text(encoding="utf-8")
    assert written == (Path(closed_forms.__file__).parent / "steps.json").read_text("utf-8")
    assert capsys.readouterr().out == "".join(
        f"{name}: {len(NAMES)} closed forms\n"
        for name in ("closed_forms.py", "inverse_forms.py", "steps.json")
    )


def test_closed_forms_import_nothing_but_math_and_our_roots():
    """The everyday path loads no computer algebra."""
    tree = ast.parse(Path(closed_forms.__file__).read_text(encoding="utf-8"))
    imported = [
        alias.name
        for node in ast.walk(tree)
        if isinstance(node, (ast.Import, ast.ImportFrom))
        for alias in node.names
    ]
    assert imported == ["math", "Callable", "Number", "sqrt"]


def test_every_function_is_a_form_and_every_form_a_function():
    """Nothing in the module was added by hand or left out."""
    written = [
        name
        for name, function in inspect.getmembers(closed_forms, inspect.isfunction)
        if function.__module__ == closed_forms.__name__
    ]
    assert sorted(written) == sorted(NAMES)
    assert len(set(NAMES)) == len(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_form_says_in_letters_what_comes_out_and_of_what(name):
    """Result and arguments by their letters on the names page, meaning and unit, in one breath."""
    function = getattr(closed_forms, name)
    target = QUANTITIES[derivation_of(name).target]
    letters = ", ".join(QUANTITIES[one].symbol for one in inspect.signature(function).parameters)
    says = f"{target.symbol} = f({letters}): {target.meaning} [{target.unit}]."
    assert " ".join(function.__doc__.split()) == says


def test_every_form_has_an_example():
    """A wrong relation shows at once in an example worked on paper."""
    assert [form.name for form in FORMS if form.example is None] == []


def test_no_letter_stands_for_two_quantities():
    """Each symbol of the names page is one quantity's alone."""
    letters = Counter(quantity.symbol for group in NAMES_PAGE.values() for quantity in group)
    assert [letter for letter, times in letters.items() if times > 1] == []


TABLES = {
    "section": (JobFlight, JobLevel), "panel": (Panel,), "slot": (Slot,), "bracket": (Bracket,),
    "post": (PostKind,), "framing": (Framing,), "body": (BracketBody,),
    "ground_slope": (GroundSlope,),
}  # fmt: skip


@pytest.mark.parametrize(("place", "quantity"), TYPED.items(), ids=lambda one: str(one)[:30])
def test_keys_of_the_names_page_are_keys_of_the_job_file(place, quantity):
    """What is said to be typed can be typed there, and carries that letter there."""
    table, key = place
    found = [keys_of(record)[key] for record in TABLES[table] if key in keys_of(record)]
    assert found
    assert {one.letter for one in found} == {quantity.symbol}
    assert quantity.called


@pytest.mark.parametrize(("key", "quantity"), AS_BUILT.items(), ids=lambda one: str(one)[:30])
def test_what_is_told_of_a_post_as_it_stands_carries_its_letter(key, quantity):
    assert keys_of(AsBuilt)[key].letter == quantity.symbol
    assert quantity.called


def test_every_quantity_is_used_by_a_relation():
    """The names page holds nothing that no relation knows."""
    used = set().union(*(relation.quantities for relation in RELATIONS))
    assert set(QUANTITIES) - used == set()


def test_every_relation_is_written_in_known_quantities():
    """The relations hold no symbol that the names page does not explain."""
    for relation in RELATIONS:
        assert relation.quantities <= set(QUANTITIES), relation.name
        for equation in relation.equations:
            assert all(SYMBOLS[symbol.name] == symbol for symbol in equation.free_symbols)


def test_every_relation_says_what_it_means_and_where_it_is_from():
    """Name, meaning and source are there, and no two relations share a name."""
    assert all(relation.meaning and relation.source for relation in RELATIONS)
    assert len({relation.name for relation in RELATIONS}) == len(RELATIONS)


def test_quantities_have_unit_meaning_and_a_known_domain():
    """Each quantity says what is measured and what it may be."""
    for name, quantity in QUANTITIES.items():
        assert quantity.name == name
        assert quantity.unit in (LENGTH, ANGLE, COUNT, RATIO)
        assert quantity.domain in (
            "above 0", "0 or more", "any", "from 0 to below 90", "0 or 1",
        )  # fmt: skip
        assert quantity.symbol and quantity.meaning


def test_flight_keys_are_those_of_the_job_file():
    """Each key by which a flight can be fixed leads to one quantity."""
    assert FLIGHT_KEYS == {
        "rise": "total_rise", "unit_rise": "unit_rise", "risers": "risers", "treads": "treads",
        "run": "total_run", "unit_run": "unit_run", "rake": "rake",
    }  # fmt: skip


def test_unknown_form_is_a_key_error():
    """There is no form without a derivation."""
    with pytest.raises(KeyError, match="girth"):
        derivation_of("girth")

"""The written-out closed forms are current, complete and say what they are."""

import ast
import inspect
import re
from pathlib import Path

import pytest

from stairs.relations import closed_forms
from stairs.relations import derivation as generate
from stairs.relations.derivation import FORMS, derivation_of, flight_forms, module_text
from stairs.relations.equations import RELATIONS, SYMBOLS
from stairs.relations.quantities import ANGLE, COUNT, FLIGHT_KEYS, LENGTH, QUANTITIES, RATIO

NAMES = [form.name for form in FORMS] + [form.name for form, _ in flight_forms()]
UNIT_WORDS = {LENGTH: "job's unit of length", ANGLE: "degrees", COUNT: "count", RATIO: "ratio"}


def test_closed_forms_are_what_the_relations_give():
    """Writing the module again changes nothing."""
    committed = Path(closed_forms.__file__).read_text(encoding="utf-8")
    assert module_text() == committed


def test_generator_writes_beside_itself(tmp_path, monkeypatch, capsys):
    """The command writes the same text, and says how many forms it wrote."""
    monkeypatch.setattr(generate, "__file__", str(tmp_path / "generate.py"))
    generate.main()
    assert (tmp_path / "closed_forms.py").read_text(encoding="utf-8") == module_text()
    assert capsys.readouterr().out == f"closed_forms.py: {len(NAMES)} closed forms\n"


def test_closed_forms_import_nothing_but_math_and_our_roots():
    """The everyday path loads no computer algebra."""
    tree = ast.parse(Path(closed_forms.__file__).read_text(encoding="utf-8"))
    imported = [
        alias.name
        for node in ast.walk(tree)
        if isinstance(node, (ast.Import, ast.ImportFrom))
        for alias in node.names
    ]
    assert imported == ["math", "sqrt"]


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
def test_form_says_what_comes_out_and_in_which_unit(name):
    """First line with a unit, each parameter with unit and range, the relations it came from."""
    function = getattr(closed_forms, name)
    first, _, rest = function.__doc__.partition("\n")
    target = derivation_of(name).target
    assert first.endswith(f"[{UNIT_WORDS[QUANTITIES[target].unit]}].")
    for parameter in inspect.signature(function).parameters:
        quantity = QUANTITIES[parameter]
        entry = re.search(rf"^    {parameter} : number\n((?:        .*\n)+)", rest, re.MULTILINE)
        words = " ".join(entry[1].split())
        assert words.endswith(f"[{UNIT_WORDS[quantity.unit]}], {quantity.domain}.")
    chained = re.search(r"Chained from: (.*?)\.\n", rest, re.DOTALL)
    named = " ".join(chained[1].split()).split("; ")
    assert set(named) <= {relation.name for relation in RELATIONS}


@pytest.mark.parametrize("form", [form for form in FORMS if form.example], ids=lambda f: f.name)
def test_form_has_an_example_that_is_whole_or_nearly(form):
    """Examples are worked on paper, so they come out with two digits after the point at most."""
    assert re.fullmatch(r"\d+(\.\d{1,2})?", form.example[1])


def test_every_form_has_an_example():
    """A wrong relation shows at once in a doctest."""
    assert [form.name for form in FORMS if form.example is None] == []


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
        assert quantity.unit in UNIT_WORDS
        assert quantity.domain in ("above 0", "0 or more", "any")
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

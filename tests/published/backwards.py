"""A printed result run backwards: between which inputs it lies, its last digit being rounded."""

from fractions import Fraction

from stairs.relations.inverse import solve_for


def read_back(unknown, form, printed, half, **known):
    """The input at half a digit below and above what is printed, the lower one first.

    ``printed`` and ``half`` are exact, ``half`` in the same unit; at either end one input alone can
    be in a stair.
    """
    exact = {name: Fraction(size) for name, size in known.items()}
    ends = []
    for value in (Fraction(printed) - Fraction(half), Fraction(printed) + Fraction(half)):
        (root,) = solve_for(unknown, form, value, exact).taken
        ends.append(root.value)
    return sorted(ends)

"""Closed forms over arrays: the same expressions, for any number of stairs at once.

Every function of :mod:`stairs.relations.closed_forms` is here by its name, with its parameters,
and runs the same code with the roots and angles of numpy.  Each parameter takes a number or an
array of numbers, lengths in one unit and angles in degrees; arrays are broadcast against each
other as numpy does it.  What comes back is an array of 64-bit floats, or one such float where
only numbers were given; it is ``nan`` or infinite where there is no such shape.

>>> from stairs import array_forms
>>> array_forms.cosine(unit_rise=[3, 5], unit_run=[4, 12]).round(4)
array([0.8   , 0.9231])
"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Mapping
from functools import wraps
from inspect import signature
from types import FunctionType
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from stairs.errors import JobError
from stairs.relations import closed_forms

Form = Callable[..., "NDArray[np.float64]"]


class _Functions:
    """What closed forms name of :mod:`math`, over arrays."""

    pi = np.pi
    sin, cos, tan = np.sin, np.cos, np.tan
    asin, acos, atan = np.arcsin, np.arccos, np.arctan


def _names() -> tuple[str, ...]:
    forms = vars(closed_forms).items()
    return tuple(
        name
        for name, form in forms
        if isinstance(form, FunctionType) and form.__module__ == closed_forms.__name__
    )


__all__ = _names()  # noqa: PLE0605  (as they are written)


def __getattr__(name: str) -> Form:
    """The function by its name, made when it is first asked for."""
    if name not in __all__:
        near = difflib.get_close_matches(name, __all__, n=1)
        hint = f"; the nearest is {near[0]}" if near else ""
        raise AttributeError(f"there is no closed form {name}{hint}")
    globals()[name] = form = _over_arrays(getattr(closed_forms, name))
    return form


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})


def _over_arrays(scalar: FunctionType) -> Form:
    over = FunctionType(scalar.__code__, {"math": _Functions, "sqrt": np.sqrt}, scalar.__name__)
    takes = signature(scalar)
    takes = takes.replace(
        parameters=[each.replace(annotation="ArrayLike") for each in takes.parameters.values()],
        return_annotation="NDArray[np.float64]",
    )

    @wraps(scalar)
    def form(*values: ArrayLike, **named: ArrayLike) -> NDArray[np.float64]:
        given = takes.bind(*values, **named).arguments
        arrays = {name: _array(form.__name__, name, value) for name, value in given.items()}
        _refuse_unlike(form.__name__, arrays)
        with np.errstate(divide="ignore", invalid="ignore"):
            found: NDArray[np.float64] = over(**arrays)
        return found

    form.__module__, form.__qualname__ = __name__, scalar.__name__
    form.__signature__ = takes  # type: ignore[attr-defined]
    del form.__wrapped__
    return form


def _array(form: str, name: str, value: Any) -> NDArray[np.float64]:
    try:
        array = np.asarray(value)
        kind = array.dtype.kind
        if kind not in "iufO" or (kind == "O" and None in array.ravel().tolist()):
            raise TypeError(kind)
        return array.astype(np.float64)
    except (TypeError, ValueError):
        raise JobError(
            f"{form}: {name}",
            f"{value!r:.60} is no number and no array of numbers",
            "Numbers in rows of one length; lengths in one unit, angles in degrees",
            'Read texts first: float(stairs.Length("3 1/2"))',
        ) from None


def _refuse_unlike(form: str, arrays: Mapping[str, NDArray[np.float64]]) -> None:
    try:
        np.broadcast_shapes(*(array.shape for array in arrays.values()))
    except ValueError:
        told = ", ".join(f"{name} {one.shape}" for name, one in arrays.items() if one.ndim)
        raise JobError(
            form,
            f"the arrays have shapes that do not go together: {told}",
            "Shapes that are alike, or that numpy broadcasts",
            "Give each array as many values as the others, or shape one as a column: a[:, None]",
        ) from None

"""A stair guard, solved from a tape measure and a job file before anything is cut or drilled.

Data walks one way through the package: job file, typed records, solved guard, findings, and from
there to sheets, lists and the screen.  A module is named for the thing it knows about.

From Python: :func:`read_job`, :func:`solve`, :func:`check`, :func:`elevation`, :func:`plan`; for
the formulas alone :func:`derive`, :func:`relation`, :func:`solve_for`, :mod:`closed_forms
<stairs.relations.closed_forms>` and, over arrays, :mod:`array_forms
<stairs.relations.array_forms>`.  Names are filled in when they are first used, so that importing
costs nothing.
"""

from __future__ import annotations

TYPE_CHECKING = False  # as checkers know it; ``typing`` alone takes longer than all of this
if TYPE_CHECKING:
    from typing import Any

    from stairs.checks.finding import Finding as Finding
    from stairs.errors import FileError as FileError
    from stairs.errors import JobError as JobError
    from stairs.errors import SheetError as SheetError
    from stairs.errors import StairsError as StairsError
    from stairs.face import Drawing as Drawing
    from stairs.face import check as check
    from stairs.face import derive as derive
    from stairs.face import elevation as elevation
    from stairs.face import explain as explain
    from stairs.face import find as find
    from stairs.face import packet as packet
    from stairs.face import plan as plan
    from stairs.face import read_job as read_job
    from stairs.face import relation as relation
    from stairs.face import result as result
    from stairs.face import shop as shop
    from stairs.face import solve as solve
    from stairs.face import solve_for as solve_for
    from stairs.face import symbol as symbol
    from stairs.face import template as template
    from stairs.job import Job as Job
    from stairs.lengths.tape import Length as Length
    from stairs.relations import array_forms as array_forms
    from stairs.relations import closed_forms as closed_forms
    from stairs.relations.equations import RELATIONS as RELATIONS
    from stairs.relations.quantities import QUANTITIES as QUANTITIES
    from stairs.solution import Solution as Solution

__version__ = "0.1.0"

_HOMES = {
    "stairs.checks.finding": ("Finding",),
    "stairs.errors": ("FileError", "JobError", "SheetError", "StairsError"),
    "stairs.face": (
        "Drawing", "check", "derive", "elevation", "explain", "find", "packet", "plan", "read_job",
        "relation", "result", "shop", "solve", "solve_for", "symbol", "template",
    ),
    "stairs.job": ("Job",),
    "stairs.lengths.tape": ("Length",),
    "stairs.relations": ("array_forms", "closed_forms"),
    "stairs.relations.equations": ("RELATIONS",),
    "stairs.relations.quantities": ("QUANTITIES",),
    "stairs.solution": ("Solution",),
}  # fmt: skip
_HOME_OF = {name: home for home, names in _HOMES.items() for name in names}

__all__ = ["__version__", *_HOME_OF]  # noqa: PLE0604


def __getattr__(name: str) -> Any:
    """A name of the Python face, from its room, when it is first asked for."""
    if name not in _HOME_OF:
        raise AttributeError(f"module 'stairs' has no attribute {name!r}")
    from importlib import import_module

    home = _HOME_OF[name]
    if home == "stairs.relations":
        found: Any = import_module(f"{home}.{name}")
    else:
        found = getattr(import_module(home), name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    return sorted({*globals(), *_HOME_OF})

"""What can go wrong before there is a guard to speak of.

An error is for input that cannot be used: a file that cannot be read, a measurement that is
missing, two that contradict, a shape that does not exist.  A guard that solves and fails a rule is
not an error but a finding (see :mod:`stairs.checks.checking`).

Every error says four things in this order: where (file or key), what was found, what is allowed,
and what to do.  The parts are kept as attributes, so that a caller need not take the text apart.
"""

from __future__ import annotations


class StairsError(Exception):
    """The root of the family; catch this one to catch them all.

    Parameters
    ----------
    where : str
        File, section and key as the user knows them, e.g. ``"section 1: unit_run"``.
    found : str
        What was read there, with its unit.
    allowed : str
        What would have been accepted.  May be empty where ``found`` says it all.
    remedy : str
        What to do next.  May be empty.

    Examples
    --------
    >>> str(JobError("panel: pitch", "is -4 1/2", "A length above 0", "Give it as measured"))
    'panel: pitch: is -4 1/2. A length above 0. Give it as measured.'
    """

    def __init__(self, where: str, found: str, allowed: str = "", remedy: str = "") -> None:
        self.where = where
        self.found = found
        self.allowed = allowed
        self.remedy = remedy
        parts = [part.rstrip(".") for part in (found, allowed, remedy) if part]
        prefix = f"{where}: " if where else ""
        super().__init__(prefix + ". ".join(parts) + ".")


class FileError(StairsError, OSError):
    """A job file that cannot be read, or an output that cannot be written."""

    def __str__(self) -> str:
        return Exception.__str__(self)


class OutputFailed(FileError):
    """An output that could be begun and not be written to its end: the disk is full, or broken."""


class JobError(StairsError, ValueError):
    """A job file that was read and holds something that cannot be used."""


class MeasurementMissing(JobError):
    """Too few measurements to fix the stair; ``candidates`` names those that would be enough."""

    def __init__(
        self,
        where: str,
        found: str,
        allowed: str = "",
        remedy: str = "",
        candidates: tuple[str, ...] = (),
    ) -> None:
        self.candidates = candidates
        super().__init__(where, found, allowed, remedy)


class MeasurementsContradict(JobError):
    """Measurements that cannot all be true; carries both values and their difference."""

    def __init__(
        self,
        where: str,
        found: str,
        allowed: str = "",
        remedy: str = "",
        values: tuple[float, float] | None = None,
    ) -> None:
        self.values = values
        self.difference = None if values is None else abs(values[1] - values[0])
        super().__init__(where, found, allowed, remedy)


class NoSuchShape(JobError):
    """Measurements that are each possible but together leave no room for the part."""


class SheetError(StairsError, ValueError):
    """A drawing that does not fit any sheet at any standard scale."""

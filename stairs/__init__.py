"""A stair guard, solved from a tape measure and a job file before anything is cut or drilled.

Data walks one way through the package: job file, typed records, solved guard, findings, and from
there to sheets, lists and the screen.  A module is named for the thing it knows about.
"""

__version__ = "0.1.0"

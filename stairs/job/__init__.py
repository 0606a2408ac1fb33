"""A job file, read: one guard as somebody measured and chose it.

A job file says what is there (rise, run, treads, posts) and what is to be used (panel, bracket,
post), in the words of the trade, as TOML.  This room reads it from a file, from standard input or
from text and gives one frozen :class:`Job`.  What the job leaves out and the solver needs is filled
in and listed in ``Job.assumed``.  Whether the measurements fix a stair is not asked here.

Reading: :func:`read_job`, :func:`job_from_text`, :func:`job_from_mapping`, :func:`quick_job`.
Writing: :func:`job_to_mapping`.  The records are in :mod:`stairs.job.records`, the checks of keys
against each other in :mod:`stairs.job.agreement` and :mod:`stairs.job.sections`.
"""

from stairs.job.agreement import job_from_mapping as job_from_mapping
from stairs.job.quick_look import job_to_mapping as job_to_mapping
from stairs.job.quick_look import quick_job as quick_job
from stairs.job.reading import job_from_text as job_from_text
from stairs.job.reading import read_job as read_job
from stairs.job.records import AsBuilt as AsBuilt
from stairs.job.records import Bracket as Bracket
from stairs.job.records import BracketBody as BracketBody
from stairs.job.records import Framing as Framing
from stairs.job.records import GroundSlope as GroundSlope
from stairs.job.records import Job as Job
from stairs.job.records import JobFlight as JobFlight
from stairs.job.records import JobLevel as JobLevel
from stairs.job.records import LocalOverride as LocalOverride
from stairs.job.records import Panel as Panel
from stairs.job.records import PostKind as PostKind
from stairs.job.records import SheetKeys as SheetKeys
from stairs.job.records import Slot as Slot
from stairs.job.sections import section_where as section_where

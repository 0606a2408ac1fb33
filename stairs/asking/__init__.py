"""Guided questions that fill in a job file, in the order in which one walks the stair.

What a key measures, how it is read and in which range it is believed is the job room's; here is
only the order (:mod:`stairs.asking.walk`), how typed words become a value of a key
(:mod:`stairs.asking.answers`), what answers make of each other (:mod:`stairs.asking.judging`), the
file, kept in its style (:mod:`stairs.asking.job_file`), and the talk (:mod:`stairs.asking.talk`).
"""

from stairs.asking.standing import StandingTalk as StandingTalk
from stairs.asking.talk import Talk as Talk

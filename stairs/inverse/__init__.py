"""The question turned round: for which values of one key of the job the guard passes.

A key and a goal go in, and out comes every value of a range that passes, its ends closed in on with
exact verdicts, proved over whole stretches where that can be, and what fails everywhere else.
"""

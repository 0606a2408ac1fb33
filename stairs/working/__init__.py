"""How a result follows from what was measured, step by step.

A section is solved once more with numbers that remember where they came from.  Each result is then
a tree of closed forms and arithmetic down to the keys of the job file, and is told as a chain of
lines: a relation in letters, the numbers put in, what comes out.
"""

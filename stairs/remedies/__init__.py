"""What would make a failing check pass, tried before it is said.

A remedy is a change to the job file.  It is written into the job, the guard is solved and judged
again, and only what then holds is advised.
"""

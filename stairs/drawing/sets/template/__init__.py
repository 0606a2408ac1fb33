"""Templates at full size: printed, measured, cut out and laid on the work.

Bevels, bracket seats, post faces and the holes of a rail's end, and the tiles that a drawing larger
than the printer's paper is cut into.
"""

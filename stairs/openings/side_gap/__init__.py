"""The ball beside the stair: a guard that stands off to the side of the tread ends.

What looks like one flat opening in elevation is then a passage between two planes, and a larger
ball passes than the elevation shows.  :mod:`stairs.openings.side_gap.ball` says what such a passage
is and is what other rooms ask; the rest is how the ball is found.
"""

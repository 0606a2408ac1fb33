"""Every free space of a guard, and the largest ball or cube that passes it.

An inspector tries a ball at each opening: under the bottom rail, between balusters, beside a post,
between open risers.  Here each such space is given its walls, its largest circle is found from them
and compared exactly with the ball of a rule.
"""

"""The plan: the whole guard seen from above, set out post by post, and its sheets.

Surfaces, treads, rails, posts and walls, the setting-out figures beside them, and the cutting of a
plan that is larger than the paper, with a key that shows which part lies where.
"""

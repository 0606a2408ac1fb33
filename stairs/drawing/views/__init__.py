"""Views: the guard as it is seen from the side, from above, and in parts drawn large.

A view turns the answer into primitives at a place and scale, with its dimensions as data and its
labels where they touch nothing.
"""

"""Details: what an inspector puts a ball or a tape to, drawn large.

The opening under the rail, the base of a post, both ends of a rail, and a piece of the racked
panel, each with the dimensions that count there.
"""

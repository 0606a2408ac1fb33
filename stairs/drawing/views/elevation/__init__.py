"""The elevation: one section of the guard seen square on, and its sheet.

The stair and the guard on it, the dimension chains around them, labels and flags of failures, and
the cutting of a view that is longer than the paper.
"""

"""Plane figures: the largest circle and the largest square in an opening.

An opening is an outline of straight walls and open edges; what is asked is the largest circle or
square in it and what that leans on.  These rooms know numbers and nothing of stairs.
"""

"""The parts of a guard, each by itself: flight, panel, bracket, posts, rails, bays.

Each module knows the geometry of one thing that can be pointed at on site: the steps as they were
built or measured, what a section starts and ends at, the panel level and racked, the bracket that
holds a rail, where posts stand and how tall they are.  How the parts make a guard is not known
here.
"""

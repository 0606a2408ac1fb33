"""One solved guard: every section with all its parts, and how sections stand to each other.

A guard is solved section by section, then the posts that two sections share, the guards on either
hand, the plan and the framing under level runs follow.  What is solved is frozen and complete;
whether it passes any rule is not known here.
"""

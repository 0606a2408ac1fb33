"""Numbers that are never rounded: exact roots, surds, angles and signs, and roots closed in on.

Nothing of stairs is known here, nor anything else of the package: what a square root is while it
stays exact, which of two such numbers is the larger, where a polynomial of them is zero, and where
a function of one number is zero or least.
"""

"""The working: how results follow from what was measured, set on paper with fractions and roots.

A book of its own for one result, or a chapter of the packet for the main ones.
"""

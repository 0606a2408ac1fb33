"""Lengths as people write, read and round them.

A tape shows feet, inches and fractions, or millimetres; a job file holds what somebody read off it.
Here such a text becomes a fraction, exactly, and a fraction becomes a mark of the tape again.
Nothing of stairs is known here.
"""

"""Placing: where lettering may stand so that it is read at once.

A board that knows every line and label and takes the best free place, leaders, dimensions as data,
a small labelled view with its own board, and the inspector, which goes over the finished drawing
and takes nothing on trust.
"""

"""Lettered views: a small invented guard on which all that somebody measures is lettered.

The letters are those of the names page (:mod:`stairs.relations.quantities`).  The picture of the
names page and the picture of what to measure are laid out from the same views.
"""

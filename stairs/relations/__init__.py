"""The geometry of a stair guard, written once.

The names page (:mod:`stairs.relations.quantities`) says what is measured, the equations
(:mod:`stairs.relations.equations`) how those quantities hang together.  They are chained
(:mod:`stairs.relations.chaining`) into closed forms, which are written down as plain functions.
Amounts that are never rounded (:mod:`stairs.relations.exact`) come out of those, and
:mod:`stairs.relations.inverse` runs them backwards, from what they give to any of their inputs.
This is the only room that knows computer algebra.
"""

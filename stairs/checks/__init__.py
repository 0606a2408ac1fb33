"""The solved guard held against a rulebook: findings, and the window of the bottom rail.

Everything that a rule or a part's own limit asks is measured, as drawn, as it will be cut on the
tape's marks, and with every measurement off by the measuring error.  A check that fails is a
finding in a list, never an exception.
"""

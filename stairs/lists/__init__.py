"""Amounts to buy, saw, set out and carry.

From a solution to rails and posts as they are cut, to the stock they are sawn from, to the places
of the posts and the loads they carry.
"""

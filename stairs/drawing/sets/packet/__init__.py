"""The packet: the whole set that a permit office takes, in one file.

Its cover, the order of its sheets, the schedules of posts, rails, brackets and openings, and the
page of loads for who designs posts and anchors.
"""

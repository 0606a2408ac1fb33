"""Sets: several sheets that belong together, as one takes them to an office or to the work.

The packet for a permit office, the shop sheets for saw and posts, and the templates at full size.
"""

"""Where posts go when the job leaves it open.

Every place that a post may have is weighed by the openings, rails and plates that hang on it, and
the best row of posts is chosen; why it won and what it gave up is kept for the reader.
"""

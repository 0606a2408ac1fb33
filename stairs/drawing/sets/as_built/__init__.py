"""The page to take along to posts that are set, with blanks for how they stand.

Each post of the job's own guard beside where it was planned, under a picture of its section.
"""

"""The command line: read a job, call one room, print.

Each command reads what was typed, asks one room for the answer and prints it, on whatever standard
output there is.  No geometry is known here, and nothing is worked out.
"""

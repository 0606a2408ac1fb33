"""The job that commands are typed for: a flight in two bays and a level run, which pass."""

JOB = """
title = "Back steps"
units = "in"
rules = "irc-2021"
tape = "1/16"
measured_within = "1/16"

[panel]
height = "33 1/2"
top_rail = "1 3/4"
bottom_rail = "1 1/2"
baluster = "3/4"
pitch = "4 1/2"
stock = ["72", "96"]
max_rack = 38
slot = { length = "1 1/8", wall = "1/16" }

[bracket]
kind = "pivot"
pivot_offset = "1 1/8"
rail_setback = "3/8"
max_swing = 40

[post]
width = "3"
base = "5"
edge_distance = "2 3/4"
reveal = "1"
stock = ["39", "45", "54"]

[[section]]
name = "steps"
kind = "flight"
rise = "43 1/2"
run = "52 1/2"
treads = 5
nosing = "1"
tread_thickness = "1 1/4"
posts = ["-4", "26 1/2", "58"]
bottom_gap = "5/8"
handrail = true

[[section]]
name = "deck"
kind = "level"
span = "132"
bays = 3
bottom_gap = "2"
"""

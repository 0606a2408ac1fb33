"""Paper: what a drawing is made of before it is of anything.

Sheet sizes and scales, strokes, arcs and letters in millimetres, the typeface and how much room a
line of it takes, and the view, which says where a point of the work lies on paper.  All that is on
paper is measured in millimetres from its lower left corner, angles in degrees against the clock,
lettering by the height of a capital; points of the work are in the job's own unit of length.
"""

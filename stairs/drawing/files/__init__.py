"""Files: a finished sheet or a set of them as PDF, SVG, PNG or DXF.

One painter hands strokes and letters to the plotting library; DXF has the view at full size with
real dimensions; the book binds sheets into one PDF with bookmarks.
"""

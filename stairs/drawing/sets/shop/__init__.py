"""Shop sheets: what one takes to the saw and to the posts.

Stock rails as bars with what is cut from them, and posts like story poles with their bracket marks;
all figures are those of the cut list.
"""

"""How sure each check is: its bounds over all that the measurements may really be, and a witness.

Every measurement lies within its own tolerance of what was read, all of them together in a box.
A check passes everywhere where its bounds, guaranteed over the whole box, keep the limit; where
they do not, measurements are looked for that fail when the guard is solved again for them.  Where
neither is found the check is told as not proven.
"""

"""Words: what the parts of a stair and its guard are called in each country.

The program thinks, and answers other programs, in one vocabulary.  Where its texts leave it for a
reader (screen, lists, sheets) they are put into the words of the reader's country, by
``vocabulary.toml``; what the user typed passes as it is.  Nothing is known here but words.
"""

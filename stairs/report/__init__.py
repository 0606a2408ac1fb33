"""The same answers as text: screens of 80 columns, CSV and JSON.

Nothing is worked out here; what is known is put into words, columns and keys.
"""

"""Sheets: what stands around the views, and the record of a finished sheet.

Border and title strip, the column with checks and notes, the words of both, running text and tables
over as many pages as they take, and the marks that link the sheets of a set.
"""

"""Tables of parts, offers, lines and rates: from a file's bytes to what each row would do.

::

    sheets.py ──▶ columns.py ──▶ part_rows, offer_rows, line_rows ──▶ preview.py ──▶ table_import.py
"""

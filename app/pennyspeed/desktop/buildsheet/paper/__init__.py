"""Paper: the sheet laid out in millimetres on pages, painted for a printer or into a PDF.

::

    Sheet ──layout.lay_out──▶ pages of placed things ──painting.paint──▶ printer, preview
                                                     └─pdf.sheet_pdf──▶ PDF, tagged by tagging.py
"""

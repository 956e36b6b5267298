"""Paper: the sheet laid out in millimetres on pages, painted for a printer or into a PDF.

::

    Sheet ──page_layout.lay_out──▶ Pages ──painting.paint──▶ printer, preview
                                         └─pdf.sheet_pdf──▶ PDF, with tags
"""

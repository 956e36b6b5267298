"""The build sheet: what goes to the bench and to the road, on paper or as a file.

::

    Build, Forecast ──build_sheet──▶ Sheet (document.py) ──▶ html.py, text.py, paper
                         ▲
              Choices (choices.py), Look (look.py)

To add a section:

1. write a function of the :class:`~pennyspeed.services.sheet.sheet_source.SheetSource` in
   ``sections/``;
2. list it in `SECTIONS` of ``making.py``;
3. give it a title in ``resources/sheet/look.toml``.
"""

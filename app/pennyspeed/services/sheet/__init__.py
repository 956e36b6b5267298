"""The build sheet: what goes to the bench and to the road, on paper or as a file.

::

    Build, Forecast ──build_sheet──▶ Sheet (document.py) ──▶ html.py, text.py, desktop/paper
                         ▲
              Choices (choices.py), Look (look.py)

To add a section: write a function of the
:class:`~pennyspeed.services.sheet.sheet_source.SheetSource` and list it in `SECTIONS` of
``making.py``; give it a title in ``resources/sheet/look.toml``.
"""

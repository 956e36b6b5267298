"""Sections of the sheet: functions of a
:class:`~pennyspeed.services.sheet.sheet_source.SheetSource`, listed in ``making.py``."""

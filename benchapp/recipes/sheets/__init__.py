"""Formulas out of spreadsheets (XLSX, ODS, CSV), and into sheets that can be printed."""

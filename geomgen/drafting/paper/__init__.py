"""Sheets and pages of paper: frame, title block, pens, projection symbol."""

"""Sheets and pages of paper: which to take, frame, title block, pens, tiles."""

"""PDF: sheets, tiles and pages of text, and the proof of them."""

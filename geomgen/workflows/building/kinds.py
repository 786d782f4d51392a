"""Which files of a set a report or a hand-off adds, told by the manifest's words and the names."""

# What the report adds to a set, by the word in the manifest; it is made anew each time.
REPORT = ("report", "report drawing", "picture", "model to look at")
PAGE = "report.html"
# What the hand-off puts beside the shops' folders.
SHEET, LIST = "cut_or_not", "parts_list"
SHEETS = (SHEET, LIST)

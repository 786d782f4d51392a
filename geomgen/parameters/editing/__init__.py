"""Parameter files written and changed: fields to show, values typed, text rewritten."""

"""The rules and formulas behind the targets, as plain numbers."""

"""Rules between fields, what no field can know by itself. Clashes, as data."""

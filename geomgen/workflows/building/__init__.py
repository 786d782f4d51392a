"""What `build`, `check`, `size`, `schema` and `new` do, and what a set of files is."""

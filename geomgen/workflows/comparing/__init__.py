"""What `compare` and `verify` do: two states, or a set and what it should be."""

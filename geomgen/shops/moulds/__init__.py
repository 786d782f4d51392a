"""The mould maker's plugs, cores and male moulds: halves, flanges, pieces, what is measured."""

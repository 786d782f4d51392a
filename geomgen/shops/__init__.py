"""What each shop needs, made from the finished solids: moulds, foam, cores, sheet."""

"""What a command says of itself at length: the end of its help."""

"""The commands of the command line: one file each, with its words, its options, what it runs."""

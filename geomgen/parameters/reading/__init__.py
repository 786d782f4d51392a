"""From a file and what is laid over it to records, or a refusal in words."""

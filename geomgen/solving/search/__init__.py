"""The search as plain numbers: what is freed and asked, where a figure meets its aim."""

"""What is said to people, as plain records, and each way to show it: screen, PDF, page."""

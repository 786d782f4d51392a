"""What was made before, on disk by the fingerprint of all that it depends on. No kernel."""

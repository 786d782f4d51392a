"""Mass, centre, neutral point, wheels: does it balance, does it stand; no kernel."""

"""Lines to build to on the skins of moulds: where other parts, edges and openings lie there."""

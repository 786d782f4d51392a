"""What has mass: parts, items, tanks, who is carried; all loadings of them."""

"""What keeps a mixture from the bench: poisons in everything printed, the law of a product and a region, pairs, constituents."""

"""What happened, kept: events, photos, and the states that follow from them."""

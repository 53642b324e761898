"""What a reducer's parts do to each other: the room they need, how they balance, and the search for a design."""

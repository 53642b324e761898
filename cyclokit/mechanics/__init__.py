"""What forces do in a reducer."""

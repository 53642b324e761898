"""Curves, limits and motion of a drive; every function takes the `Drive` first."""

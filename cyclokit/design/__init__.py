"""Designs that meet a brief, and which demand must give way where none does."""

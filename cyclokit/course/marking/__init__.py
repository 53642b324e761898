"""A class: numbers dealt, answers handed in as data, marks. Nothing that comes from a student is ever run."""
